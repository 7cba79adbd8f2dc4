package judge

import (
	"slices"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// Remembered is what a later visit takes in of this one. journal is the hash of the
// journal that the record was folded from. Readings that show nothing, being taken at the
// wrong time, are left out.
func (a *Assessment) Remembered(journal string) record.Earlier {
	then := a.measuredThen()
	then.Journal, then.Result, then.Site = journal, string(a.result), string(a.record.Site().Raw)
	if then.Ended.Before(then.Begun) { // the clock was set back meanwhile
		then.Ended = then.Begun
	}
	for _, f := range slices.Concat(a.findings, a.limitations) {
		if a.neverReached(f) {
			continue
		}
		then.Outstanding = append(then.Outstanding, record.Outstanding{ID: f.ID, Severity: string(f.Severity()), Step: f.Step,
			Steps: a.RestsOn(f), Said: f.Said()})
	}
	return then
}

// measuredThen is what it measured, and how.
func (a *Assessment) measuredThen() record.Earlier {
	r := a.record
	opened := r.Opened()
	then := record.Earlier{Visit: opened.Visit, Number: opened.Number, Company: r.Site().Installer.Company,
		Begun: r.Begun().UTC(), Ended: r.Attended().UTC(), Rules: Rules, Simulated: r.Simulated(), TimedBy: timedBy(r),
		Technician: technicianOf(r), Battery: r.Site().Supply.Battery.Fitted}
	for _, d := range a.detectors {
		then.Detectors = append(then.Detectors, detectorThen(d))
	}
	for _, o := range r.Outcomes() {
		then.Readings = append(then.Readings, a.readingsThen(o)...)
	}
	for _, c := range a.computed {
		if row, is := c.Row.(InternalRow); is && row.Ohm > 0 && row.Uncertainty > 0 {
			then.Readings = append(then.Readings, record.ReadingThen{Step: c.Step, Quantity: record.InternalThen, Value: row.Ohm,
				Unit: "ohm", Uncertainty: row.Uncertainty, Instrument: instrumentOf(then.Readings, c.Step)})
		}
	}
	return then
}

// timedBy is what took the times of a visit, "" for more than one thing.
func timedBy(r *record.Record) signal.Timing {
	sources := r.Sources()
	for _, l := range sources {
		if l.TimedBy != sources[0].TimedBy {
			return ""
		}
	}
	if len(sources) == 0 {
		return ""
	}
	return sources[0].TimedBy
}

// technicianOf is who signed as technician, "" while nobody has.
func technicianOf(r *record.Record) string {
	for _, o := range r.Outcomes() {
		if s := o.Signed(); s != nil && s.Role == programme.Technician {
			return s.Name
		}
	}
	return ""
}

// neverReached tells whether a visit that was not finished did not come to what a finding
// rests on: it found nothing there, and left nothing that was not outstanding before.
func (a *Assessment) neverReached(f Finding) bool {
	switch f.What.(type) {
	case StillSo, StillUnknown:
		return false
	}
	steps := a.RestsOn(f)
	if a.open == 0 || len(steps) == 0 {
		return false
	}
	return !slices.ContainsFunc(steps, func(id string) bool {
		o := a.record.Find(id)
		return o != nil && o.Taken()
	})
}

func detectorThen(d DetectorLine) record.DetectorThen {
	then := record.DetectorThen{Point: d.Name.Point, Name: d.Name.Name, Kind: d.Detector.Kind, Verdict: d.Verdict,
		Trials: d.Trials}
	if d.Operated.Timed() {
		then.Response, then.Uncertainty = d.Operated.Response, d.Operated.Uncertainty
	}
	if d.Restored.Timed() {
		then.Restored, then.RestoredUncertainty = d.Restored.Response, d.Restored.Uncertainty
	}
	if last := d.Outcome.Last(); last != nil {
		then.Cue = cueOf(last.Operate)
		if last.Restore != nil {
			then.RestoredCue = cueOf(last.Restore)
		}
	}
	return then
}

// instrumentOf is what a voltage was read with.
func instrumentOf(all []record.ReadingThen, step string) string {
	for _, r := range all {
		if r.Step == step && r.Quantity == record.VoltageReading {
			return r.Instrument
		}
	}
	return ""
}

// cueOf is what a trial was timed from, "" for what the program told.
func cueOf(t *record.Trial) record.TapBy {
	if tap := t.Tap(); tap != nil {
		return tap.By
	}
	return ""
}

// readingsThen are the last readings of each quantity of a step.
func (a *Assessment) readingsThen(o *record.Outcome) (all []record.ReadingThen) {
	for _, quantity := range []record.Quantity{record.VoltageReading, record.CurrentReading, record.LevelReading,
		record.CutOffReading, record.LoopReading} {
		taken := o.Reading(quantity)
		if taken == nil || taken.Open || taken.Exceeded ||
			quantity == record.VoltageReading && o.Step().Kind == programme.StepReading && misplaced(o.Step(), taken) != "" {
			continue
		}
		then := record.ReadingThen{Step: o.Step().ID, Quantity: quantity, Value: taken.Value, Unit: taken.Unit,
			Uncertainty: taken.Uncertainty, Instrument: taken.Instrument, AfterSeconds: taken.SinceOff.Seconds()}
		if quantity == record.VoltageReading {
			then.Uncertainty = combined(taken)
		}
		all = append(all, then)
	}
	return all
}
