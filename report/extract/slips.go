package extract

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Discarded tells that a visit was set aside.
type Discarded struct {
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"`
	At     string `json:"at" jsonschema:"format=date-time"`
}

// SiteChange is a change of the site file during the visit.
type SiteChange struct {
	At      string   `json:"at" jsonschema:"format=date-time"`
	Again   []string `json:"again" jsonschema:"description=steps taken before under the earlier file and opened again"`
	Removed []string `json:"removed" jsonschema:"description=steps that left the visit\\, with what had come of them"`
}

// Correction is a text that was typed and corrected later.
type Correction struct {
	Entry     int    `json:"entry" jsonschema:"description=of the record\\, that the earlier text stands in"`
	Field     string `json:"field"`
	Step      string `json:"step,omitempty"`
	Text      string `json:"text"`
	Earlier   string `json:"earlier"`
	Reason    string `json:"reason"`
	By        string `json:"by"`
	At        string `json:"at" jsonschema:"format=date-time"`
	AfterSign bool   `json:"after_signing" jsonschema:"description=whoever had signed has not seen it"`
}

// TakenBack is a photograph that was taken out of the visit.
type TakenBack struct {
	Name   string `json:"name"`
	Entry  int    `json:"entry" jsonschema:"description=of the record\\, that had added it"`
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"`
	At     string `json:"at" jsonschema:"format=date-time"`
}

// Undertaking is what is to be done about a finding or limitation.
type Undertaking struct {
	ID     string `json:"id" jsonschema:"description=of the finding or limitation"`
	Action string `json:"action,omitempty" jsonschema:"description=in words"`
	By     string `json:"by,omitempty" jsonschema:"format=date"`
	Who    string `json:"who,omitempty"`
}

func discardedOf(r *record.Record) *Discarded {
	d := r.Discarded()
	if d == nil {
		return nil
	}
	return &Discarded{d.Reason, d.By, stamp(d.At)}
}

func siteChangesOf(r *record.Record) []SiteChange {
	out := []SiteChange{}
	for _, c := range r.SiteChanges() {
		out = append(out, SiteChange{stamp(c.At), stepNames(c.Earlier, c.Again), stepNames(c.Earlier, c.Removed)})
	}
	return out
}

func stepNames(s *site.Site, all []*record.Outcome) []string {
	names := []string{}
	for _, o := range all {
		names = append(names, english.Say(programme.NameOf(s, o.Step())))
	}
	return names
}

func correctionsOf(r *record.Record) []Correction {
	out := []Correction{}
	for _, c := range r.Corrections() {
		out = append(out, Correction{c.Entry, string(c.Field), c.Step, c.Text, c.Earlier, c.Reason, c.By,
			stamp(c.At), c.After})
	}
	return out
}

func takenBackOf(r *record.Record) []TakenBack {
	out := []TakenBack{}
	for _, w := range r.Withdrawals() {
		out = append(out, TakenBack{w.Name, w.Entry, w.Reason, w.By, stamp(w.At)})
	}
	return out
}

func undertakingsOf(a *judge.Assessment) []Undertaking {
	out := []Undertaking{}
	for _, f := range append(a.Findings(), a.Limitations()...) {
		if u := a.Undertaken(f); u != nil {
			action := ""
			if u.Action != "" {
				action = english.Say(u.Action)
			}
			out = append(out, Undertaking{f.ID, action, u.By, u.Who})
		}
	}
	return out
}
