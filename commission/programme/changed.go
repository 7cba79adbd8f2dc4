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
	case StepCheck:
		return s.Look() && deviceDiffers(before, after, s.Point)
	case StepDetector:
		return zoneDiffers(before, after, s.Zone) || detectorDiffers(before, after, s.Point) ||
			s.Stage == StageSupply && supplyDiffers(before, after)
	case StepReading:
		return supplyDiffers(before, after) || s.Load && loadDiffers(before, after) ||
			deviceDiffers(before, after, s.Point) || limitsDiffer(before, after, voltages)
	case StepAct, StepCharged:
		return supplyDiffers(before, after)
	case StepFault:
		return supplyDiffers(before, after) || limitsDiffer(before, after, faultOf(s))
	case StepRestart:
		return supplyDiffers(before, after) || limitsDiffer(before, after, restarts)
	case StepOutput:
		return outputDiffers(before.Output(s.Output), after.Output(s.Output)) ||
			isSounder(before, s.Output) && limitsDiffer(before, after, margins)
	case StepCable:
		return zoneDiffers(before, after, s.Zone) || limitsDiffer(before, after, insulations)
	case StepChime:
		return outputDiffers(before.Output(s.Output), after.Output(s.Output)) ||
			zoneDiffers(before, after, s.Zone) || detectorDiffers(before, after, s.Point)
	case StepSetting, StepEntry, StepIntrusion:
		return before.Setting != after.Setting || s.Kind == StepIntrusion && loadDiffers(before, after)
	case StepReceipt:
		return !slices.Equal(before.Monitoring.SignalledBy(), after.Monitoring.SignalledBy())
	}
	return false
}

func isSounder(s *site.Site, name string) bool {
	o := s.Output(name)
	return o != nil && o.Kind == site.Sounder
}

func zoneDiffers(before, after *site.Site, number int) bool {
	circuit := func(s *site.Site) *site.Zone {
		z := s.Zone(number)
		if z == nil {
			return nil
		}
		c := *z
		c.Area, c.Detectors = "", nil
		if c.Cable != nil { // where it comes from, and its name, change no signal
			cable := *c.Cable
			cable.Reused, cable.Type = site.Unsaid, ""
			c.Cable = &cable
			if cable == (site.Cable{}) {
				c.Cable = nil
			}
		}
		return &c
	}
	return !reflect.DeepEqual(circuit(before), circuit(after))
}

// detectorDiffers compares detectors, and what the answer of their kind is held against.
func detectorDiffers(before, after *site.Site, p site.Point) bool {
	d := device(before, p)
	return deviceDiffers(before, after, p) || d != nil && limitsDiffer(before, after, times(d.Kind))
}

// deviceDiffers compares detectors. One of another name is another device: what was
// operated was told by its name.
func deviceDiffers(before, after *site.Site, p site.Point) bool {
	return !reflect.DeepEqual(device(before, p), device(after, p))
}

// device is a detector without its place, nil if the site has none there.
func device(s *site.Site, p site.Point) *site.Detector {
	_, d, err := s.Find(p)
	if err != nil {
		return nil
	}
	c := *d
	c.Location = ""
	return &c
}

func supplyDiffers(before, after *site.Site) bool {
	placeless := func(s site.Supply) site.Supply {
		s.Adapter.Location, s.Battery.Location = "", ""
		return s
	}
	return !reflect.DeepEqual(placeless(before.Supply), placeless(after.Supply))
}

// loadDiffers compares what an alarm energises.
func loadDiffers(before, after *site.Site) bool {
	return !slices.EqualFunc(before.AlarmOutputs(), after.AlarmOutputs(),
		func(a, b *site.Output) bool { return !outputDiffers(a, b) })
}

func outputDiffers(a, b *site.Output) bool {
	placeless := func(o *site.Output) *site.Output {
		if o == nil {
			return nil
		}
		c := *o
		c.Location = ""
		return &c
	}
	return !reflect.DeepEqual(placeless(a), placeless(b))
}

// limitsDiffer compares some limits: their values, and whether somebody declared them. Who
// it was is only printed.
func limitsDiffer(before, after *site.Site, of func(site.Limits) []site.Limit) bool {
	return !slices.EqualFunc(of(before.Limits), of(after.Limits),
		func(a, b site.Limit) bool { return a.SI == b.SI && a.Declared() == b.Declared() })
}

func times(kind site.DetectorKind) func(site.Limits) []site.Limit {
	return func(l site.Limits) []site.Limit {
		return []site.Limit{l.Response[kind], l.Restore[kind], l.ListenFor[kind], l.Steady}
	}
}

func voltages(l site.Limits) []site.Limit {
	return []site.Limit{l.MainsLower, l.MainsUpper, l.Standby, l.AlarmLoad}
}

func restarts(l site.Limits) []site.Limit { return []site.Limit{l.ColdRestart} }

func insulations(l site.Limits) []site.Limit { return []site.Limit{l.Insulation} }

func faultOf(s Step) func(site.Limits) []site.Limit {
	return func(l site.Limits) []site.Limit { return []site.Limit{l.OfFault(s.ID == IDBatteryFault)} }
}

func margins(l site.Limits) []site.Limit { return []site.Limit{l.Margin} }

// Revised is the programme of a visit after the site file was changed: the steps of the
// whole new programme, and all lines of the checklists that it had. What was looked at of a
// detector that is gone, or is of another kind now, goes with it.
func Revised(before, after *site.Site, had, whole []Step) []Step {
	earlier, here := map[string]Step{}, map[string]bool{}
	for _, st := range had {
		earlier[st.ID] = st
	}
	for _, st := range whole {
		here[st.ID] = true
	}
	var steps []Step
	for _, st := range had {
		if st.Kind == StepCheck && st.Stage != StageCables && !here[st.ID] && !Outdated(before, after, st) {
			steps = append(steps, st)
		}
	}
	for _, st := range whole {
		if as, was := earlier[st.ID]; was && st.Kind == StepCheck && !Outdated(before, after, st) {
			st = as // in the words in which it was asked
		}
		steps = append(steps, st)
	}
	return inStages(steps)
}
