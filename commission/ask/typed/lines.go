package typed

import (
	"slices"
	"strings"

	"loopwitness/commission/ask"
)

// indent stands before what is beside something else.
const indent = "   "

// Sayer says phrases: a language.
type Sayer interface{ Say(ask.Phrase) string }

// Lines are a notice as lines.
func Lines(say Sayer, n ask.Notice) []string {
	text := say.Say(n)
	switch n.Weight() {
	case ask.Plain:
		return []string{text}
	case ask.Heading:
		return []string{"", "== " + strings.ToUpper(text) + " =="}
	case ask.Caution:
		return []string{"", say.Say(CautionWord) + "  " + text}
	}
	return []string{indent + text}
}

// Question is a question as lines, without the options that a program may list in a
// way of its own, and what is listed before it, as it is shown.
func Question(say Sayer, q ask.Question) (lines, about []string) {
	for _, p := range q.About {
		about = append(about, say.Say(p))
		lines = append(lines, indent+about[len(about)-1])
	}
	lines = append(lines, say.Say(q.What))
	if help := help(say, q); help != "" {
		lines = append(lines, indent+help)
	}
	if q.Shown != "" {
		var shown ask.Phrase = MeterShows{q.Shown}
		if _, observed := q.Takes.(ask.YesNo); observed {
			shown = BuildingShows{q.Shown}
		}
		lines = append(lines, indent+say.Say(shown))
	}
	return lines, about
}

// help is what helps to answer, and how it is typed.
func help(say Sayer, q ask.Question) string {
	var parts []string
	if q.Help != nil {
		parts = append(parts, say.Say(q.Help))
	}
	for _, hint := range hints(q) {
		parts = append(parts, say.Say(hint))
	}
	for i := range len(parts) - 1 {
		parts[i] = strings.TrimSuffix(parts[i], ".")
	}
	return strings.Join(parts, "; ")
}

// Options are those of a choice, with the one that takes the last answer again.
func Options(q ask.Question) []ask.Option {
	choice, _ := q.Takes.(ask.OneOf)
	if q.Redo == nil {
		return choice.Options
	}
	return append(slices.Clone(choice.Options), ask.Option{Word: ask.RedoWord, Label: ask.RedoChoice{Of: q.Redo}})
}

// Watch is a wait as lines.
func Watch(say Sayer, w ask.Watch) []string {
	lines := []string{say.Say(w.Title)}
	for _, l := range w.Lines {
		lines = append(lines, indent+say.Say(l))
	}
	return lines
}
