package judge

import (
	"slices"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// Remembered is what a later visit takes in of this one. journal is the hash of the
// journal that the record was folded from. Readings that show nothing, being taken at the
// wrong time, are left out.
func (a *Assessment) Remembered(journal string) record.Earlier {
	r := a.record
	opened := r.Opened()
	then := record.Earlier{Visit: opened.Visit, Number: opened.Number, Journal: journal, Company: r.Site().Installer.Company,
		Begun: r.Begun().UTC(), Ended: r.Attended().UTC(), Result: string(a.result), Rules: Rules, Simulated: r.Simulated(),
		Site: string(r.Site().Raw)}
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
	for _, d := range a.detectors {
		then.Detectors = append(then.Detectors, detectorThen(d))
	}
	for _, o := range r.Outcomes() {
		then.Readings = append(then.Readings, a.readingsThen(o)...)
	}
	return then
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
	return then
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
