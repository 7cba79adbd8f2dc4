package certify

import (
	"bytes"
	"context"
	"crypto/x509/pkix"
	"image"
	"image/jpeg"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
	"loopwitness/report/stamp/authority"
	"loopwitness/report/verify"
	"loopwitness/report/verify/tampered"
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

// attached adds a picture of some shade to a visit.
func attached(t testing.TB, v job.Visit, about record.About, shade uint8) record.Photographed {
	t.Helper()
	p := image.NewGray(image.Rect(0, 0, 60, 40))
	for i := range p.Pix {
		p.Pix[i] = shade
	}
	var picture bytes.Buffer
	require.NoError(t, jpeg.Encode(&picture, p, nil))
	added, err := v.Attach(at(now), about, "", picture.Bytes())
	require.NoError(t, err)
	return added
}

func certified(t testing.TB, v job.Visit) (Certified, *verify.Report) {
	t.Helper()
	c, err := Visit(context.Background(), v, Options{Key: newKey(t, time.Now()), Tool: "loopwitness test",
		Clock: clock.Real{}})
	require.NoError(t, err)
	return c, checked(t, c.Path)
}

// A photograph that is lost, or is not the one that was added, blocks no certificate: that
// goes on without it and names it.
func TestALostPhotographBlocksNoCertificate(t *testing.T) {
	for name, lose := range map[string]func(path string) error{
		"gone":    os.Remove,
		"another": func(path string) error { return os.WriteFile(path, []byte("another"), 0o600) },
	} {
		v := pottery(t, "")
		kept, lost := attached(t, v, "site", 40), attached(t, v, "supply", 200)
		path := filepath.Join(filepath.Dir(v.Journal()), "photographs", lost.Name)
		require.NoError(t, lose(path))
		c, r := certified(t, v)
		assert.Equal(t, verify.Intact, r.Outcome, "%s: %v", name, r.Problems)
		assert.Equal(t, 1, r.Compared.Photographs)
		limits := c.Assessment.Limitations()
		last := limits[len(limits)-1]
		entry := c.Assessment.Record().Entries()
		assert.Equal(t, judge.PhotographLost{Name: lost.Name, Entry: entry}, last.What, name)
		file, err := os.ReadFile(c.Path)
		require.NoError(t, err)
		f, err := pdffile.Open(file)
		require.NoError(t, err)
		files, err := f.Attachments()
		require.NoError(t, err)
		assert.Contains(t, files, kept.Name)
		assert.NotContains(t, files, lost.Name)

		// The same photograph is taken again: its file stands where it stood.
		again := attached(t, v, "supply", 200)
		assert.Equal(t, lost, again)
		c, r = certified(t, v)
		assert.Equal(t, verify.Intact, r.Outcome, "%s: %v", name, r.Problems)
		assert.Equal(t, 2, r.Compared.Photographs)
		assert.Len(t, c.Assessment.Limitations(), len(limits)-1)
		assert.Equal(t, entry, c.Assessment.Record().Entries())
	}
}

// Two photographs may be alike, or the same picture of two things.
func TestPhotographsThatAreAlikeBlockNoCertificate(t *testing.T) {
	v := pottery(t, "")
	attached(t, v, "site", 40)
	attached(t, v, "supply", 40)
	_, r := certified(t, v)
	assert.Equal(t, verify.Intact, r.Outcome, r.Problems)
	assert.Equal(t, 2, r.Compared.Photographs)
}

// A photograph that was taken back is nowhere in the certificate but in what is told of it.
func TestAPhotographTakenBack(t *testing.T) {
	v := pottery(t, "")
	back, kept := attached(t, v, "site", 40), attached(t, v, "supply", 200)
	taken := record.TakenBack{Name: back.Name, Reason: "shows a passer-by", By: "Bea"}
	require.NoError(t, v.TakeBack(at(now), taken))
	assert.NoFileExists(t, filepath.Join(filepath.Dir(v.Journal()), "photographs", back.Name))
	c, r := certified(t, v)
	assert.Equal(t, verify.Intact, r.Outcome, r.Problems)
	assert.Equal(t, 1, r.Compared.Photographs)
	require.Len(t, c.Assessment.Record().Photographs(), 1)
	assert.Equal(t, kept.Name, c.Assessment.Record().Photographs()[0].Name)
	assert.Equal(t, taken, c.Assessment.Record().Withdrawals()[0].TakenBack)
	assert.ErrorIs(t, v.TakeBack(at(now), record.TakenBack{Name: kept.Name, Reason: "x"}), job.ErrCertified)
}

// A time stamp that is had is promised in the statement, so that taking it away is noticed;
// one that is not had, or would be refused, is not promised.
func TestTimeStampIsPromised(t *testing.T) {
	key := newKey(t, time.Now())
	for name, test := range map[string]struct {
		usage   pkix.Extension
		stamped bool
	}{
		"honest":               {authority.Usage(true, authority.ForStamps), true},
		"of no critical usage": {authority.Usage(false, authority.ForStamps), false},
	} {
		a := authority.New("Guild of clocks", test.usage)
		server := a.Server()
		c, err := Visit(context.Background(), pottery(t, ""), Options{Key: key, Stamp: seal.Stamper{URL: server.URL},
			Tool: "loopwitness test", Clock: clock.Real{}})
		server.Close()
		require.NoError(t, err, name)
		assert.Equal(t, test.stamped, c.Stamped, name)
		assert.Equal(t, test.stamped, c.NoStamp == nil, name)
		r := checked(t, c.Path)
		assert.Equal(t, verify.Intact, r.Outcome, "%s: %v", name, r.Problems)
		file, err := os.ReadFile(c.Path)
		require.NoError(t, err)
		if test.stamped {
			r = verify.Check("c.pdf", tampered.WithoutStamp(file), verify.Options{})
			assert.Equal(t, verify.Failed, r.Outcome)
		} else {
			assert.ErrorContains(t, c.NoStamp, "not for time stamps alone")
		}
	}
}

// Whoever waits for a slow time stamp makes the revision after; both are stamped, and what
// was finished first stays as it is.
func TestTwoAtOnceWithASlowTimeStamp(t *testing.T) {
	v := pottery(t, "")
	key := newKey(t, time.Now())
	a := authority.New("Guild of clocks", authority.Usage(true, authority.ForStamps))
	var asked atomic.Int32
	both := make(chan struct{})
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if asked.Add(1) == 2 {
			close(both)
		}
		<-both // neither is answered before both have asked
		a.ServeHTTP(w, r)
	}))
	defer server.Close()
	var mu sync.Mutex
	digests := map[int]string{}
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			c, err := Visit(context.Background(), v, Options{Key: key, Stamp: seal.Stamper{URL: server.URL},
				Tool: "loopwitness test", Clock: clock.Real{}})
			if !assert.NoError(t, err) || !assert.NoError(t, c.NoStamp) {
				return
			}
			file, err := os.ReadFile(c.Path)
			assert.NoError(t, err)
			mu.Lock()
			defer mu.Unlock()
			digests[c.Revision] = evidence.Digest(file)
		})
	}
	all.Wait()
	require.Len(t, digests, 2)
	for revision, digest := range digests {
		file, err := os.ReadFile(v.CertificatePath(revision))
		require.NoError(t, err)
		assert.Equal(t, digest, evidence.Digest(file), "it is as whoever made it has left it")
		assert.Equal(t, verify.Intact, checked(t, v.CertificatePath(revision)).Outcome)
	}
}

// A certificate tells how a building is guarded: nobody else reads it, unless the folder
// was there and its owner wanted that.
func TestCertificatesArePrivate(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes are another matter there")
	}
	mode := func(path string) fs.FileMode {
		info, err := os.Stat(path)
		require.NoError(t, err)
		return info.Mode().Perm()
	}
	v := pottery(t, "")
	c, err := Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o600), mode(c.Path))
	assert.Equal(t, fs.FileMode(0o700), mode(filepath.Dir(c.Path)))
	require.NoError(t, os.Chmod(filepath.Dir(c.Path), 0o755))
	_, err = Visit(context.Background(), v, Options{Tool: "loopwitness test", Clock: at(now)})
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o755), mode(filepath.Dir(c.Path)))
}
