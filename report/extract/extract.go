// Package extract gives a visit out as data for other systems: what its record gives, and
// beside it what came of checking the file that it was taken from, if it was one.
//
// Its types are the schema: Schema prints them as JSON Schema. Schema 1 may gain
// fields; a field never changes its meaning or unit, else it is schema 2.
package extract

import (
	"maps"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// english says what codes mean, beside the codes.
var english = words.English{}

func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}

// From is what a record gives, of a visit that may be unfinished. journal is the SHA-256
// of the journal, in hexadecimal; tool the name and version that judged it.
func From(a *judge.Assessment, journal, tool string) Data {
	out := Data{Schema: Version, JudgedWith: tool, RecordSHA256: journal, Visit: visitOf(a), Site: siteOf(a),
		Detectors: detectorsOf(a.Record().Site(), a.Detectors()),
		OnStandby: detectorsOf(a.Record().Site(), a.OnStandby()),
		Readings:  []Reading{}, Faults: faultsOf(a), Outputs: []Output{}, Alarm: alarmOf(a), Checklist: []CheckItem{},
		Cables: cablesOf(a), Computed: []Computation{},
		Findings: findingsOf(a.Findings()), Limitations: findingsOf(a.Limitations()),
		Notes: findingsOf(a.Notes()), Names: namesOf(a.Record()), Photographs: []Photograph{}, Judged: a.Judged(),
		SiteChanges: siteChangesOf(a.Record()), Corrections: correctionsOf(a.Record()), Undertakings: undertakingsOf(a),
		TakenBack: takenBackOf(a.Record()), EarlierVisits: earlierOf(a), Outstanding: outstandingOf(a),
		Since: sinceThenOf(a), Sampling: samplingOf(a)}
	if l := a.Restart(); l != nil {
		out.Restart = &Restart{Verdict: string(l.Verdict), LimitSecond: l.Limit.SI}
		if l.Took > 0 {
			out.Restart.TookSecond = seconds(l.Took)
		}
	}
	for _, l := range a.Readings() {
		out.Readings = append(out.Readings, readingOf(a.Record().Site(), l))
	}
	for _, o := range a.Outputs() {
		out.Outputs = append(out.Outputs, outputOf(o))
	}
	for _, s := range slices.Concat(a.Checklist(), a.Looks()) {
		result := string(s.Result())
		if result == "" {
			result = "open"
		}
		out.Checklist = append(
			out.Checklist,
			CheckItem{string(s.Step().Stage), english.Say(programme.NameOf(a.Record().Site(), s.Step())), result, s.Remark(),
				string(s.Step().Point), s.Value(), s.BySignal()},
		)
	}
	for _, c := range a.Computed() {
		row := english.Computed(c)
		out.Computed = append(
			out.Computed,
			Computation{c.Row.Code(), row.About, row.Inputs, row.Formula, row.Result, row.Limit, string(c.Ruling), row.Missing,
				c.Danger, c.Assumed},
		)
	}
	lost := map[string]bool{}
	for _, p := range a.Lost() {
		lost[p.Name] = true
	}
	for _, p := range a.Record().Photographs() {
		out.Photographs = append(out.Photographs, Photograph{p.Name, string(p.About), p.Caption, p.Taken, p.Learnt,
			p.SHA256, lost[p.Name]})
	}
	return out
}

func visitOf(a *judge.Assessment) Visit {
	r := a.Record()
	_, open := r.Count("")
	v := Visit{
		Document:      r.Opened().Number,
		Kind:          string(r.Opened().Visit),
		Language:      r.Language(),
		Begun:         stamp(r.Begun()),
		LastEntry:     stamp(r.Latest()),
		OpenSteps:     open,
		Follows:       r.Opened().Follows,
		Discarded:     discardedOf(r),
		Simulated:     r.Simulated(),
		TimeSimulated: r.TimeSimulated(),
		Ways:          waysOf(r),
		Result:        string(a.Result()),
		Timing:        Timing{N: a.Summary().N},
		Cues:          cuesOf(a.Cues()),
		Devices:       append([]string{}, r.Devices()...),
		Operations:    operationsOf(a.Operations()),
		Proof:         proofOf(a.Proofs()),
		LimitSecond:   a.Summary().Limit,
	}
	next := a.Next()
	if v.Interval = next.Interval.Text; next.None {
		v.Interval = site.None
	}
	if !next.Due.IsZero() {
		v.NextDue = next.Due.Format(time.DateOnly)
	}
	if s := a.Summary(); s.N > 0 {
		v.Timing.MedianSecond, v.Timing.MaxSecond = &s.P50, &s.Max
		if s.Percentiles() {
			v.Timing.P95Second = &s.P95
		}
	}
	return v
}

func cuesOf(c judge.Cues) Cues {
	out := Cues{Told: c.Told, Touched: c.Touched, Counted: c.Counted, NotTimed: c.NotTimed, SameClock: c.OwnClock}
	if c.ByPhone() {
		out.WidestSecond, out.TypicalSecond = seconds(c.Widest), seconds(c.Typical)
	}
	return out
}

// tapOf is what a trial was timed from, nil for the program's own cue.
func tapOf(t *record.Trial) *Tap {
	tap := t.Tap()
	if tap == nil {
		return nil
	}
	return &Tap{By: string(tap.By), At: stamp(t.At()), Device: float64(tap.DeviceNS) / 1e9,
		OffsetLeast: float64(tap.EarliestNS) / 1e9, OffsetMost: float64(tap.LatestNS) / 1e9}
}

func operationsOf(o judge.Operations) Operations {
	return Operations{o.Operated, o.Reported, o.Repeated, o.Mended, o.Struck}
}

func proofOf(all []judge.Proof) []Proof {
	out := []Proof{}
	for _, p := range all {
		out = append(out, Proof{string(p.Detector.Point), p.Operations, p.Reported, p.LowerBound, p.Confidence})
	}
	return out
}

func siteOf(a *judge.Assessment) Site {
	s := a.Record().Site()
	return Site{Reference: s.Reference, Premises: s.Premises.Name, Address: s.Premises.Address,
		Installer: s.Installer.Company, Insurer: s.Insurer, Declared: s.Declared.Standard,
		Grade: s.Declared.Grade, Zones: len(s.Zones), Detectors: s.Detectors()}
}

func seconds(d time.Duration) *float64 {
	s := d.Seconds()
	return &s
}

func detectorsOf(s *site.Site, lines []judge.DetectorLine) []Detector {
	out := []Detector{}
	for _, l := range lines {
		d := Detector{Point: string(l.Name.Point), Name: l.Detector.Name, Location: l.Detector.Location,
			Zone: l.Zone.Number, ZoneName: l.Zone.Name, Area: l.Zone.Area, Kind: string(l.Detector.Kind),
			Verdict:     string(l.Verdict),
			LimitSecond: s.Limits.Response[l.Detector.Kind].SI, Trials: l.Trials, Remarks: l.Remarks}
		struck := l.Outcome.Struck()
		for _, n := range slices.Sorted(maps.Keys(struck)) {
			d.Struck = append(d.Struck, Struck{n, string(struck[n].AsTaken().Verdict()), struck[n].Struck()})
		}
		if l.Operated.Answered() {
			d.NotTimed = string(l.Operated.NotTimed)
		}
		if l.Restored.Answered() {
			d.RestoredNotTimed = string(l.Restored.NotTimed)
		}
		if last := l.Outcome.Last(); last != nil {
			d.Tap, d.OwnOrder = tapOf(last.Operate), last.Operate.Own()
		}
		if l.Operated.Timed() {
			d.ResponseSecond, d.UncertaintySecond = seconds(l.Operated.Response), seconds(l.Operated.Uncertainty)
		}
		if l.Restored.Timed() {
			d.RestoredSecond = seconds(l.Restored.Response)
		}
		out = append(out, d)
	}
	return out
}

// decided are the words of a decision.
var decided = map[checks.Ruling]string{checks.Pass: "pass", checks.Undecided: "undecided", checks.Fail: "fail"}

func readingOf(s *site.Site, l judge.ReadingLine) Reading {
	out := Reading{Text: english.Say(programme.NameOf(s, l.Outcome.Step())), LowerVolt: l.Limit.Lower.SI,
		Verdict: "not tested"}
	if l.Void != "" {
		out.Remark = english.Say(l.Void)
	}
	if l.Limit.Upper != nil {
		out.UpperVolt = &l.Limit.Upper.SI
	}
	if l.Reading != nil {
		out.ValueVolt, out.At = &l.Reading.Value, stamp(l.Outcome.At())
	}
	if l.Taken && l.Void == "" {
		out.Verdict = decided[l.Decision.Ruling]
		if l.Limit.Open() {
			out.Verdict = "none"
		}
		if l.Uncertainty > 0 {
			out.Uncertainty = &l.Uncertainty
		}
	}
	if out.Remark == "" {
		out.Remark = l.Outcome.Remark()
	}
	return out
}

func outputOf(o judge.OutputLine) Output {
	out := Output{Name: o.Output.Name, Kind: string(o.Output.Kind), Zone: o.Outcome.Step().Zone,
		Verdict: string(o.Result), Remarks: o.Remarks}
	if o.Heard > 0 {
		out.HeardSecond = seconds(o.Heard)
	}
	return out
}

func findingsOf(all []judge.Finding) []Finding {
	out := []Finding{}
	for _, f := range all {
		out = append(out, Finding{ID: f.ID, Code: f.Code(), Severity: string(f.Severity()), About: english.Say(f.Subject),
			Text: english.Say(words.Matter{Of: f}), Remedy: english.Say(words.ToDo{Of: f})})
	}
	return out
}

func namesOf(r *record.Record) []Name {
	out := []Name{}
	for _, s := range r.Outcomes() {
		if s.Step().Kind != programme.StepSign || s.Signed() == nil {
			continue
		}
		n := s.Signed()
		accepted := []string{}
		for _, a := range n.Accepted {
			accepted = append(accepted, a.Shown)
		}
		name := Name{Role: string(n.Role), Name: n.Name, Position: n.Position, Licence: n.Licence, At: stamp(s.At()),
			Refused: n.Refused, Called: n.Called, Accepted: accepted, Strokes: n.Strokes}
		switch {
		case n.Strokes != nil:
			name.Drawn, name.DrawnAs = true, "strokes"
		case n.Drawing != nil:
			name.Drawn, name.DrawnAs = true, "picture"
		}
		out = append(out, name)
	}
	return out
}
