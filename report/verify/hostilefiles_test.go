//go:build linux

package verify

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/report/evidence"
	"loopwitness/report/seal"
	"loopwitness/report/verify/hostile"
)

// hostileTo is a forger of certificates of the kept visit.
func hostileTo(t testing.TB) hostile.Forger {
	t.Helper()
	return hostile.Forger{Honest: recorded(t), Key: newIdentity(t, "x"), Made: made}
}

// Audit, 7: small files stall verify. Each is as large as a bound lets it be, or larger. None is
// intact, however much of it was not looked at.
func TestHostileFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("takes minutes, most of it to make the files")
	}
	try := func(name string, file func() []byte) {
		t.Run(name, func(t *testing.T) {
			s := checkApart(t, file())
			t.Logf("%.2f s, %d MiB, %d KiB printed: %.200s", s.time.Seconds(), s.memory>>20, s.printed>>10, texts(&s.report))
			const printed = 512 << 10
			assert.Less(t, s.time, 10*time.Second)
			assert.Less(t, s.memory, int64(512<<20))
			assert.Less(t, s.printed, printed)
			assert.NotEqual(t, Intact, s.report.Outcome)
			if s.report.Outcome == Unchecked {
				assert.NotEqual(t, Holds, s.report.Shown.Reply)
			}
		})
	}
	if outsidetool.Racing {
		t.Skip("its times and memory are not the program's")
	}
	for _, f := range hostileTo(t).Files() {
		try(f.Name, f.Make)
	}
}

// A journal that signals fill, however short they are, has no more entries than are checked.
func TestAJournalFullOfSignalsIsChecked(t *testing.T) {
	w := hostileTo(t).Begun(hostile.SiteOf(1, "a"))
	before := w.Len()
	w.Add(signal.Signal{Address: "1", State: signal.Active})
	assert.Greater(t, w.Len()-before, shortestEntry)
}

// What is not looked at is neither intact nor failing.
func TestWhatIsNotLookedAtIsNotIntact(t *testing.T) {
	f := hostileTo(t)
	w := f.Begun(hostile.SiteOf(1, "a"))
	for range mostEntries {
		w.Add(record.Note{Step: "x"})
	}
	r := Check("c.pdf", f.Forged(w.Bytes(), func(s *evidence.Statement, _ *seal.Contents) {
		s.SealedBy = by(f.Key)
	}), Options{})
	assert.Equal(t, Unchecked, r.Outcome, texts(r))
	assert.Equal(t, NotCompared, r.Follows.Reply)
	assert.Equal(t, NotCompared, r.Shown.Reply)
	assert.Contains(t, texts(r), "too much: ")
}

func TestPhotographsBeyondTheBoundAreNotLookedAt(t *testing.T) {
	for n, bound := range map[int]bool{1: false, 9: true} {
		f := hostileTo(t)
		w := f.Begun(hostile.SiteOf(1, "a"))
		r := Check("c.pdf", f.Forged(w.Photographs(n, 8000, 5000), w.Attach), Options{})
		assert.Equal(t, bound, r.has(TooMuch), texts(r))
		if bound {
			assert.Contains(t, texts(r), "from photograph-8.png on its photographs were not looked at")
		}
	}
}

func TestDifferencesAreToldUpToABound(t *testing.T) {
	var d differing
	for i := range mostDifferences + 5 {
		d.add(fmt.Sprint(i), strings.Repeat("é", longestDifference), "")
	}
	assert.Len(t, d.told, mostDifferences)
	assert.Equal(t, 5, d.further)
	assert.Equal(t, mostDifferences+5, d.count())
	assert.Equal(t, strings.Repeat("é", longestDifference/2)+"…", d.told[0].States)
	r := &Report{}
	for range mostProblems + 3 {
		r.problem(BadRecord, "x")
	}
	r.problem(Form, "y")
	r.conclude()
	assert.Len(t, r.Problems, mostProblems+1)
	assert.Equal(t, "x (and 3 more of this kind)", r.Problems[mostProblems-1].Text)
	assert.Equal(t, Fails, r.Sealed.Reply)
}
