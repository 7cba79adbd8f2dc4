package dryrun

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// Class is what a line of codes tells of.
type Class string

// The classes.
const (
	Result     Class = "result"
	Found      Class = "finding"
	Limited    Class = "limitation"
	ComputedAs Class = "row"
	ReadAs     Class = "volts"
)

// Line is one thing that an assessment says: its class, its code, and the rest in words.
type Line struct {
	Class Class
	Code  string
	Rest  string
}

func (l Line) String() string {
	return strings.TrimRight(fmt.Sprintf("%s %s %s", l.Class, l.Code, l.Rest), " ")
}

// listed is a finding or limitation as a line.
func listed(class Class, f judge.Finding) Line {
	say := words.English{}
	return Line{class, f.Code(), string(f.Severity()) + ", " + say.Say(f.Subject) + ": " + say.Say(f)}
}

// Codes are all that an assessment says by codes. The rest of a finding or limitation
// begins with its severity; that of a row with its ruling, "none" or "missing"; that of a
// voltage is its number in volts.
func Codes(a *judge.Assessment) []Line {
	say := words.English{}
	lines := []Line{{Result, string(a.Result()), ""}}
	for _, f := range a.Findings() {
		lines = append(lines, listed(Found, f))
	}
	for _, f := range a.Limitations() {
		lines = append(lines, listed(Limited, f))
	}
	for _, c := range a.Computed() {
		row := say.Computed(c)
		ruling := string(c.Ruling)
		switch {
		case len(c.Missing) > 0:
			ruling = "missing"
		case ruling == "":
			ruling = "none"
		}
		lines = append(lines, Line{ComputedAs, c.Row.Code(),
			strings.Join([]string{ruling, row.About, row.Result, row.Missing}, " ")})
	}
	for _, l := range a.Readings() {
		if l.Reading != nil {
			lines = append(lines, Line{ReadAs, l.Outcome.Step().ID, fmt.Sprintf("%.2f", l.Reading.Value)})
		}
	}
	return lines
}
