package ask

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/kit/photograph"
)

// Accept turns a text into the answer, or says why it is none. All ways of asking
// share it.
func (q Question) Accept(text string) (Answer, error) {
	text = strings.TrimSpace(text)
	if text == "" && q.Optional {
		return Answer{}, nil
	}
	if q.WayBack != "" && text == q.WayBack {
		return Answer{Text: text}, nil
	}
	if yes, is := q.Takes.(YesNo); is && !yes.Danger {
		if whole := map[string]string{"y": Yes, "n": No}[text]; whole != "" {
			text = whole
		}
	}
	if text == "" && q.needsText() {
		return Answer{}, errors.New("an answer is needed here")
	}
	if len(text) > maxAnswer {
		return Answer{}, fmt.Errorf("longer than %d bytes; shorten it", maxAnswer)
	}
	if err := q.Takes.accept(text); err != nil {
		return Answer{}, err
	}
	return Answer{Text: text}, nil
}

// AcceptPicture turns a picture of a signature, a JPEG or PNG file, into the answer, or
// says why it is none.
func (q Question) AcceptPicture(file []byte) (Answer, error) {
	if _, is := q.Takes.(Signature); !is {
		return Answer{}, errors.New("a picture is no answer here")
	}
	drawing, err := photograph.Drawing(file)
	return Answer{Drawing: drawing}, err
}

// maxAnswer bounds an answer; a note of a page is shorter.
const maxAnswer = 4000

// needsText tells whether an answer is something written; of what is chosen, the
// choices are named instead.
func (q Question) needsText() bool {
	switch q.Takes.(type) {
	case OneOf, YesNo:
		return false
	}
	return true
}

func (Line) accept(string) error { return nil }

func (t Quantity) accept(text string) error {
	if t.Instead != NoWord && text == string(t.Instead) {
		return nil
	}
	q, err := t.In.Parse(text)
	if err == nil && t.NotNegative && q.SI < 0 {
		err = errors.New("it cannot be negative")
	}
	return err
}

func (SoundLevel) accept(text string) error {
	_, err := ParseLevel(text)
	return err
}

func (Conductor) accept(text string) error {
	_, err := checks.ParseConductor(text)
	return err
}

func (Date) accept(text string) error {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return errors.New("write year-month-day, for example 2027-03-01")
	}
	return nil
}

func (t Names) accept(text string) error {
	names := []string{text}
	if t.Several {
		names = SplitNames(text)
	}
	for _, name := range names {
		if !slices.Contains(t.Of, name) {
			return fmt.Errorf("there is no %q; take one of: %s", name, strings.Join(t.Of, ", "))
		}
	}
	return nil
}

// SplitNames are the names of an answer to Names where Several.
func SplitNames(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
}

func (YesNo) accept(text string) error {
	if text != Yes && text != No {
		return errors.New("type the whole word, yes or no")
	}
	return nil
}

func (t OneOf) accept(text string) error {
	var words []string
	for _, o := range t.Options {
		if o.Word == text {
			return nil
		}
		words = append(words, o.Word)
	}
	return fmt.Errorf("answer with one of: %s", strings.Join(words, ", "))
}

func (Signature) accept(string) error { return errors.New("a picture is needed here") }
