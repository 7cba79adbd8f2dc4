package commission

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
)

// These journals are made of facts by hand: ways in which a visit could show
// more than was proved.

const honestSite = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
outputs: [{name: Sounder, kind: sounder, address: s}, {name: Chime, kind: chime, follows: [1]}]
`

// story folds facts, each a second after the one before unless a duration says
// how long it took.
type story struct {
	t      *testing.T
	record *Record
	now    time.Duration
	n      int
}

func begin(t *testing.T) *story {
	s := readSite(t, honestSite)
	list, err := ReadChecklist(BuiltInChecklist(Handover))
	require.NoError(t, err)
	st := &story{t: t, record: &Record{}}
	st.tell(Opened{Visit: Handover, Document: "H-1/1", SiteName: "site.yaml", Site: honestSite, Programme: Programme(s, list)},
		Listening{Source: "test", UncertaintyNS: int64(50 * time.Millisecond)})
	return st
}

func (s *story) tell(facts ...any) {
	s.t.Helper()
	for _, f := range facts {
		if d, ok := f.(time.Duration); ok {
			s.now += d
			continue
		}
		s.n++
		if reading, is := f.(Reading); is && reading.Quantity == VoltageReading {
			reading.Unit, reading.AsTyped = "V", fmt.Sprint(reading.Value, " V")
			f = reading
		}
		body, err := json.Marshal(f)
		require.NoError(s.t, err)
		at := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC).Add(s.now)
		require.NoError(s.t, s.record.Step(journal.Entry{N: s.n, At: at, Run: max(1, s.record.Runs), Elapsed: s.now, Kind: f.(Fact).Kind(), Body: body}))
	}
}

// attempt operates and restores a detector; z answers after the delays given,
// a negative one for no answer.
func (s *story) attempt(step, z string, operated, restored time.Duration, ends ...End) {
	s.t.Helper()
	end := func(i int) End {
		if i < len(ends) {
			return ends[i]
		}
		return ByTime
	}
	half := func(h Half, state State, delay time.Duration, by End) {
		s.tell(Cue{step, h})
		if delay >= 0 {
			s.tell(delay, SignalCame{Address: z, State: state})
		}
		s.tell(16*time.Second, Ended{step, by})
	}
	half(Operate, Active, operated, end(0))
	if operated >= 0 {
		half(Restore, Restored, restored, end(1))
	}
}

func (s *story) about(list []Finding, about string) string {
	for _, f := range list {
		if f.About == about {
			return f.Text
		}
	}
	return ""
}

const fast = 400 * time.Millisecond

// A voltage "on standby" that was read with mains present shows nothing, and one
// "under load" with the sounder off neither; a failed reading stays readable.
func TestReadingsInTheWrongStateShowNothing(t *testing.T) {
	s := begin(t)
	volts := func(step string, v float64) Reading {
		return Reading{Step: step, Quantity: VoltageReading, Value: v, Unit: "V", Uncertainty: 0.05}
	}
	s.tell(Answer{Step: stepMainsOff, Result: Done}, volts("supply/standby-4", 9.8), Energised{Output: "Sounder", On: true, By: "controller"}, volts(stepAlarmLoad, 9),
		Energised{Output: "Sounder", On: false, By: "controller"}, Answer{Step: stepMainsOn, Result: Done})
	assert.Len(t, supplyFindings(Assess(s.record)), 2)

	s.tell(Reopened{"supply/standby-4"}, Reopened{stepAlarmLoad})
	assert.False(t, s.record.Find(stepMainsOff).Concluded(), "mains has to be removed again")
	s.tell(volts("supply/standby-4", 13.6), volts(stepAlarmLoad, 13.6))
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations, "Supply voltage, mains removed, after 1 min"), "read while mains was present")
	assert.Contains(t, s.about(a.Limitations, "Supply voltage, mains removed, sounder on"), "read while mains was present")
	assert.Len(t, s.record.Find("supply/standby-4").Readings, 2, "the failed one is kept")

	s.tell(Answer{Step: stepMainsOff, Result: Done}, Reopened{stepAlarmLoad}, volts(stepAlarmLoad, 12.4))
	assert.Contains(t, s.about(Assess(s.record).Limitations, "Supply voltage, mains removed, sounder on"), "read while Sounder was off")
}

func supplyFindings(a *Assessment) (out []Finding) {
	for _, f := range a.Findings {
		if f.Step == "supply/standby-4" || f.Step == stepAlarmLoad {
			out = append(out, f)
		}
	}
	return out
}

// Mains has to come back, and nobody is satisfied before.
func TestMainsThatStaysRemovedIsADefect(t *testing.T) {
	s := begin(t)
	s.tell(Answer{Step: stepMainsOff, Result: Done}, Answer{Step: stepMainsOn, Result: Done}, Reopened{stepMainsOff}, Answer{Step: stepMainsOff, Result: Done})
	assert.False(t, s.record.Find(stepMainsOn).Concluded())
	assert.Contains(t, s.about(Assess(s.record).Findings, "Supply"), "mains is still removed")
}

// Misses do not vanish with the key that tries again.
func TestMissesThatWereBrokenOffCount(t *testing.T) {
	s := begin(t)
	for range 5 {
		s.attempt("walk/1.1", "z1", -1, 0, ByAgain)
	}
	s.attempt("walk/1.1", "z1", 9*time.Second, fast, ByTime, ByAgain) // late, its restore broken off
	s.attempt("walk/1.1", "z1", fast, fast)
	a := Assess(s.record)
	assert.Equal(t, Proof{Operations: 7, Reported: 2, LowerBound: a.Proof.LowerBound, NeededFor99: 299, Confidence: 0.95}, a.Proof)
	assert.Equal(t, 6, a.Detectors[0].Step.BrokenOff())
	assert.Equal(t, Proved, a.Detectors[0].Verdict)

	s = begin(t)
	s.tell(Cue{"walk/1.1", Operate}, time.Second, Ended{"walk/1.1", ByAgain}) // at once: no miss, nobody had operated it
	assert.Zero(t, Assess(s.record).Proof.Operations)
}

// "Nothing came" said in the moment that something came proves nothing.
func TestSilentByKeyDoesNotProve(t *testing.T) {
	s := begin(t)
	s.tell(Cue{"walk/1.1", Operate}, fast, SignalCame{Address: "z1", State: Active}, time.Millisecond, Ended{"walk/1.1", BySilent})
	assert.Equal(t, Void, s.record.Find("walk/1.1").Attempts[0].Operate.Judge().Verdict)
}

// A detector that sets another zone off as well is proved, with a limitation.
func TestAnotherZoneThatAnswersAsWellIsTold(t *testing.T) {
	s := begin(t)
	s.tell(Cue{"walk/1.1", Operate}, fast, SignalCame{Address: "z2", State: Active}, SignalCame{Address: "z1", State: Active}, 2*time.Second, Ended{"walk/1.1", ByTime})
	s.tell(Cue{"walk/1.1", Restore}, fast, SignalCame{Address: "z1", State: Restored}, 2*time.Second, Ended{"walk/1.1", ByTime})
	a := Assess(s.record)
	assert.Equal(t, Proved, a.Detectors[0].Verdict)
	assert.Contains(t, s.about(a.Limitations, "1.1 Door"), "zone 2 (Window) answered as well")
}

// A proof on standby needs mains to be off when the cue is given, not when the
// step is concluded.
func TestProofOnStandbyNeedsMainsOffAtTheCue(t *testing.T) {
	s := begin(t)
	s.attempt("supply/proof-1.1", "z1", fast, fast)
	s.tell(Answer{Step: stepMainsOff, Result: Done}, Reopened{"supply/proof-1.1"}, Answer{Step: "supply/proof-1.1", Result: LeftOut, Remark: "skipped"})
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations, "1.1 Door, on standby"), "mains had not been removed")
}

// Leaving a step out does not launder what it showed.
func TestLeavingOutHidesNothing(t *testing.T) {
	s := begin(t)
	s.attempt("walk/1.1", "z1", fast, fast)
	s.tell(Reopened{"walk/1.1"}, Answer{Step: "walk/1.1", Result: LeftOut, Remark: "torn off the wall"})
	assert.Contains(t, s.about(Assess(s.record).Limitations, "1.1 Door"), "torn off the wall")

	chime := "outputs/Chime/zone-1"
	s.tell(Cue{chime, Operate}, 15*time.Second, Ended{chime, BySilent}, Cue{chime, Operate}, time.Second, Ended{chime, BySkip}, Answer{Step: chime, Result: LeftOut, Remark: "enough"})
	assert.Contains(t, s.about(Assess(s.record).Findings, "Chime with zone 1"), "not heard")
}

// The last cold restart counts, whichever way the one before went.
func TestTheLastRestartCounts(t *testing.T) {
	s := begin(t)
	restart := func(after time.Duration) {
		s.tell(Cue{stepRestart, Operate})
		if after >= 0 {
			s.tell(after, SignalCame{Address: "z2", State: Active})
		}
		s.tell(240*time.Second, Ended{stepRestart, ByTime})
	}
	restart(20 * time.Second)
	assert.Equal(t, Proved, Assess(s.record).Restart.Verdict)
	restart(200 * time.Second)
	assert.Equal(t, Late, Assess(s.record).Restart.Verdict)
	restart(-1)
	assert.Equal(t, Silent, Assess(s.record).Restart.Verdict)
	restart(20 * time.Second)
	assert.Equal(t, Proved, Assess(s.record).Restart.Verdict)
}

// Who has signed has not seen what comes of a step that is taken again; and a
// customer who does not accept is a limitation.
func TestReopeningVoidsSignatures(t *testing.T) {
	s := begin(t)
	s.tell(Signed{Step: stepTechnician, Role: "technician", Name: "Ignace"}, Reopened{"walk/1.1"})
	assert.False(t, s.record.Find(stepTechnician).Concluded())
	assert.Nil(t, s.record.Find(stepTechnician).Signed)
	s.tell(Signed{Step: stepCustomer, Role: "customer", Position: "does not accept"})
	assert.Contains(t, s.about(Assess(s.record).Limitations, "Customer"), "does not accept")
}

// The end of a wait that the loss of the connection had ended already makes no
// journal unreadable.
func TestLossAndEndInTheSameMoment(t *testing.T) {
	s := begin(t)
	s.tell(Cue{"walk/1.1", Operate}, Connection{Up: false}, Ended{"walk/1.1", ByTime})
	assert.Equal(t, Void, s.record.Find("walk/1.1").Attempts[0].Operate.Judge().Verdict)
}

// Keys tell no state between trials: a zone that was left open by one attempt can
// be proved in the next.
func TestKeyTimedTrialsBeginAtRest(t *testing.T) {
	s := begin(t)
	s.tell(Listening{Source: "keys", TimedBy: "by hand", UncertaintyNS: int64(250 * time.Millisecond), ByHand: true})
	s.attempt("walk/1.1", "z1", fast, -1, ByTime, ByAgain)
	s.attempt("walk/1.1", "z1", fast, fast)
	assert.Equal(t, Proved, Assess(s.record).Detectors[0].Verdict)
}

// A report that no rule understands is told, not called silence.
func TestGarbledReportIsTold(t *testing.T) {
	s := begin(t)
	s.tell(Cue{"walk/1.1", Operate}, fast, SignalCame{Address: "z1", State: NotUnderstood, Raw: `"Opened"`}, 15*time.Second, Ended{"walk/1.1", ByTime})
	assert.Contains(t, s.about(Assess(s.record).Findings, "1.1 Door"), `reported "Opened" when operated, which controller.yaml does not know`)
}

// An answer is remembered over a break, and only over a break.
func TestGivenAnswers(t *testing.T) {
	s := begin(t)
	s.tell(Given{stepVoltmeter, stepVoltmeter, "meter 7"})
	step := s.record.Find(stepVoltmeter)
	_, there := s.record.Given(step, stepVoltmeter)
	assert.False(t, there, "asked again in the same run: it is meant")
	s.record.Runs = 2
	text, there := s.record.Given(step, stepVoltmeter)
	assert.True(t, there)
	assert.Equal(t, "meter 7", text)
	s.tell(Instrument{Step: stepVoltmeter, Name: "meter 7", Calibrated: "2020-01-01"})
	_, there = s.record.Given(step, stepVoltmeter)
	assert.False(t, there, "concluded")
	assert.Contains(t, s.about(Assess(s.record).Limitations, "Voltmeter"), "calibration was valid until 2020-01-01 only")
}

// A defect that was put right and a chime that was heard at last tell what was
// before.
func TestEarlierAnswersAreKept(t *testing.T) {
	s := begin(t)
	s.tell(Answer{Step: "inspection/fixing", Result: Defect, Remark: "bracket loose"}, Reopened{"inspection/fixing"}, Answer{Step: "inspection/fixing", Result: Done})
	assert.Equal(t, []Answer{{Step: "inspection/fixing", Result: Defect, Remark: "bracket loose"}}, s.record.Find("inspection/fixing").Earlier)

	chime := "outputs/Chime/zone-1"
	for range 3 {
		s.tell(Cue{chime, Operate}, 15*time.Second, Ended{chime, ByTime})
	}
	s.tell(Cue{chime, Operate}, time.Second, Ended{chime, ByHeard})
	for _, o := range Assess(s.record).Outputs {
		if o.Step.ID == chime {
			assert.Equal(t, Proved, o.Verdict)
			assert.Contains(t, o.Remarks, "trial 4; before: not heard in 3")
		}
	}
}

// A slope is taken over one discharge, and only over one that is long enough.
func TestSagOfOneDischarge(t *testing.T) {
	s := begin(t)
	volts := func(step string, v float64) Reading {
		return Reading{Step: step, Quantity: VoltageReading, Value: v, Unit: "V", Uncertainty: 0.05}
	}
	discharge := func(minute time.Duration, first float64) {
		s.tell(Answer{Step: stepMainsOff, Result: Done})
		for i, step := range []string{"supply/standby-1", "supply/standby-2", "supply/standby-3", "supply/standby-4"} {
			s.tell(volts(step, first-0.01*float64(i)), minute)
		}
		s.tell(Answer{Step: stepMainsOn, Result: Done})
	}
	discharge(3*time.Minute, 12.7)
	sag := func() Computed { return sagOf(Assess(s.record)) }
	assert.Contains(t, sag().Result, "−0.20 V an hour")
	s.tell(time.Hour, Answer{Step: stepMainsOff, Result: Done}, volts("supply/standby-4", 11.9))
	assert.Contains(t, sag().Missing, "fewer than three voltages")
	discharge(20*time.Second, 12.7)
	assert.Contains(t, sag().Missing, "tell no slope")
}

// What was not stated is not printed as exact.
func TestUncertaintyThatWasNotStated(t *testing.T) {
	s := begin(t)
	s.tell(Reading{Step: stepMainsPresent, Quantity: VoltageReading, Value: 13.6, Unit: "V"})
	assert.Contains(t, floatOf(Assess(s.record)).Inputs, "13.60 V (uncertainty not stated)")
}

// An output that would not stop, an address that reports nonsense, and a customer
// who refuses stand on the certificate.
func TestTroublesAreLimitations(t *testing.T) {
	s := begin(t)
	s.tell(Energised{Output: "Sounder", On: true, By: "controller"}, Energised{Output: "Sounder", On: true, By: "controller", Failed: "not connected"},
		Energised{Output: "Sounder", By: "controller"}, Answer{Step: "outputs/Sounder", Result: Works},
		SignalCame{Address: "z2", State: NotUnderstood, Raw: `"ajar"`}, Connection{Up: false, Detail: "EOF"}, 9*time.Second, Connection{Up: true},
		Signed{Step: stepCustomer, Role: "customer", Refused: true, Position: "wants the window repaired"})
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations, "Sounder"), "could not be switched off at once: not connected")
	assert.Contains(t, s.about(a.Limitations, "Zone 2 Window"), `reported "ajar"`)
	assert.Contains(t, s.about(a.Limitations, "Customer"), "does not accept it: wants the window repaired")
	require.Len(t, s.record.Outages, 1)
	assert.Equal(t, 9*time.Second, s.record.Outages[0].To.Sub(s.record.Outages[0].From))
	assert.Empty(t, s.record.Energised)
}

// A loop reading at rest means what Kirchhoff says of the site's wiring.
func TestLoopReadings(t *testing.T) {
	for _, tc := range []struct {
		reading Reading
		verdict string
		result  string
	}{
		{Reading{Value: 6, AsTyped: "6 ohm"}, "pass", "normal or shorted"},
		{Reading{Open: true, AsTyped: "open"}, "fail", "active or cut"},
		{Reading{Value: 4700, AsTyped: "4k7"}, "fail", "no state of this circuit explains it"},
	} {
		s := begin(t)
		tc.reading.Step, tc.reading.Quantity = "walk/1.1", LoopReading
		s.tell(tc.reading)
		found := loopsOf(Assess(s.record))
		require.Len(t, found, 1)
		assert.Equal(t, tc.verdict, string(found[0].Verdict))
		assert.Equal(t, tc.result, found[0].Result)
		assert.False(t, s.record.Find("walk/1.1").Concluded(), "a reading is no trial")
	}
}

// A programme that leaves out most of what is fitted certifies only the rest, and says
// so by name.
func TestWhatIsNoPartOfTheVisitIsListed(t *testing.T) {
	s := readSite(t, honestSite)
	list, err := ReadChecklist(BuiltInChecklist(Handover))
	require.NoError(t, err)
	limits := func(keep func(Step) bool, kind VisitKind) []string {
		var programme []Step
		for _, step := range Programme(s, list) {
			if keep(step) {
				programme = append(programme, step)
			}
		}
		st := &story{t: t, record: &Record{}}
		st.tell(Opened{Visit: kind, Document: "H-1/1", SiteName: "site.yaml", Site: honestSite, Programme: programme})
		var out []string
		for _, f := range Assess(st.record).Limitations {
			if f.Step == "" {
				out = append(out, f.About+": "+f.Text)
			}
		}
		return out
	}
	assert.NotContains(t, limits(func(Step) bool { return true }, Handover), "no part of this visit")
	few := limits(func(s Step) bool { return s.Point == "1.1" && s.Stage == WalkTest }, Handover)
	for _, want := range []string{"2.1 Window (zone 2, Window)", "Sounder", "Chime with zone 1", "The voltmeter that the supply is measured with", "Supply voltage, mains removed, sounder on", "Name of the customer"} {
		assert.Contains(t, few, want+": no part of this visit: not tested")
	}
	assert.NotContains(t, few, "1.1 Door (zone 1, Door): no part of this visit: not tested")
	onStandbyOnly := limits(func(s Step) bool { return s.Stage == SupplyTest }, Maintenance)
	assert.Contains(t, onStandbyOnly, "1.1 Door (zone 1, Door): no part of this visit: not tested", "proved on standby alone is not the walk-test")
	retest := limits(func(s Step) bool { return s.ID == "walk/1.1" }, Retest)
	require.Len(t, retest, 1)
	assert.Contains(t, retest[0], "of a whole visit were part of it, with 1 of the site's 2 detectors; for the others see the visit that it follows")
}
