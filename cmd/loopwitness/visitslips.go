package main

import (
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// slips tells what was mended in a visit: that it was set aside, its changed site file, and
// corrections.
func (s streams) slips(r *record.Record) {
	if d := r.Discarded(); d != nil {
		s.wrapped(s.around(words.SetAsideOn, r.Local(d.At).Format("2006-01-02 15:04"), s.byWhom(d.By),
			words.Remarked(d.Reason)))
	}
	for _, c := range r.SiteChanges() {
		s.wrapped(s.siteChangeLine(r, c))
	}
	for _, c := range r.Corrections() {
		s.wrapped(s.correctionLine(r, c))
	}
	for _, w := range r.Withdrawals() {
		s.wrapped(s.language().Say(words.PhotographTakenBack{Withdrawal: w, At: r.Local(w.At)}))
	}
}

func (s streams) byWhom(name string) string {
	if name == "" {
		return ""
	}
	return s.around(words.ByWhom, name)
}

func (s streams) siteChangeLine(r *record.Record, c record.SiteChange) string {
	text := s.around(words.SiteChangedOn, r.Local(c.At).Format("2006-01-02 15:04"))
	names := func(all []*record.Outcome) (names []string) {
		for _, o := range all {
			names = append(names, s.nameOfStep(c.Earlier, o.Step()))
		}
		return names
	}
	if len(c.Again) > 0 {
		text += s.around(words.OpenedAgain, len(c.Again), s.several(names(c.Again)))
	}
	if len(c.Removed) > 0 {
		text += s.around(words.TakenNoMore, len(c.Removed), s.several(names(c.Removed)))
	}
	return text + "."
}

func (s streams) correctionLine(r *record.Record, c record.Correction) string {
	of := ""
	if o := r.Find(c.Step); o != nil {
		of = " (" + s.nameOfStep(r.Site(), o.Step()) + ")"
	}
	after := ""
	if c.After {
		after = s.around(words.AfterSigning)
	}
	return s.around(words.CorrectedSo, c.Field, c.Entry, of, words.Remarked(c.Text), words.Remarked(c.Earlier),
		words.Remarked(c.Reason), words.Remarked(c.By), r.Local(c.At).Format("2006-01-02 15:04"), after)
}

// todo says what was undertaken about a finding, "" for nothing.
func (s streams) todo(a *judge.Assessment, f judge.Finding) string {
	u := a.Undertaken(f)
	if u == nil {
		return ""
	}
	return "   " + s.language().Say(ask.UndertakenSo{ID: f.ID, Undertaken: u.Undertaken})
}
