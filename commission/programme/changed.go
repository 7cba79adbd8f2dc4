package programme

import (
	"reflect"
	"slices"

	"loopwitness/commission/site"
)

// Affected tells whether a step that was taken at a site as one file describes it has to
// be taken again at the site as another describes it: whether anything differs that
// operating or judging it uses. Both have the step. Where something is, and what else is
// only printed, affects none.
func Affected(before, after *site.Site, s Step) bool {
	switch s.Kind {
	case StepDetector:
		return zoneDiffers(before, after, s) || detectorDiffers(before, after, s.Point) ||
			s.Stage == StageSupply && supplyDiffers(before, after)
	case StepReading:
		return supplyDiffers(before, after) || outputDiffers(before, after, s.Output) ||
			!reflect.DeepEqual(voltages(before.Limits), voltages(after.Limits))
	case StepAct:
		return supplyDiffers(before, after)
	case StepRestart:
		return supplyDiffers(before, after) || before.Limits.ColdRestart != after.Limits.ColdRestart
	case StepOutput:
		return outputDiffers(before, after, s.Output)
	case StepChime:
		return outputDiffers(before, after, s.Output) || zoneDiffers(before, after, s) ||
			detectorDiffers(before, after, s.Point)
	}
	return false
}

// zoneDiffers compares zones, and what the answer of their kind is held against.
func zoneDiffers(before, after *site.Site, s Step) bool {
	a, b := before.Zone(s.Zone), after.Zone(s.Zone)
	if a == nil || b == nil {
		return a != b
	}
	circuit := func(z site.Zone) site.Zone {
		z.Area, z.Detectors = "", nil
		return z
	}
	return !reflect.DeepEqual(circuit(*a), circuit(*b)) ||
		!reflect.DeepEqual(times(before.Limits, a.Kind), times(after.Limits, a.Kind))
}

// detectorDiffers compares detectors. One of another name is another device: what was
// operated was told by its name.
func detectorDiffers(before, after *site.Site, p site.Point) bool {
	device := func(s *site.Site) *site.Detector {
		_, d, err := s.Find(p)
		if err != nil {
			return nil
		}
		c := *d
		c.Location = ""
		return &c
	}
	return !reflect.DeepEqual(device(before), device(after))
}

func supplyDiffers(before, after *site.Site) bool {
	placeless := func(s site.Supply) site.Supply {
		s.Adapter.Location, s.Battery.Location = "", ""
		return s
	}
	return !reflect.DeepEqual(placeless(before.Supply), placeless(after.Supply))
}

func outputDiffers(before, after *site.Site, name string) bool {
	placeless := func(o *site.Output) *site.Output {
		if o == nil {
			return nil
		}
		c := *o
		c.Location = ""
		return &c
	}
	return !reflect.DeepEqual(placeless(before.Output(name)), placeless(after.Output(name)))
}

// times are the limits without those of other kinds, of voltages and of the restart.
func times(l site.Limits, kind site.DetectorKind) site.Limits {
	l.MainsLower, l.MainsUpper, l.Standby, l.AlarmLoad, l.ColdRestart =
		site.Limit{}, site.Limit{}, site.Limit{}, site.Limit{}, site.Limit{}
	l.Restore = map[site.DetectorKind]site.Limit{kind: l.Restore[kind]}
	return l
}

// voltages are the limits without those of times.
func voltages(l site.Limits) site.Limits {
	l.Response, l.Restore, l.ListenFor, l.Steady, l.ColdRestart =
		site.Limit{}, nil, site.Limit{}, site.Limit{}, site.Limit{}
	return l
}

// Revised is the programme of a visit after the site file was changed: the steps of the
// whole new programme, and all lines of the checklists that it had.
func Revised(had, whole []Step) []Step {
	var steps []Step
	for _, st := range had {
		if st.Kind == StepCheck && !slices.ContainsFunc(whole, func(w Step) bool { return w.ID == st.ID }) {
			steps = append(steps, st)
		}
	}
	for _, st := range whole {
		if i := slices.IndexFunc(had, func(h Step) bool { return h.ID == st.ID }); i >= 0 && st.Kind == StepCheck {
			st = had[i] // in the words in which it was asked
		}
		steps = append(steps, st)
	}
	return inStages(steps)
}
