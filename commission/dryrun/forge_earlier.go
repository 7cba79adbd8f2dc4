package dryrun

import (
	"slices"
	"strings"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// earlierForgeries are wrong about what a visit takes in of earlier ones.
var earlierForgeries = []Forgery{
	{"a hand-over that takes in an earlier visit", record.LawEarlier, func(f *Forged) {
		Edit(f, 0, func(o *record.Opened) { o.Earlier = []record.Earlier{before(f, 1)} })
	}},
	{"earlier visits in another order", record.LawEarlier, maintained(func(f *Forged, o *record.Opened) {
		o.Earlier = []record.Earlier{before(f, 1), before(f, 2)}
	})},
	{"a sealed file of nobody", record.LawEarlier, maintained(func(f *Forged, o *record.Opened) {
		o.Earlier = []record.Earlier{before(f, 1)}
		o.Earlier[0].Certificate = strings.Repeat("3", 64)
	})},
	{"a finding of before that nobody is asked for", record.LawProgramme, maintained(func(f *Forged, o *record.Opened) {
		o.Earlier = []record.Earlier{before(f, 1)}
	})},
	{"something outstanding that no earlier visit found", record.LawProgramme,
		maintained(func(_ *Forged, o *record.Opened) {
			o.Programme = programme.WithOutstanding(o.Programme, []programme.Step{{ID: "outstanding/1/F1",
				Stage: programme.StageInspection, Kind: programme.StepOutstanding, Said: "{}"}})
		})},
	{"a sample without detectors that nobody ever proved", record.LawProgramme,
		maintained(func(_ *Forged, o *record.Opened) {
			o.Sampling = &record.Sampling{Share: 0.01, Reason: "agreed", Points: []site.Point{}}
			o.Programme = programme.Sampled(o.Programme, nil)
		})},
	{"a sample for no reason", record.LawEarlier, maintained(func(_ *Forged, o *record.Opened) {
		o.Sampling = &record.Sampling{Share: 1}
	})},
}

// maintained makes the visit a maintenance visit, and changes its first entry.
func maintained(change func(*Forged, *record.Opened)) func(*Forged) {
	return func(f *Forged) {
		Edit(f, 0, func(o *record.Opened) {
			o.Visit = programme.Maintenance
			o.Programme = slices.Clone(o.Programme)
			change(f, o)
		})
	}
}

// before is a visit so many years before that left something.
func before(f *Forged, years int) record.Earlier {
	at := f.Entries[0].At.AddDate(-years, 0, 0).UTC()
	return record.Earlier{Visit: programme.Handover, Number: "B-1/1", Journal: strings.Repeat("1", 64),
		Company: "Bellbird",
		Begun:   at, Ended: at.Add(time.Hour), Result: "unsatisfactory", Rules: 1,
		Outstanding: []record.Outstanding{{ID: "F1", Severity: "fault", Step: "inspection/gone",
			Steps: []string{"inspection/gone"}, Said: []byte(`{"code":"not-measured"}`)}}}
}
