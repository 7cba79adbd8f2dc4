package main

import (
	"fmt"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// english is the language of the commands.
var english = words.English{}

// showDesign prints what can be computed before the visit, and what to change.
func showDesign(s streams, st *site.Site) error {
	failed := false
	s.say("")
	rows := [][]string{{"Computed", "Result", "Limit", "Verdict"}}
	var notes []string
	for _, c := range judge.Design(st) {
		row := english.Computed(c)
		if row.Missing != "" {
			rows = append(rows, []string{row.About, "–", "–", "–"})
			notes = append(notes, row.About+": "+row.Missing)
			continue
		}
		rows = append(rows, []string{row.About, row.Result, row.Limit, string(c.Ruling)})
		notes = append(notes, fmt.Sprintf("%s: %s; %s", row.About, row.Inputs, row.Formula))
		switch {
		case c.Ruling == checks.Fail:
			failed = true
			notes = append(notes, "   CHANGE "+row.Change)
		case c.Ruling == checks.Undecided && row.Change != "":
			notes = append(notes, "   UNDECIDED: "+row.Change)
		}
	}
	if err := s.wideTable(rows, 40); err != nil {
		return err
	}
	s.say("")
	for _, n := range notes {
		s.wrapped(n)
	}
	if err := showLoops(s, st); err != nil {
		return err
	}
	if failed {
		return told{errUnsatisfactory}
	}
	return nil
}

// showLoops prints what an ohmmeter should read at each zone's terminals.
func showLoops(s streams, st *site.Site) error {
	s.say("\nReadings at the terminals, with cable and tolerance as the site file gives them, else without, and 5 %%:")
	rows := [][]string{{"Zone", "Normal", "One active", "Shorted", "Cut", "Not told apart"}}
	change := false
	for i := range st.Zones {
		z := &st.Zones[i]
		loop, err := judge.ExpectedLoop(st, z)
		if err != nil && z.Wiring == site.WiringUnknown {
			rows = append(rows, []string{fmt.Sprintf("%d %s", z.Number, z.Name), "–", "–", "–", "–", string(z.Wiring)})
			continue
		}
		if err != nil {
			return err
		}
		change = change || len(loop.Alike) > 0
		rows = append(rows, append([]string{fmt.Sprintf("%d %s", z.Number, z.Name)}, words.LoopCells(english, loop)...))
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if change {
		s.say("")
		s.wrapped("CHANGE where states are not told apart: a resistor at the end of the line and one at each contact would " +
			"tell all four states apart, if the controller can read them")
	}
	return nil
}
