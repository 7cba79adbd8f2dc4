package visit

import (
	"context"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

const twoAndOne = `
reference: B-3
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2, detectors: [Left, Right]}
`

// glass is a device with a clock of its own: it began a minute before the program's, which
// began some time before the visit. A touch is known within 20 ms.
type glass struct{ zero time.Time }

func (g glass) touched(at time.Time, key ask.Key) ask.Pressed {
	const half = 20 * time.Millisecond
	device := at.Sub(g.zero) + time.Minute
	tap := record.Tap{DeviceNS: int64(device), EarliestNS: -int64(time.Minute + half),
		LatestNS: -int64(time.Minute - half), By: record.ByTouch}
	return ask.Pressed{Key: key, At: at, Uncertainty: half, Tap: &tap, TapZero: g.zero}
}

// Signals and the touches of a device, delivered late or at once. The limits are those of the
// site: response 2 s, listening 15 s, steady 1 s (common practice, no source).
func TestTouchesOfADevice(t *testing.T) {
	const ms = time.Millisecond
	type shown struct {
		operated, restored record.Verdict
		response           time.Duration
		own                bool
		why                record.Untimed
	}
	for _, tc := range []struct {
		name     string
		signals  string        // "420ms z1 active; …" after the technician came to the detectors
		touch    time.Duration // of the first detector
		next     time.Duration // of the touch that is known to follow, 0 for none
		arrives  time.Duration
		notTimed record.Untimed
		restores string // the answer to the cue to restore, where there is one
		want     shown
		asked    []string // waits
	}{
		{"at once", "1420ms z1 active", 1000 * ms, 0, 1050 * ms, "", "600ms z1 restored",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, []string{"operate", "restore"}},
		{"at once, and held open", "1420ms z1 active", 1000 * ms, 0, 1050 * ms, "", "10m z1 restored",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, []string{"operate", "restore"}},
		{"at once, and closed before it had stood", "1420ms z1 active; 1700ms z1 restored", 1000 * ms, 0, 1050 * ms, "", "",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, []string{"operate"}},
		{"after its report, and still open", "1420ms z1 active", 1000 * ms, 0, 30 * time.Second, "", "600ms z1 restored",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, []string{"restore"}},
		{"after all was over", "1420ms z1 active; 4s z1 restored", 1000 * ms, 0, 30 * time.Second, "", "",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, nil},
		{"after it was opened and closed at once", "1420ms z1 active; 1700ms z1 restored", 1000 * ms, 0, 30 * time.Second, "", "",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, nil},
		{"just after it was closed", "1420ms z1 active; 3s z1 restored", 1000 * ms, 0, 3500 * ms, "", "",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, nil},
		{"late, and it was late", "4s z1 active; 6s z1 restored", 1000 * ms, 0, 30 * time.Second, "", "",
			shown{record.Late, record.Reported, 3 * time.Second, true, ""}, nil},
		{"late, and nothing came", "", 1000 * ms, 0, 30 * time.Second, "", "",
			shown{record.Silent, "", 0, true, ""}, nil},
		{"late, while it may still come", "9s z1 active; 11s z1 restored", 1000 * ms, 0, 3 * time.Second, "", "",
			shown{record.Late, record.Reported, 8 * time.Second, true, ""}, []string{"operate", "restore"}},
		{"late, and another answered", "1700ms z2 active; 4s z2 restored", 1000 * ms, 0, 30 * time.Second, "", "",
			shown{record.Crossed, "", 0, true, ""}, nil},
		{"cut by the next one", "1420ms z1 active; 2s z1 restored; 2300ms z2 active", 1000 * ms, 2500 * ms, 30 * time.Second, "", "",
			shown{record.Proved, record.Reported, 420 * ms, true, ""}, nil},
		{"kept, and given after the report", "1420ms z1 active; 4s z1 restored", 2 * time.Second, 0, 30 * time.Second, "", "",
			shown{record.Reported, record.Reported, 0, true, record.NoTouch}, nil},
		{"by a clock that nobody knows", "1420ms z1 active; 4s z1 restored", 0, 0, 30 * time.Second, record.ClockUnknown, "",
			shown{record.Reported, record.Reported, 0, true, record.ClockUnknown}, nil},
		{"by a clock that nobody knows, and still open", "1420ms z1 active", 0, 0, 3 * time.Second, record.ClockUnknown,
			"600ms z1 restored", shown{record.Reported, record.Reported, 0, true, record.ClockUnknown}, []string{"restore"}},
		{"by a clock that nobody knows, at once", "1420ms z1 active", 0, 0, 1000 * ms, record.ClockWide, "600ms z1 restored",
			shown{record.Reported, record.Proved, 0, false, record.ClockWide}, []string{"operate", "restore"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				device := glass{time.Now()}
				time.Sleep(90 * time.Second)
				source := &timeline{restore: tc.restores}
				b := newBench(t, uncertain{source}, clock.Real{}, "answers:\n  - {when: \"*/not-proved\", say: as it is}\n")
				b.config.Readers = []Reader{source}
				watched := &watching{Operator: b.config.Operator}
				b.config.Operator = &far{watched, []func() ask.Pressed{func() ask.Pressed {
					began := time.Now()
					for _, event := range strings.Split(tc.signals, "; ") {
						at, what, is := strings.Cut(event, " ")
						if !is {
							continue
						}
						in, err := time.ParseDuration(at)
						require.NoError(t, err)
						time.AfterFunc(in, func() { source.say(what) })
					}
					time.Sleep(tc.arrives)
					if tc.notTimed != "" {
						return ask.Pressed{Key: ask.Ready, NotTimed: tc.notTimed}
					}
					p := device.touched(began.Add(tc.touch), ask.Ready)
					if tc.next > 0 {
						p.Until = began.Add(tc.next)
					}
					return p
				}}}
				opened := openedFor(t, siteOf(t, twoAndOne))
				opened.Programme = opened.Programme[:0]
				for _, step := range openedFor(t, siteOf(t, twoAndOne)).Programme {
					if step.ID == "walk/1.1" {
						opened.Programme = append(opened.Programme, step)
					}
				}
				path, r, err := b.start(t, t.Context(), siteOf(t, twoAndOne), opened)
				require.NoError(t, err, b.out.String())
				a := r.Find("walk/1.1").Attempts()
				require.Len(t, a, 1, b.out.String())
				j := a[0].Operate.Judge()
				got := shown{operated: j.Verdict, response: j.Response, own: a[0].Operate.Own(), why: j.NotTimed}
				if a[0].Restore != nil {
					got.restored = a[0].Restore.Judge().Verdict
				}
				assert.Equal(t, tc.want, got, b.out.String())
				assert.Equal(t, tc.asked, watched.trials)
				if tc.notTimed == "" && tc.want.why == "" {
					// 50 ms of the source, 20 ms of the touch, 200 ms of the person: JCGM 100, 5.1.2.
					assert.InDelta(t, 207.1, float64(j.Uncertainty)/1e6, 0.1)
				}
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

// Of two touches of a bank that are delivered together, what came after the second is no answer to
// the first.
func TestTheNextTouchOfABankCutsTheWait(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		device := glass{time.Now()}
		time.Sleep(time.Minute)
		source := &timeline{}
		b := newBench(t, uncertain{source}, clock.Real{}, "answers:\n  - {when: \"*/not-proved\", say: as it is}\n")
		b.config.Readers = nil
		began := time.Now()
		time.AfterFunc(4400*time.Millisecond, func() { source.say("z2 active") })
		time.AfterFunc(6*time.Second, func() { source.say("z2 restored") })
		touched := func(in time.Duration, until time.Time) func() ask.Pressed {
			return func() ask.Pressed {
				time.Sleep(time.Until(began.Add(time.Minute)))
				p := device.touched(began.Add(in), ask.Ready)
				p.Until = until
				return p
			}
		}
		b.config.Operator = &far{b.config.Operator, []func() ask.Pressed{
			touched(time.Second, began.Add(4*time.Second)), touched(4*time.Second, time.Time{})}}
		opened := openedFor(t, siteOf(t, twoAndOne))
		opened.Programme = slices.DeleteFunc(opened.Programme, func(s programme.Step) bool {
			return !strings.HasPrefix(s.ID, "walk/2.")
		})
		_, r, err := b.start(t, t.Context(), siteOf(t, twoAndOne), opened)
		require.NoError(t, err, b.out.String())
		assert.Equal(t, record.Silent, r.Find("walk/2.1").Last().Verdict(), b.out.String())
		assert.Equal(t, record.Proved, r.Find("walk/2.2").Last().Verdict())
		assert.Equal(t, 400*time.Millisecond, r.Find("walk/2.2").Last().Operate.Judge().Response)
		breaksNoLaw(t, r)
	})
}

// A touch that nobody knows the time of does not say whose report of a bank it was: the one
// before may have been another's, and its detector is operated when it is told to.
func TestAReportOfABankIsNobodysWithoutATime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Minute)
		source := &timeline{operate: "700ms z2 active", restore: "600ms z2 restored"}
		b := newBench(t, uncertain{source}, clock.Real{}, "answers: [{when: none, say: none}]")
		b.config.Readers = []Reader{source}
		b.config.Operator = &far{b.config.Operator, []func() ask.Pressed{func() ask.Pressed {
			time.Sleep(time.Second)
			source.say("z2 active")
			time.Sleep(3 * time.Second)
			source.say("z2 restored")
			time.Sleep(30 * time.Second)
			return ask.Pressed{Key: ask.Ready, NotTimed: record.ClockUnknown}
		}}}
		opened := openedFor(t, siteOf(t, twoAndOne))
		for _, step := range opened.Programme {
			if step.ID == "walk/2.1" {
				opened.Programme = []programme.Step{step}
				break
			}
		}
		_, r, err := b.start(t, t.Context(), siteOf(t, twoAndOne), opened)
		require.NoError(t, err, b.out.String())
		a := r.Find("walk/2.1").Attempts()
		require.Len(t, a, 1, b.out.String())
		assert.False(t, a[0].Operate.Own())
		assert.Equal(t, 700*time.Millisecond, a[0].Operate.AnsweredAfter())
		assert.Equal(t, record.ClockUnknown, a[0].Operate.Judge().NotTimed)
		breaksNoLaw(t, r)
	})
}

// watching notes the waits of trials.
type watching struct {
	ask.Operator
	trials []string
}

func (o *watching) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if half, is := strings.CutPrefix(w.ID, "walk/1.1/"); is {
		o.trials = append(o.trials, half)
	}
	return o.Operator.Watch(ctx, w)
}

// say lets a signal come.
func (l *timeline) say(what string) {
	address, state, _ := strings.Cut(what, " ")
	l.to.Signal(signal.Signal{At: time.Now(), Address: address, State: signal.State(state)})
}

// keyed is a timeline whose signals are the technician's keys.
type keyed struct{ *timeline }

func (k keyed) About() signal.Listening {
	return signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, ByHand: true,
		UncertaintyNS: record.UncertaintyOf[signal.ByWatching].Nanoseconds()}
}

func (k keyed) Press(at time.Time, address string, state signal.State) {
	k.to.Signal(signal.Signal{At: at, Address: address, State: state, Raw: "key"})
}

// Both stamps of a device's keys come from its one clock: what is known better of that clock
// in between changes nothing of the time that lies between them.
func TestKeysOfADeviceAreTimedByItsOneClock(t *testing.T) {
	for name, tc := range map[string]struct {
		drift time.Duration // by which the middle of the bounds has moved meanwhile
		want  time.Duration
	}{
		"as before":     {0, 700 * time.Millisecond},
		"known better":  {9 * time.Millisecond, 700 * time.Millisecond},
		"another clock": {90 * time.Millisecond, 790 * time.Millisecond},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				device := glass{time.Now()}
				time.Sleep(time.Minute)
				source := keyed{&timeline{}}
				b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/restore, say: at-rest, after: 500 ms}\n")
				p := &handheld{Operator: b.config.Operator}
				var touched time.Time
				p.keys = map[string]func(chan<- ask.Pressed){"walk/1.1/ready": func(keys chan<- ask.Pressed) {
					time.Sleep(time.Second)
					touched = time.Now()
					keys <- device.touched(touched, ask.Ready)
				}, "walk/1.1/operate": func(keys chan<- ask.Pressed) {
					time.Sleep(800 * time.Millisecond)
					press := device.touched(touched.Add(700*time.Millisecond), ask.Indicated)
					press.Tap.EarliestNS += int64(tc.drift)
					press.Tap.LatestNS += int64(tc.drift)
					keys <- press
				}}
				b.config.Operator = p
				opened := openedFor(t, siteOf(t, twoAndOne))
				for _, step := range opened.Programme {
					if step.ID == "walk/1.1" {
						opened.Programme = []programme.Step{step}
						break
					}
				}
				_, r, err := b.start(t, t.Context(), siteOf(t, twoAndOne), opened)
				require.NoError(t, err, b.out.String())
				assert.Equal(t, tc.want, r.Find("walk/1.1").Attempts()[0].Operate.Judge().Response)
				breaksNoLaw(t, r)
			})
		})
	}
}

// Three detectors in a cellar, two of them of one bank in quick succession: their touches are
// delivered together when the phone is back, and nobody is asked to restore what is restored.
func TestTouchesFromACellar(t *testing.T) {
	const ms = time.Millisecond
	synctest.Test(t, func(t *testing.T) {
		device := glass{time.Now()}
		time.Sleep(time.Minute)
		source := &timeline{}
		b := newBench(t, uncertain{source}, clock.Real{}, "answers: [{when: none, say: none}]")
		b.config.Readers = nil
		watched := &watching{Operator: b.config.Operator}
		began := time.Now()
		for at, what := range map[time.Duration]string{1400 * ms: "z1 active", 3000 * ms: "z1 restored", 5500 * ms: "z2 active",
			6200 * ms: "z2 restored", 7300 * ms: "z2 active", 9000 * ms: "z2 restored"} {
			time.AfterFunc(at, func() { source.say(what) })
		}
		given := []time.Duration{1000 * ms, 5000 * ms, 7000 * ms}
		var ready []func() ask.Pressed
		for i, at := range given {
			ready = append(ready, func() ask.Pressed {
				time.Sleep(time.Until(began.Add(time.Minute)))
				p := device.touched(began.Add(at), ask.Ready)
				if i+1 < len(given) {
					p.Until = began.Add(given[i+1])
				}
				return p
			})
		}
		b.config.Operator = &far{watched, ready}
		opened := openedFor(t, siteOf(t, twoAndOne))
		var steps []programme.Step
		for _, step := range opened.Programme {
			if step.Stage == programme.StageWalkTest {
				steps = append(steps, step)
			}
		}
		opened.Programme = steps
		_, r, err := b.start(t, t.Context(), siteOf(t, twoAndOne), opened)
		require.NoError(t, err, b.out.String())
		for point, want := range map[string]time.Duration{"1.1": 400 * ms, "2.1": 500 * ms, "2.2": 300 * ms} {
			a := r.Find("walk/" + point).Attempts()
			require.Len(t, a, 1)
			assert.Equal(t, record.Proved, a[0].Operate.Judge().Verdict, point)
			assert.Equal(t, want, a[0].Operate.Judge().Response, point)
			assert.Equal(t, record.OwnTime, a[0].Restore.Judge().NotTimed, point)
		}
		assert.True(t, r.Done())
		assert.Empty(t, watched.trials)
		breaksNoLaw(t, r)
	})
}
