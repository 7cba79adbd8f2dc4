package judge

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// These journals are made of facts by hand: ways in which a visit could show
// more than was proved.

// A voltage "on standby" that was read with mains present shows nothing, and one
// "under load" with the sounder off neither; a failed reading stays readable.
func TestReadingsInTheWrongStateShowNothing(t *testing.T) {
	s := begin(t)
	s.tell(record.Answer{Step: programme.IDMainsOff, Result: record.Done}, reads("supply/standby-4", 9.8),
		record.Energised{Output: "Sounder", On: true, By: "controller"}, reads(programme.IDAlarmLoad, 9),
		record.Energised{Output: "Sounder", On: false, By: "controller"},
		record.Answer{Step: programme.IDMainsOn, Result: record.Done})
	assert.Len(t, outsideLimits(Assess(s.record)), 2)

	s.tell(record.Reopened{Step: "supply/standby-4"}, record.Reopened{Step: programme.IDAlarmLoad})
	assert.False(t, s.record.Find(programme.IDMainsOff).Concluded(), "mains has to be removed again")
	s.tell(reads("supply/standby-4", 13.6), reads(programme.IDAlarmLoad, 13.6))
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations(), "supply/standby-4"), `"why":"mains present"`)
	assert.Contains(t, s.about(a.Limitations(), programme.IDAlarmLoad), `"why":"mains present"`)
	assert.Len(t, s.record.Find("supply/standby-4").Readings(), 2, "the failed one is kept")

	s.tell(record.Answer{Step: programme.IDMainsOff, Result: record.Done},
		record.Reopened{Step: programme.IDAlarmLoad}, reads(programme.IDAlarmLoad, 12.4))
	assert.Contains(
		t,
		s.about(Assess(s.record).Limitations(), programme.IDAlarmLoad),
		`"why":"output off","output":"Sounder"`,
	)
}

func outsideLimits(a *Assessment) (out []Finding) {
	for _, f := range a.Findings() {
		if f.Code() == "reading-outside" {
			out = append(out, f)
		}
	}
	return out
}

// Mains has to come back, and nobody is satisfied before.
func TestMainsThatStaysRemovedIsADefect(t *testing.T) {
	s := begin(t)
	s.tell(record.Answer{Step: programme.IDMainsOff, Result: record.Done},
		record.Answer{Step: programme.IDMainsOn, Result: record.Done}, record.Reopened{Step: programme.IDMainsOff},
		record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	assert.False(t, s.record.Find(programme.IDMainsOn).Concluded())
	assert.Contains(t, s.about(Assess(s.record).Findings(), "supply"), `"code":"mains-still-removed"`)
}

// Misses do not vanish with the key that tries again.
func TestMissesThatWereBrokenOffCount(t *testing.T) {
	s := begin(t)
	for range 5 {
		s.attempt("walk/1.1", "z1", -1, 0, record.ByAgain)
	}
	s.attempt("walk/1.1", "z1", 9*time.Second, fast, record.ByTime, record.ByAgain) // late, its restore broken off
	s.attempt("walk/1.1", "z1", fast, fast)
	a := Assess(s.record)
	assert.Equal(t, Operations{Operated: 7, Reported: 2, Repeated: 6}, a.Operations())
	assert.Equal(t, []int{7, 2}, []int{a.Proofs()[0].Operations, a.Proofs()[0].Reported})
	assert.Equal(t, 6, a.Detectors()[0].Outcome.BrokenOff())
	assert.Equal(t, record.Proved, a.Detectors()[0].Verdict)

	s = begin(t)
	s.tell(record.Cue{Step: "walk/1.1", Half: record.Operate}, time.Second,
		record.Ended{Step: "walk/1.1", By: record.ByAgain}) // at once: no miss, nobody had operated it
	assert.Zero(t, Assess(s.record).Operations())
}

// "Nothing came" said in the moment that something came proves nothing.
func TestSilentByKeyDoesNotProve(t *testing.T) {
	s := begin(t)
	s.tell(record.Cue{Step: "walk/1.1", Half: record.Operate}, fast,
		signal.Signal{Address: "z1", State: signal.Active}, time.Millisecond,
		record.Ended{Step: "walk/1.1", By: record.BySilent})
	assert.Equal(t, record.Void, s.record.Find("walk/1.1").Attempts()[0].Operate.Judge().Verdict)
}

// A detector that sets another zone off as well is proved, with a limitation.
func TestAnotherZoneThatAnswersAsWellIsTold(t *testing.T) {
	s := begin(t)
	s.tell(record.Cue{Step: "walk/1.1", Half: record.Operate}, fast,
		signal.Signal{Address: "z2", State: signal.Active}, signal.Signal{Address: "z1", State: signal.Active},
		2*time.Second, record.Ended{Step: "walk/1.1", By: record.ByTime})
	s.tell(record.Cue{Step: "walk/1.1", Half: record.Restore}, fast,
		signal.Signal{Address: "z1", State: signal.Restored}, 2*time.Second,
		record.Ended{Step: "walk/1.1", By: record.ByTime})
	a := Assess(s.record)
	assert.Equal(t, record.Proved, a.Detectors()[0].Verdict)
	assert.Contains(t, s.about(a.Limitations(), "1.1"), `"code":"also-answered"`)
}

// A proof on standby needs mains to be off when the cue is given, not when the
// step is concluded.
func TestProofOnStandbyNeedsMainsOffAtTheCue(t *testing.T) {
	s := begin(t)
	s.attempt("supply/proof-1.1", "z1", fast, fast)
	s.tell(record.Answer{Step: programme.IDMainsOff, Result: record.Done}, record.Reopened{Step: "supply/proof-1.1"},
		record.Answer{Step: "supply/proof-1.1", Result: record.LeftOut, Remark: "skipped"})
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations(), "1.1 on standby"), `"code":"proved-with-mains"`)
}

// Leaving a step out does not launder what it showed.
func TestLeavingOutHidesNothing(t *testing.T) {
	s := begin(t)
	s.attempt("walk/1.1", "z1", fast, fast)
	s.tell(record.Reopened{Step: "walk/1.1"},
		record.Answer{Step: "walk/1.1", Result: record.LeftOut, Remark: "torn off the wall"})
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "1.1"), `"code":"proved-then-left"`)
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "1.1"), `"because":"torn off the wall"`)

	chime := "outputs/Chime/zone-1"
	s.tell(record.Cue{Step: chime, Half: record.Operate}, 15*time.Second,
		record.Ended{Step: chime, By: record.BySilent}, record.Cue{Step: chime, Half: record.Operate}, time.Second,
		record.Ended{Step: chime, By: record.BySkip},
		record.Answer{Step: chime, Result: record.LeftOut, Remark: "enough"})
	assert.Contains(t, s.about(Assess(s.record).Findings(), chime), `"code":"not-observed"`)
}

// The last cold restart counts, whichever way the one before went.
func TestTheLastRestartCounts(t *testing.T) {
	s := begin(t)
	s.tell(restart(20 * time.Second)...)
	assert.Equal(t, record.Proved, Assess(s.record).Restart().Verdict)
	s.tell(restart(200 * time.Second)...)
	assert.Equal(t, record.Late, Assess(s.record).Restart().Verdict)
	s.tell(restart(-1)...)
	assert.Equal(t, record.Silent, Assess(s.record).Restart().Verdict)
	s.tell(restart(20 * time.Second)...)
	assert.Equal(t, record.Proved, Assess(s.record).Restart().Verdict)
}

// Who has signed has not seen what comes of a step that is taken again; and a
// customer who does not accept is a limitation.
func TestReopeningVoidsSignatures(t *testing.T) {
	s := begin(t)
	s.tell(record.Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "Ignace"},
		record.Reopened{Step: "walk/1.1"})
	assert.False(t, s.record.Find(programme.IDTechnician).Concluded())
	assert.Nil(t, s.record.Find(programme.IDTechnician).Signed())
	s.tell(record.Signed{Step: programme.IDCustomer, Role: programme.Customer, Position: "does not accept"})
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "customer"), `"because":"does not accept"`)
}

// The end of a wait that the loss of the connection had ended already makes no
// journal unreadable.
func TestLossAndEndInTheSameMoment(t *testing.T) {
	s := begin(t)
	s.tell(record.Cue{Step: "walk/1.1", Half: record.Operate}, signal.Connection{Up: false},
		record.Ended{Step: "walk/1.1", By: record.ByTime})
	assert.Equal(t, record.Void, s.record.Find("walk/1.1").Attempts()[0].Operate.Judge().Verdict)
}

// Keys tell no state between trials: a zone that was left open by one attempt can
// be proved in the next.
func TestKeyTimedTrialsBeginAtRest(t *testing.T) {
	s := begin(t)
	s.tell(
		signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand,
			UncertaintyNS: int64(250 * time.Millisecond), ByHand: true},
	)
	s.attempt("walk/1.1", "z1", fast, -1, record.ByTime, record.ByAgain)
	s.attempt("walk/1.1", "z1", fast, fast)
	assert.Equal(t, record.Proved, Assess(s.record).Detectors()[0].Verdict)
}

// A report that no rule understands is told, not called silence.
func TestGarbledReportIsTold(t *testing.T) {
	s := begin(t)
	s.tell(
		record.Cue{Step: "walk/1.1", Half: record.Operate},
		fast,
		signal.Signal{Address: "z1", State: signal.NotUnderstood, Raw: `"Opened"`},
		15*time.Second,
		record.Ended{Step: "walk/1.1", By: record.ByTime},
	)
	assert.Contains(t, s.about(Assess(s.record).Findings(), "1.1"), `"garbled":"\"Opened\""`)
}

// An answer is remembered over a break, and only over a break.
func TestGivenAnswers(t *testing.T) {
	s := begin(t)
	s.tell(record.PartAnswer{Step: programme.IDVoltmeter, Question: programme.IDVoltmeter, Text: "meter 7"})
	step := s.record.Find(programme.IDVoltmeter)
	_, there := s.record.AnsweredBefore(step, programme.IDVoltmeter)
	assert.False(t, there, "asked again in the same run: it is meant")
	s.tell(record.Resumed{})
	text, there := s.record.AnsweredBefore(step, programme.IDVoltmeter)
	assert.True(t, there)
	assert.Equal(t, "meter 7", text)
	s.tell(record.Instrument{Step: programme.IDVoltmeter, Name: "meter 7", Calibrated: "2020-01-01"})
	_, there = s.record.AnsweredBefore(step, programme.IDVoltmeter)
	assert.False(t, there, "concluded")
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "voltmeter"), `"until":"2020-01-01"`)
}

// A defect that was put right and a chime that was heard at last tell what was
// before.
func TestEarlierAnswersAreKept(t *testing.T) {
	s := begin(t)
	s.tell(record.Answer{Step: "inspection/fixing", Result: record.Defect, Remark: "bracket loose"},
		record.Reopened{Step: "inspection/fixing"}, record.Answer{Step: "inspection/fixing", Result: record.Done})
	assert.Equal(t, []record.Answer{{Step: "inspection/fixing", Result: record.Defect, Remark: "bracket loose"}},
		s.record.Find("inspection/fixing").Earlier())

	chime := "outputs/Chime/zone-1"
	for range 3 {
		s.tell(record.Cue{Step: chime, Half: record.Operate}, 15*time.Second, record.Ended{Step: chime, By: record.ByTime})
	}
	s.tell(record.Cue{Step: chime, Half: record.Operate}, time.Second, record.Ended{Step: chime, By: record.ByHeard})
	for _, o := range Assess(s.record).Outputs() {
		if o.Outcome.Step().ID == chime {
			assert.Equal(t, record.Works, o.Result)
			assert.Equal(t, []int{4, 3}, []int{o.Trials, o.Missed})
		}
	}
}

// An output that would not stop, an address that reports nonsense, and a customer
// who refuses stand on the certificate.
func TestTroublesAreLimitations(t *testing.T) {
	s := begin(t)
	s.tell(
		record.Energised{Output: "Sounder", On: true, By: "controller"},
		record.Energised{Output: "Sounder", On: true, By: "controller", Failed: "not connected"},
		record.Energised{Output: "Sounder", By: "controller"},
		record.Answer{Step: "outputs/Sounder", Result: record.Works},
		signal.Signal{
			Address: "z2",
			State:   signal.NotUnderstood,
			Raw:     `"ajar"`,
		},
		signal.Connection{Up: false, Detail: "EOF"},
		9*time.Second,
		signal.Connection{Up: true},
		record.Signed{Step: programme.IDCustomer, Role: programme.Customer, Refused: true,
			Position: "wants the window repaired"},
	)
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations(), "outputs/Sounder"), `"with":{"why":"not connected"}`)
	assert.Contains(t, s.about(a.Limitations(), "zone 2"), `"raw":"\"ajar\""`)
	assert.Contains(t, s.about(a.Limitations(), "customer"), `"code":"customer-refused"`)
	assert.Contains(t, s.about(a.Limitations(), "customer"), `"because":"wants the window repaired"`)
	require.Len(t, s.record.Outages(), 1)
	assert.Equal(t, 9*time.Second, s.record.Outages()[0].To.Sub(s.record.Outages()[0].From))
	assert.Empty(t, s.record.Energised())
}

// A programme that leaves out most of what is fitted certifies only the rest, and says
// so by name.
func TestWhatIsNoPartOfTheVisitIsListed(t *testing.T) {
	limits := func(keep func(programme.Step) bool, kind programme.VisitKind) []string {
		st := opening{visit: kind, keep: keep}.begin(t)
		var out []string
		for _, f := range Assess(st.record).Limitations() {
			if f.Step == "" {
				out = append(out, label(f.Subject)+": "+f.What.Code())
			}
		}
		return out
	}
	assert.NotContains(t, limits(func(programme.Step) bool { return true }, programme.Handover), "1.1: no-part")
	few := limits(func(s programme.Step) bool { return s.Point == "1.1" && s.Stage == programme.StageWalkTest },
		programme.Handover)
	for _, want := range []string{"2.1", "outputs/Sounder", "outputs/Chime/zone-1",
		programme.IDVoltmeter, programme.IDAlarmLoad, programme.IDCustomer} {
		assert.Contains(t, few, want+": no-part")
	}
	assert.NotContains(t, few, "1.1: no-part")
	onStandbyOnly := limits(func(s programme.Step) bool { return s.Stage == programme.StageSupply }, programme.Maintenance)
	assert.Contains(t, onStandbyOnly, "1.1: no-part", "proved on standby alone is not the walk-test")
	retest := limits(func(s programme.Step) bool { return s.ID == "walk/1.1" }, programme.Retest)
	require.Len(t, retest, 1)
	assert.Equal(t, "extent: retest-extent", retest[0])
}

// What was accepted is what was listed, not what somebody wrote, and not how it was
// worded.
func TestAcceptanceCoversWhatIsListed(t *testing.T) {
	s := begin(t)
	s.attempt("walk/1.1", "z1", -1, 0)
	a := Assess(s.record)
	var accepted []record.Acceptance
	all := append(a.Findings(), a.Limitations()...)
	for _, f := range all {
		accepted = append(accepted, record.Acceptance{ID: "X" + f.ID, Said: f.Said(), Shown: "in any words"})
	}
	assert.Empty(t, notAccepted(accepted, all), "numbers may have moved")
	assert.Equal(t, []string{all[0].ID}, notAccepted(accepted[1:], all))
	accepted[0].Said = json.RawMessage(`{"code":"whatever"}`)
	assert.Equal(t, []string{all[0].ID}, notAccepted(accepted, all))
}
