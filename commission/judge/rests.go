package judge

import (
	"bytes"
	"slices"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// RestsOn are the names of the steps that a finding rests on: all that have to be taken
// again before it can be judged anew.
func (a *Assessment) RestsOn(f Finding) []string {
	switch what := f.What.(type) {
	case NotTimed:
		return a.stepsOf(what)
	case StillSo:
		return slices.Clone(what.Then.Steps)
	case StillUnknown:
		return slices.Clone(what.Then.Steps)
	}
	if f.Step == "" {
		return nil
	}
	steps := []string{f.Step}
	if _, is := f.What.(AlarmNotTried); is {
		for _, l := range a.alarm[1:] {
			steps = append(steps, l.Outcome.Step().ID)
		}
	}
	also := func(id string) {
		if !slices.Contains(steps, id) {
			steps = append(steps, id)
		}
	}
	switch f.Subject.Computed.(type) {
	case SagRow:
		for _, l := range a.standbyReadings() {
			also(l.Outcome.Step().ID)
		}
	case InternalRow: // the load after a rest: the first reading without mains will do
		if rest := a.standbyReadings(); len(rest) > 0 {
			also(rest[0].Outcome.Step().ID)
		}
		also(programme.IDAlarmLoad)
	}
	return steps
}

// Undertaken is what was undertaken about a finding, nil for nothing. It stands only as
// long as the finding says the same.
func (a *Assessment) Undertaken(f Finding) *record.Undertaking {
	said := f.Said()
	for _, u := range a.record.Undertakings() {
		if bytes.Equal(u.Said, said) {
			return &u
		}
	}
	return nil
}
