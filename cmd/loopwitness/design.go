package main

import (
	"fmt"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

// showDesign prints what can be computed before the visit, and what to change.
func showDesign(s streams, st *site.Site) error {
	failed := false
	s.say("")
	rows := [][]string{{"Computed", "Result", "Limit", "Verdict"}}
	var notes []string
	for _, c := range judge.Design(st) {
		if c.Missing != "" {
			rows = append(rows, []string{c.About, "–", "–", "–"})
			notes = append(notes, c.About+": "+c.Missing)
			continue
		}
		rows = append(rows, []string{c.About, c.Result, c.Limit, string(c.Verdict)})
		notes = append(notes, fmt.Sprintf("%s: %s; %s", c.About, c.Inputs, c.Formula))
		if c.Verdict == checks.Fail {
			failed = true
			notes = append(notes, "   CHANGE "+c.Change)
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
	s.say("\nReadings at the terminals, cable left out, resistors within 5 %%:")
	rows := [][]string{{"Zone", "Normal", "One active", "Shorted", "Cut", "Not told apart"}}
	change := ""
	for i := range st.Zones {
		z := &st.Zones[i]
		loop, err := judge.ExpectedLoop(z)
		if err != nil {
			return err
		}
		if loop.Change != "" {
			change = loop.Change
		}
		rows = append(rows, []string{fmt.Sprintf("%d %s", z.Number, z.Name), loop.Normal, loop.Active, loop.Shorted, loop.Cut, loop.Overlaps})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if change != "" {
		s.say("")
		s.wrapped("CHANGE where states are not told apart: " + change)
	}
	return nil
}
