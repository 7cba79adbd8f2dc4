package ask

import (
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
		return Answer{}, Refused{Why: NothingTyped}
	}
	if len(text) > oneline.Longest {
		return Answer{}, Refused{Why: TooLong, Number: oneline.Longest}
	}
	pointed := text
	switch q.Takes.(type) {
	case Quantity, SoundLevel, Conductor, CableValues:
		var err error
		if pointed, err = withPoints(text); err != nil {
			return Answer{}, err
		}
	}
	taken, err := q.Takes.accept(pointed)
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
		return Answer{}, Refused{Why: NoPicture}
	}
	drawing, err := photograph.Drawing(file)
	return Answer{Drawing: drawing}, err
}

// AcceptStrokes turns strokes that were drawn on glass into the answer, or says why they
// are none.
func (q Question) AcceptStrokes(s record.Strokes) (Answer, error) {
	if _, is := q.Takes.(Signature); !is {
		return Answer{}, Refused{Why: NoDrawing}
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
		return "", because(NoQuantity, text, err)
	case t.NotNegative && q.SI < 0:
		return "", Refused{Why: IsNegative}
	case t.Most != nil && q.Duration() > *t.Most:
		most := checks.FormatDuration(*t.Most)
		return "", Refused{Why: OnForLess, Text: most}
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
	return text, because(NoLevel, text, err)
}

func (Conductor) accept(text string) (string, error) {
	_, err := checks.ParseConductor(text)
	return text, because(NoConductor, text, err)
}

func (d Date) accept(text string) (string, error) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", Refused{Why: NoDay}
	}
	switch { // days that are written so are in order of their letters
	case text < d.From:
		return "", Refused{Why: DayPast, Text: d.From}
	case d.To != "" && text > d.To:
		return "", Refused{Why: DayFar, Text: d.To}
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
			return "", Refused{Why: NoSuchName, Text: name, Takes: t.Of}
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
		return "", Refused{Why: WholeWord, Takes: []string{Yes, No}}
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
	return "", Refused{Why: OneOfThese, Takes: words}
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
			return "", Refused{Why: NotOnList, Text: word, Takes: []string{ItemsRest, ItemsEach, ItemsLeave}}
		}
	}
	return strings.Join(SplitNames(text), " "), nil
}

func (Signature) accept(string) (string, error) {
	return "", Refused{Why: PictureNeeded}
}
