package judge

import (
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// NotKnown is a part of the system of which something is not known: the site file does not say
// it, and it was not found on the premises. Keys are those of the site file.
type NotKnown struct {
	Keys []string `json:"keys"`
}

// Code names it.
func (NotKnown) Code() string { return "not-known" }

// TakenAs is what the site file does not say and nobody is asked: the programme is one of its
// default. Keys are those of the site file.
type TakenAs struct {
	Keys []string `json:"keys"`
}

// Code names it.
func (TakenAs) Code() string { return "taken-as" }

// findUnknown lists what is not known of each part: in a take-over all of it, else how a circuit
// is wired. It asks the site, not the programme: a step that was left out of that hides nothing.
func (a *Assessment) findUnknown() {
	s := a.record.Site()
	for _, p := range s.Unknown() {
		z := s.Zone(p.Zone)
		unwired := p.Group == site.GroupWiring && z != nil && z.Wiring == site.WiringUnknown
		if a.record.Opened().Visit != programme.TakeOver && !unwired {
			continue
		}
		f := Finding{What: NotKnown{s.Missing(p)}}
		if p.Group == site.GroupForm {
			f.What = TakenAs{s.Missing(p)} // the programme depends on it, so that nobody is asked
		}
		step := programme.Step{Kind: programme.StepFound, Stage: programme.StageInspection, Group: p.Group, Zone: p.Zone,
			Point: p.Point, Output: p.Output}
		for _, o := range a.record.Outcomes() {
			if o.Step().Kind == programme.StepFound && o.Step().Part() == p {
				step, f.Step, f.Because = o.Step(), o.Step().ID, o.Remark()
			}
		}
		name := programme.NameOf(s, step)
		f.Subject = Subject{Step: &name}
		a.limit(f)
	}
}

// findUntold lists what is asked for in a kind of visit and nobody knew.
func (a *Assessment) findUntold() {
	for _, group := range programme.ToldGroups(a.record.Opened().Visit) {
		step := programme.Step{Kind: programme.StepFound, Group: group}
		var what NotKnown
		known := map[string]bool{}
		f := Finding{}
		for _, o := range a.record.Outcomes() {
			if o.Step().Kind == programme.StepFound && o.Step().Group == group {
				step, f.Step, f.Because = o.Step(), o.Step().ID, o.Remark()
				for _, v := range o.Found() {
					known[v.Key] = v.Text != ""
				}
			}
		}
		for _, k := range programme.ToldKeys(group) {
			if !known[k.Key] {
				what.Keys = append(what.Keys, k.Key)
			}
		}
		if len(what.Keys) > 0 {
			name := programme.NameOf(a.record.Site(), step)
			f.Subject, f.What = Subject{Step: &name}, NotToldOf(what)
			a.limit(f)
		}
	}
}

// NotToldOf is something that was asked about a system or an alarm, and nobody knew.
type NotToldOf struct {
	Keys []string `json:"keys"`
}

// Code names it.
func (NotToldOf) Code() string { return "not-told" }

// BeyondExtent are the detectors that were left out since the visit was about others.
type BeyondExtent struct {
	Of []site.Point `json:"of"`
}

// Code names it.
func (BeyondExtent) Code() string { return "beyond-extent" }

// findBeyond lists what a visit after an alarm left out, as one. To test it is for another
// visit, so that it rests on no step.
func (a *Assessment) findBeyond() {
	var of []site.Point
	for _, d := range a.detectors {
		if d.Outcome.BeyondExtent() {
			of = append(of, d.Name.Point)
		}
	}
	if e := a.record.Extent(); len(of) > 0 && e != nil {
		a.limit(Finding{Subject: Subject{Part: PartExtent}, What: BeyondExtent{of}, Because: e.Reason})
	}
	if a.record.Opened().Visit == programme.AfterAlarm && a.record.Extent() == nil {
		a.limit(Finding{Step: programme.IDExtent, Subject: Subject{Part: PartExtent}, What: ExtentNotSaid{}})
	}
}

// ExtentNotSaid is a visit after an alarm that does not say which detectors were concerned.
type ExtentNotSaid struct{}

// Code names it.
func (ExtentNotSaid) Code() string { return "extent-not-said" }

// notByDefault lets no default of ours decide anything in a take-over: what would hold is
// undecided where a value in it is ours, be it one that seldom matters.
func (a *Assessment) notByDefault() {
	if a.record.Opened().Visit != programme.TakeOver {
		return
	}
	s := a.record.Site()
	for i := range a.computed {
		c := &a.computed[i]
		if c.Ruling == checks.Pass || c.Defaulted {
			for _, key := range defaultsIn(s, c.Row) {
				c.assume(key, false)
			}
		}
	}
	settleAll(a.computed)
}

// defaultsIn are the keys of the site file whose default a row took.
func defaultsIn(s *site.Site, row Row) (keys []string) {
	ours := func(key string, assumed bool) {
		if assumed {
			keys = append(keys, key)
		}
	}
	b := s.Supply.Battery
	switch r := row.(type) {
	case AdapterRow:
		ours("supply.loads", !s.Supply.LoadsGiven)
		ours("supply.charger.current", !s.Supply.Charger.Current.Given() && s.Supply.HasBattery())
	case StandbyRow:
		ours("supply.standby.ageing", r.Ageing.Assumed)
		ours(temperatureKey, r.Temperature.Assumed)
		ours("supply.battery.exponent", r.Exponent.Assumed)
		ours("supply.battery.hour_rating", r.Rate.Assumed)
		ours("supply.loads", !s.Supply.LoadsGiven)
	case EnergyRow:
		ours("supply.battery.output", r.Output.Assumed)
		ours("supply.battery.efficiency", r.Efficiency.Assumed)
		ours("supply.standby.ageing", r.Ageing.Assumed)
		ours(temperatureKey, r.Temperature.Assumed)
		ours("supply.loads", !s.Supply.LoadsGiven)
	case RechargeRow:
		ours("supply.recharge.to", r.To.Assumed)
		ours(temperatureKey, !s.Supply.Temperature.Given())
	case ChargerRow:
		ours("supply.charger.voltage", r.OfAdapter)
		ours(cellsKey, b.Cells == 0)
		ours(temperatureKey, !s.Supply.Temperature.Given())
	case ChargingRow, SagRow, InternalRow:
		ours(cellsKey, b.Cells == 0)
		ours(formKey, !b.FormGiven)
		ours(temperatureKey, !s.Supply.Temperature.Given())
	case AgeRow:
		ours("supply.battery.life", !r.ByMaker)
	case DropRow:
		ours(temperatureKey, !s.Supply.Temperature.Given())
	case LoopRow:
		ours(zoneTolerance, r.Tolerance.Assumed)
		ours(temperatureKey, !s.Supply.Temperature.Given() && r.Length != "")
	case CurrentRow, SystemCurrentRow, OutputLimitRow:
		ours("supply.loads", !s.Supply.LoadsGiven && !isOutputLimit(row))
		ours("outputs[].own_battery", slices.ContainsFunc(s.Outputs,
			func(o site.Output) bool { return !o.OwnGiven && o.Kind != site.Chime }))
	}
	return keys
}

func isOutputLimit(r Row) bool {
	_, is := r.(OutputLimitRow)
	return is
}

const (
	temperatureKey = "supply.temperature"
	formKey        = "supply.battery.form"
)

// foundLoops say what the loops mean that were read where nobody knew how they are wired, of
// the first detector of each.
func foundLoops(a *Assessment) (out []Computed) {
	s := a.record.Site()
	for _, o := range a.record.Outcomes() {
		r := o.Reading(record.LoopReading)
		z := s.Zone(o.Step().Zone)
		if o.Step().Kind != programme.StepFound || r == nil || z == nil || z.Wiring == site.WiringUnknown {
			continue
		}
		name := programme.DetectorName{Point: site.PointOf(z.Number, 0), Name: z.Detectors[0].Name,
			Zone: programme.NameOfZone(z)}
		out = append(out, loopOf(s, DetectorLine{Name: name, Zone: z, Outcome: o}, r))
	}
	return out
}

// FoundLine is what was found of a part.
type FoundLine struct {
	Outcome *record.Outcome
	Name    programme.Name
	Values  []record.FoundValue
	Loop    *record.Taken // that was read of a circuit, nil for none
	Told    bool          // of a system or an alarm: nothing of it is of the site file
}

// Found are the parts of which something was asked that the site file does not say, and what
// was asked and written down as it was told.
func (a *Assessment) Found() (lines []FoundLine) {
	for _, o := range a.record.Outcomes() {
		if o.Step().Kind == programme.StepFound {
			lines = append(lines, FoundLine{o, programme.NameOf(a.record.Site(), o.Step()), o.Found(),
				o.Reading(record.LoopReading), programme.ToldKeys(o.Step().Group) != nil})
		}
	}
	return lines
}

func recallsUnknown() {
	readsAs[NotToldOf]("not-told")
	readsAs[TakenAs]("taken-as")
	readsAs[BeyondExtent]("beyond-extent")
	readsAs[ExtentNotSaid]("extent-not-said")
}
