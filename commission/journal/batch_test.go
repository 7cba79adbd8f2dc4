package journal

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// events are n of them, a second apart.
func events(n int) []Event {
	all := make([]Event, n)
	for i := range all {
		body := map[string]string{"text": "Ofen 🏺 " + strings.Repeat("x", 7*i)}
		all[i] = Event{At: noon.Add(time.Duration(i) * time.Second), Kind: "signal", Body: body}
	}
	return all
}

func TestSeveralEntriesAreWrittenAsOneByOne(t *testing.T) {
	var alone, together failing
	alone.writes, alone.syncs = 5, 5
	together.writes, together.syncs = 1, 1
	one, all := On(&alone), On(&together)
	for _, e := range events(5) {
		_, err := one.Append(e.At, e.Kind, e.Body)
		require.NoError(t, err)
	}
	entries, err := all.AppendAll(events(5))
	require.NoError(t, err)
	assert.Equal(t, alone.written.String(), together.written.String(), "one write and one sync, the same bytes")
	c, err := Read(&together.written)
	require.NoError(t, err)
	assert.Equal(t, c.Entries, entries)
	assert.Equal(t, 4*time.Second, entries[4].Elapsed)
}

// What cannot be encoded keeps its whole batch out, and does no other harm.
func TestOneThatCannotBeEncodedKeepsAllOut(t *testing.T) {
	f := &failing{writes: 9, syncs: 9}
	w := On(f)
	_, err := w.AppendAll([]Event{{At: noon, Kind: "note", Body: 1}, {At: noon, Kind: "chan", Body: make(chan int)}})
	require.ErrorContains(t, err, "encode chan")
	assert.Zero(t, f.written.Len())
	entries, err := w.AppendAll(nil)
	require.NoError(t, err)
	assert.Empty(t, entries)
	e, err := w.Append(noon, "note", 2)
	require.NoError(t, err)
	assert.Equal(t, 1, e.N)
}

// A power cut may leave any prefix of a batch: its whole entries count, what was
// acknowledged before it stays, the rest is set aside.
func TestEveryCutOfABatch(t *testing.T) {
	synced, whole := batched(t, 2)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	for cut := len(synced); cut <= len(whole); cut++ {
		recovers(t, path, whole[:cut], whole)
	}
}

// A disk may have written some sectors of a batch and not others; what is
// missing reads as NULs.
func TestEverySectorOfABatchMayBeMissing(t *testing.T) {
	synced, whole := batched(t, 12)
	first, last := len(synced)/sector, (len(whole)-1)/sector
	require.Greater(t, last-first, 4)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	for missing := range 1 << (last - first + 1) {
		left := bytes.Clone(whole)
		for s := first; s <= last; s++ {
			if missing>>(s-first)&1 == 1 {
				clear(left[max(s*sector, len(synced)):min((s+1)*sector, len(left))])
			}
		}
		recovers(t, path, left, whole)
	}
}

// batched is a journal with two acknowledged entries, and with a batch of a size
// behind them.
func batched(t *testing.T, size int) (synced, whole []byte) {
	t.Helper()
	f := &failing{writes: 3, syncs: 3}
	w := On(f)
	for _, e := range events(2) {
		_, err := w.Append(e.At, e.Kind, e.Body)
		require.NoError(t, err)
	}
	synced = bytes.Clone(f.written.Bytes())
	_, err := w.AppendAll(events(size))
	require.NoError(t, err)
	return synced, f.written.Bytes()
}

// recovers opens what a crash left of a journal, goes on with it, and reads it.
func recovers(t *testing.T, path string, left, whole []byte) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, left, 0o644))
	w, c, rec, err := Open(path)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(c.Entries), 2, "what was acknowledged")
	require.True(t, bytes.HasPrefix(whole, c.Whole))
	require.Equal(t, len(left)-len(c.Whole), rec.Bytes)
	if rec.Bytes > 0 {
		kept, err := os.ReadFile(rec.File)
		require.NoError(t, err)
		require.Equal(t, left[len(c.Whole):], kept, "nothing is thrown away")
	}
	_, err = w.AppendAll(events(2))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	again, err := ReadFile(path)
	require.NoError(t, err)
	require.Len(t, again.Entries, len(c.Entries)+2)
	require.Empty(t, again.Torn)
}

// NULs that no torn write explains are damage.
func TestAGapElsewhereIsDamage(t *testing.T) {
	_, whole := batched(t, 12)
	few := bytes.Clone(whole)
	clear(few[sector+3 : sector+40]) // neither a sector nor a line from its start
	_, err := Read(bytes.NewReader(few))
	require.ErrorIs(t, err, ErrDamaged)

	f := &failing{writes: 9, syncs: 9}
	w := On(f)
	_, err = w.AppendAll(events(12))
	require.NoError(t, err)
	_, err = w.Append(noon, "note", strings.Repeat("x", longestTorn))
	require.NoError(t, err)
	early := f.written.Bytes()
	clear(early[sector : 2*sector])
	_, err = Read(bytes.NewReader(early))
	require.ErrorIs(t, err, ErrDamaged, "far more stands behind it than one write")
}

// However long the texts of a batch are, a sector of it that was never written is told
// from damage: what is written at once is no longer than a torn tail may be.
func TestAGapInALongBatchIsNoDamage(t *testing.T) {
	for name, size := range map[string]int{
		"short lines": 100, "long lines": 3000, "lines longer than a tail": longestTorn,
	} {
		f := &countingSyncs{}
		w := On(f)
		_, err := w.AppendAll(events(2))
		require.NoError(t, err)
		all := make([]Event, 2+longestTorn*3/2/size)
		for i := range all {
			all[i] = Event{At: noon, Kind: "signal", Body: strings.Repeat("x", size)}
		}
		entries, err := w.AppendAll(all)
		require.NoError(t, err)
		require.Len(t, entries, len(all))
		whole := f.written.Bytes()
		c, err := Read(bytes.NewReader(whole))
		require.NoError(t, err, name)
		require.Len(t, c.Entries, 2+len(all))
		require.Empty(t, c.Torn)
		for i, end := range f.synced[1:] { // power fails while this is written
			torn := bytes.Clone(whole[:end])
			from := f.synced[i] + sector - f.synced[i]%sector
			clear(torn[from : from+sector])
			c, err := Read(bytes.NewReader(torn))
			require.NoError(t, err, "%s: up to %d", name, end)
			assert.GreaterOrEqual(t, len(c.Whole), f.synced[i], "%s: what was durable stays", name)
		}
	}
}

// countingSyncs is a file that knows how long it was at each sync.
type countingSyncs struct {
	failing
	synced []int
}

func (f *countingSyncs) Write(p []byte) (int, error) { return f.written.Write(p) }

func (f *countingSyncs) Sync() error {
	f.synced = append(f.synced, f.written.Len())
	return nil
}

func TestNoBatchIsTakenAfterAFailure(t *testing.T) {
	for name, f := range map[string]*failing{"write": {writes: 1, syncs: 9}, "sync": {writes: 9, syncs: 1}} {
		w := On(f)
		_, err := w.AppendAll(events(3))
		require.NoError(t, err, name)
		_, err = w.AppendAll(events(3))
		require.Error(t, err, name)
		f.writes, f.syncs = 9, 9
		before := f.written.Len()
		_, err = w.AppendAll(events(1))
		require.ErrorIs(t, err, ErrDead, name)
		assert.Equal(t, before, f.written.Len(), "%s: nothing more is written", name)
	}
}

// A disk that takes only a part of a batch leaves a prefix of it.
func TestAFullDiskLeavesAPrefix(t *testing.T) {
	synced, whole := batched(t, 12)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	for room := len(synced); room < len(whole); room += 97 {
		f := &full{room: room}
		w := On(f)
		for _, e := range events(2) {
			_, err := w.Append(e.At, e.Kind, e.Body)
			require.NoError(t, err)
		}
		_, err := w.AppendAll(events(12))
		require.ErrorContains(t, err, "no space left")
		recovers(t, path, f.written.Bytes(), whole)
	}
}

// full is a file on a disk with little room.
type full struct {
	failing
	room int
}

func (f *full) Write(p []byte) (int, error) {
	n := min(len(p), f.room-f.written.Len())
	f.written.Write(p[:n])
	if n < len(p) {
		return n, fmt.Errorf("no space left")
	}
	return n, nil
}

func (f *full) Sync() error { return nil }

// Batches of two writers keep their order and do not mix.
func TestTwoGoroutinesAppendBatches(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := Create(path)
	require.NoError(t, err)
	const batches, size = 40, 7
	var both sync.WaitGroup
	for _, who := range []string{"listener", "operator"} {
		both.Go(func() {
			for b := range batches {
				all := make([]Event, size)
				for i := range all {
					all[i] = Event{At: noon, Kind: who, Body: size*b + i}
				}
				entries, err := w.AppendAll(all)
				if assert.NoError(t, err) {
					assert.Equal(t, entries[0].N+size-1, entries[size-1].N)
				}
			}
		})
	}
	both.Wait()
	require.NoError(t, w.Close())
	c, err := ReadFile(path)
	require.NoError(t, err)
	require.Len(t, c.Entries, 2*batches*size)
	next := map[string]int{}
	for i, e := range c.Entries {
		assert.Equal(t, c.Entries[i-i%size].Kind, e.Kind, "a batch of one")
		assert.Equal(t, fmt.Sprint(next[e.Kind]), string(e.Body))
		next[e.Kind]++
	}
}

// A clock that is set between two events changes their wall times and not what
// has passed between them.
func TestElapsedIsMonotonic(t *testing.T) {
	f := &failing{writes: 9, syncs: 9}
	w := On(f)
	first := time.Now()
	then := set(first.Add(7*time.Second), time.Hour)
	entries, err := w.AppendAll(
		[]Event{
			{At: first, Kind: "note", Body: 1},
			{At: then, Kind: "note", Body: 2},
			{At: first.Add(-time.Second), Kind: "note", Body: 3},
		},
	)
	require.NoError(t, err)
	assert.Equal(t, time.Hour+7*time.Second, entries[1].At.Sub(entries[0].At))
	assert.Equal(t, 7*time.Second, entries[1].Elapsed)
	assert.Equal(t, -time.Second, entries[2].Elapsed, "stamped before, delivered after")
}

// set is the same instant on a clock that was set forward before it. The
// monotonic reading is the second word of a time.Time; there is no other way to
// it, and the test fails if that changes.
func set(t time.Time, forward time.Duration) time.Time {
	t = t.Add(forward)
	*(*int64)(unsafe.Add(unsafe.Pointer(&t), 8)) -= int64(forward)
	return t
}

// Entries in batches beside single ones; entries/s is what counts.
func BenchmarkAppendAll(b *testing.B) {
	for _, size := range []int{1, 10, 100, 1000} {
		b.Run(fmt.Sprintf("batch=%d", size), func(b *testing.B) {
			w, err := Create(filepath.Join(b.TempDir(), "journal.jsonl"))
			require.NoError(b, err)
			defer w.Close()
			all := make([]Event, size)
			for i := range all {
				all[i] = Event{At: noon, Kind: "signal", Body: map[string]string{"address": "z1", "state": "active"}}
			}
			n := 0
			for b.Loop() {
				if _, err := w.AppendAll(all); err != nil {
					b.Fatal(err)
				}
				n += size
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "entries/s")
		})
	}
}
