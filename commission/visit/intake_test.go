package visit

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

// disk is a journal's file in memory, with a sync that takes its time and fails on
// demand.
type disk struct {
	mu               sync.Mutex
	slow             time.Duration // what a sync takes
	syncs            int           // how many were asked for
	good             int           // how many succeed, 0 for all
	faulty           bool          // writing panics
	written, durable []byte
}

func (d *disk) Write(p []byte) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.faulty {
		panic("no such sector")
	}
	d.written = append(d.written, p...)
	return len(p), nil
}

func (d *disk) Sync() error {
	d.mu.Lock()
	d.syncs++
	slow, fails := d.slow, d.good > 0 && d.syncs > d.good
	d.mu.Unlock()
	time.Sleep(slow)
	if fails {
		return errors.New("input/output error")
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.durable = bytes.Clone(d.written)
	return nil
}

func (d *disk) Close() error { return nil }

func (d *disk) set(change func(*disk)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	change(d)
}

// kept is what a power cut would leave.
func (d *disk) kept(t testing.TB) []journal.Entry {
	t.Helper()
	d.mu.Lock()
	defer d.mu.Unlock()
	c, err := journal.Read(bytes.NewReader(d.durable))
	require.NoError(t, err)
	return c.Entries
}

// on begins a visit of some steps at oneDoor on a disk.
func (b *bench) on(t testing.TB, d *disk, steps ...string) *Visit {
	t.Helper()
	text := strings.Replace(oneDoor, "none", "lead-acid", 1) + "  - {name: Bell, kind: chime, follows: [1]}\n"
	opened := openedFor(t, siteOf(t, text))
	var some []programme.Step
	for _, s := range opened.Programme {
		for _, id := range steps {
			if s.ID == id {
				some = append(some, s)
			}
		}
	}
	require.Len(t, some, len(steps))
	opened.Programme = some
	v, err := begin(b.config, journal.On(d), opened)
	require.NoError(t, err)
	return v
}

const noAnswers = "answers:\n  - {when: nothing, say: \"\"}\n"

// kinds are the kinds of the entries, those of a kind in a row counted.
func kinds(entries []journal.Entry) string {
	var out []string
	n := 0
	for i, e := range entries {
		n++
		if i+1 < len(entries) && entries[i+1].Kind == e.Kind {
			continue
		}
		out, n = append(out, strings.TrimPrefix(fmt.Sprintf("%d×%s", n, e.Kind), "1×")), 0
	}
	return strings.Join(out, " ")
}

// addresses are those of the signals, in their order.
func addresses(t testing.TB, entries []journal.Entry) (all []string) {
	t.Helper()
	for _, e := range entries {
		if e.Kind == "signal" {
			_, rest, _ := strings.Cut(string(e.Body), `"address":"`)
			address, _, _ := strings.Cut(rest, `"`)
			all = append(all, address)
		}
	}
	return all
}

func active(address string) signal.Signal {
	return signal.Signal{At: time.Now(), Address: address, State: signal.Active}
}

// A source that reads the next message once the last is delivered, as network
// clients do, stamps each when it came, however slow the disk is. With each signal
// synced before the next is read, the last of these would be stamped 0.98 s late.
func TestStampsDoNotWaitForTheDisk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: inspection/people-told, say: done}\n")
		d := &disk{slow: 20 * time.Millisecond}
		const burst = 50
		sent := make([]time.Time, burst)
		b.config.Operator = &busyOperator{Operator: b.config.Operator, during: func() {
			wire := make(chan string, burst)
			go func() {
				for i := range sent {
					sent[i] = time.Now()
					wire <- fmt.Sprintf("z%d", 1+i%2)
					time.Sleep(time.Duration(i%3) * 100 * time.Microsecond)
				}
				close(wire)
			}()
			for address := range wire {
				source.to.Signal(active(address))
			}
		}}
		began := time.Now()
		v := b.on(t, d, "inspection/people-told")
		require.NoError(t, v.Run(t.Context()))
		i := 0
		for _, e := range d.kept(t) {
			if e.Kind == "signal" {
				assert.InDelta(t, sent[i].Sub(began), e.Elapsed, float64(3*time.Millisecond), "signal %d", i)
				i++
			}
		}
		assert.Equal(t, burst, i)
		assert.Less(t, d.syncs, 12, "signals share a sync")
		assert.Equal(t, burst, v.Record().Signals())
	})
}

// Facts stand in the journal in the order in which they happened: what arrived
// before a cue or an answer before it, what came meanwhile after it, and both are
// durable before the visit goes on.
func TestNothingIsOvertaken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
		d := &disk{slow: 5 * time.Millisecond}
		v := b.on(t, d, "walk/1.1")
		defer v.keepWriting()()
		to := receiver{v}
		for range 30 {
			to.Signal(active("z1"))
		}
		go func() {
			time.Sleep(7 * time.Millisecond) // while the cue is being written
			to.Signal(active("z2"))
			to.Connection(signal.Connection{Up: true})
			to.Signal(active("z1"))
		}()
		_, _, err := v.cue(v.record.Find("walk/1.1"), record.Operate, ask.Pressed{})
		require.NoError(t, err)
		assert.Equal(t, "opened 30×signal cue", kinds(d.kept(t)), "durable before anybody is told")
		time.Sleep(time.Second)
		assert.Equal(t, "opened 30×signal cue signal connection signal", kinds(d.kept(t)))
		assert.Equal(t, []string{"z2", "z1"}, addresses(t, d.kept(t))[30:])
		require.NoError(t, v.look(func(r *record.Record) {
			trial, _ := r.Trial()
			assert.Len(t, trial.Heard(), 2)
		}))
	})
}

// The end of a trial stands behind all that was stamped before it, also where
// nobody has written it yet, and before all that was stamped after it.
func TestATrialEndsBehindWhatArrivedBefore(t *testing.T) {
	for name, tc := range map[string]struct {
		arrives func(receiver, *Visit)
		by, end record.End
		kinds   string
		heard   int
	}{
		"report": {func(to receiver, _ *Visit) { to.Signal(active("z1")) },
			record.ByTime, record.ByTime, "opened cue signal ended", 1},
		"report, given up": {func(to receiver, _ *Visit) { to.Signal(active("z1")) },
			record.BySilent, record.BySilent, "opened cue signal ended", 1},
		"report of the next moment": {func(to receiver, _ *Visit) {
			to.Signal(signal.Signal{At: time.Now().Add(time.Hour), Address: "z1", State: signal.Active})
		}, record.ByTime, record.ByTime, "opened cue ended signal", 0},
		"connection lost": {func(to receiver, _ *Visit) { to.Connection(signal.Connection{}) },
			record.ByTime, record.ByLost, "opened cue connection", 0},
		"connection lost, skipped": {func(to receiver, _ *Visit) { to.Connection(signal.Connection{}) },
			record.BySkip, record.BySkip, "opened cue connection", 0},
		"signals lost": {func(to receiver, v *Visit) {
			v.intake.most = 2
			for range 7 {
				to.Signal(active("z2"))
			}
		}, record.BySilent, record.ByOverrun, "opened cue 2×signal overrun", 2},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
				d := &disk{}
				v := b.on(t, d, "walk/1.1")
				s := v.record.Find("walk/1.1")
				trial, _, err := v.cue(s, record.Operate, ask.Pressed{})
				require.NoError(t, err)
				time.Sleep(3 * time.Second) // longer than its limit
				tc.arrives(receiver{v}, v)
				time.Sleep(3 * time.Second)
				end, err := v.endTrial(s, trial, tc.by, v.clock.Now())
				require.NoError(t, err)
				assert.Equal(t, tc.end, end)
				require.NoError(t, v.settle())
				assert.Equal(t, tc.kinds, kinds(d.kept(t)))
				assert.Len(t, trial.Heard(), tc.heard)
				if tc.end == record.ByOverrun {
					assert.Equal(t, record.Void, trial.Judge().Verdict)
					assert.False(t, trial.Missed())
				}
			})
		})
	}
}

// A disk that stands still while the time of a trial runs out takes no report away
// from it.
func TestAStalledDiskLosesNoReport(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{operate: "14500ms z2 restored; 14900ms z1 active", restore: "600ms z1 restored"}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/not-proved, say: as it is}\n")
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		time.AfterFunc(14400*time.Millisecond, func() { d.set(func(d *disk) { d.slow = 2 * time.Second }) })
		time.AfterFunc(15*time.Second, func() { d.set(func(d *disk) { d.slow = 0 }) })
		require.NoError(t, v.Run(t.Context()), b.out.String())
		line := judge.Assess(v.Record()).Detectors()[0]
		assert.Equal(t, record.Late, line.Verdict)
		assert.Equal(t, 14900*time.Millisecond, line.Operated.Response)
	})
}

// Whatever the record had taken when the disk failed is on it.
func TestWhatWasAcknowledgedSurvivesAKill(t *testing.T) {
	for good := 1; ; good++ {
		failed := false
		synctest.Test(t, func(t *testing.T) {
			source := &timeline{}
			b := newBench(t, source, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
			d := &disk{slow: 20 * time.Millisecond}
			b.config.Operator = &busyOperator{Operator: b.config.Operator, during: func() {
				for i := range 60 {
					source.to.Signal(active(fmt.Sprintf("z%d", 1+i%2)))
					time.Sleep(time.Millisecond)
				}
			}}
			v := b.on(t, d, "inspection/people-told", "inspection/mains", "inspection/passwords")
			d.set(func(d *disk) { d.good = good })
			err := v.Run(t.Context())
			failed = err != nil
			kept := d.kept(t)
			require.GreaterOrEqual(t, len(kept), v.Record().Entries(), "the disk failed at sync %d", good+1)
			if !failed {
				assert.Equal(t, 240, v.Record().Signals(), "60 while each of three items is asked for, and their list")
			}
			folded, err := record.Fold(kept[:v.Record().Entries()])
			require.NoError(t, err)
			assert.Equal(t, v.Record(), folded)
		})
		if !failed {
			require.Greater(t, good, 10)
			return
		}
	}
}

// flooding is the operator during one of whose watches or questions something
// happens, each time another thing.
type flooding struct {
	ask.Operator
	during map[string][]func()
}

func (o *flooding) now(id string) {
	if todo := o.during[id]; len(todo) > 0 {
		o.during[id] = todo[1:]
		go todo[0]()
	}
}

func (o *flooding) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	o.now(w.ID)
	return o.Operator.Watch(ctx, w)
}

func (o *flooding) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	o.now(q.ID)
	time.Sleep(5 * time.Second)
	return o.Operator.Ask(ctx, q)
}

// flood stalls the disk for a second and sends more than there is room for: one is
// being written, eight wait, 22 are lost.
func flood(d *disk, to signal.Receiver) {
	const room = 8
	d.set(func(d *disk) { d.slow = time.Second })
	to.Signal(signal.Signal{At: time.Now(), Address: "z2", State: signal.Restored})
	time.Sleep(100 * time.Millisecond)
	for range room + 22 {
		to.Signal(signal.Signal{At: time.Now(), Address: "z2", State: signal.Restored})
		time.Sleep(time.Millisecond)
	}
	d.set(func(d *disk) { d.slow = 0 })
}

// Signals that are lost are never silence: they stand in the journal, are told at
// once, limit the certificate, and no trial that waited meanwhile counts.
func TestLostSignalsAreToldAndVoidTheTrial(t *testing.T) {
	const flooded = 21 * time.Millisecond
	once := func(a *judge.Assessment) bool {
		return a.Detectors()[0].Verdict == record.Proved && a.Detectors()[0].Trials == 1
	}
	for _, tc := range []struct {
		step, watch, answers string
		lost                 int // with the report itself, where it comes during the flood
		lasted               time.Duration
		proved               func(*judge.Assessment) bool
	}{
		{"walk/1.1", "walk/1.1/operate", "", 23, 420*time.Millisecond - 108*time.Millisecond, once},
		{"walk/1.1", "walk/1.1/restore", "", 23, 600*time.Millisecond - 108*time.Millisecond, once},
		{"outputs/Bell/zone-1", "outputs/Bell/zone-1/heard", "  - {when: \"*/heard\", say: heard, after: 3 s}\n", 23,
			420*time.Millisecond - 108*time.Millisecond, func(a *judge.Assessment) bool {
				return a.Outputs()[0].Result == record.Works && a.Outputs()[0].Heard == 3*time.Second
			}},
		{"supply/cold-restart", "supply/cold-restart/wait", "  - {when: supply/cold-restart, say: restart}\n", 22, flooded,
			func(a *judge.Assessment) bool {
				return a.Restart().Verdict == record.Proved && a.Restart().Took == 20*time.Second
			}},
		{"inspection/people-told", "inspection/people-told", "  - {when: inspection/people-told, say: done}\n", 22, flooded,
			func(a *judge.Assessment) bool { return a.Checklist()[0].Result() == record.Done }},
	} {
		t.Run(tc.watch, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				source := &timeline{operate: "420ms z1 active", restore: "600ms z1 restored"}
				b := newBench(t, source, clock.Real{}, noAnswers+tc.answers)
				d := &disk{}
				began := time.Now()
				during := map[string][]func(){tc.watch: {func() { flood(d, source.to) }}}
				if tc.step == programme.IDRestart {
					during[tc.watch] = append(during[tc.watch], func() {
						time.Sleep(20 * time.Second)
						source.to.Signal(active("z1"))
					})
				}
				b.config.Operator = &flooding{b.config.Operator, during}
				v := b.on(t, d, tc.step)
				v.intake = newIntake(8)
				require.NoError(t, v.Run(t.Context()), b.out.String())
				r := v.Record()
				require.Len(t, r.Losses(), 1, kinds(d.kept(t)))
				loss := r.Losses()[0]
				assert.Equal(t, tc.lost, loss.Signals)
				assert.Equal(t, tc.lasted, loss.To.Sub(loss.From))
				assert.WithinRange(t, loss.From, began.Add(100*time.Millisecond), began.Add(10*time.Second))

				told := fmt.Sprintf("SIGNALS WERE LOST: %d ", tc.lost)
				assert.Equal(t, 1, strings.Count(b.out.String(), told), b.out.String())
				again := strings.Contains(b.out.String(), words.English{}.Say(ask.TrialAgain{}))
				assert.Equal(t, tc.step != "inspection/people-told", again, "it is told why a trial is taken again")
				a := judge.Assess(r)
				assert.True(t, tc.proved(a), b.out.String())
				assert.Contains(t, limitations(a), fmt.Sprintf("%d signals were lost", tc.lost))
				folded, err := record.Fold(d.kept(t))
				require.NoError(t, err)
				assert.Equal(t, r, folded)
				breaksNoLaw(t, folded)
			})
		})
	}
}

func limitations(a *judge.Assessment) string {
	var all []string
	for _, f := range a.Limitations() {
		all = append(all, words.English{}.Say(f.Subject)+": "+words.English{}.Say(f))
	}
	return strings.Join(all, "\n")
}

// What is lost is told while it is being lost, not when the wait is over.
func TestLostSignalsAreToldAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/ready, say: skip, after: 60 s}\n"+
			"  - {when: \"*/reason\", say: locked}\n")
		d := &disk{}
		b.config.Operator = &flooding{b.config.Operator, map[string][]func(){"walk/1.1/ready": {func() {
			flood(d, source.to)
			time.Sleep(1500 * time.Millisecond)
			synctest.Wait()
			assert.Contains(t, b.out.String(), "SIGNALS WERE LOST: 22 ")
		}}}}
		v := b.on(t, d, "walk/1.1")
		v.intake = newIntake(8)
		require.NoError(t, v.Run(t.Context()), b.out.String())
	})
}

// Each loss is told by itself, and once.
func TestEachLossIsToldOnce(t *testing.T) {
	b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
	v := b.on(t, &disk{}, "walk/1.1")
	told := func() (all []ask.Notice) {
		require.NoError(t, v.look(func(r *record.Record) { v.befell(r, func(n ask.Notice) { all = append(all, n) }) }))
		return all
	}
	assert.Empty(t, told())
	require.NoError(t, v.add(signal.Overrun{Lost: 1}))
	assert.Equal(t, []ask.Notice{ask.SignalsLost{Signals: 1}}, told())
	assert.Empty(t, told())
	require.NoError(t, v.add(signal.Overrun{Lost: 22}))
	assert.Equal(t, []ask.Notice{ask.SignalsLost{Signals: 22}}, told())
	assert.Empty(t, told())
}

// Who resumes a visit is not told again of what was lost before.
func TestOldLossesAreNotToldAgain(t *testing.T) {
	opened := openedFor(t, siteOf(t, oneDoor))
	opened.Programme = opened.Programme[:1]
	path := t.TempDir() + "/journal.jsonl"
	w, err := journal.Create(path)
	require.NoError(t, err)
	for _, f := range []record.Fact{opened, signal.Overrun{Lost: 9}} {
		_, err := w.Append(morning, f.Kind(), f)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	b := newBench(t, &timeline{}, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
	v, err := Resume(b.config, path)
	require.NoError(t, err)
	require.NoError(t, v.Run(t.Context()))
	require.NoError(t, v.Close())
	assert.NotContains(t, b.out.String(), "LOST")
	assert.Equal(t, 9, v.Record().Lost())
}

// parting is a source that delivers a last signal while it is closed.
type parting struct{ *timeline }

func (p parting) Close() error {
	p.to.Signal(active("z2"))
	time.Sleep(time.Millisecond) // it is being written
	p.to.Signal(active("z1"))
	return nil
}

// What came until the source was closed is written, however the visit ends.
func TestTheQueueIsEmptiedAtTheEnd(t *testing.T) {
	for range 10 { // who writes may be stopped before or after it looks again
		for _, paused := range []bool{true, false} {
			answers := noAnswers
			if !paused {
				answers += "  - {when: \"inspection/*\", say: done}\n"
			}
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t, parting{&timeline{}}, clock.Real{}, answers)
				d := &disk{slow: 20 * time.Millisecond}
				v := b.on(t, d, "inspection/people-told")
				assert.Equal(t, paused, v.Run(t.Context()) != nil)
				assert.Equal(t, []string{"z2", "z1"}, addresses(t, d.kept(t)))
			})
		}
	}
}

// The loss of a connection is not lost, however little room there is.
func TestAConnectionIsNeverLost(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		v.intake = newIntake(1)
		to := receiver{v}
		to.Signal(active("z1"))
		to.Signal(active("z1"))
		to.Connection(signal.Connection{})
		require.NoError(t, v.settle())
		assert.Equal(t, "opened signal overrun connection", kinds(d.kept(t)))
	})
}

// A fault of who writes the signals ends the visit, as one anywhere else does.
func TestAFaultInWritingEndsTheVisit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, noAnswers)
		d := &disk{}
		b.config.Operator = &busyOperator{Operator: b.config.Operator, watching: func() {
			d.set(func(d *disk) { d.faulty = true })
			source.to.Signal(active("z1"))
			synctest.Wait() // nobody but the writer has anything to do
		}}
		v := b.on(t, d, "walk/1.1")
		assert.ErrorContains(t, v.Run(t.Context()), "writing signals: the program has a fault: no such sector")
	})
}

// Texts that a stranger at the broker chooses are cut, and no entry is written that
// the record refuses.
func TestLongTextsAreCut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		long := strings.Repeat("ß", 40_000)
		to := receiver{v}
		to.Signal(signal.Signal{At: time.Now(), Address: "x" + long, State: signal.NotUnderstood, Raw: long})
		to.Connection(signal.Connection{Up: true, Detail: long})
		require.NoError(t, v.settle())
		kept := d.kept(t)
		assert.Equal(t, "opened signal connection", kinds(kept))
		for _, e := range kept[1:] {
			assert.Less(t, len(e.Body), 2000)
			assert.NotContains(t, string(e.Body), `\ufffd`)
		}
	})
}

// What is no business of the site does not fill the disk.
func TestStrangersAreWrittenAFewTimes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		to := receiver{v}
		for i := range 5000 {
			to.Signal(active(fmt.Sprintf("stranger %d", i%1200)))
			to.Signal(signal.Signal{At: time.Now(), Address: fmt.Sprint("old ", i), State: signal.Active, Kept: "retained"})
			if i%100 == 0 {
				to.Signal(active("z1"))
				require.NoError(t, v.settle())
			}
		}
		require.NoError(t, v.settle())
		r := v.Record()
		assert.Len(t, r.Strangers(), record.MostStrangers)
		assert.Equal(t, mostOfStranger*record.MostStrangers+50, r.Signals())
		assert.Contains(t, limitations(judge.Assess(r)), "at least 1000 addresses")
	})
}

// Many may bring arrivals at once; all are handed over or counted, each in its place.
func TestIntake(t *testing.T) {
	const senders, each, most = 4, 5000, 100
	q := newIntake(most)
	var all []arrival
	var bringing, taking sync.WaitGroup
	done := make(chan struct{})
	taking.Go(func() {
		for {
			select {
			case <-q.filled:
				all = append(all, q.all()...)
			case <-done:
				all = append(all, q.all()...)
				return
			}
		}
	})
	for s := range senders {
		bringing.Go(func() {
			for i := range each {
				q.putOrCount(arrival{at: time.Now(), fact: signal.Signal{Address: fmt.Sprint(s), Raw: fmt.Sprint(i)}})
			}
		})
	}
	bringing.Wait()
	close(done)
	taking.Wait()
	came, lost, last := 0, 0, map[string]int{}
	for i, a := range all {
		switch f := a.fact.(type) {
		case signal.Signal:
			var n int
			_, err := fmt.Sscan(f.Raw, &n)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, n, last[f.Address], "in the order of each sender")
			last[f.Address] = n
			came++
		case signal.Overrun:
			lost += f.Lost
			assert.GreaterOrEqual(t, f.LastedNS, int64(0))
			if i > 0 {
				assert.NotEqual(t, "overrun", all[i-1].fact.Kind(), "one for all that were lost in a row")
			}
		}
	}
	assert.Equal(t, senders*each, came+lost)
}
