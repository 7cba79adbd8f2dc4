package judge

import (
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// find lists all defects and limitations, each with what it concerns.
func (a *Assessment) find() {
	for _, s := range a.checklist {
		a.findCheck(s)
	}
	for _, d := range slices.Concat(a.detectors, a.onStandby) {
		a.findDetector(d)
	}
	for _, s := range a.looks {
		a.findCheck(s)
	}
	a.findNotTimed()
	for _, l := range a.readings {
		a.findReading(l)
	}
	a.findOnTest()
	a.findVoltmeter()
	a.findSupply()
	for _, l := range a.faults {
		a.findFault(l)
	}
	a.findBattery()
	for _, o := range a.outputs {
		a.findOutput(o)
	}
	a.findRestart()
	a.findAlarm()
	a.findComputed()
	a.findAssumed()
	a.findUndescribed()
	a.findCables()
	a.findNext()
	a.findUnknown()
	a.findUntold()
	a.findBeyond()
	a.findLeftOut()
	a.findRest()
	a.findWorse()
	a.findEarlier()
	a.findings, a.limitations = ordered(a.findings, "F"), ordered(a.limitations, "L")
	a.notes = ordered(a.notes, "N")
	a.findAcceptance() // by the numbers of the others
	a.findLost()
	a.findNotFound()
}

// defect, limit and note list a finding.
func (a *Assessment) defect(f Finding) { a.findings = append(a.findings, f) }
func (a *Assessment) limit(f Finding)  { a.limitations = append(a.limitations, f) }
func (a *Assessment) note(f Finding)   { a.notes = append(a.notes, f) }

// findLeftOut lists what is fitted at the site and was no part of the visit at all: a
// programme is believed no more than a verdict.
func (a *Assessment) findLeftOut() {
	r := a.record
	var missing []programme.Step
	whole := programme.OfKind(r.Opened().Visit, r.Site(), programme.Checklist{})
	for _, step := range whole {
		if r.Find(step.ID) == nil && !step.Optional && !a.sampledOut(step) {
			missing = append(missing, step)
		}
	}
	if r.Opened().Visit == programme.Retest && len(missing) > 0 {
		a.limit(
			Finding{
				Subject: Subject{Part: PartExtent},
				What: RetestExtent{Steps: len(whole) - len(missing), AllSteps: len(whole),
					Detectors: len(a.detectors), AllDetectors: r.Site().Detectors()},
			},
		)
		return
	}
	for _, step := range missing {
		a.limit(Finding{Subject: a.aboutStep(step), What: NoPart{}})
	}
}

func (a *Assessment) findCheck(s *record.Outcome) {
	if _, with := a.record.LeftWith(s.Step()); with {
		return // told once of the whole stage
	}
	item := programme.NameOf(a.record.Site(), s.Step())
	f := Finding{Step: s.Step().ID, Subject: Subject{Part: PartChecklist}, Because: s.Remark()}
	if item.Detector != nil {
		f.Subject, item.Detector = Subject{Detector: item.Detector}, nil
	}
	switch {
	case s.Result() == record.Defect:
		f.What = NotSo{item}
		a.defect(f)
	case s.Step().Look() && s.Result() == record.LeftOut && a.record.LeftOutAt(s.Step().Point):
		// the whole detector was, which is listed
	case s.Result() == record.LeftOut || !s.Concluded():
		if line, left := a.leftOnTest(); left && line == s {
			return // told as what it means
		}
		f.What = NotChecked{item}
		a.limit(f)
	}
}

func (a *Assessment) findDetector(d DetectorLine) {
	f := Finding{Step: d.Outcome.Step().ID, Subject: Subject{Detector: &d.Name}, What: d.Shown()}
	switch d.Verdict {
	case record.Proved, record.Reported: // and see findNotTimed
		a.findProved(d, f)
	case record.NotTested:
		if d.Outcome.BeyondExtent() {
			return // see findBeyond
		}
		f.What = NotTested{ProvedOnStandby: a.provedOnStandby(d.Name.Point)}
		f.Because = strings.Join(d.Remarks, "; ")
		a.limit(f)
	case record.Undecided:
		f.Noted = d.Remarks
		a.limit(f)
	case record.Late:
		f.Noted = d.Remarks
		if d.limit(a.record.Site()).Declared() {
			a.defect(f)
			return
		}
		shown := d.Shown()
		shown.OurLimit = true
		f.What = shown
		a.limit(f) // later than what is only ours to expect
	default:
		f.Noted = d.Remarks
		a.defect(f)
	}
}

// limit is what the half was held against on which the verdict rests.
func (d DetectorLine) limit(s *site.Site) site.Limit {
	if d.Shown().Half == record.Restore {
		return s.Limits.Restore[d.Detector.Kind]
	}
	return s.Limits.Response[d.Detector.Kind]
}

func (a *Assessment) provedOnStandby(p site.Point) bool {
	return slices.ContainsFunc(a.onStandby, func(d DetectorLine) bool {
		return d.Name.Point == p && d.Verdict.Proves()
	})
}

// findProved lists what limits a proof.
func (a *Assessment) findProved(d DetectorLine, f Finding) {
	if d.Name.OnStandby && !d.Outcome.Last().Operate.MainsOff() {
		f.What = ProvedWithMains{}
		a.limit(f)
	}
	if d.Outcome.Result() == record.LeftOut {
		left := f
		left.What, left.Because = ProvedThenLeft{}, d.Outcome.Remark()
		a.limit(left)
	}
	if d.Operated.Also != nil {
		f.What = AlsoAnswered{*d.Operated.Also}
		a.limit(f)
	}
}

// Shown is the half of the last attempt that its verdict rests on.
func (d DetectorLine) Shown() Shown {
	if d.Restored.Verdict == d.Verdict && d.Operated.Verdict != d.Verdict {
		return Shown{Half: record.Restore, Judgement: d.Restored, Trials: d.Trials}
	}
	return Shown{Half: record.Operate, Judgement: d.Operated, Trials: d.Trials}
}

func (a *Assessment) findReading(l ReadingLine) {
	f := Finding{Step: l.Outcome.Step().ID, Subject: a.aboutStep(l.Outcome.Step()), Because: l.Outcome.Remark()}
	switch {
	case l.Void == OutputOff:
		f.What = ReadingVoid{l.Reading.Value, l.Void, alarmOutputs(a.record.Site())}
		a.limit(f)
	case l.Void == OutputUnproved:
		f.What = ReadingVoid{l.Reading.Value, l.Void, namesOf(unprovedLoads(a.record, l.Reading))}
		a.limit(f)
	case l.Void != "":
		f.What = ReadingVoid{Volt: l.Reading.Value, Why: l.Void}
		a.limit(f)
	case !l.Taken && l.Outcome.Result() == record.No:
		f.What = NotChargingSeen{}
		a.defect(f)
	case !l.Taken && l.Outcome.Result() == record.Yes:
		f.What = ChargingSeen{}
		a.limit(f)
	case !l.Taken:
		f.What = NotMeasured{}
		a.limit(f)
	case l.Decision.Ruling == checks.Fail:
		f.What = ReadingOutside{l.Reading.Value, l.Limit}
		a.defect(f)
	case l.Decision.Ruling == checks.Undecided:
		f.What = ReadingUndecided{l.Reading.Value, l.Uncertainty, l.Limit, l.BeyondUsual}
		a.limit(f)
	}
}

// withoutUncertainty tells of a reading that was decided as if it were exact.
func (l ReadingLine) withoutUncertainty() bool { return l.Taken && l.Uncertainty == 0 }

func (a *Assessment) findVoltmeter() {
	f := Finding{Step: programme.IDVoltmeter, Subject: Subject{Part: PartVoltmeter}}
	if s := a.record.Find(programme.IDVoltmeter); s != nil && s.Result() == record.LeftOut {
		f.What, f.Because = NoVoltmeter{}, s.Remark()
		a.limit(f)
		return
	}
	m := a.record.Voltmeter()
	// Until the end of that day, on the premises.
	today := a.record.Local(a.record.Begun()).Format(time.DateOnly)
	switch {
	case m == nil:
	case m.Calibrated == "":
		f.What = CalibrationNotStated{}
		a.limit(f)
	case m.Calibrated < today:
		f.What = CalibrationOver{m.Calibrated}
		a.limit(f)
	}
	if m != nil && m.Uncertainty == 0 || slices.ContainsFunc(a.readings, ReadingLine.withoutUncertainty) {
		f.What = UncertaintyNotStated{}
		a.limit(f)
	}
}

func (a *Assessment) findSupply() {
	if path := a.record.Find(programme.IDPath); path != nil {
		f := Finding{Step: path.Step().ID, Subject: Subject{Part: PartReporting}, Because: path.Remark()}
		switch {
		case path.Result() == record.No:
			f.What = PathOnMains{}
			a.limit(f)
		case path.Result() == record.LeftOut || !path.Concluded():
			f.What = PathNotKnown{}
			a.limit(f)
		}
	}
	a.findSwitchOver()
	supply := Subject{Part: PartSupply}
	if a.record.Find(programme.IDMainsPresent) != nil && a.record.Site().Supply.Battery.Chemistry == "none" {
		a.limit(Finding{Subject: supply, What: NoBattery{}})
	}
	for _, id := range []string{programme.IDBatteryOff, programme.IDMainsOff, programme.IDMainsOn} {
		if s := a.record.Find(id); s != nil && s.Result() == record.LeftOut {
			act := programme.NameOf(a.record.Site(), s.Step())
			a.limit(Finding{Step: id, Subject: supply, What: NotDone{act}, Because: s.Remark()})
		}
	}
}

func (a *Assessment) findOutput(o OutputLine) {
	f := Finding{Step: o.Outcome.Step().ID, Subject: a.aboutStep(o.Outcome.Step()), Because: strings.Join(o.Remarks, "; ")}
	switch o.Result {
	case record.Fails:
		f.What = NotObserved{o.Output.Kind}
		a.defect(f)
	case record.LeftOut:
		f.What = NotTested{}
		a.limit(f)
	}
	if why := a.record.Stuck(o.Output.Name); why != "" && !a.stuckTold[o.Output.Name] {
		a.stuckTold[o.Output.Name] = true
		a.limit(Finding{Step: f.Step, Subject: f.Subject, What: SwitchedOffLate{why}})
	}
}

func (a *Assessment) findRestart() {
	r := a.restart
	if r == nil {
		return
	}
	f := Finding{Step: r.Outcome.Step().ID, Subject: Subject{Part: PartRestart}}
	switch r.Verdict {
	case record.NotTested:
		f.What, f.Because = NotTested{}, r.Outcome.Remark()
		a.limit(f)
	case record.Undecided:
		f.What = RestartUndecided{r.Took, r.Limit}
		a.limit(f)
	case record.Silent:
		f.What = RestartSilent{}
		a.defect(f)
	case record.Late:
		f.What = RestartLate{r.Took, r.Limit}
		if r.Limit.Declared() {
			a.defect(f)
			return
		}
		a.limit(f)
	}
}

// findComputed lists computations that failed or could not decide, and those for which
// something was missing: what could not be judged is no part of a satisfactory page.
func (a *Assessment) findComputed() {
	for _, c := range a.computed {
		f := Finding{Step: c.Step, Subject: Subject{Computed: c.Row},
			What: ComputedSo{c.Row, c.Ruling, c.Danger, c.Missing, c.Assumed}}
		switch {
		case c.Ruling == checks.Fail:
			a.defect(f)
		case c.Ruling == checks.Undecided && !c.Defaulted:
			a.limit(f)
		}
	}
	a.findDefaulted()
	a.findNotComputed()
}

// findDefaulted lists what would hold but for keys that nobody declared, once for the
// same keys.
func (a *Assessment) findDefaulted() {
	var all []*Finding
	same := map[string]*RestsOnDefaults{}
	for _, c := range a.computed {
		if !c.Defaulted {
			continue
		}
		key := string(encoded(c.Assumed))
		what := same[key]
		if what == nil {
			what = &RestsOnDefaults{Keys: c.Assumed}
			same[key] = what
			all = append(all, &Finding{Subject: Subject{Part: PartOfRow(c.Row)}, What: what})
		}
		what.add(c.Row)
	}
	for _, f := range all {
		f.What = *f.What.(*RestsOnDefaults)
		a.limit(*f)
	}
}

// add adds a row: those about detectors as one.
func (d *RestsOnDefaults) add(r Row) {
	last := len(d.Rows) - 1
	if last < 0 || d.Rows[last].Row != r.Code() {
		d.Rows = append(d.Rows, RowsOf{Row: r.Code()})
		last++
	}
	if name, ofDetector := detectorOf(r); ofDetector {
		d.Rows[last].Of = append(d.Rows[last].Of, name.Point)
	}
}

// findNotComputed lists what was missing, once for all detectors that lack the same.
func (a *Assessment) findNotComputed() {
	var all []*Finding
	same := map[string]*NotComputed{}
	for _, c := range a.computed {
		if len(c.Missing) == 0 || c.Ruling != "" { // told as undecided
			continue
		}
		what := &NotComputed{Row: c.Row.Code(), Lacks: c.Missing}
		if d, ofDetector := detectorOf(c.Row); ofDetector {
			key := what.Row + string(encoded(c.Missing))
			if before := same[key]; before != nil {
				before.Of = append(before.Of, d.Point)
				continue
			}
			what.Of, same[key] = []site.Point{d.Point}, what
		}
		step := c.Step
		if !slices.ContainsFunc(c.Missing, Lack.FromVisit) {
			step = "" // the site file lacks it: taking the step again gives no more
		}
		all = append(all, &Finding{Step: step, Subject: Subject{Part: PartOfRow(c.Row)}, What: what})
	}
	for _, f := range all {
		f.What = *f.What.(*NotComputed)
		a.limit(*f)
	}
}

// detectorOf is the detector that a row is about, if it is about one.
func detectorOf(r Row) (programme.DetectorName, bool) {
	switch r := r.(type) {
	case DropRow:
		return r.Detector, true
	case LoopRow:
		return r.Detector, true
	}
	return programme.DetectorName{}, false
}

// PartOfRow is the part of the system that a computation is about.
func PartOfRow(r Row) Part {
	switch r.(type) {
	case DropRow, FarRow:
		return PartVoltages
	case LoopRow:
		return PartLoops
	case ContinuityRow, InsulationRow:
		return PartCables
	case LevelRow, MarginRow, CutOffRow, CurrentRow:
		return PartOutputs
	}
	return PartSupply
}

// findAssumed lists limits that were ours, of what was tried.
func (a *Assessment) findAssumed() {
	l := a.record.Site().Limits
	var keys []string
	note := func(key string, limit site.Limit, used bool) {
		if used && !limit.Declared() {
			keys = append(keys, "limits."+key)
		}
	}
	kinds := map[site.DetectorKind]bool{}
	for _, d := range a.detectors {
		kinds[d.Detector.Kind] = true
	}
	for _, each := range []struct {
		key string
		of  map[site.DetectorKind]site.Limit
	}{{"response", l.Response}, {"listen_for", l.ListenFor}, {"restore", l.Restore}} {
		for _, kind := range site.Kinds {
			k := site.DetectorKind(kind)
			note(each.key+"."+kind, each.of[k], kinds[k])
		}
	}
	note("steady", l.Steady, len(kinds) > 0)
	onBattery := a.record.Find(programme.IDMainsOff) != nil
	// For a battery that the terminals show, published voltages count: they are not ours.
	converter := a.record.Find(programme.IDMainsPresent) != nil && !a.record.Site().Supply.Battery.Seen()
	note("mains_lower", l.MainsLower, converter)
	note("mains_upper", l.MainsUpper, converter)
	note("standby_lower", l.Standby, onBattery)
	note("alarm_load_lower", l.AlarmLoad, a.record.Find(programme.IDAlarmLoad) != nil)
	note("cold_restart", l.ColdRestart, a.restart != nil)
	if len(keys) > 0 {
		a.limit(Finding{Subject: Subject{Part: PartLimits}, What: LimitsAssumed{keys}})
	}
}

// findUndescribed lists what the site file does not say, though every system has it.
func (a *Assessment) findUndescribed() {
	s := a.record.Site()
	about := func(p Part, what Statement) Finding { return Finding{Subject: Subject{Part: p}, What: what} }
	if s.Sounder() == nil {
		a.limit(about(PartOutputs, NoOutput{}))
	}
	if s.Monitoring.Centre == "" && !s.Monitoring.None {
		a.limit(about(PartReporting, NoCentre{}))
	}
	var unknown []site.Point
	s.Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power == nil && d.Kind.Trait().Powered {
			unknown = append(unknown, p)
		}
	})
	if len(unknown) > 0 {
		a.limit(about(PartVoltages, PowerUnknown{unknown}))
	}
}

// findRest lists what concerns the visit as a whole.
func (a *Assessment) findRest() {
	r := a.record
	about := func(p Part, what Statement) Finding { return Finding{Subject: Subject{Part: p}, What: what} }
	if r.Simulated() {
		a.limit(about(PartVisit, Practice{}))
	}
	if sources := r.Sources(); slices.ContainsFunc(sources,
		func(l signal.Listening) bool { return l.TimedBy != sources[0].TimedBy }) {
		a.limit(about(PartTimes, TimedDifferently{}))
	}
	a.findLifeSafety()
	a.findUnwatched()
	a.findDisputed()
	if !r.MainsOff().IsZero() {
		f := about(PartSupply, MainsStillRemoved{})
		f.Step = programme.IDMainsOn
		a.defect(f)
	}
	a.findCustomer()
	for i := range r.Site().Zones {
		z := &r.Site().Zones[i]
		if raw := r.Garbled(z.Address); raw != "" {
			a.limit(Finding{Subject: aboutZone(z), What: ReportGarbled{raw}})
		}
		if n := r.Elsewhere()[z.Address]; n > 0 {
			a.limit(Finding{Subject: aboutZone(z), What: HeardElsewhere{n}})
		}
	}
	if strangers := r.Strangers(); len(strangers) > 0 {
		a.limit(about(PartSignals, StrangersReported{len(strangers), len(strangers) >= record.MostStrangers}))
	}
	if losses := r.Losses(); len(losses) > 0 {
		a.limit(about(PartSignals, SignalsLost{r.Lost(), r.Local(losses[0].From), r.Local(losses[len(losses)-1].To)}))
	}
	a.findConsistency()
	if len(a.detectors) > 0 && a.counts[record.Proved]+a.counts[record.Reported] == 0 {
		a.defect(about(PartDetection, NoneProved{}))
	}
}

func (a *Assessment) findCustomer() {
	c := a.record.Customer()
	if c == nil {
		return
	}
	f := Finding{Subject: Subject{Part: PartCustomer}, Because: c.Position}
	switch {
	case c.Refused:
		f.What = CustomerRefused{}
		a.limit(f)
	case c.Name == "":
		f.What = NobodySigned{}
		a.limit(f)
	}
}

// findAcceptance lists what the customer who signed had not been shown.
func (a *Assessment) findAcceptance() {
	c := a.record.Customer()
	if c == nil || c.Refused || c.Name == "" {
		return
	}
	if missing := notAccepted(c.Accepted, slices.Concat(a.findings, a.limitations)); len(missing) > 0 {
		a.limit(Finding{ID: numbered("L", len(a.limitations)), Subject: Subject{Part: PartCustomer},
			What: NotAccepted{missing}})
	}
}

func (a *Assessment) findLifeSafety() {
	for i := range a.record.Site().Zones {
		z := &a.record.Site().Zones[i]
		if slices.ContainsFunc(z.Detectors, func(d site.Detector) bool { return d.Kind.Trait().LifeSafety }) {
			a.note(Finding{Subject: aboutZone(z), What: a.onlyTimed(z)})
		}
	}
}

// onlyTimed is what was taken of the life-safety detectors of a zone.
func (a *Assessment) onlyTimed(z *site.Zone) Statement {
	reported := false
	for _, d := range a.detectors {
		if d.Zone.Number != z.Number || !d.Detector.Kind.Trait().LifeSafety {
			continue
		}
		if d.Operated.Timed() {
			return OnlyTimed{}
		}
		reported = reported || d.Verdict == record.Reported
	}
	if reported {
		return OnlyReported{}
	}
	return OnlyTimed{}
}

// findUnwatched notes zones of which a cut cable cannot be told from rest.
func (a *Assessment) findUnwatched() {
	var zones []programme.ZoneName
	s := a.record.Site()
	for i := range s.Zones {
		loop, err := ExpectedLoop(s, &s.Zones[i])
		if err == nil && slices.Contains(loop.Alike, [2]checks.LoopState{checks.LoopNormal, checks.LoopCut}) {
			zones = append(zones, programme.NameOfZone(&s.Zones[i]))
		}
	}
	if len(zones) > 0 {
		a.note(Finding{Subject: Subject{Part: PartLoops}, What: Unwatched{zones}})
	}
}

// findDisputed notes a charging voltage that holds, though not for years by every source.
func (a *Assessment) findDisputed() {
	for _, c := range a.computed {
		row, charging := c.Row.(ChargingRow)
		if !charging || c.Ruling == checks.Fail {
			continue
		}
		for _, r := range row.Readings {
			if r.Reason == checks.FloatDisputed {
				a.note(Finding{Subject: Subject{Part: PartSupply}, What: FloatDisputed{r.PerCell}})
				return
			}
		}
	}
}
