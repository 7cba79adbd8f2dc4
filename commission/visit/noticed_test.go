package visit

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// Each of these notices one change of a number or a line that nothing else would.

// Nobody reacts faster than in a tenth of a second (record.Soonest): a key that comes sooner
// was pressed before its indication, and is no signal.
func TestHowSoonAKeyIsASignal(t *testing.T) {
	for after, taken := range map[time.Duration]bool{
		0: false, 50 * time.Millisecond: false, 99 * time.Millisecond: false, 100 * time.Millisecond: true, time.Second: true,
	} {
		synctest.Test(t, func(t *testing.T) {
			source := &pressedKeys{}
			b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/operate, say: indicated, after: "+
				clockText(after)+"}\n  - {when: walk/1.1/not-proved, say: as it is}\n")
			v := b.on(t, &disk{}, "walk/1.1")
			require.NoError(t, v.Run(t.Context()), b.out.String())
			assert.Equal(t, taken, len(source.pressed) > 0, "%s after the cue", after)
		})
	}
}

// clockText is a duration as a file of answers has it.
func clockText(d time.Duration) string { return strings.Replace(d.String(), "ms", " ms", 1) }

// pressedKeys is a source whose signals are keys.
type pressedKeys struct {
	timeline
	pressed []time.Time
}

func (k *pressedKeys) Press(at time.Time, address string, state signal.State) {
	k.pressed = append(k.pressed, at)
	k.to.Signal(signal.Signal{At: at, Address: address, State: state, Raw: "key"})
}

// A restart is waited for twice as long as it may take, so that a late one is timed, too;
// then the visit goes on by itself.
func TestHowLongARestartIsWaitedFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, "answers:\n  - {when: supply/cold-restart, say: restart}\n")
		v := b.on(t, &disk{}, "supply/cold-restart")
		began := time.Now()
		require.NoError(t, v.Run(t.Context()), b.out.String())
		assert.Equal(t, 2*v.Record().Site().Limits.ColdRestart.Duration(), time.Since(began))
		assert.Equal(t, record.AsItIs, v.Record().Find("supply/cold-restart").Result())
	})
}

// The first entry says by what it is written and how far the clock on the wall is from
// UTC; what happened keeps its times.
func TestWhatBeginsAVisit(t *testing.T) {
	local := time.Local
	t.Cleanup(func() { time.Local = local })
	time.Local = time.FixedZone("", 5*3600+1800)
	b := newBench(t, &timeline{}, clock.NewSimulated(morning), noAnswers)
	v := b.on(t, &disk{}, "walk/1.1")
	assert.Equal(t, "test", v.Record().Opened().Tool)
	assert.Equal(t, 19800, v.Record().Opened().UTCOffset)
	assert.Equal(t, "2026-11-24T14:30:00+05:30", v.Record().Local(morning).Format(time.RFC3339))
}

// A line that a power cut has left unfinished is set aside, and the technician is told.
func TestAnUnfinishedLineIsTold(t *testing.T) {
	answers := "answers:\n  - {when: \"inspection/*\", say: done}\n"
	b := newBench(t, &timeline{}, clock.Real{}, answers)
	opened := openedFor(t, siteOf(t, oneDoor))
	opened.Programme = opened.Programme[:1]
	path, _, err := b.start(t, t.Context(), siteOf(t, oneDoor), opened)
	require.NoError(t, err)
	for torn, tells := range map[string]bool{"": false, "{": true, `{"n": 9, "at"`: true} {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		again := filepath.Join(t.TempDir(), "journal.jsonl")
		require.NoError(t, os.WriteFile(again, append(data, torn...), 0o644))
		b := newBench(t, &timeline{}, clock.Real{}, answers)
		v, err := Resume(b.config, again)
		require.NoError(t, err)
		require.NoError(t, v.Close())
		assert.Equal(t, tells, strings.Contains(b.out.String(), "torn-after"), "%q: %s", torn, b.out.String())
	}
}

// What cannot be resumed is refused, and held by nobody.
func TestWhatCannotBeResumed(t *testing.T) {
	b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
	_, err := Resume(b.config, filepath.Join(t.TempDir(), "journal.jsonl"))
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, err = Start(b.config, filepath.Join(t.TempDir(), "journal.jsonl"), record.Opened{Site: "no site"})
	assert.Error(t, err)

	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := journal.Create(path)
	require.NoError(t, err)
	_, err = w.Append(morning, (record.Note{}).Kind(), record.Note{})
	require.NoError(t, err)
	require.NoError(t, w.Close())
	for range 2 {
		_, err = Resume(b.config, path)
		assert.ErrorIs(t, err, record.ErrNoSense)
		assert.ErrorContains(t, err, path)
	}
}

// A disk that fails ends a wait that only a key would end: nobody may go on walking
// through the house while nothing is kept.
func TestAFailedDiskEndsAWait(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/ready, say: ready, after: 1 h}\n")
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		time.AfterFunc(time.Minute, func() {
			d.set(func(d *disk) { d.good = d.syncs })
			source.to.Signal(active("z2"))
		})
		began := time.Now()
		assert.ErrorContains(t, v.Run(t.Context()), "input/output error")
		assert.Equal(t, time.Minute, time.Since(began))
	})
}

// closing is a source that cannot be closed.
type closing struct {
	*timeline
	fails error // nil panics
}

func (c closing) Close() error {
	if c.fails == nil {
		panic("no such socket")
	}
	return c.fails
}

// A source that cannot be closed is told, beside what else went wrong, and what
// happened is kept.
func TestASourceThatCannotBeClosed(t *testing.T) {
	for says, fails := range map[string]error{"no such socket": nil, "no route": errors.New("no route")} {
		d := &disk{}
		b := newBench(t, closing{&timeline{}, fails}, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
		v := b.on(t, d, "inspection/people-told")
		assert.ErrorContains(t, v.Run(t.Context()), says)
		assert.Equal(t, "opened listening part-answer answer", kinds(d.kept(t)))
	}
}

// An interval of lost signals is as wide as their stamps, in whatever order they came.
func TestHowLongSignalsWereLost(t *testing.T) {
	at := func(seconds int) time.Time { return morning.Add(time.Duration(seconds) * time.Second) }
	a := arrival{at: at(10), fact: signal.Overrun{Lost: 1}}
	for _, step := range []struct{ stamped, from, to int }{
		{12, 10, 12}, {11, 10, 12}, {7, 7, 12}, {12, 7, 12}, {13, 7, 13},
	} {
		a = widened(a.at, a.fact.(signal.Overrun), at(step.stamped))
		lost := a.fact.(signal.Overrun)
		assert.Equal(t, at(step.from), a.at)
		assert.Equal(t, at(step.to), a.at.Add(time.Duration(lost.LastedNS)))
	}
	assert.Equal(t, 6, a.fact.(signal.Overrun).Lost)
}

// A text is cut where it is longer than its bound, and not before.
func TestWhereATextIsCut(t *testing.T) {
	assert.Equal(t, "12345", bounded("12345", 5))
	assert.Equal(t, "12345…", bounded("123456", 5))
	assert.Equal(t, "1234…", bounded("1234ü6", 5), "a letter is not cut in two")
}

// Where nothing is outstanding, it is said.
func TestNothingOutstandingIsSaid(t *testing.T) {
	assert.Equal(t, []ask.Phrase{ask.NothingOutstanding{}}, listed(nil))
}
