package judge

import (
	"math"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// item is one thing that was measured now, and how.
type item struct {
	of       Measure
	step     string
	detector *programme.DetectorName
	kind     site.DetectorKind
	after    float64 // s without mains
	value    checks.Uncertain
	limit    *site.Limit
	how      how
	why      Incomparable // nothing was measured now
}

// how a value was measured: only what was measured alike is compared.
type how struct {
	cue        record.TapBy
	instrument string
}

// itemsOf is what may be compared of a visit: of its detectors, then of the supply.
func itemsOf(now record.Earlier, s *site.Site) (all []item) {
	loops := map[string]record.ReadingThen{}
	for _, r := range now.Readings {
		if r.Quantity == record.LoopReading {
			loops[r.Step] = r
		}
	}
	for _, d := range now.Detectors {
		name := programme.DetectorName{Point: d.Point, Name: d.Name}
		step := stepOf(d.Point)
		all = append(all, timedItem(item{of: ResponseSince, step: step, detector: &name, kind: d.Kind,
			limit: limitOf(s.Limits.Response, d.Kind), how: how{cue: d.Cue}}, d.Response, d.Uncertainty))
		if d.Restored > 0 {
			all = append(all, timedItem(item{of: RestoredSince, step: step, detector: &name, kind: d.Kind,
				limit: limitOf(s.Limits.Restore, d.Kind), how: how{cue: d.RestoredCue}}, d.Restored, d.RestoredUncertainty))
		}
		if r, read := loops[step]; read {
			i := item{of: LoopSince, step: step, detector: &name, kind: d.Kind, how: how{instrument: r.Instrument}}
			i.value, i.why = uncertain(r)
			all = append(all, i)
		}
	}
	for _, r := range now.Readings {
		of, is := measureOf(r)
		if !is || of == LoopSince {
			continue
		}
		i := item{of: of, step: r.Step, after: r.AfterSeconds, limit: supplyLimit(s, of), how: how{instrument: r.Instrument}}
		i.value, i.why = uncertain(r)
		all = append(all, i)
	}
	return all
}

func stepOf(p site.Point) string { return "walk/" + string(p) }

func limitOf(all map[site.DetectorKind]site.Limit, kind site.DetectorKind) *site.Limit {
	return ifSet(all[kind])
}

func supplyLimit(s *site.Site, of Measure) *site.Limit {
	switch of {
	case StandbySince:
		return ifSet(s.Limits.Standby)
	case LoadedSince:
		return ifSet(s.Limits.AlarmLoad)
	}
	return nil
}

// measureOf is what a reading is compared as; is false for what is not compared.
func measureOf(r record.ReadingThen) (of Measure, is bool) {
	switch {
	case r.Quantity == record.LoopReading:
		return LoopSince, true
	case r.Quantity == record.InternalThen:
		return InternalSince, true
	case r.Quantity != record.VoltageReading:
		return "", false
	case r.Step == programme.IDAlarmLoad:
		return LoadedSince, true
	case r.Step == programme.IDMainsPresent, r.Step == programme.IDMainsBack, r.Step == programme.IDCharging:
		return MainsSince, true
	case programme.IsStandby(r.Step):
		return StandbySince, true
	}
	return "", false
}

// timedItem is one of a time.
func timedItem(i item, took, expanded time.Duration) item {
	if took <= 0 {
		i.why = NotNow
	}
	i.value = i.spread(took, expanded)
	return i
}

// spread is a time with what a person and the detector itself may make of it beside its
// stated uncertainty: a motion detector counts its steps anew each time.
func (i item) spread(took, expanded time.Duration) checks.Uncertain {
	usual := map[Measure]string{ResponseSince: "response/", RestoredSince: "restore/"}[i.of] + string(i.kind)
	own := max(sinceReaction, sinceSpread*checks.Usual(usual))
	return checks.Uncertain{Value: took.Seconds(), Expanded: math.Hypot(expanded.Seconds(), own)}
}

// uncertain is a reading with its uncertainty. An ohmmeter's is taken as usual where nobody
// states it; a voltmeter's never. Of a battery's voltage it allows for its temperature, and how
// far it was charged, too.
func uncertain(r record.ReadingThen) (checks.Uncertain, Incomparable) {
	u := r.Uncertainty
	if r.Quantity == record.LoopReading && u == 0 {
		u = ohmmeterShare * r.Value
	}
	if u <= 0 {
		return checks.Uncertain{Value: r.Value}, UncertaintyThen
	}
	if of, _ := measureOf(r); of == StandbySince || of == LoadedSince {
		u = math.Hypot(u, sinceVolt)
	}
	return checks.Uncertain{Value: r.Value, Expanded: u}, ""
}

// then is an earlier visit whose values are found at once.
type then struct {
	record.Earlier
	points   map[site.Point]record.DetectorThen
	readings map[Measure][]record.ReadingThen
}

func indexed(e record.Earlier) then {
	t := then{e, map[site.Point]record.DetectorThen{}, map[Measure][]record.ReadingThen{}}
	for _, d := range e.Detectors {
		t.points[d.Point] = d
	}
	for _, r := range e.Readings {
		if of, is := measureOf(r); is {
			t.readings[of] = append(t.readings[of], r)
		}
	}
	return t
}

// value is what the visit measured of the same thing, or why it is not compared.
func (t then) value(i item, now record.Earlier) (checks.Uncertain, Incomparable) {
	var d record.DetectorThen
	if i.detector != nil {
		var there bool
		if d, there = t.points[i.detector.Point]; !there {
			return checks.Uncertain{}, NotThen
		}
		if d.Name != i.detector.Name || d.Kind != i.kind {
			return checks.Uncertain{}, RenamedThen
		}
	}
	switch i.of {
	case ResponseSince:
		return t.timed(d.Response, d.Uncertainty, d.Cue, i, now)
	case RestoredSince:
		return t.timed(d.Restored, d.RestoredUncertainty, d.RestoredCue, i, now)
	}
	return t.read(i, now)
}

func (t then) timed(took, expanded time.Duration, cue record.TapBy, i item,
	now record.Earlier,
) (checks.Uncertain, Incomparable) {
	switch {
	case took <= 0:
		return checks.Uncertain{}, NotThen
	case cue != i.how.cue || t.TimedBy == "" || t.TimedBy != now.TimedBy:
		return checks.Uncertain{}, TimedThen
	}
	return i.spread(took, expanded), ""
}

// read finds the reading at the same step or, without mains, at the same minute.
func (t then) read(i item, now record.Earlier) (checks.Uncertain, Incomparable) {
	var best *record.ReadingThen
	why := NotThen
	for _, r := range t.readings[i.of] {
		apart := math.Abs(r.AfterSeconds - i.after)
		switch {
		case i.of != StandbySince && r.Step != i.step:
		case apart > sinceMinute:
			why = MinuteThen
		case best == nil || apart < math.Abs(best.AfterSeconds-i.after):
			best = &r
		}
	}
	switch {
	case best == nil:
		return checks.Uncertain{}, why
	case i.of.ofBattery() && (t.Battery == "") != (now.Battery == ""):
		return checks.Uncertain{}, BatteryUnsaid
	case i.of.ofBattery() && t.Battery != now.Battery:
		return checks.Uncertain{}, BatteryThen
	case best.Instrument != i.how.instrument:
		return checks.Uncertain{}, InstrumentThen
	}
	return uncertain(*best)
}

// ofBattery tells whether the battery is in it.
func (m Measure) ofBattery() bool {
	return m == StandbySince || m == LoadedSince || m == InternalSince
}
