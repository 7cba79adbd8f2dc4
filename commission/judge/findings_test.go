package judge

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// amiss is a visit that showed that all is well but for what the row tells, and all that
// has to be found then.
type amiss struct {
	name        string
	site        []string // changes of the site file
	instead     map[string][]any
	result      Overall
	findings    []told
	limitations []told
}

// Every row is the whole list: what is not in it must not be found.
func (row amiss) holds(t *testing.T) {
	t.Run(row.name, func(t *testing.T) {
		a := begin(t, row.site...).take(row.instead)
		assert.Equal(t, row.findings, allTold(a.Findings()))
		assert.Equal(t, row.limitations, allTold(a.Limitations()))
		assert.Equal(t, row.result, a.Result())
	})
}

// act is the name of a step of the supply that is an act.
func act(id string) programme.Name {
	return programme.Name{Kind: programme.StepAct, ID: id, Stage: programme.StageSupply}
}

// fault is the name of a step about a fault of the supply.
func fault(id string) programme.Name {
	return programme.Name{Kind: programme.StepFault, ID: id, Stage: programme.StageHandOver}
}

func note(step, text string) record.Note { return record.Note{Step: step, Text: text} }

func TestChecklistFindings(t *testing.T) {
	const id = "inspection/fixing"
	item := programme.Name{Kind: programme.StepCheck, ID: id, Stage: programme.StageInspection, Item: "fixing"}
	for _, row := range []amiss{
		{"all is well", nil, nil, Satisfactory, nil, nil},
		{"not applicable", nil, map[string][]any{id: {answer(id, record.NotApplicable, "no brackets")}}, Satisfactory, nil,
			nil},
		{"defect", nil, map[string][]any{id: {answer(id, record.Defect, "bracket loose")}}, Unsatisfactory,
			[]told{{"F1", id, "checklist", NotSo{item}, "bracket loose", nil}}, nil},
		{"not checked", nil, map[string][]any{id: {answer(id, record.LeftOut, "ceiling too high")}}, WithLimitations,
			nil, []told{{"L1", id, "checklist", NotChecked{item}, "ceiling too high", nil}}},
		{"open", nil, map[string][]any{id: {}, programme.IDTechnician: {}, programme.IDCustomer: {}}, NotFinished,
			nil, []told{{"L1", id, "checklist", NotChecked{item}, "", nil}}},
	} {
		row.holds(t)
	}
}

// heard is what a trial of a door shows when its answer took so long, with 16 s of waiting
// after it.
func heard(v record.Verdict, response, limit time.Duration) record.Judgement {
	return record.Judgement{Verdict: v, Response: response, Uncertainty: 50 * time.Millisecond, Limit: limit, Changes: 1,
		Waited: response + 16*time.Second}
}

func TestDetectorFindings(t *testing.T) {
	const one, two, proof = "walk/1.1", "walk/2.1", "supply/proof-1.1"
	silent := record.Judgement{Verdict: record.Silent, Uncertainty: 50 * time.Millisecond, Limit: 2 * time.Second,
		Waited: 16 * time.Second}
	lateToReport := Shown{record.Operate, heard(record.Late, 5*time.Second, 2*time.Second), 1, false}
	lateToRest := Shown{record.Restore, heard(record.Late, 9*time.Second, 5*time.Second), 1, false}
	asItIs := func(step string, attempt []any) map[string][]any {
		return map[string][]any{step: append(attempt, answer(step, record.AsItIs))}
	}
	left := func(steps ...string) map[string][]any {
		all := map[string][]any{}
		for _, step := range steps {
			all[step] = []any{answer(step, record.LeftOut, "no ladder")}
		}
		return all
	}
	noted := attempt(two, "z2", -1, 0)
	noted = append(noted, note(two, "loose wire"), answer(two, record.AsItIs, "comes tomorrow"))
	otherSilent := asItIs(proof, attempt(proof, "z1", -1, 0))
	otherSilent[one] = left(one)[one]
	for _, row := range []amiss{
		{"silent", nil, map[string][]any{two: noted}, Unsatisfactory,
			[]told{{"F1", two, "2.1", Shown{record.Operate, silent, 1, false}, "",
				[]string{"loose wire", "comes tomorrow"}}}, nil},
		{"late", nil, asItIs(two, attempt(two, "z2", 5*time.Second, fast)), Unsatisfactory,
			[]told{{"F1", two, "2.1", lateToReport, "", nil}}, nil},
		{"late to rest", nil, asItIs(two, attempt(two, "z2", fast, 9*time.Second)), Unsatisfactory,
			[]told{{"F1", two, "2.1", lateToRest, "", nil}}, nil},
		{"late both ways", nil, asItIs(two, attempt(two, "z2", 5*time.Second, 9*time.Second)), Unsatisfactory,
			[]told{{"F1", two, "2.1", lateToReport, "", nil}}, nil},
		{"not tested", nil, map[string][]any{two: {note(two, "behind a kiln"), answer(two, record.LeftOut, "too hot")}},
			WithLimitations, nil, []told{{"L1", two, "2.1", NotTested{}, "behind a kiln; too hot", nil}}},
		{"not tested but on standby", nil, left(one), WithLimitations,
			nil, []told{{"L1", one, "1.1", NotTested{ProvedOnStandby: true}, "no ladder", nil}}},
		{"not tested on standby", nil, left(proof), WithLimitations,
			nil, []told{{"L1", proof, "1.1 on standby", NotTested{}, "no ladder", nil}}},
		{"not tested at all", nil, left(one, proof), WithLimitations, nil, []told{
			{"L1", one, "1.1", NotTested{}, "no ladder", nil}, {"L2", proof, "1.1 on standby", NotTested{}, "no ladder", nil}}},
		{"silent on standby", nil, otherSilent, Unsatisfactory,
			[]told{{"F1", proof, "1.1 on standby", Shown{record.Operate, silent, 1, false}, "", nil}},
			[]told{{"L1", one, "1.1", NotTested{}, "no ladder", nil}}},
		{"nothing proved", nil, left(one, two), Unsatisfactory, []told{{"F1", "", "detection", NoneProved{}, "", nil}},
			[]told{{"L1", one, "1.1", NotTested{ProvedOnStandby: true}, "no ladder", nil},
				{"L2", two, "2.1", NotTested{}, "no ladder", nil}}},
	} {
		row.holds(t)
	}
}

// 2.02 s ± 0.05 s lies within its uncertainty of 2 s (JCGM 106): the probability that it is
// in time is Φ(−0.02/0.025) = 21.19 %.
func TestAResponseTooCloseToItsLimit(t *testing.T) {
	const two = "walk/2.1"
	a := begin(t).take(map[string][]any{
		two: append(attempt(two, "z2", 2020*time.Millisecond, fast), answer(two, record.AsItIs, "again?"))})
	assert.Equal(t, WithLimitations, a.Result())
	require.Len(t, a.Limitations(), 1)
	found := a.Limitations()[0]
	shown := found.What.(Shown)
	assert.Equal(t, []any{record.Operate, record.Undecided}, []any{shown.Half, shown.Judgement.Verdict})
	assert.InDelta(t, 0.2119, shown.Judgement.Probability, 1e-4)
	assert.Equal(t, []string{"again?"}, found.Noted)
	assert.Equal(t, map[record.Verdict]int{record.Proved: 1, record.Undecided: 1}, a.Counts())
}

// A site of one detector that fails has proved none.
func TestNoneProvedOfOne(t *testing.T) {
	const window = "  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, " +
		"detectors: [Window]}\n"
	a := begin(t, window, "").take(map[string][]any{
		"walk/1.1":          {answer("walk/1.1", record.LeftOut, "locked")},
		programme.IDRestart: {answer(programme.IDRestart, record.LeftOut, "locked")},
	})
	assert.Equal(t, []told{{"F1", "", "detection", NoneProved{}, "", nil}}, allTold(a.Findings()))
	supplyOnly := opening{visit: programme.Retest,
		keep: func(s programme.Step) bool { return s.Stage != programme.StageWalkTest }}
	assert.Empty(t, supplyOnly.begin(t).take(nil).Findings(), "a retest of the supply alone does not need to")
}

func TestSupplyFindings(t *testing.T) {
	const off, on, back, path = programme.IDMainsOff, programme.IDMainsOn, programme.IDMainsBack, programme.IDPath
	const standby = "supply/standby-2"
	atLeast := func(v float64) Range { return Range{Lower: site.Limit{SI: v, By: site.SiteFile}} }
	declared := []string{"  steady: 1 s", "  mains_lower: 12 V\n  mains_upper: 15 V\n  steady: 1 s"}
	mains := Range{Lower: site.Limit{SI: 12, By: site.SiteFile}, Upper: &site.Limit{SI: 15, By: site.SiteFile}}
	upper := Range{Upper: mains.Upper}
	only := func(step string, facts ...any) map[string][]any { return map[string][]any{step: facts} }
	leftAfter := func(v float64) map[string][]any {
		return only(standby, reads(standby, v), record.Reopened{Step: standby}, answer(standby, record.LeftOut, "lead broke"))
	}
	sounding := func(v float64) map[string][]any {
		return only(programme.IDAlarmLoad, record.Energised{Output: "Sounder", On: true, By: "hand"},
			reads(programme.IDAlarmLoad, v), record.Energised{Output: "Sounder", By: "hand"})
	}
	for _, row := range []amiss{
		{"low on standby", nil, only(standby, reads(standby, 11.3)), Unsatisfactory,
			[]told{{"F1", standby, standby, ReadingOutside{11.3, atLeast(11.5)}, "", nil}}, nil},
		{"low under load", nil, sounding(10.3), Unsatisfactory,
			[]told{{"F1", programme.IDAlarmLoad, programme.IDAlarmLoad, ReadingOutside{10.3, atLeast(10.5)}, "", nil}}, nil},
		{"low with mains, on charge for days", declared, only(programme.IDMainsPresent,
			reads(programme.IDMainsPresent, 11.7)), Unsatisfactory, []told{
			{"F1", programme.IDMainsPresent, programme.IDMainsPresent, ReadingOutside{11.7, mains}, "", nil},
			{"F2", programme.IDMainsPresent, "computed charging", rowSo{"charging", checks.Fail, false}, "", nil}}, nil},
		{"high after mains came back", declared, only(back, reads(back, 15.3)), Unsatisfactory, []told{
			{"F1", programme.IDMainsPresent, "computed charging", rowSo{"charging", checks.Fail, true}, "", nil},
			{"F2", back, back, ReadingOutside{15.3, upper}, "", nil}}, nil},
		{"low after mains came back", declared, only(back, reads(back, 11.7)), Satisfactory, nil, nil},
		{"not measured", nil, only(standby, answer(standby, record.LeftOut, "lead broke")), WithLimitations,
			nil, []told{{"L1", standby, standby, NotMeasured{}, "lead broke", nil}}},
		{"measured and left out", nil, leftAfter(11.8), WithLimitations,
			nil, []told{{"L1", standby, standby, NotMeasured{}, "lead broke", nil}}},
		{"a low one left out", nil, leftAfter(11.3), Unsatisfactory,
			[]told{{"F1", standby, standby, ReadingOutside{11.3, atLeast(11.5)}, "lead broke", nil}}, nil},
		{"sounder off", nil, only(programme.IDAlarmLoad, switched("Sounder", true), time.Second, switched("Sounder", false),
			reads(programme.IDAlarmLoad, 11.8)), WithLimitations,
			nil, []told{{"L1", programme.IDAlarmLoad, programme.IDAlarmLoad, ReadingVoid{11.8, OutputOff, "Sounder"}, "", nil},
				{"L2", programme.IDAlarmLoad, "supply", NotComputed{Row: "internal", Lacks: lack(LackLoadVoltages)}, "", nil}}},
		{"mains not removed", nil, only(off, answer(off, record.LeftOut, "kilns are on")), WithLimitations, nil, []told{
			{"L1", "supply/proof-1.1", "1.1 on standby", ProvedWithMains{}, "", nil},
			{"L2", "supply/standby-1", "supply/standby-1", ReadingVoid{12.7, WithMains, ""}, "", nil},
			{"L3", "supply/standby-2", "supply/standby-2", ReadingVoid{12.7, WithMains, ""}, "", nil},
			{"L4", "supply/standby-3", "supply/standby-3", ReadingVoid{12.7, WithMains, ""}, "", nil},
			{"L5", "supply/standby-4", "supply/standby-4", ReadingVoid{12.7, WithMains, ""}, "", nil},
			{"L6", programme.IDAlarmLoad, programme.IDAlarmLoad, ReadingVoid{12.3, WithMains, ""}, "", nil},
			{"L7", off, "supply", NotDone{act(off)}, "kilns are on", nil},
			{"L8", programme.IDMainsFault, "supply", NotDone{fault(programme.IDMainsFault)}, "no cause", nil},
			{"L9", programme.IDAlarmLoad, "supply", NotComputed{Row: "internal", Lacks: lack(LackLoadVoltages)}, "", nil},
			{"L10", "", "supply", NotComputed{Row: "sag", Lacks: lack(LackStandbyVoltage)}, "", nil}}},
		{"mains not restored", nil, only(on, answer(on, record.LeftOut, "fuse blown")), Unsatisfactory,
			[]told{{"F1", on, "supply", MainsStillRemoved{}, "", nil}},
			[]told{{"L1", back, back, ReadingVoid{13.6, WithoutMains, ""}, "", nil},
				{"L2", programme.IDCharging, programme.IDCharging, ReadingVoid{13.6, WithoutMains, ""}, "", nil},
				{"L3", on, "supply", NotDone{act(on)}, "fuse blown", nil},
				{"L4", programme.IDMainsFault, "supply", NotDone{fault(programme.IDMainsFault)}, "no cause", nil},
				{"L5", programme.IDMainsPresent, "supply", NotComputed{Row: "charging", Lacks: lack(LackChargingVoltage)}, "",
					nil}}},
		{"router on mains", nil, only(path, answer(path, record.No, "in the office")), WithLimitations,
			nil, []told{{"L1", path, "reporting on standby", PathOnMains{}, "in the office", nil}}},
		{"router not known", nil, only(path, answer(path, record.LeftOut, "locked")), WithLimitations,
			nil, []told{{"L1", path, "reporting on standby", PathNotKnown{}, "locked", nil}}},
		{"router not asked for", nil,
			map[string][]any{path: {}, programme.IDTechnician: {}, programme.IDCustomer: {}}, NotFinished,
			nil, []told{{"L1", path, "reporting on standby", PathNotKnown{}, "", nil}}},
		{"no router", nil, only(path, answer(path, record.NotApplicable)), Satisfactory, nil, nil},
		{"no battery", []string{"chemistry: lead-acid", "chemistry: none"}, nil, WithLimitations,
			nil, []told{{"L1", "", "supply", NoBattery{}, "", nil},
				{"L2", "", "limits", LimitsAssumed{[]string{"limits.mains_lower", "limits.mains_upper"}}, "", nil}}},
	} {
		row.holds(t)
	}
	noSupply := opening{site: []string{"chemistry: lead-acid", "chemistry: none"}, visit: programme.Retest,
		keep: func(s programme.Step) bool { return s.Stage != programme.StageSupply }}
	a := noSupply.begin(t).take(nil)
	assert.Equal(t, []told{{"L1", "", "extent", RetestExtent{9, 11, 2, 2}, "", nil}}, allTold(a.Limitations()),
		"who did not look at the supply says nothing of it")
}

// 11.5 V on its limit is undecided: ± 2·√(0.025² + (0.1/√12)²) V = 0.0764 V, the meter's
// and the last digit's (JCGM 100 5.1.2, F.2.2.1, looked up).
func TestAReadingTooCloseToItsLimit(t *testing.T) {
	const standby = "supply/standby-2"
	a := begin(t).take(map[string][]any{standby: {reads(standby, 11.5)}})
	assert.Equal(t, WithLimitations, a.Result())
	require.Len(t, a.Limitations(), 1)
	found := a.Limitations()[0].What.(ReadingUndecided)
	assert.InDelta(t, 0.0763763, found.Uncertainty, 1e-6)
	limit := Range{Lower: site.Limit{SI: 11.5, By: site.SiteFile}}
	assert.Equal(t, ReadingUndecided{11.5, found.Uncertainty, limit, false}, found)
}

// A calibration holds to the end of its last day on the premises, wherever they are. On
// 24 November 2026 at 09:00 UTC it is that day almost everywhere.
func TestVoltmeterFindings(t *testing.T) {
	nine := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	over, long, unstated := CalibrationOver{"2026-11-23"}, CalibrationOver{"2025-12-31"}, UncertaintyNotStated{}
	meter := func(until string, volt float64) record.Instrument {
		return record.Instrument{Step: programme.IDVoltmeter, Name: "meter 7", Calibrated: until, Uncertainty: volt}
	}
	for name, tc := range map[string]struct {
		meter record.Instrument
		at    time.Time
		east  time.Duration
		want  []Statement
	}{
		"known":           {meter("2026-11-25", 0.05), nine, 0, nil},
		"last day":        {meter("2026-11-24", 0.05), nine, 0, nil},
		"day after":       {meter("2026-11-23", 0.05), nine, 0, []Statement{over}},
		"a year before":   {meter("2025-12-31", 0.05), nine, 0, []Statement{long}},
		"not calibrated":  {meter("", 0.05), nine, 0, []Statement{CalibrationNotStated{}}},
		"not stated":      {meter("2026-11-24", 0), nine, 0, []Statement{unstated}},
		"neither":         {meter("2026-11-23", 0), nine, 0, []Statement{over, unstated}},
		"evening in west": {meter("2026-11-23", 0.05), nine.Add(-5 * time.Hour), -10 * time.Hour, nil},
		"morning in east": {meter("2026-11-23", 0.05), nine.Add(-12 * time.Hour), 10 * time.Hour, []Statement{over}},
	} {
		s := opening{at: tc.at, east: tc.east}.begin(t)
		s.tell(tc.meter)
		var got []Statement
		for _, f := range Assess(s.record).Limitations() {
			if f.Subject.Part == PartVoltmeter {
				assert.Equal(t, programme.IDVoltmeter, f.Step)
				got = append(got, f.What)
			}
		}
		assert.Equal(t, tc.want, got, name)
	}
}

// Naming no voltmeter at all does not make readings exact.
func TestReadingsOfNoVoltmeterAreNotExact(t *testing.T) {
	s := begin(t)
	s.tell(answer(programme.IDVoltmeter, record.LeftOut, "forgotten"))
	assert.Equal(t, []string{"no-voltmeter"}, s.codes(Assess(s.record).Limitations(), "voltmeter"), "nothing was read")
	s.tell(reads(programme.IDMainsPresent, 13.6))
	assert.Equal(t, []string{"no-voltmeter"}, s.codes(Assess(s.record).Limitations(), "voltmeter"))
	exact := reads(programme.IDMainsPresent, 13.6)
	exact.Uncertainty = 0
	s.tell(exact)
	assert.Equal(t, []string{"no-voltmeter"}, s.codes(Assess(s.record).Limitations(), "voltmeter"),
		"nor does it say twice")
	s.tell(record.Reopened{Step: programme.IDVoltmeter},
		record.Instrument{Step: programme.IDVoltmeter, Name: "meter 7", Calibrated: "2027-03-01", Uncertainty: 0.05})
	assert.Equal(t, []string{"uncertainty-not-stated"}, s.codes(Assess(s.record).Limitations(), "voltmeter"))
}

func TestOutputFindings(t *testing.T) {
	const sounder, first, second = "outputs/Sounder", "outputs/Chime/zone-1", "outputs/Chime/zone-2"
	stuck := func(output string) record.Energised {
		return record.Energised{Output: output, On: true, By: "controller", Failed: "not connected"}
	}
	// What was read under alarm load was perhaps read without the sounder.
	withoutIt := func(reading, resistance, current string) []told {
		return []told{{reading, programme.IDAlarmLoad, programme.IDAlarmLoad, ReadingVoid{12.3, OutputUnproved, "Sounder"}, "", nil},
			{resistance, programme.IDAlarmLoad, "supply", NotComputed{Row: "internal", Lacks: lack(LackLoadVoltages)}, "", nil},
			{current, programme.IDAlarmCurrent, "supply", NotComputed{Row: "system-alarm", Lacks: lack(LackLoad)}, "", nil}}
	}
	both := []string{"follows: [1]", "follows: [1, 2]"}
	heardBoth := map[string][]any{
		first: {stuck("Chime"), record.Cue{Step: first, Half: record.Operate}, fast,
			record.Ended{Step: first, By: record.ByHeard}}}
	for _, row := range []amiss{
		{"not heard", nil, map[string][]any{sounder: {switched("Sounder", true), note(sounder, "wired?"),
			switched("Sounder", false), answer(sounder, record.Fails, "dead")}},
			Unsatisfactory, []told{{"F1", sounder, sounder, NotObserved{site.Sounder}, "wired?; dead", nil}},
			withoutIt("L1", "L2", "L3")},
		{"mended after that", nil, map[string][]any{sounder: {switched("Sounder", true), switched("Sounder", false),
			answer(sounder, record.Fails, "dead"), switched("Sounder", true), loud(sounder, 110, 1, 45, 1), 15 * time.Minute,
			cutOff(sounder, "15 min", 900), switched("Sounder", false), answer(sounder, record.Works)}}, WithLimitations, nil, withoutIt("L1", "L2", "L3")},
		{"not tried", nil, map[string][]any{sounder: {answer(sounder, record.LeftOut, "people asleep")}}, WithLimitations,
			nil, append([]told{{"L1", sounder, sounder, NotTested{}, "people asleep", nil}}, withoutIt("L2", "L3", "L4")...)},
		{"chime not tried", nil, map[string][]any{first: {answer(first, record.LeftOut, "not fitted yet")}}, WithLimitations,
			nil, []told{{"L1", first, first, NotTested{}, "not fitted yet", nil}}},
		{"switched off late", nil, map[string][]any{sounder: {record.Energised{Output: "Sounder", On: true, By: "hand"},
			loud(sounder, 110, 1, 45, 1), 15 * time.Minute, cutOff(sounder, "15 min", 900), stuck("Sounder"),
			answer(sounder, record.Works)}},
			WithLimitations, nil, []told{{"L1", sounder, sounder, SwitchedOffLate{"not connected"}, "", nil}}},
		{"told once of two lines", both, heardBoth, WithLimitations,
			nil, []told{{"L1", first, first, SwitchedOffLate{"not connected"}, "", nil}}},
	} {
		row.holds(t)
	}
	s := begin(t, both...)
	s.take(nil)
	assert.Empty(t, s.about(Assess(s.record).Limitations(), second))
}

func TestRestartFindings(t *testing.T) {
	const id = programme.IDRestart
	limit := site.Limit{SI: 120, By: site.SiteFile}
	for _, row := range []amiss{
		{"not tested", nil, map[string][]any{id: {answer(id, record.LeftOut, "no key")}}, WithLimitations,
			nil, []told{{"L1", id, "cold restart", NotTested{}, "no key", nil}}},
		{"in time", nil, map[string][]any{id: restart(119900 * time.Millisecond)}, Satisfactory, nil, nil},
		{"too close", nil, map[string][]any{id: restart(119980 * time.Millisecond)}, WithLimitations,
			nil, []told{{"L1", id, "cold restart", RestartUndecided{119980 * time.Millisecond, limit}, "", nil}}},
		{"late", nil, map[string][]any{id: restart(120100 * time.Millisecond)}, Unsatisfactory,
			[]told{{"F1", id, "cold restart", RestartLate{120100 * time.Millisecond, limit}, "", nil}}, nil},
		{"silent", nil, map[string][]any{id: append(restart(-1), answer(id, record.AsItIs))}, Unsatisfactory,
			[]told{{"F1", id, "cold restart", RestartSilent{}, "", nil}}, nil},
	} {
		row.holds(t)
	}
	a := opening{visit: programme.Retest, keep: func(s programme.Step) bool { return s.ID != id }}.begin(t).take(nil)
	assert.Nil(t, a.Restart())
	assert.Empty(t, a.Findings(), "it may be left out of a retest")
}

func TestComputedFindings(t *testing.T) {
	for _, row := range []amiss{
		{"old battery", []string{"fitted: 2026-11-01", "fitted: 2021-11-24"}, nil, WithLimitations, nil,
			[]told{{"L1", "", "computed age", rowSo{"age", checks.Undecided, false}, "", nil}}},
		{"small adapter", []string{"rating: 2 A", "rating: 89 mA"}, nil, Unsatisfactory,
			[]told{{"F1", "", "computed adapter", rowSo{"adapter", checks.Fail, false}, "", nil}}, nil},
		{"no capacity", []string{"capacity: 7 Ah, ", ""}, nil, WithLimitations, nil, []told{
			{"L1", "supply/standby-4", "computed sag", rowSo{"sag", checks.Undecided, false}, "", nil},
			{"L2", "", "supply", NotComputed{Row: "charger", Lacks: lack(LackCapacity)}, "", nil},
			{"L3", "", "supply", NotComputed{Row: "recharge", Lacks: lack(LackCapacity)}, "", nil},
			{"L4", "", "supply", NotComputed{Row: "standby", Lacks: lack(LackCapacity)}, "", nil}}},
	} {
		row.holds(t)
	}
}

func TestVisitFindings(t *testing.T) {
	const customer, first = programme.IDCustomer, "inspection/mains"
	begun := func(facts ...any) map[string][]any {
		return map[string][]any{first: append(facts, answer(first, record.Done))}
	}
	simulated := signal.Listening{Way: signal.Simulated, TimedBy: signal.BySeed, UncertaintyNS: 5e7, Simulated: true}
	byHand := signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, UncertaintyNS: 25e7, ByHand: true}
	again := record.Resumed{}
	practised := begun(again, simulated, again, listening)
	signs := func(s record.Signed) map[string][]any {
		s.Step, s.Role = customer, programme.Customer
		return map[string][]any{customer: {s}}
	}
	path := map[string][]any{programme.IDPath: {answer(programme.IDPath, record.No)}}
	onMains := told{"L1", programme.IDPath, "reporting on standby", PathOnMains{}, "", nil}
	with := func(s record.Signed) map[string][]any {
		out := signs(s)
		out[programme.IDPath] = path[programme.IDPath]
		return out
	}
	for _, row := range []amiss{
		{"simulated", nil, practised, WithLimitations, nil, []told{{"L1", "", "visit", Practice{}, "", nil},
			{"L2", "", "times", TimedDifferently{}, "", nil}}},
		{"timed in two ways", nil, begun(again, byHand, again, listening), WithLimitations,
			nil, []told{{"L1", "", "times", TimedDifferently{}, "", nil}}},
		{"timed in one way twice", nil, begun(again, listening), Satisfactory, nil, nil},
		{"nobody signed", nil, signs(record.Signed{Position: "was out"}), WithLimitations,
			nil, []told{{"L1", "", "customer", NobodySigned{}, "was out", nil}}},
		{"refused", nil, signs(record.Signed{Refused: true, Position: "wants a new lock"}), WithLimitations,
			nil, []told{{"L1", "", "customer", CustomerRefused{}, "wants a new lock", nil}}},
		{"signed what is listed", nil, path, WithLimitations, nil, []told{onMains}},
		{"was not shown one", nil, with(record.Signed{Name: "Odile"}), WithLimitations,
			nil, []told{onMains, {"L2", "", "customer", NotAccepted{[]string{"L1"}}, "", nil}}},
		{"refused what is listed", nil, with(record.Signed{Refused: true, Position: "no"}), WithLimitations,
			nil, []told{onMains, {"L2", "", "customer", CustomerRefused{}, "no", nil}}},
		{"nobody signed what is listed", nil, with(record.Signed{Position: "was out"}), WithLimitations,
			nil, []told{onMains, {"L2", "", "customer", NobodySigned{}, "was out", nil}}},
		{"not signed yet", nil, map[string][]any{customer: {}}, NotFinished, nil, nil},
	} {
		row.holds(t)
	}
}

// Numbers go up from 1, defects and limitations each.
func TestFindingsAreNumbered(t *testing.T) {
	var ids []string
	a := Assess(begin(t, "rating: 2 A", "rating: 89 mA").record)
	for _, f := range append(a.Findings(), a.Limitations()[:3]...) {
		ids = append(ids, f.ID)
	}
	assert.Equal(t, []string{"F1", "F2", "L1", "L2", "L3"}, ids)
}

// A retest leaves to the visit before it what it does not take.
func TestRetestExtent(t *testing.T) {
	retest := func(left ...string) *Assessment {
		keep := func(s programme.Step) bool {
			for _, id := range left {
				if s.ID == id {
					return false
				}
			}
			return true
		}
		return opening{visit: programme.Retest, keep: keep}.begin(t).take(nil)
	}
	assert.Empty(t, retest().Limitations())
	assert.Empty(t, retest(programme.IDRestart).Limitations())
	// Two detectors; voltmeter, charged, mains present, off, path, standby 1 with its proof, 2, 3, 4, its current, load,
	// its current, on, back, restart, charging; battery off and on, two faults; two outputs, three of an alarm and two
	// names: 30 steps.
	assert.Equal(t, []told{{"L1", "", "extent", RetestExtent{Steps: 29, AllSteps: 30, Detectors: 1, AllDetectors: 2}, "",
		nil}}, allTold(retest("walk/2.1").Limitations()))
}

// The bytes that a customer accepts are the same wherever they are written: characters
// stand as they were typed.
func TestWhatAFindingSays(t *testing.T) {
	f := Finding{ID: "L7", Step: "walk/1.1", Subject: Subject{Part: PartSupply}, What: NotMeasured{},
		Because: "probe <red> & black", Noted: []string{"ü"}}
	want := `{"code":"not-measured","subject":{"part":"supply"},"with":{},"because":"probe <red> & black","noted":["ü"]}`
	assert.Equal(t, want, string(f.Said()))
	assert.Panics(t, func() { Finding{What: ReadingVoid{Volt: math.Inf(1)}}.Said() },
		"rather than say nothing, which is easily accepted")
}
