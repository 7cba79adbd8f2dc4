package certify

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/verify"
)

var now = time.Date(2026, 12, 1, 12, 0, 0, 500, time.UTC)

// pottery is the visit of a whole journal, with more written behind it.
func pottery(t testing.TB, more string) job.Visit {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	dir := t.TempDir()
	folder := filepath.Join(dir, "visits", "handover")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "journal.jsonl"), append(raw, more...), 0o644))
	v, err := job.At(dir).Visit("handover")
	require.NoError(t, err)
	return v
}

// at is a clock that stands.
func at(t time.Time) clock.Clock { return clock.NewSimulated(t) }

func newKey(t testing.TB, made time.Time) Key {
	t.Helper()
	id, err := identity.New(identity.Subject{Name: "Bellbird"}, made, 1)
	require.NoError(t, err)
	return Key{Identity: id}
}

func checked(t testing.TB, path string) *verify.Report {
	t.Helper()
	file, err := os.ReadFile(path)
	require.NoError(t, err)
	return verify.Check(path, file, verify.Options{})
}

func TestKindsOfSeals(t *testing.T) {
	signed := newKey(t, time.Now())
	throwAway := Key{Identity: signed.Identity, ThrowAway: true}
	v := pottery(t, "")
	for i, test := range []struct {
		key  Key
		want certificate.SealerKind
		is   verify.Outcome
	}{
		{Key{}, certificate.Nobody, verify.Unchecked},
		{signed, certificate.KeyHolder, verify.Intact},
		{throwAway, certificate.ThrowAwayKey, verify.Intact},
	} {
		c, err := Visit(context.Background(), v, Options{Key: test.key, Tool: "loopwitness test", Clock: clock.Real{}})
		require.NoError(t, err)
		assert.Equal(t, test.want, c.Seal)
		assert.Equal(t, i+1, c.Revision)
		assert.Equal(t, v.CertificatePath(i+1), c.Path)
		assert.Equal(t, judge.WithLimitations, c.Assessment.Result())
		assert.False(t, c.Torn || c.Stamped)
		assert.NoError(t, c.NoStamp)
		r := checked(t, c.Path)
		assert.Equal(t, test.is, r.Outcome, r.Problems)
		if test.want != certificate.Nobody {
			assert.Equal(t, test.want == certificate.ThrowAwayKey, r.Signature.ThrowAway)
		}
	}
}

// The injected clock is the only one that is asked, for the key and for the pages.
func TestInjectedClock(t *testing.T) {
	v := pottery(t, "")
	key := newKey(t, now.AddDate(-3, 0, 0))
	_, err := Visit(context.Background(), v, Options{Key: key, Clock: at(now)})
	require.ErrorContains(t, err, "the key's certificate is valid from")
	assert.NoDirExists(t, filepath.Dir(v.CertificatePath(1)))
	_, err = Visit(context.Background(), v, Options{Key: newKey(t, now.AddDate(1, 0, 0)), Clock: at(now)})
	require.ErrorContains(t, err, "the key's certificate is valid from")

	first, err := Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	require.NoError(t, os.Rename(first.Path, first.Path+".kept"))
	again, err := Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	one, err := os.ReadFile(first.Path + ".kept")
	require.NoError(t, err)
	two, err := os.ReadFile(again.Path)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(one, two), "of the same journal at the same time comes the same file")
}

// Whoever certifies at the same time gets a revision of his own; none is replaced.
func TestRace(t *testing.T) {
	v := pottery(t, "")
	const many = 4
	var mu sync.Mutex
	revisions := map[int]string{} // digests of the files
	var all sync.WaitGroup
	for range many {
		all.Go(func() {
			c, err := Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
			if !assert.NoError(t, err) {
				return
			}
			file, err := os.ReadFile(c.Path) // at once, before another might replace it
			assert.NoError(t, err)
			mu.Lock()
			defer mu.Unlock()
			assert.NotContains(t, revisions, c.Revision)
			revisions[c.Revision] = evidence.Digest(file)
		})
	}
	all.Wait()
	require.Len(t, revisions, many)
	for revision := 1; revision <= many; revision++ {
		file, err := os.ReadFile(v.CertificatePath(revision))
		require.NoError(t, err)
		assert.Equal(t, revisions[revision], evidence.Digest(file), "it is as whoever made it has left it")
		document := checked(t, v.CertificatePath(revision)).Document
		assert.Regexp(t, ` rev\. `+string(rune('0'+revision))+`$`, document, "the pages bear the number of the file")
	}
	entries, err := os.ReadDir(filepath.Dir(v.CertificatePath(1)))
	require.NoError(t, err)
	assert.Len(t, entries, many, "nothing is left beside them")
}

// While one waits for a time stamp another is finished: it is not replaced.
func TestRaceWithASlowTimeStamp(t *testing.T) {
	v := pottery(t, "")
	asked, finished := make(chan struct{}, 2), make(chan struct{})
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.Copy(io.Discard, r.Body)
		asked <- struct{}{}
		<-finished
		w.WriteHeader(http.StatusServiceUnavailable)
	}))
	defer server.Close()
	finish := sync.OnceFunc(func() { close(finished) })
	defer finish() // also after a failure: the server waits for it
	slow := make(chan Certified, 1)
	go func() {
		c, err := Visit(
			context.Background(),
			v,
			Options{Key: newKey(t, time.Now()), Stamp: seal.Stamper{URL: server.URL}, Tool: "loopwitness test",
				Clock: clock.Real{}},
		)
		assert.NoError(t, err)
		slow <- c
	}()
	select {
	case <-asked:
	case c := <-slow:
		require.Fail(t, "it asked for no time stamp", "%+v", c)
	}
	quick, err := Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	before, err := os.ReadFile(quick.Path)
	require.NoError(t, err)
	finish()
	c := <-slow
	assert.Equal(t, 1, quick.Revision)
	assert.Equal(t, 2, c.Revision)
	assert.ErrorContains(t, c.NoStamp, "503")
	assert.Equal(t, verify.Intact, checked(t, c.Path).Outcome)
	after, err := os.ReadFile(quick.Path)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(before, after))
}

func TestBrokenOff(t *testing.T) {
	v := pottery(t, "")
	ctx, cancel := context.WithCancel(context.Background())
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		_, _ = io.Copy(io.Discard, r.Body)
		cancel()
		<-r.Context().Done()
	}))
	defer server.Close()
	_, err := Visit(ctx, v, Options{Key: newKey(t, time.Now()), Stamp: seal.Stamper{URL: server.URL}, Clock: clock.Real{}})
	require.ErrorIs(t, err, ErrBrokenOff)
	assert.NoDirExists(t, filepath.Dir(v.CertificatePath(1)))
}

// What cannot be certified leaves no file; an unfinished last line is told and left out.
func TestJournals(t *testing.T) {
	c, err := Visit(context.Background(), pottery(t, `{"n":180,`), Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	assert.True(t, c.Torn)
	assert.Equal(t, verify.Unchecked, checked(t, c.Path).Outcome, "unsigned, and nothing else against it")
	assert.Len(t, checked(t, c.Path).Problems, 1)

	damaged := pottery(t, "rubbish\n")
	_, err = Visit(context.Background(), damaged, Options{Clock: at(now)})
	require.ErrorIs(t, err, journal.ErrDamaged)
	assert.NoDirExists(t, filepath.Dir(damaged.CertificatePath(1)))

	blocked := pottery(t, "")
	folder := filepath.Dir(blocked.CertificatePath(1))
	require.NoError(t, os.WriteFile(folder, nil, 0o644))
	_, err = Visit(context.Background(), blocked, Options{Clock: at(now)})
	assert.Error(t, err, "certificates is a file")
	if err := os.Symlink("gone", folder+"-link"); err == nil {
		require.NoError(t, os.Rename(folder+"-link", folder))
		_, err = Visit(context.Background(), blocked, Options{Clock: at(now)})
		assert.ErrorContains(t, err, "write the certificate")
	}
}

// A photograph that is gone hinders, and is named.
func TestLostPhotograph(t *testing.T) {
	v := pottery(t, "")
	var picture bytes.Buffer
	require.NoError(t, jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 60, 40)), nil))
	added, err := v.Attach(at(now), "site", "", picture.Bytes())
	require.NoError(t, err)
	_, err = Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	require.NoError(t, os.Remove(filepath.Join(filepath.Dir(v.Journal()), "photographs", added.Name)))
	_, err = Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.ErrorIs(t, err, job.ErrPhotographGone)
	assert.NoFileExists(t, v.CertificatePath(2))
}
