package main

import (
	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// slips tells what was mended in a visit: that it was set aside, its changed site file, and
// corrections.
func (s streams) slips(r *record.Record) {
	if d := r.Discarded(); d != nil {
		s.wrapped(fmt.Sprintf("SET ASIDE on %s%s: %s", r.Local(d.At).Format("2006-01-02 15:04"), byWhom(d.By),
			english.Say(words.Remarked(d.Reason))))
	}
	for _, c := range r.SiteChanges() {
		s.wrapped(siteChangeLine(r, c))
	}
	for _, c := range r.Corrections() {
		s.wrapped(correctionLine(r, c))
	}
	for _, w := range r.Withdrawals() {
		s.wrapped(takenBackLine(r, w))
	}
}

func byWhom(name string) string {
	if name == "" {
		return ""
	}
	return " by " + name
}

func siteChangeLine(r *record.Record, c record.SiteChange) string {
	text := fmt.Sprintf("The site file was changed on %s during the visit", r.Local(c.At).Format("2006-01-02 15:04"))
	names := func(all []*record.Outcome) (names []string) {
		for _, o := range all {
			names = append(names, nameOfStep(c.Earlier, o.Step()))
		}
		return names
	}
	if len(c.Again) > 0 {
		text += fmt.Sprintf("; taken under the earlier file and opened again (%d): %s", len(c.Again), several(names(c.Again)))
	}
	if len(c.Removed) > 0 {
		text += fmt.Sprintf("; taken and no part of it any more (%d): %s", len(c.Removed), several(names(c.Removed)))
	}
	return text + "."
}

func correctionLine(r *record.Record, c record.Correction) string {
	of := ""
	if o := r.Find(c.Step); o != nil {
		of = " (" + nameOfStep(r.Site(), o.Step()) + ")"
	}
	after := ""
	if c.After {
		after = ", after signing"
	}
	return fmt.Sprintf("Corrected, %s of entry %d%s: %q, before %q: %q (%q, %s%s)", english.Say(c.Field), c.Entry, of,
		c.Text, c.Earlier, c.Reason, c.By, r.Local(c.At).Format("2006-01-02 15:04"), after)
}

// todo says what was undertaken about a finding, "" for nothing.
func todo(a *judge.Assessment, f judge.Finding) string {
	u := a.Undertaken(f)
	if u == nil {
		return ""
	}
	return "   " + english.Say(ask.UndertakenSo{ID: f.ID, Undertaken: u.Undertaken})
}
