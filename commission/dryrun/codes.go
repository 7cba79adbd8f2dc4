package dryrun

import (
	"fmt"
	"slices"
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
	Standing   Class = "note"
)

// Line is one thing that an assessment says: its class, its code, and the rest in words.
type Line struct {
	Class    Class
	Code     string
	Rest     string
	Severity judge.Severity // of a finding, limitation or note
}

func (l Line) String() string {
	return strings.Join(strings.Fields(fmt.Sprintf("%s %s %s %s", l.Class, l.Severity, l.Code, l.Rest)), " ")
}

// Codes are all that an assessment says by codes. The rest of a row begins with its
// ruling, "none" or "missing"; that of a voltage is its number in volts.
func Codes(a *judge.Assessment) []Line {
	say := words.English{}
	lines := []Line{{Class: Result, Code: string(a.Result())}}
	for _, list := range []struct {
		class Class
		of    []judge.Finding
	}{{Found, a.Findings()}, {Limited, a.Limitations()}, {Standing, a.Notes()}} {
		for _, f := range list.of {
			lines = append(lines, Line{list.class, f.Code(), say.Say(f.Subject) + ": " + say.Say(f), f.Severity()})
		}
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
		lines = append(lines, Line{Class: ComputedAs, Code: c.Row.Code(),
			Rest: strings.Join([]string{ruling, row.About, row.Result, row.Missing}, " ")})
	}
	for _, l := range a.Readings() {
		if l.Reading != nil {
			lines = append(lines, Line{Class: ReadAs, Code: l.Outcome.Step().ID, Rest: fmt.Sprintf("%.2f", l.Reading.Value)})
		}
	}
	return lines
}

// Clean tells that nothing was found and that nothing limits the visit but that it is practice.
func Clean(lines []Line) bool {
	return !slices.ContainsFunc(lines, func(l Line) bool {
		return l.Class == Found || l.Class == Limited && l.Code != (judge.Practice{}).Code()
	})
}
