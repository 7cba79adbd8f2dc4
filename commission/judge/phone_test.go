package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ahead is by how much the phone's clock is behind that of the program.
const ahead = 90 * time.Second

// tapOf is a touch at an instant of the run, known to half.
func tapOf(by record.TapBy, at, half time.Duration) *record.Tap {
	return &record.Tap{DeviceNS: int64(at - ahead), EarliestNS: int64(ahead - half), LatestNS: int64(ahead + half), By: by}
}

// roams operates a detector in the technician's own order and tells of it when it is at rest
// again: report and restore come so long after the touch. half is how well its instant is
// known; 0 for no touch. A negative report never comes.
func (s *story) roams(step, z string, half, report, restore time.Duration) {
	s.t.Helper()
	touched := s.elapsed()
	if report >= 0 {
		s.tell(report, is(z, signal.Active), restore-report, is(z, signal.Restored))
	}
	s.tell(2 * time.Second)
	s.claims(step, half, touched, touched+report, report < 0)
}

// claims tells of a detector that was touched, and reported, at instants of the run.
func (s *story) claims(step string, half, touched, reported time.Duration, silent bool) {
	s.t.Helper()
	cue := record.Cue{Step: step, Half: record.Operate, Own: true}
	switch {
	case half > 0:
		cue.Tap, cue.UncertaintyNS = tapOf(record.ByTouch, touched, half), int64(half)
		cue.BeforeNS = int64(s.elapsed() + walking - touched)
	case silent:
		cue.NotTimed, cue.BeforeNS = record.NoTouch, int64(s.elapsed()+walking-touched)
	default:
		cue.NotTimed, cue.BeforeNS = record.NoTouch, int64(s.elapsed()+walking-reported)+1
	}
	s.tell(cue)
	if silent {
		s.tell(20*time.Second, record.Ended{Step: step, By: record.BySilent})
		return
	}
	s.tell(record.Ended{Step: step, By: record.ByTime})
	if s.record.Find(step).Attempts()[0].Operate.Judge().Answered() {
		s.tell(record.Cue{Step: step, Half: record.Restore, Own: true, NotTimed: record.OwnTime,
			BeforeNS: int64(s.elapsed() - reported)}, record.Ended{Step: step, By: record.ByTime})
	}
}

// counts proves a detector by the count of the phone, which is known to half.
func (s *story) counts(step, z string, half time.Duration) {
	s.t.Helper()
	s.tell(2*time.Second, record.Cue{Step: step, Half: record.Operate, BeforeNS: int64(500 * time.Millisecond),
		Tap: tapOf(record.ByCount, s.elapsed()+2*time.Second+walking-500*time.Millisecond, half), UncertaintyNS: int64(half)})
	s.tell(300*time.Millisecond, is(z, signal.Active), 2*time.Second, record.Ended{Step: step, By: record.ByTime})
	s.trial(step, record.Restore, record.ByTime, fast, is(z, signal.Restored))
}

// signature is one as it is drawn on glass.
func signature(more int16) *record.Strokes {
	return &record.Strokes{Width: 600, Height: 200, Lines: [][]int16{
		{40, 150, 60, 60, 80, 40, 95, 70, 90, 150, 120, 100, 150, 95, 155, 150, 190, 100, 230 + more, 150, 300, 90, 420, 120},
		{60, 170, 250, 160, 520 + more, 165}}}
}

// tellReported shows a visit where all is well but that nobody touched before operating.
func tellReported(s *story) {
	s.open(satisfactorySite, programme.Handover, ownList)
	s.tell(listening, record.Held{By: record.OnPhone, Device: "Bramble 7"})
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.roams("walk/1.1", "z1", 0, fast, 3*time.Second)
	s.tell(meter("meter 7", "2027-01-01", 0.05), record.Answer{Step: programme.IDCharged, Result: record.Yes},
		volts(programme.IDMainsPresent, 12.5, 0.05))
	s.mainsOff()
	s.tell(record.Answer{Step: programme.IDPath, Result: record.Yes}, volts("supply/standby-1", 12.4, 0.05))
	s.roams("supply/proof-1.1", "z1", 0, fast, 3*time.Second)
	s.tell(time.Minute, volts("supply/standby-2", 12.39, 0.05), 4*time.Minute, volts("supply/standby-3", 12.35, 0.05),
		5*time.Minute, volts("supply/standby-4", 12.32, 0.05), milliampere(s.t, programme.IDStandbyCurrent, "96 mA"))
	s.tell(sounds(record.SwitchedByController, time.Second, volts(programme.IDAlarmLoad, 12.15, 0.05))...)
	s.tell(sounds(record.SwitchedByController, milliampere(s.t, programme.IDAlarmCurrent, "390 mA"))...)
	s.tell(done(programme.IDMainsOn)...)
	s.tell(volts(programme.IDMainsBack, 12.41, 0.05))
	s.trial(programme.IDRestart, record.Operate, record.ByTime, 40*time.Second, is("z1", signal.Restored))
	s.tell(sounds(record.SwitchedByController, loud("outputs/Sounder", 110, 1, 45, 1), 15*time.Minute,
		record.Reading{Step: "outputs/Sounder", Quantity: record.CutOffReading, Value: 900, Unit: "s", AsTyped: "15 min"})...)
	s.tell(record.Answer{Step: "outputs/Sounder", Result: record.Works})
	s.alarms()
	s.tell(volts(programme.IDCharging, 12.47, 0.05))
	s.faultsSeen()
	var accepted []record.Acceptance
	for _, f := range Assess(s.record).Limitations() {
		accepted = append(accepted, record.Acceptance{ID: f.ID, Said: f.Said(), Shown: "shown"})
	}
	s.signed(record.Signed{Name: "Ottoline", Accepted: accepted, Strokes: signature(0)})
}

const roamedSite = head + `supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Bank, kind: window, wiring: normally closed, address: z1, detectors: [left, middle, right]}
  - {number: 2, name: Door, kind: door, wiring: normally closed, address: z2, detectors: [touched]}
  - {number: 3, name: Edge, kind: door, wiring: normally closed, address: z3, detectors: [near its limit]}
  - {number: 4, name: Crossed, kind: window, wiring: normally closed, address: z4, detectors: [crossed]}
  - {number: 5, name: Loose, kind: door, wiring: normally closed, address: z5, detectors: [chatters]}
  - {number: 6, name: Cut, kind: window, wiring: normally closed, address: z6, detectors: [silent, never heard of]}
  - {number: 7, name: Counted, kind: door, wiring: normally closed, address: z7, detectors: [counted]}
  - {number: 8, name: Told, kind: door, wiring: normally closed, address: z8, detectors: [told]}
  - {number: 9, name: Smoke, kind: smoke, wiring: normally open, address: z9, detectors: [reported]}
  - {number: 10, name: Asleep, kind: door, wiring: normally closed, address: z10, detectors: [clock unknown]}
limits: {response: 2 s, listen_for: 15 s, source: the insurer}
`

// tellRoamed shows a walk alone: detectors operated in the technician's own order, touched and
// untouched, one by the phone's count and one by the program's cue; one crossed, one that
// chatters, one silent; a touch whose clock is not known; and names drawn on glass.
func tellRoamed(s *story) {
	s.open(roamedSite, programme.Handover, ownList)
	s.tell(listening, signal.Connection{Up: true}, record.Held{By: record.OnPhone, Device: "Bramble 7, 360 × 780"})
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.roams("walk/1.2", "z1", 0, fast, 2*time.Second)
	s.roams("walk/1.1", "z1", 0, fast, 20*time.Second)
	s.roams("walk/1.3", "z1", 12*time.Millisecond, fast, 3*time.Second)
	s.roams("walk/2.1", "z2", 31*time.Millisecond, 620*time.Millisecond, 4*time.Second)
	s.roams("walk/3.1", "z3", 8*time.Millisecond, 2100*time.Millisecond, 5*time.Second)
	at := s.elapsed()
	s.tell(fast, is("z1", signal.Active), time.Second, is("z1", signal.Restored), time.Second)
	s.claims("walk/4.1", 0, at, at+fast, false)
	at = s.elapsed()
	s.tell(fast, is("z5", signal.Active), fast, is("z5", signal.Restored), fast, is("z5", signal.Active), fast,
		is("z5", signal.Restored), time.Second)
	s.claims("walk/5.1", 0, at, at+fast, false)
	s.roams("walk/6.1", "z6", 0, -1, 0)
	s.tell(record.Answer{Step: "walk/6.1", Result: record.AsItIs})
	s.counts("walk/7.1", "z7", 20*time.Millisecond)
	s.tell(record.Held{By: record.AtTerminal})
	s.proves("walk/8.1", "z8")
	s.tell(record.Held{By: record.OnPhone, Device: "Bramble 7, 360 × 780"})
	s.roams("walk/9.1", "z9", 0, 9*time.Second, 70*time.Second)
	at = s.elapsed()
	s.tell(fast, is("z10", signal.Active), 2*time.Second, is("z10", signal.Restored), time.Second)
	s.tell(record.Cue{Step: "walk/10.1", Half: record.Operate, Own: true, NotTimed: record.ClockUnknown,
		BeforeNS: int64(s.elapsed()+walking-at-fast) + 1}, record.Ended{Step: "walk/10.1", By: record.ByTime})
	s.tell(record.Cue{Step: "walk/10.1", Half: record.Restore, Own: true, NotTimed: record.OwnTime,
		BeforeNS: int64(s.elapsed() - at - fast)}, record.Ended{Step: "walk/10.1", By: record.ByTime})
	for _, open := range s.record.OpenBefore(programme.StageSignOff) {
		if open.Step().Kind != programme.StepDetector || open.Step().ID == "walk/6.2" {
			s.tell(record.Answer{Step: open.Step().ID, Result: record.LeftOut, Remark: "no time"})
		} else {
			s.tell(record.Answer{Step: open.Step().ID, Result: record.AsItIs})
		}
	}
	s.tell(record.Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "Ignace", Strokes: signature(0)},
		record.Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "Ottoline", Position: "owner",
			Strokes: signature(60)})
}

// tellKeys shows signals that are keys of the phone that the touches are given with.
func tellKeys(s *story) {
	s.open(smallSite, programme.Maintenance, ownList)
	s.tell(signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, UncertaintyNS: 25e7, ByHand: true},
		record.Held{By: record.OnPhone, Device: "Bramble 7"})
	s.counts("walk/1.1", "z1", 20*time.Millisecond)
	s.counts("walk/2.1", "z2", 60*time.Millisecond)
}

// What was reported and not timed proves that it is reported, and limits that visit by one line
// that a retest takes again.
func TestReportedOnly(t *testing.T) {
	s := &story{t: t, record: &record.Record{}}
	tellReported(s)
	a := Assess(s.record)
	assert.Equal(t, WithLimitations, a.Result())
	assert.Empty(t, a.Findings(), "proved to be reported: no finding, and not none proved")
	require.Len(t, a.Limitations(), 2)
	assert.Equal(t, NotTimed{Why: record.NoTouch, Of: []site.Point{"1.1"}}, a.Limitations()[0].What)
	assert.Equal(t, NotTimed{Why: record.NoTouch, Of: []site.Point{"1.1"}, OnStandby: true}, a.Limitations()[1].What)
	assert.Equal(t, map[string]bool{"walk/1.1": true, "supply/proof-1.1": true}, Unsatisfied(s.record))
	assert.Equal(t, Advice, a.Limitations()[0].Severity())
	assert.Zero(t, a.Summary().N)
	assert.Zero(t, a.Summary().Limit)
	assert.Empty(t, a.Responses())
	assert.Equal(t, map[record.Verdict]int{record.Reported: 1}, a.Counts())
	assert.Equal(t, Cues{NotTimed: 2}, a.Cues())
	assert.False(t, a.Cues().ByPhone())
	assert.Equal(t, Operations{Operated: 2, Reported: 2, Repeated: 1, OnStandby: 1}, a.Operations())
}

func TestRoamed(t *testing.T) {
	s := &story{t: t, record: &record.Record{}}
	tellRoamed(s)
	a := Assess(s.record)
	assert.Equal(t, Unsatisfactory, a.Result())
	verdicts := map[site.Point]record.Verdict{}
	for _, d := range a.Detectors() {
		verdicts[d.Name.Point] = d.Verdict
	}
	assert.Equal(t, map[site.Point]record.Verdict{
		"1.1": record.Reported, "1.2": record.Reported, "1.3": record.Proved, "2.1": record.Proved, "3.1": record.Undecided,
		"4.1": record.Crossed, "5.1": record.Unsteady, "6.1": record.Silent, "6.2": record.NotTested, "7.1": record.Proved,
		"8.1": record.Proved, "9.1": record.Reported, "10.1": record.Reported}, verdicts)
	for _, code := range []string{"4.1 shown/crossed", "5.1 shown/unsteady", "6.1 shown/silent"} {
		point, want := code[:3], code[4:]
		assert.Equal(t, []string{want}, s.codes(a.Findings(), point))
	}
	assert.Equal(t, []string{"shown/undecided"}, s.codes(a.Limitations(), "3.1"))
	assert.Equal(t, []string{"not-timed", "not-timed"}, s.codes(a.Limitations(), "times"))
	assert.Equal(t, []float64{0.4, 0.4, 0.62, 0.8, 2.1}, a.Responses(), "what was not timed has no response")
	// 50 ms of the source, 31 ms of the clock, 200 ms of the person (JCGM 100, 5.1.2).
	assert.InDelta(t, 0.2085, a.Summary().UncertaintySecond, 1e-4)
	assert.Equal(t, Cues{Told: 1, Touched: 3, Counted: 1, NotTimed: 7, Widest: 31 * time.Millisecond,
		Typical: 20 * time.Millisecond}, a.Cues())
	assert.True(t, a.Cues().ByPhone())
	assert.Equal(t, []string{"only-reported"}, s.codes(a.Notes(), "zone 9"))
	var rests [][]string
	for _, f := range a.Limitations() {
		if f.Subject.Part == PartTimes {
			rests = append(rests, a.RestsOn(f))
		}
	}
	assert.Equal(t, [][]string{{"walk/1.1", "walk/1.2", "walk/9.1"}, {"walk/10.1"}}, rests)
	for _, d := range a.Detectors() {
		if d.Name.Point == "1.3" {
			assert.Equal(t, record.Reported, d.Restored.Verdict, "its restore limits nothing")
		}
	}
}

// A key of the terminal is not by the phone's clock.
func TestKeysOfThePhone(t *testing.T) {
	s := &story{t: t, record: &record.Record{}}
	tellKeys(s)
	cues := Cues{Counted: 2, Widest: 60 * time.Millisecond, Typical: 60 * time.Millisecond, OwnClock: true}
	assert.Equal(t, cues, Assess(s.record).Cues())
	assert.True(t, cues.ByPhone())
	s.tell(record.Held{By: record.AtTerminal})
	s.counts("walk/2.1", "z2", 40*time.Millisecond)
	assert.Equal(t, Cues{Counted: 3, Widest: 60 * time.Millisecond, Typical: 40 * time.Millisecond},
		Assess(s.record).Cues())
}

const lifeSafetySite = head + `supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [a]}
  - {number: 2, name: Smoke, kind: smoke, wiring: normally open, address: z2, detectors: [b, c, {name: d, kind: door}]}
`

// That a life-safety detector was timed is said only of one that was: what became of a door on
// its zone, or of another zone, is no matter.
func TestOnlyReportedOrTimed(t *testing.T) {
	reported := func(s *story, step, z string) { s.roams(step, z, 0, time.Second, 70*time.Second) }
	timed := func(s *story, step, z string) { s.roams(step, z, time.Millisecond, time.Second, 70*time.Second) }
	for name, test := range map[string]struct {
		tell func(*story)
		want string
	}{
		"nothing was tried": {func(*story) {}, "only-timed"},
		"one was timed": {func(s *story) {
			reported(s, "walk/2.1", "z2")
			timed(s, "walk/2.2", "z2")
		}, "only-timed"},
		"one was reported, nothing came of the other": {func(s *story) { reported(s, "walk/2.1", "z2") }, "only-reported"},
		"one was reported first": {func(s *story) {
			reported(s, "walk/2.1", "z2")
			s.tell(record.Answer{Step: "walk/2.2", Result: record.LeftOut, Remark: "no time"})
		}, "only-reported"},
		"doors were timed": {func(s *story) {
			timed(s, "walk/1.1", "z1")
			reported(s, "walk/2.1", "z2")
			timed(s, "walk/2.3", "z2")
		}, "only-reported"},
		"doors were reported": {func(s *story) { reported(s, "walk/1.1", "z1"); reported(s, "walk/2.3", "z2") },
			"only-timed"},
	} {
		s := &story{t: t, record: &record.Record{}}
		s.open(lifeSafetySite, programme.Handover, ownList)
		s.tell(listening)
		test.tell(s)
		assert.Equal(t, []string{test.want}, s.codes(Assess(s.record).Notes(), "zone 2"), name)
	}
}
