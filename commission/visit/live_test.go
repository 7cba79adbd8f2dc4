package visit

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// timeline is a source that plays signals after each cue of a half. It counts
// what it was told to energise.
type timeline struct {
	operate, restore string // "420ms z1 active; 3s lost"; | separates the trials
	mu               sync.Mutex
	to               signal.Receiver
	sounding         map[string]bool
	refuse           bool
	refuseOff        int // how many times switching off fails
	panics           bool
	told             bool
	clock            clock.Clock       // the usual one if nil
	meanwhile        func(word string) // what else may be said of an event
}

func (l *timeline) now() time.Time {
	if l.clock == nil {
		return time.Now()
	}
	return l.clock.Now()
}

func (l *timeline) About() signal.Listening {
	return signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: int64(50 * time.Millisecond)}
}

func (l *timeline) Start(_ context.Context, to signal.Receiver) error { l.to = to; return nil }
func (l *timeline) Close() error                                      { return nil }
func (l *timeline) CanEnergise(*site.Output) bool                     { return true }

func (l *timeline) GuardOff(context.Context, *site.Output, func(error)) (func(), error) {
	return func() {}, nil
}

func (l *timeline) Energise(ctx context.Context, o *site.Output, on bool) error {
	if l.panics && on {
		panic("a fault")
	}
	if l.refuse {
		return errors.New("refused")
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.refuseOff > 0 && !on {
		l.refuseOff--
		return errors.New("not connected to the broker")
	}
	if l.sounding == nil {
		l.sounding = map[string]bool{}
	}
	l.sounding[o.Name] = on
	return ctx.Err()
}

// Took plays what comes of a cue.
func (l *timeline) Took(_ time.Time, f record.Fact) {
	cue, is := f.(record.Cue)
	if !is || cue.Step == programme.IDRestart {
		return
	}
	events := l.restore
	if cue.Half == record.Operate {
		first, later, several := strings.Cut(l.operate, "|")
		if events = first; several {
			l.operate = later
		}
	}
	for _, event := range strings.Split(events, ";") {
		words := strings.Fields(event)
		if len(words) == 0 {
			continue
		}
		after, err := time.ParseDuration(words[0])
		if err != nil {
			panic(err)
		}
		time.AfterFunc(after, func() {
			switch words[1] {
			case "lost":
				l.to.Connection(signal.Connection{Up: false})
				l.to.Connection(signal.Connection{Up: true})
			case "kept":
				l.to.Signal(signal.Signal{At: l.now(), Address: words[2], State: signal.State(words[3]), Kept: "retained"})
			case "meanwhile":
				l.meanwhile(words[2])
			default:
				l.to.Signal(signal.Signal{At: l.now(), Address: words[1], State: signal.State(words[2])})
			}
		})
	}
}

const oneDoor = `
reference: B-2
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Other, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
outputs:
  - {name: Sounder, kind: sounder, address: s}
`

// The live loop and the record agree with the trial on every verdict, and on
// the time that the technician waits for it; in fake time.
func TestLiveTrials(t *testing.T) {
	const ms = time.Millisecond
	for _, tc := range []struct {
		name, operate, restore string
		answers                string
		verdict                record.Verdict
		response, restored     time.Duration
		took                   time.Duration
		trials                 int
	}{
		{"proved", "420ms z1 active", "600ms z1 restored", "", record.Proved, 420 * ms, 600 * ms, 3020 * ms, 1},
		{"late", "2600ms z1 active", "1s z1 restored", "", record.Late, 2600 * ms, time.Second, 5600 * ms, 1},
		{"undecided", "1960ms z1 active", "1s z1 restored", "",
			record.Undecided, 1960 * ms, time.Second, 4960 * ms, 1},
		{"silent", "", "", "", record.Silent, 0, 0, 15 * time.Second, 1},
		{"silent, said by key", "", "", "{when: walk/1.1/operate, say: silent, after: 4 s}",
			record.Silent, 0, 0, 4 * time.Second, 1},
		{"crossed", "700ms z2 active", "", "", record.Crossed, 0, 0, 2700 * ms, 1},
		{"inverted", "500ms z1 restored", "", "", record.Inverted, 0, 0, 2500 * ms, 1},
		{"unsteady", "500ms z1 active; 600ms z1 restored; 700ms z1 active", "1s z1 restored", "",
			record.Unsteady, 500 * ms, time.Second, 3700 * ms, 1},
		{"retained is no response", "500ms kept z1 active", "", "", record.Silent, 0, 0, 15 * time.Second, 1},
		{"not restored", "500ms z1 active", "", "", record.Silent, 500 * ms, 0, 16500 * ms, 1},
		{"skipped while waiting", "", "", "{when: walk/1.1/operate, say: skip, after: 2 s}",
			record.NotTested, 0, 0, 2 * time.Second, 0},
		{"tried again, then proved", "|420ms z1 active", "600ms z1 restored",
			`{when: walk/1.1/operate, say: [again, ""], after: 100 ms}`, record.Proved, 420 * ms, 600 * ms, 3120 * ms, 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := siteOf(t, oneDoor)
				answers := "answers:\n"
				if tc.answers != "" {
					answers += "  - " + tc.answers + "\n"
				}
				answers += "  - {when: walk/1.1/reason, say: locked}\n  - {when: walk/1.1/not-proved, say: as it is}\n"
				b := newBench(t, &timeline{operate: tc.operate, restore: tc.restore}, clock.Real{}, answers)
				opened := openedFor(t, s)
				opened.Programme = []programme.Step{
					{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector, Point: "1.1", Zone: 1}}
				began := time.Now()
				path, r, err := b.start(t, context.Background(), s, opened)
				require.NoError(t, err, b.out.String())
				assert.Equal(t, tc.took, time.Since(began))

				d := judge.Assess(r).Detectors()[0]
				assert.Equal(t, tc.verdict, d.Verdict)
				assert.Equal(t, tc.response, d.Operated.Response)
				assert.Equal(t, tc.restored, d.Restored.Response)
				assert.Equal(t, tc.trials, d.Trials)

				contents, err := journal.ReadFile(path)
				require.NoError(t, err)
				folded, err := record.Fold(contents.Entries)
				require.NoError(t, err)
				assert.Equal(t, r, folded, "the live record is the folded one")
				breaksNoLaw(t, folded)
			})
		})
	}
}

func TestTrialWithALostConnectionIsVoidAndTakenAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, oneDoor)
		b := newBench(t, &timeline{operate: "300ms lost; 400ms z1 active"}, clock.Real{},
			"answers:\n  - {when: walk/1.1/ready, say: [ready, skip]}\n  - {when: walk/1.1/reason, say: no line}\n")
		opened := openedFor(t, s)
		opened.Programme = []programme.Step{
			{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector, Point: "1.1", Zone: 1}}
		_, r, err := b.start(t, context.Background(), s, opened)
		require.NoError(t, err)
		d := judge.Assess(r).Detectors()[0]
		assert.Equal(t, record.NotTested, d.Verdict)
		assert.Zero(t, d.Trials)
		assert.Len(t, r.Outages(), 1)
		assert.Contains(t, b.out.String(), "this trial does not count")
	})
}

// On every way out the sounder is off, and the journal says so.
func TestSounderIsOffOnEveryWayOut(t *testing.T) {
	step := programme.Step{ID: "outputs/Sounder", Stage: programme.StageOutputs, Kind: programme.StepOutput,
		Output: "Sounder"}
	const energise = "answers:\n" +
		"  - {when: outputs/Sounder, say: energise}\n" +
		"  - {when: outputs/Sounder/energise, say: \"yes\"}\n"
	for name, tc := range map[string]struct {
		answers string
		is      string
		source  *timeline
	}{
		"normal end": {energise + "  - {when: \"*/heard\", say: \"yes\"}\n  - {when: \"*\", say: \"\"}\n",
			"", &timeline{}},
		"no answer":      {energise, "no answer is given", &timeline{}},
		"wrong answer":   {energise + "  - {when: \"*/heard\", say: perhaps}\n", "whole word", &timeline{}},
		"a fault inside": {energise, "the program has a fault", &timeline{panics: true}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := siteOf(t, oneDoor)
				b := newBench(t, tc.source, clock.Real{}, tc.answers)
				opened := openedFor(t, s)
				opened.Programme = []programme.Step{step}
				_, r, err := b.start(t, context.Background(), s, opened)
				if tc.is == "" {
					require.NoError(t, err)
				} else {
					require.ErrorContains(t, err, tc.is)
				}
				assert.False(t, tc.source.sounding["Sounder"])
				assert.Contains(t, tc.source.sounding, "Sounder", "it was switched at all")
				assert.Empty(t, r.Energised())
			})
		})
	}
}

func TestSounderThatCannotBeSwitchedOffIsToldLoudly(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, oneDoor)
		source := &timeline{refuse: true}
		b := newBench(t, source, clock.Real{},
			"answers:\n  - {when: outputs/Sounder, say: energise}\n  - {when: \"*/energise\", say: \"yes\"}\n")
		opened := openedFor(t, s)
		opened.Programme = []programme.Step{
			{ID: "outputs/Sounder", Stage: programme.StageOutputs, Kind: programme.StepOutput, Output: "Sounder"}}
		_, r, err := b.start(t, context.Background(), s, opened)
		require.Error(t, err)
		assert.Contains(t, b.out.String(), "COULD NOT BE SWITCHED OFF")
		assert.True(t, r.IsOn("Sounder"), "the journal goes on saying that it may be on")
	})
}

// A broker that comes back gets the word that the sounder must stop, and the
// answer that was given meanwhile counts.
func TestSwitchingOffIsTriedUntilItWorks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, oneDoor)
		source := &timeline{refuseOff: 7}
		b := newBench(t, source, clock.Real{}, "answers:\n"+
			"  - {when: outputs/Sounder, say: energise}\n"+
			"  - {when: \"*/energise\", say: \"yes\"}\n"+
			"  - {when: \"*/heard\", say: y}\n"+
			"  - {when: \"*\", say: \"\"}\n")
		opened := openedFor(t, s)
		opened.Programme = []programme.Step{
			{ID: "outputs/Sounder", Stage: programme.StageOutputs, Kind: programme.StepOutput, Output: "Sounder"}}
		_, r, err := b.start(t, context.Background(), s, opened)
		require.NoError(t, err)
		assert.Contains(t, b.out.String(), "COULD NOT BE SWITCHED OFF")
		assert.Contains(t, b.out.String(), "is switched off now")
		assert.Equal(t, map[string]bool{"Sounder": false}, source.sounding)
		assert.Equal(t, record.Works, r.Find("outputs/Sounder").Result())
	})
}

// A reading under load that took longer than the sounder may sound does not
// count, and is asked for again.
func TestReadingAfterTheSounderStoppedDoesNotCount(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, strings.Replace(oneDoor, "chemistry: none", "chemistry: lead-acid", 1))
		b := newBench(t, &timeline{}, clock.Real{}, "answers:\n"+
			"  - {when: supply/alarm-load, say: energise}\n"+
			"  - {when: \"*/energise\", say: \"yes\"}\n"+
			"  - {when: \"*/voltage\", say: 12 V}\n")
		asked := 0
		b.config.Operator = &busyOperator{Operator: b.config.Operator, during: func() {
			if asked++; asked == 3 { // the first time that the voltage is asked for
				time.Sleep(181 * time.Second)
			}
		}}
		opened := openedFor(t, s)
		opened.Programme = slices.DeleteFunc(opened.Programme,
			func(s programme.Step) bool { return s.ID != "supply/alarm-load" })
		_, r, err := b.start(t, context.Background(), s, opened)
		require.NoError(t, err)
		assert.Contains(t, b.out.String(), "this reading does not count")
		assert.Len(t, r.Find("supply/alarm-load").Readings(), 1)
		assert.True(t, r.Find("supply/alarm-load").Reading(record.VoltageReading).Loaded)
	})
}

// A zone that is active is told before the cue; the technician may insist.
func TestActiveZoneIsToldBeforeTheCue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, oneDoor)
		source := &timeline{operate: "300ms z1 restored"}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: \"*/not-proved\", say: as it is}\n")
		b.config.Operator = &busyOperator{Operator: b.config.Operator, watching: func() {
			if source.operate != "" && !source.told {
				source.told = true
				source.to.Signal(signal.Signal{At: time.Now(), Address: "z1", State: signal.Active})
			}
		}}
		opened := openedFor(t, s)
		opened.Programme = []programme.Step{
			{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector, Point: "1.1", Zone: 1}}
		_, r, err := b.start(t, context.Background(), s, opened)
		require.NoError(t, err)
		assert.Contains(t, b.out.String(), "Its zone reports active")
		assert.Equal(t, record.Inverted, judge.Assess(r).Detectors()[0].Verdict)
	})
}

// A sounder that nobody answers for stops by itself, and one that was on when
// the program was killed is switched off by the next run.
func TestSounderIsSwitchedOffAfterAKill(t *testing.T) {
	s := siteOf(t, oneDoor)
	opened := openedFor(t, s)
	opened.Programme = []programme.Step{
		{ID: "outputs/Sounder", Stage: programme.StageOutputs, Kind: programme.StepOutput, Output: "Sounder"}}
	path := t.TempDir() + "/journal.jsonl"
	w, err := journal.Create(path)
	require.NoError(t, err)
	for _, f := range []record.Fact{opened, record.Energised{Output: "Sounder", On: true, By: "controller"}} {
		_, err := w.Append(morning, f.Kind(), f)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())

	source := &timeline{}
	b := newBench(t, source, clock.Real{},
		"answers:\n  - {when: outputs/Sounder, say: not tested}\n  - {when: \"*/reason\", say: late}\n")
	v, err := Resume(b.config, path)
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()))
	require.NoError(t, v.Close())
	assert.Equal(t, map[string]bool{"Sounder": false}, source.sounding)
	assert.Contains(t, b.out.String(), "may still be on")
}

func TestSignalsDuringAQuestionAreKept(t *testing.T) {
	s := siteOf(t, oneDoor)
	source := &timeline{}
	b := newBench(t, source, clock.Real{}, "answers:\n  - {when: inspection/people-told, say: done}\n")
	b.config.Operator = &busyOperator{Operator: b.config.Operator, during: func() {
		for i := range 500 {
			source.to.Signal(signal.Signal{At: time.Now(), Address: fmt.Sprintf("z%d", i%3), State: signal.Active})
		}
		source.to.Connection(signal.Connection{Up: false})
	}}
	opened := openedFor(t, s)
	opened.Programme = []programme.Step{
		{ID: "inspection/people-told", Stage: programme.StageInspection, Kind: programme.StepCheck, Text: "told"}}
	_, r, err := b.start(t, context.Background(), s, opened)
	require.NoError(t, err)
	assert.Equal(t, 333+3, r.Signals(), "of an address that the site does not have, the first ones")
	assert.Equal(t, map[string]int{"z0": 3}, r.Strangers())
	assert.Contains(t, b.out.String(), "was lost while you answered")
}
