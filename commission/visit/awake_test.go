package visit

import (
	"context"
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
)

// laptop is a computer that can be stopped, put to sleep, and have its clock set.
type laptop struct {
	clock.Real
	mu      sync.Mutex
	stopped time.Duration
	asleep  time.Duration
	moves   []move
}

// move is a change of the time of day.
type move struct {
	at time.Time
	by time.Duration
}

func (l *laptop) Now() time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	return time.Now().Add(l.stopped)
}

func (l *laptop) TimeOfDay(at time.Time) time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	is := at.Round(0)
	for _, m := range l.moves {
		if !at.Before(m.at) {
			is = is.Add(m.by)
		}
	}
	return is
}

func (l *laptop) Slept() time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.asleep
}

// stop lets nothing run for a while.
func (l *laptop) stop(d time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.stopped += d
}

// sleep closes the lid, as Linux counts it.
func (l *laptop) sleep(d time.Duration) {
	now := l.Now()
	l.mu.Lock()
	defer l.mu.Unlock()
	l.moves = append(l.moves, move{now, d})
	l.asleep += d
}

// set sets the time of day.
func (l *laptop) set(by time.Duration) {
	now := l.Now()
	l.mu.Lock()
	defer l.mu.Unlock()
	l.moves = append(l.moves, move{now, by})
}

// carriedOut takes the steps of a programme on a laptop.
func carriedOut(t *testing.T, l *laptop, source *timeline, steps ...programme.Step) (
	*record.Record, *bench) {
	t.Helper()
	s := siteOf(t, oneDoor)
	source.clock = l
	b := newBench(t, source, l, `answers: [{when: walk/1.1/ready, say: ready, after: 2 s}]`)
	opened := openedFor(t, s)
	opened.Programme = steps
	_, r, err := b.start(t, context.Background(), s, opened)
	require.NoError(t, err, b.out.String())
	breaksNoLaw(t, r)
	return r, b
}

var doorStep = programme.Step{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector,
	Point: "1.1", Zone: 1}

// A program that was stopped or asleep, or starved for longer than the times are known, takes
// the trial again: a detector that works is never late or silent by that.
func TestASuspensionVoidsATrial(t *testing.T) {
	for name, tc := range map[string]struct {
		operate string
		happens func(*laptop)
		told    string
		absence time.Duration
	}{
		"stopped for 5 s": {"100ms meanwhile x; 200ms z1 active; 900ms z1 restored|420ms z1 active",
			func(l *laptop) { l.stop(5 * time.Second) }, "For 5", 5 * time.Second},
		"stopped for 30 s, longer than is listened": {"100ms meanwhile x; 200ms z1 active; 900ms z1 restored|420ms z1 active",
			func(l *laptop) { l.stop(30 * time.Second) }, "For 30", 30 * time.Second},
		"stopped, and nothing came": {"100ms meanwhile x|420ms z1 active",
			func(l *laptop) { l.stop(30 * time.Second) }, "For 30", 30 * time.Second},
		"starved": {"100ms meanwhile x; 200ms z1 active; 900ms z1 restored|420ms z1 active",
			func(l *laptop) { l.stop(80 * time.Millisecond) }, "For ", 80 * time.Millisecond},
		"asleep": {"100ms meanwhile x; 200ms z1 active; 900ms z1 restored|420ms z1 active",
			func(l *laptop) { l.sleep(time.Hour) }, "For 1 h", time.Hour},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				l := &laptop{}
				source := &timeline{operate: tc.operate, restore: "600ms z1 restored",
					meanwhile: func(string) { tc.happens(l) }}
				r, b := carriedOut(t, l, source, doorStep)
				d := judge.Assess(r).Detectors()[0]
				assert.Equal(t, record.Proved, d.Verdict)
				assert.Equal(t, 420*time.Millisecond, d.Operated.Response)
				assert.Equal(t, 1, d.Trials)
				assert.Equal(t, 1, r.Find("walk/1.1").BrokenOff())
				require.Len(t, r.Absences(), 1)
				assert.InDelta(t, tc.absence, r.Absences()[0].Lasted, float64(2*lookEvery))
				assert.True(t, r.Absences()[0].Trial)
				assert.Contains(t, b.out.String(), tc.told)
				assert.Contains(t, b.out.String(), "then once more")
			})
		})
	}
}

// What is within the uncertainty of the times is no reason to try again, and is said.
func TestLatenessIsPartOfTheUncertainty(t *testing.T) {
	const none = 50 * time.Millisecond
	for _, tc := range []struct{ late, least, most time.Duration }{
		{0, none, none},
		// √(50² + 10²) = 51.0, √(50² + 30²) = 58.3: up to one look before it may go unnoticed.
		{30 * time.Millisecond, 50990195, 58309518},
	} {
		synctest.Test(t, func(t *testing.T) {
			l := &laptop{}
			source := &timeline{operate: "100ms meanwhile x; 420ms z1 active", restore: "600ms z1 restored",
				meanwhile: func(string) { l.stop(tc.late) }}
			r, _ := carriedOut(t, l, source, doorStep)
			d := judge.Assess(r).Detectors()[0]
			assert.Equal(t, record.Proved, d.Verdict)
			assert.GreaterOrEqual(t, d.Operated.Uncertainty, tc.least)
			assert.LessOrEqual(t, d.Operated.Uncertainty, tc.most)
			assert.Equal(t, none, d.Restored.Uncertainty, "each wait has its own")
			assert.Empty(t, r.Absences())
		})
	}
}

// Neither a clock that is set nor a sleep makes a time without mains longer: only what was
// watched counts.
func TestAStepOfTheClockProvesNoHold(t *testing.T) {
	for name, tc := range map[string]struct {
		happens  func(*laptop)
		took     time.Duration // by the clock of durations
		told     string
		absences int
		steps    int
	}{
		"nothing":            {func(*laptop) {}, time.Minute, "", 0, 0},
		"set forward":        {func(l *laptop) { l.set(time.Hour) }, time.Minute, "set forward by 1 h", 0, 1},
		"set back":           {func(l *laptop) { l.set(-time.Hour) }, time.Minute, "set back by 1 h", 0, 1},
		"set by the network": {func(l *laptop) { l.set(90 * time.Millisecond) }, time.Minute, "", 0, 0},
		"asleep":             {func(l *laptop) { l.sleep(time.Hour) }, time.Minute, "slept for 1 h", 1, 0},
		"asleep, and set back": {func(l *laptop) { l.sleep(time.Hour); l.set(-2 * time.Hour) }, time.Minute,
			"set back by 2 h", 1, 1},
		"stopped": {func(l *laptop) { l.stop(20 * time.Second) }, time.Minute + 20*time.Second,
			"was stopped for 20", 1, 0},
		"stopped for less than matters": {func(l *laptop) { l.stop(500 * time.Millisecond) }, time.Minute, "", 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				l := &laptop{}
				source := &timeline{}
				source.clock = l
				b := newBench(t, source, l, strings.ReplaceAll(benchAnswers, "as shown", "12.5 V"))
				s := siteOf(t, benchSite)
				time.AfterFunc(10*time.Second, func() { tc.happens(l) })
				opened := openedFor(t, s)
				var off, read time.Time
				b.config.Readers = append(b.config.Readers, readerFunc(func(at time.Time, f record.Fact) {
					if a, is := f.(record.Answer); is && a.Step == programme.IDMainsOff {
						off = at
					}
					if r, is := f.(record.Reading); is && r.Step == "supply/standby-4" {
						read = at
					}
				}))
				opened.Programme = onlySupply(opened.Programme)
				_, r, err := b.start(t, context.Background(), s, opened)
				require.NoError(t, err, b.out.String())
				assert.InDelta(t, tc.took, read.Sub(off), float64(time.Second))
				assert.InDelta(t, time.Minute, r.Find("supply/standby-4").Readings()[0].SinceOff, float64(time.Second))
				assert.Len(t, r.Absences(), tc.absences)
				assert.Len(t, r.ClockSteps(), tc.steps)
				breaksNoLaw(t, r)
				if tc.told != "" {
					assert.Equal(t, 1, strings.Count(b.out.String(), tc.told))
				} else {
					assert.NotContains(t, b.out.String(), "This computer")
				}
			})
		})
	}
}

// What is late by no more than is allowed is no absence, and is counted from the cue on.
func TestHowLateIsTooLate(t *testing.T) {
	const limit = 50 * time.Millisecond
	now := time.Now()
	a := newAwake(&laptop{})
	assert.Zero(t, a.look(now.Add(time.Hour)), "nobody looks yet")
	a.begin(now)
	late := func(by time.Duration) time.Duration {
		now = now.Add(lookEvery + by)
		return a.look(now)
	}
	assert.Zero(t, late(time.Second))
	a.timesSince(limit, 0)
	assert.Zero(t, late(limit))
	assert.Equal(t, limit, a.timed())
	assert.Zero(t, late(limit+1), "nothing is timed")
	a.timesSince(limit, 0)
	assert.Zero(t, a.timed(), "that was before the cue")
	a.timesSince(limit, 0)
	assert.Equal(t, lookEvery+limit+1, late(limit+1))
	assert.Equal(t, limit, a.timed(), "beyond that it was absent")
	assert.Equal(t, lookEvery+stopped+1, late(stopped+1))
}

// Each sleep and each setting of the clock is told once, by itself.
func TestSleepsAreToldOneByOne(t *testing.T) {
	l := &laptop{}
	a, now := newAwake(l), time.Now()
	moved := func() (facts []record.Fact) {
		now = now.Add(time.Second)
		l.stop(time.Second)
		for _, came := range a.moved(now) {
			facts = append(facts, came.fact)
		}
		return facts
	}
	l.sleep(time.Hour)
	assert.Equal(t, []record.Fact{record.Absent{SleptNS: time.Hour.Nanoseconds()}}, moved())
	l.sleep(time.Minute)
	assert.Equal(t, []record.Fact{record.Absent{SleptNS: time.Minute.Nanoseconds()}}, moved())
	l.set(-time.Hour)
	assert.Equal(t, []record.Fact{record.ClockStepped{ByNS: -time.Hour.Nanoseconds()}}, moved())
	assert.Empty(t, moved())
}

type readerFunc func(time.Time, record.Fact)

func (f readerFunc) Took(at time.Time, fact record.Fact) { f(at, fact) }

// onlySupply leaves the steps from removing mains to the first reading without it.
func onlySupply(steps []programme.Step) (out []programme.Step) {
	for _, s := range steps {
		if s.ID == programme.IDVoltmeter || s.ID == programme.IDMainsOff || strings.HasPrefix(s.ID, "supply/standby-") {
			out = append(out, s)
		}
	}
	return out
}

// What is timed afterwards, over signals that have come, is known no better than the program
// ran when they came; where it stood still for too long, nothing is timed.
func TestHowLateWhatIsTimedAfterwardsMayBe(t *testing.T) {
	now := time.Now()
	a := newAwake(&laptop{})
	a.begin(now)
	at := func(since time.Duration) time.Time { return now.Add(since) }
	a.look(at(10 * time.Second))                                    // it did not run from the first on
	a.look(at(10*time.Second + lookEvery + 30*time.Millisecond))    // late by 30 ms
	a.look(at(10*time.Second + 2*lookEvery + 31*time.Millisecond))  // by next to nothing
	a.look(at(10*time.Second + 3*lookEvery + 121*time.Millisecond)) // by 90 ms
	a.look(at(10*time.Second + 4*lookEvery + 121*time.Millisecond)) // in time
	for _, tc := range []struct{ from, to, want time.Duration }{
		{0, 20 * time.Second, 10*time.Second - lookEvery},
		{10 * time.Second, 10*time.Second + 10*time.Millisecond, 30 * time.Millisecond},
		{10 * time.Second, 20 * time.Second, 90 * time.Millisecond},
		{11 * time.Second, 20 * time.Second, 0},
	} {
		assert.Equal(t, tc.want, a.lateBetween(at(tc.from), at(tc.to)), tc.from.String())
	}

	v, err := begin(Config{Clock: clock.Real{}}, journal.On(&disk{}), openedFor(t, siteOf(t, twoAndOne)))
	require.NoError(t, err)
	v.awake = a
	require.NoError(t, v.add(signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 50e6}))
	s := v.Record().Find("walk/1.1")
	touched := func(since time.Duration, own bool) (record.Cue, time.Duration) {
		c := record.Cue{Tap: &record.Tap{By: record.ByTouch}, Own: own, UncertaintyNS: 1}
		late := v.lateAfter(s, &c, at(since))
		return c, late
	}
	c, late := touched(5*time.Second, true)
	assert.Equal(t, record.Cue{Own: true, NotTimed: record.StampedLate}, c)
	assert.Zero(t, late)
	c, _ = touched(5*time.Second, false)
	assert.Equal(t, record.Cue{NotTimed: record.StampedLate}, c, "also one that came soon: no trial was there to be void")
	c, late = touched(10*time.Second+10*time.Millisecond, false)
	assert.Equal(t, record.StampedLate, c.NotTimed)
	assert.Zero(t, late)
	c, _ = touched(11*time.Second, true)
	assert.NotNil(t, c.Tap)
}
