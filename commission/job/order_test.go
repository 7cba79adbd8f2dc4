package job

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
)

func names(t testing.TB, f Folder) (all []string) {
	t.Helper()
	visits, err := f.Visits()
	require.NoError(t, err)
	for _, v := range visits {
		all = append(all, v.Name)
	}
	return all
}

func TestOrder(t *testing.T) {
	type begun struct {
		name  string
		after time.Duration
	}
	for name, test := range map[string]struct {
		begun []begun
		want  []string
	}{
		"none":                      {nil, nil},
		"by beginning, not by name": {[]begun{{"b", time.Hour}, {"a", 2 * time.Hour}, {"c", 0}}, []string{"c", "b", "a"}},
		"a nanosecond counts":       {[]begun{{"a", 1}, {"b", 0}}, []string{"b", "a"}},
		"at the same time, by their number": {
			[]begun{{"2026-11-24-handover-10", 0}, {"2026-11-24-handover-2", 0}, {"2026-11-24-handover", 0},
				{"2026-11-24-handover-9", 0}},
			[]string{"2026-11-24-handover", "2026-11-24-handover-2", "2026-11-24-handover-9", "2026-11-24-handover-10"}},
		"a date is no number": {[]begun{{"2026-11-24", 0}, {"2026-11-9", 0}}, []string{"2026-11-24", "2026-11-9"}},
		"before a date of the past": {[]begun{{"2026-11-24-retest", 0}, {"2026-11-24-handover", -time.Hour}},
			[]string{"2026-11-24-handover", "2026-11-24-retest"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := At(t.TempDir())
			for _, b := range test.begun {
				begin(t, f, b.name, noon.Add(b.after))
			}
			assert.Equal(t, test.want, names(t, f))
		})
	}
}

// A backup that was restored has other file times, and changes nothing.
func TestFileTimesAreNoMatter(t *testing.T) {
	f := At(t.TempDir())
	finished := put(t, f, "handover", pottery(t)) // begun on 2026-11-25
	begin(t, f, "first", noon.AddDate(0, 0, -3))
	begin(t, f, "last", noon.AddDate(0, 0, 20))
	order := []string{"first", "handover", "last"}
	for name, back := range map[string]func(i int) time.Duration{
		"as written": nil,
		"all equal":  func(int) time.Duration { return 0 },
		"reversed":   func(i int) time.Duration { return time.Duration(-i) * time.Hour },
	} {
		t.Run(name, func(t *testing.T) {
			for i, v := range order {
				if back == nil {
					break
				}
				at := noon.Add(back(i))
				visit := Visit{Name: v, folder: f}
				require.NoError(t, os.Chtimes(visit.Journal(), at, at))
				require.NoError(t, os.Chtimes(visit.path(), at, at))
			}
			assert.Equal(t, order, names(t, f))
			newest, err := f.Newest()
			require.NoError(t, err)
			assert.Equal(t, "last", newest.Name)
			assert.True(t, newest.Begun.Equal(noon.AddDate(0, 0, 20)))
			unfinished, err := f.Unfinished()
			require.NoError(t, err)
			assert.Equal(t, "last", unfinished.Name)
			_, opened, err := f.New(folded(t, finished).Site(), programme.Retest, noon.AddDate(0, 1, 0))
			require.NoError(t, err)
			assert.Equal(t, "last", opened.Follows)
		})
	}
}

// A photograph that is added late makes no visit the newest.
func TestLatePhotographChangesNoOrder(t *testing.T) {
	f := At(t.TempDir())
	older := put(t, f, "handover", pottery(t))
	begin(t, f, "maintenance", noon.AddDate(0, 0, 20))
	_, err := older.Attach(clock.NewSimulated(noon.AddDate(0, 2, 0)), "site", "", taken(t, 9))
	require.NoError(t, err)
	late := time.Now().AddDate(1, 0, 0)
	require.NoError(t, os.Chtimes(older.Journal(), late, late))
	newest, err := f.Newest()
	require.NoError(t, err)
	assert.Equal(t, "maintenance", newest.Name)
}

func TestUnfinished(t *testing.T) {
	f := At(t.TempDir())
	_, err := f.Unfinished()
	require.ErrorIs(t, err, ErrNone)
	assert.ErrorContains(t, err, "there is none yet")
	put(t, f, "power-failed", nil)
	_, err = f.Unfinished()
	assert.ErrorContains(t, err, "there is none yet")
	put(t, f, "handover", pottery(t))
	_, err = f.Unfinished()
	require.ErrorIs(t, err, ErrNone)
	assert.ErrorContains(t, err, "every visit is finished")
	begin(t, f, "long-ago", noon.AddDate(-1, 0, 0))
	begin(t, f, "longer-ago", noon.AddDate(-2, 0, 0))
	v, err := f.Unfinished()
	require.NoError(t, err)
	assert.Equal(t, "long-ago", v.Name)
	broken := begin(t, f, "after-it", noon.AddDate(0, 0, 9))
	file, err := os.OpenFile(broken.Journal(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = file.WriteString("rubbish\n")
	require.NoError(t, err)
	require.NoError(t, file.Close())
	_, err = f.Unfinished()
	require.ErrorIs(t, err, journal.ErrDamaged, "a newer one may be the one to go on with")
	assert.ErrorContains(t, err, broken.Journal()+": line 2: ")
}

// A visit in which power failed before its first entry was whole hides no other.
func TestVisitsThatNeverBegan(t *testing.T) {
	f := At(t.TempDir())
	put(t, f, "nothing", nil)
	put(t, f, "torn", []byte(`{"format":1,"n":1,"at":"2027`))
	// A sector was never written, but the end of the line behind it was.
	gap := slices.Concat(make([]byte, 512), []byte("}\n"))
	put(t, f, "gap", gap)
	_, err := f.Newest()
	require.ErrorIs(t, err, ErrNone)
	require.ErrorIs(t, err, ErrNoVisit)
	begin(t, f, "handover", noon)
	assert.Equal(t, []string{"gap", "nothing", "torn", "handover"}, names(t, f))
	newest, err := f.Newest()
	require.NoError(t, err)
	assert.Equal(t, "handover", newest.Name)
	for _, name := range []string{"nothing", "torn", "gap"} {
		_, err = f.Visit(name)
		assert.ErrorIs(t, err, ErrNeverBegan)
		_, err = Visit{Name: name, folder: f}.Record()
		assert.ErrorIs(t, err, ErrNeverBegan)
	}
	put(t, f, "damaged", slices.Concat(gap, bytes.Repeat([]byte("far more than one write\n"), 20_000)))
	_, err = f.Visit("damaged")
	assert.ErrorIs(t, err, journal.ErrDamaged)
	_, err = f.Newest()
	assert.ErrorIs(t, err, ErrOrder, "it may be the newest")
}

// Where it cannot be told when a visit was begun, none is taken for the newest, and all
// are listed.
func TestUnreadableBeginning(t *testing.T) {
	f := At(t.TempDir())
	begin(t, f, "handover", noon)
	for name, make := range map[string]func(path string) error{
		"line 1: the journal is damaged": func(path string) error { return os.WriteFile(path, []byte("{}\n"), 0o644) },
		"its first line is too long": func(path string) error {
			if err := os.WriteFile(path, nil, 0o644); err != nil {
				return err
			}
			return os.Truncate(path, 1<<36) // nothing on disk; read whole, it would not fit into memory
		},
		"is not a file":        func(path string) error { return os.Mkdir(path, 0o755) },
		"by a later version":   func(path string) error { return os.WriteFile(path, []byte(`{"format":9}`+"\n"), 0o644) },
		"no entry stands here": func(path string) error { return os.WriteFile(path, []byte("rubbish\n"), 0o644) },
		"calls itself number 12": func(path string) error {
			return os.WriteFile(path, []byte(`{"format":1,"n":12,"at":"2026-11-24T12:00:00.000000000Z"}`+"\n"), 0o644)
		},
	} {
		t.Run(name, func(t *testing.T) {
			broken := Visit{Name: "aaa", folder: f}
			require.NoError(t, os.MkdirAll(broken.path(), 0o755))
			defer os.RemoveAll(broken.path())
			require.NoError(t, make(broken.Journal()))
			_, err := f.Newest()
			require.ErrorIs(t, err, ErrOrder)
			assert.ErrorContains(t, err, name)
			assert.ErrorContains(t, err, broken.Journal())
			_, err = f.Unfinished()
			require.ErrorIs(t, err, ErrOrder)
			_, err = f.Visit("aaa")
			assert.ErrorContains(t, err, name)
			assert.Equal(t, []string{"handover", "aaa"}, names(t, f))
			named, err := f.Visit("handover")
			require.NoError(t, err)
			assert.Equal(t, "handover", named.Name)
		})
	}
}

// What lies beside the visits is none.
func TestOtherFilesAmongVisits(t *testing.T) {
	f := At(t.TempDir())
	begin(t, f, "handover", noon)
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir(), visitsFolder, "notes.txt"), nil, 0o644))
	require.NoError(t, os.Mkdir(filepath.Join(f.Dir(), visitsFolder, "sketches"), 0o755))
	assert.Equal(t, []string{"handover"}, names(t, f))
}

// A name leads nowhere but to a visit of this job.
func TestNamesOfVisits(t *testing.T) {
	f := At(filepath.Join(t.TempDir(), "job"))
	begin(t, f, "handover", noon)
	begin(t, Folder{filepath.Dir(f.Dir())}, "..", noon) // a journal where ../.. would find it
	whole := filepath.Join(f.Dir(), visitsFolder, "handover")
	for _, name := range []string{
		"gone", "..", ".", "../..", "../visits/handover", "handover/", "./handover", `..\..`, "/", whole,
	} {
		_, err := f.Visit(name)
		assert.ErrorIs(t, err, ErrNoVisit, name)
		assert.NotErrorIs(t, err, ErrNone, name)
	}
	v, err := f.Visit("")
	require.NoError(t, err)
	assert.Equal(t, "handover", v.Name)
}

// Telling the order reads the beginning of each journal only.
func BenchmarkNewestOf200(b *testing.B) {
	f := At(b.TempDir())
	for i := range 200 {
		v := put(b, f, noon.AddDate(0, 0, i).Format(time.DateOnly)+"-handover", pottery(b))
		require.NoError(b, os.Truncate(v.Journal(), 1<<30)) // as long as none is, with nothing on disk
	}
	for b.Loop() {
		if _, err := f.Newest(); err != nil {
			b.Fatal(err)
		}
	}
}
