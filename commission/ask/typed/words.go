package typed

import (
	"errors"
	"strings"

	"loopwitness/commission/ask"
)

// Word is a word that a person types, by its code: an answer, a key, or a part of one. A
// language may have its own for it, which is shown; that and the code are taken. No two codes
// have the same word, and none is the code of another.
type Word string

// Code names it.
func (w Word) Code() string { return "typed/word/" + string(w) }

// Words that stand inside of an answer.
var (
	// ofLevels part level, distance and surroundings.
	ofLevels = []string{"at", "over", "class"}
	// ofCables stand among the values of a cable.
	ofCables = []string{"open", string(ask.NotMeasured), "resistor", "shorted"}
	// Colours are those of the insulation of cores, as what a cable may be is found by them.
	Colours = []string{"red", "black", "green", "white", "blue", "brown", "yellow", "grey", "green-yellow", "orange",
		"violet", "pink", "bare"}
)

// The letters that are enough where a yes can do no harm.
const (
	yesLetter = "y"
	noLetter  = "n"
)

// Inside are all words that stand inside of answers.
func Inside() []string {
	return append(append(append([]string(nil), ofLevels...), ofCables...), Colours...)
}

// Meant is what was typed as an answer to a question, with the words of the language as the
// codes that the question takes.
func Meant(say Sayer, q ask.Question, text string) string {
	trimmed := strings.TrimSpace(text)
	for _, code := range taken(q) {
		if is(say, q, code, trimmed) {
			return code
		}
	}
	switch q.Takes.(type) {
	case ask.SoundLevel:
		return inside(say, ofLevels, text)
	case ask.CableValues:
		return inside(say, ofCables, text)
	case ask.CableSeen:
		seen, label, labelled := strings.Cut(text, " / ")
		if seen = inside(say, Colours, seen); labelled {
			seen += " / " + label
		}
		return seen
	}
	return text
}

// is tells whether a text is the word for a code. The case of letters counts, but for a yes or
// no that can do no harm.
func is(say Sayer, q ask.Question, code, text string) bool {
	word := say.Say(Word(code))
	if t, yesNo := q.Takes.(ask.YesNo); yesNo && !t.Danger {
		return strings.EqualFold(word, text)
	}
	return word == text
}

// taken are the codes that a question takes as a whole answer.
func taken(q ask.Question) (codes []string) {
	switch t := q.Takes.(type) {
	case ask.YesNo:
		codes = []string{ask.Yes, ask.No}
		if !t.Danger {
			codes = append(codes, yesLetter, noLetter)
		}
	case ask.OneOf:
		for _, o := range t.Options {
			codes = append(codes, o.Word)
		}
	case ask.Line:
		for _, o := range t.Offers {
			codes = append(codes, o.Word)
		}
		if t.Instead != ask.NoWord {
			codes = append(codes, string(t.Instead))
		}
	case ask.Quantity:
		if t.Instead != ask.NoWord {
			codes = append(codes, string(t.Instead))
		}
	case ask.CableSeen:
		codes = []string{string(ask.NotMeasured)}
	case ask.CentreTime:
		if t.Instead {
			codes = []string{ask.Never, ask.Skipped}
		}
	case ask.Items:
		codes = []string{ask.ItemsRest, ask.ItemsEach, ask.ItemsLeave}
	}
	if q.WayBack != "" {
		codes = append(codes, q.WayBack)
	}
	if q.Redo != nil {
		codes = append(codes, ask.RedoWord)
	}
	return codes
}

// inside has each word of a text that is the language's own as its code.
func inside(say Sayer, codes []string, text string) string {
	words := strings.Split(text, " ")
	for i, w := range words {
		for _, code := range codes {
			if bare := strings.Trim(w, ","); strings.EqualFold(bare, say.Say(Word(code))) {
				words[i] = strings.Replace(w, bare, code, 1)
			}
		}
	}
	return strings.Join(words, " ")
}

// IsWholeBoard tells whether a text asks for the whole board.
func IsWholeBoard(say Sayer, text string) bool {
	text = strings.TrimSpace(text)
	return text == WholeBoard || text == say.Say(Word(WholeBoard))
}

// Key is the key whose word a text is, "" for none.
func Key(say Sayer, keys []ask.Key, text string) ask.Key {
	for _, k := range keys {
		if text == string(k) || text == say.Say(Word(k)) {
			return k
		}
	}
	return ""
}

// KeyWords are the words of keys.
func KeyWords(say Sayer, keys []ask.Key) (words []string) {
	for _, k := range keys {
		words = append(words, say.Say(Word(k)))
	}
	return words
}

// NoKey says that a text is the word of none of the keys.
type NoKey struct {
	Text  string
	Words []string
}

// Code names it.
func (NoKey) Code() string { return "typed/no-key" }

// Refusal is why an answer is refused, in the language where it has words for it.
func Refusal(say Sayer, err error) string {
	var refused ask.Refused
	if errors.As(err, &refused) {
		return say.Say(refused)
	}
	return err.Error()
}
