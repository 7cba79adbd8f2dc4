package due

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// kept is a journal of testdata and the site file in it.
func kept(t testing.TB, name string) (journal []byte, site string) {
	t.Helper()
	journal, err := os.ReadFile("../../testdata/journals/" + name + ".jsonl")
	require.NoError(t, err)
	first, _, _ := bytes.Cut(journal, []byte("\n"))
	var entry struct{ Body struct{ Site string } }
	require.NoError(t, json.Unmarshal(first, &entry))
	return journal, entry.Body.Site
}

// interval leaves one line of a site file about maintenance.
func interval(site, every string) string {
	lines := strings.SplitAfter(site, "\n")
	site = ""
	for _, l := range lines {
		if !strings.HasPrefix(l, "maintenance:") {
			site += l
		}
	}
	if every != "" {
		site += "maintenance: {interval: " + every + "}\n"
	}
	return site
}

// write makes a job with visits; journals by the names of their folders.
func write(t testing.TB, dir, site string, journals map[string][]byte) {
	t.Helper()
	require.NoError(t, os.MkdirAll(dir, 0o755))
	if site != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), []byte(site), 0o644))
	}
	for name, data := range journals {
		visit := filepath.Join(dir, "visits", name)
		require.NoError(t, os.MkdirAll(visit, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(visit, "journal.jsonl"), data, 0o644))
	}
}

func on(day string) time.Time { return parsed(day) }

func looking(t testing.TB, o Options, named ...string) *Report {
	t.Helper()
	jobs, troubles := Jobs(named)
	r, err := Look(t.Context(), jobs, o)
	require.NoError(t, err)
	r.Troubles = append(troubles, r.Troubles...)
	return r
}

func handover(t testing.TB) map[string][]byte {
	journal, _ := kept(t, "satisfactory")
	return map[string][]byte{"2026-11-24-handover": journal}
}

func TestOverdueFirst(t *testing.T) {
	root := t.TempDir()
	_, site := kept(t, "satisfactory")
	write(t, filepath.Join(root, "north", "late"), interval(site, "1 month"), handover(t))
	write(t, filepath.Join(root, "south", "far", "later"), interval(site, "1 year"), handover(t))
	write(t, filepath.Join(root, "not-agreed"), interval(site, ""), handover(t))
	write(t, filepath.Join(root, "new"), interval(site, "1 year"), nil)
	r := looking(t, Options{On: on("2027-01-01")}, root, filepath.Join(root, "north")) // one twice
	assert.Empty(t, r.Troubles)
	var order []string
	for _, s := range r.Systems {
		order = append(order, filepath.Base(s.Folder)+" "+written(s.Due))
	}
	assert.Equal(t, []string{"late 2026-12-24", "later 2027-11-24", "new ", "not-agreed "}, order)
	assert.True(t, r.Overdue())
	assert.Equal(t, programme.Handover, r.Systems[0].Counted)

	// The day itself is not over.
	one := looking(t, Options{On: on("2026-12-24")}, filepath.Join(root, "north"))
	assert.False(t, one.Overdue())

	// What is not known stays in every list.
	r.Within(30)
	order = nil
	for _, s := range r.Systems {
		order = append(order, filepath.Base(s.Folder))
	}
	assert.Equal(t, []string{"late", "new", "not-agreed"}, order)
}

// A damaged journal is told and hides nothing else; the day is counted from what can be read.
func TestDamageStopsNothing(t *testing.T) {
	root := t.TempDir()
	journal, site := kept(t, "satisfactory")
	write(t, filepath.Join(root, "b"), interval(site, "1 year"), handover(t))
	damaged := bytes.Replace(journal, []byte(`"kind":"signed"`), []byte(`"kind":"signeD"`), 1)
	require.NotEqual(t, journal, damaged)
	write(t, filepath.Join(root, "a"), interval(site, "1 year"), map[string][]byte{"2027-01-01-maintenance": damaged})
	write(t, filepath.Join(root, "c"), "reference: [", handover(t))
	r := looking(t, Options{On: on("2027-01-01")}, root)
	require.Len(t, r.Systems, 3)
	assert.Equal(t, "b", filepath.Base(r.Systems[0].Folder))
	assert.Equal(t, "2027-11-24", written(r.Systems[0].Due))
	require.Len(t, r.Troubles, 2)
	assert.Contains(t, r.Troubles[0].Path, "journal.jsonl")
	assert.Contains(t, r.Troubles[1].Path, "site.yaml")
	assert.Equal(t, "H-4", r.Systems[2].Reference, "as the journal has it")
}

// Neither practice, nor what is not finished, nor a retest puts off the next visit.
func TestWhatPutsNothingOff(t *testing.T) {
	root := t.TempDir()
	_, site := kept(t, "satisfactory")
	later := func(name string) map[string][]byte {
		all := handover(t)
		all["2027-02-01-later"], _ = kept(t, name)
		return all
	}
	begun := handover(t)
	journal := begun["2026-11-24-handover"]
	begun["2027-02-01-later"] = bytes.Join(bytes.SplitAfter(journal, []byte("\n"))[:20], nil)
	write(t, filepath.Join(root, "unfinished"), interval(site, "1 year"), begun)
	write(t, filepath.Join(root, "retest"), interval(site, "1 year"), later("retest"))
	write(t, filepath.Join(root, "practice"), interval(site, "1 year"), later("pottery-handover"))
	for _, s := range looking(t, Options{On: on("2027-01-01")}, root).Systems {
		assert.Equal(t, "2027-11-24", written(s.Due), s.Folder)
		assert.Equal(t, filepath.Base(s.Folder) == "unfinished", s.Open != "", s.Folder)
	}
	practice := looking(t, Options{On: on("2027-01-01"), Practice: true}, filepath.Join(root, "practice"))
	assert.Equal(t, "2027-11-26", written(practice.Systems[0].Due))
}

func TestLinksAndFilesArePassedOver(t *testing.T) {
	root, elsewhere := t.TempDir(), t.TempDir()
	_, site := kept(t, "satisfactory")
	write(t, filepath.Join(elsewhere, "job"), interval(site, "1 year"), handover(t))
	if err := os.Symlink(elsewhere, filepath.Join(root, "link")); err != nil {
		t.Skip("no links here")
	}
	require.NoError(t, os.Symlink(root, filepath.Join(root, "circle")))
	require.NoError(t, os.WriteFile(filepath.Join(root, "note.txt"), nil, 0o644))
	jobs, troubles := Jobs([]string{root})
	assert.Empty(t, jobs)
	require.Len(t, troubles, 2)
	assert.ErrorIs(t, troubles[0].Why, ErrLink)
	jobs, troubles = Jobs([]string{filepath.Join(root, "link")}) // named itself, it is followed
	assert.Len(t, jobs, 1)
	assert.Empty(t, troubles)
	_, troubles = Jobs([]string{filepath.Join(root, "note.txt"), filepath.Join(root, "none"), t.TempDir()})
	assert.Len(t, troubles, 3)
	deep := filepath.Join(root, strings.Repeat("d/", deepest+3))
	write(t, deep, interval(site, "1 year"), nil)
	jobs, troubles = Jobs([]string{filepath.Join(root, "d")})
	assert.Empty(t, jobs)
	require.Len(t, troubles, 1)
	assert.ErrorIs(t, troubles[0].Why, ErrTooDeep)
}

// A finding stands until later visits took all steps again that it rests on.
func TestTakenSince(t *testing.T) {
	data, _ := kept(t, "satisfactory")
	contents, err := journal.Read(bytes.NewReader(data))
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	later := []*judge.Assessment{judge.Assess(r)}
	assert.True(t, takenSince(nil, nil), "what rests on no step each visit says anew")
	assert.False(t, takenSince([]string{"walk/1.1"}, nil))
	assert.True(t, takenSince([]string{"walk/1.1"}, later))
	assert.False(t, takenSince([]string{"walk/1.1", "walk/9.9"}, later), "only a part of it")
}

func TestTheGravestFirst(t *testing.T) {
	root := t.TempDir()
	journal, site := kept(t, "retest")
	write(t, root, site, map[string][]byte{"2-retest": journal})
	r := looking(t, Options{On: on("2027-01-01")}, root)
	require.Greater(t, len(r.Outstanding), 3)
	for i := 1; i < len(r.Outstanding); i++ {
		assert.LessOrEqual(t, gravity(r.Outstanding[i-1]), gravity(r.Outstanding[i]))
	}
	assert.Equal(t, len(r.Outstanding), r.Systems[0].Findings["danger"]+r.Systems[0].Findings["fault"]+
		r.Systems[0].Findings["advice"])
}

func TestListedIsData(t *testing.T) {
	root := t.TempDir()
	_, site := kept(t, "satisfactory")
	write(t, filepath.Join(root, "job"), interval(site, "none"), handover(t))
	l := looking(t, Options{On: on("2027-01-01")}, root).Listed(words.English{})
	assert.Equal(t, "none", l.Systems[0].Interval)
	assert.Empty(t, l.Systems[0].Due)
	assert.Equal(t, "2026-11-24", l.Systems[0].From)
	data, err := json.Marshal(l)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "null")
}

// A thousand jobs of two visits each.
func BenchmarkThousandJobs(b *testing.B) {
	root := b.TempDir()
	_, site := kept(b, "satisfactory")
	visits := handover(b)
	visits["2026-11-26-handover-2"], _ = kept(b, "pottery-handover")
	for i := range 1000 {
		write(b, filepath.Join(root, fmt.Sprint(i%20), fmt.Sprint(i)), interval(site, "1 year"), visits)
	}
	for b.Loop() {
		if r := looking(b, Options{On: on("2027-01-01"), Practice: true}, root); len(r.Systems) != 1000 {
			b.Fatal(len(r.Systems))
		}
	}
}
