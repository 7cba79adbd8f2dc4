package ask

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// Accept turns a text into the answer, or says why it is none. All ways of asking
// share it.
func (q Question) Accept(text string) (Answer, error) {
	text = oneline.Clean(text)
	switch {
	case text == "" && q.Optional:
		return Answer{}, nil
	case q.WayBack != "" && text == q.WayBack:
		return Answer{Text: text}, nil
	case text == RedoWord && q.Redo != nil:
		return Answer{Redo: true}, nil
	}
	if text == "" && q.needsText() {
		return Answer{}, errors.New("an answer is needed here")
	}
	if len(text) > oneline.Longest {
		return Answer{}, fmt.Errorf("longer than %d bytes; shorten it", oneline.Longest)
	}
	taken, err := q.Takes.accept(text)
	if err != nil {
		return Answer{}, err
	}
	_, whole := q.Takes.(YesNo)
	return Answer{Text: taken, Completed: taken != text && !whole}, nil
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

// AcceptStrokes turns strokes that were drawn on glass into the answer, or says why they
// are none.
func (q Question) AcceptStrokes(s record.Strokes) (Answer, error) {
	if _, is := q.Takes.(Signature); !is {
		return Answer{}, errors.New("a drawing is no answer here")
	}
	if err := s.Check(); err != nil {
		return Answer{}, err
	}
	return Answer{Strokes: &s}, nil
}

// needsText tells whether an answer is something written; of what is chosen, the
// choices are named instead.
func (q Question) needsText() bool {
	switch q.Takes.(type) {
	case OneOf, YesNo:
		return false
	}
	return true
}

func (Line) accept(text string) (string, error) { return text, nil }

func (t Quantity) accept(text string) (string, error) {
	if t.Instead != NoWord && text == string(t.Instead) {
		return text, nil
	}
	text = completed(t.In, text, t.Unit)
	q, err := t.In.Parse(text)
	switch {
	case err != nil:
		return "", err
	case t.NotNegative && q.SI < 0:
		return "", errors.New("it cannot be negative")
	case t.Most != nil && q.Duration() > *t.Most:
		return "", fmt.Errorf("it was on for %s only", checks.FormatDuration(*t.Most))
	}
	return text, nil
}

// completed adds the unit to a bare number.
func completed(in checks.Dimension, text, unit string) string {
	if unit == "" {
		return text
	}
	if _, err := in.Parse(text); err == nil {
		return text
	}
	if _, err := in.Parse(text + " " + unit); err == nil {
		return text + " " + unit
	}
	return text
}

func (SoundLevel) accept(text string) (string, error) {
	text = completedLevel(text)
	_, err := checks.ParseLevel(text)
	return text, err
}

func (Conductor) accept(text string) (string, error) {
	_, err := checks.ParseConductor(text)
	return text, err
}

func (d Date) accept(text string) (string, error) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", errors.New("write year-month-day, for example 2027-03-01")
	}
	switch { // days that are written so are in order of their letters
	case text < d.From:
		return "", fmt.Errorf("that day is past; take %s or later", d.From)
	case d.To != "" && text > d.To:
		return "", fmt.Errorf("that day is too far ahead; take %s or earlier", d.To)
	}
	return text, nil
}

func (t Names) accept(text string) (string, error) {
	names := []string{text}
	if t.Several {
		names = SplitNames(text)
	}
	for _, name := range names {
		if !slices.Contains(t.Of, name) {
			return "", fmt.Errorf("there is no %q; take one of: %s", name, strings.Join(t.Of, ", "))
		}
	}
	return text, nil
}

// SplitNames are the names of an answer to Names where Several.
func SplitNames(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
}

// A y is enough unless a yes by mistake would do harm.
func (t YesNo) accept(text string) (string, error) {
	if whole := map[string]string{"y": Yes, "n": No, Yes: Yes, No: No}[strings.ToLower(text)]; whole != "" && !t.Danger {
		return whole, nil
	}
	if text != Yes && text != No {
		return "", errors.New("type the whole word, yes or no")
	}
	return text, nil
}

func (t OneOf) accept(text string) (string, error) {
	var words []string
	for _, o := range t.Options {
		if o.Word == text {
			return text, nil
		}
		words = append(words, o.Word)
	}
	return "", fmt.Errorf("answer with one of: %s", strings.Join(words, ", "))
}

func (t Items) accept(text string) (string, error) {
	if slices.Contains([]string{ItemsRest, ItemsEach, ItemsLeave}, text) {
		return text, nil
	}
	var all []string
	for _, i := range t.Of {
		all = append(all, i.Word)
	}
	for _, word := range SplitNames(text) {
		if !slices.Contains(all, word) {
			return "", fmt.Errorf("the list has no %q; take numbers of it, %s, %s or %s", word, ItemsRest, ItemsEach, ItemsLeave)
		}
	}
	return strings.Join(SplitNames(text), " "), nil
}

func (Signature) accept(string) (string, error) { return "", errors.New("a picture is needed here") }
