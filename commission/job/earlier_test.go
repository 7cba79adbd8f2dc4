package job

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// years puts a kept journal into a job, as if it had been so many years before.
func years(t testing.TB, f Folder, name, kept string, before int) Visit {
	t.Helper()
	c, err := journal.ReadFile(filepath.Join("../../testdata/journals", kept+".jsonl"))
	require.NoError(t, err)
	for i := range c.Entries {
		c.Entries[i].At = c.Entries[i].At.AddDate(-before, 0, 0)
	}
	raw, err := journal.Encode(c.Entries)
	require.NoError(t, err)
	put(t, f, name, raw)
	v, err := f.Visit(name)
	require.NoError(t, err)
	return v
}

// refusedSite is the site of the kept journal of that name: two detectors, and a line of the
// company's own checklist that was not so.
func refusedSite(t testing.TB) *site.Site {
	t.Helper()
	f := At(t.TempDir())
	return folded(t, years(t, f, "a", "refused", 0)).Site()
}

func numbers(o record.Opened) (all []string) {
	for _, e := range o.Earlier {
		all = append(all, fmt.Sprint(e.Begun.Year()))
	}
	return all
}

// What each kind of visit takes in of a job's visits, and of which it says that it does not.
func TestWhatAVisitTakesInOfItsJob(t *testing.T) {
	next := noon.AddDate(1, 0, 0)
	for name, c := range map[string]struct {
		put      func(*testing.T, Folder)
		kind     programme.VisitKind
		practice bool
		want     []string
		left     map[string]error
		unread   []string
	}{
		"nothing": {put: func(*testing.T, Folder) {}},
		"two, by when they were begun": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "refused", 1)
			years(t, f, "b", "satisfactory", 2)
		}, want: []string{"2024", "2025"}},
		"after an alarm": {put: func(t *testing.T, f Folder) { years(t, f, "a", "refused", 1) },
			kind: programme.AfterAlarm, want: []string{"2025"}},
		"a retest": {put: func(t *testing.T, f Folder) { years(t, f, "a", "refused", 1) },
			kind: programme.Retest, want: []string{"2025"}},
		"a hand-over takes none": {put: func(t *testing.T, f Folder) { years(t, f, "a", "refused", 1) },
			kind: programme.Handover},
		"a take-over takes none": {put: func(t *testing.T, f Folder) { years(t, f, "a", "refused", 1) },
			kind: programme.TakeOver},
		"not one that was set aside": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			v := begin(t, f, "b", noon)
			require.NoError(t, v.Discard(clock.NewSimulated(noon), twice))
		}, want: []string{"2024"}},
		"not one that came to nothing": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			begin(t, f, "b", noon)
		}, want: []string{"2024"}},
		"not practice": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			put(t, f, "b", pottery(t))
		}, want: []string{"2024"}, left: map[string]error{"b": ErrPractice}},
		"practice by practice": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			put(t, f, "b", pottery(t))
		}, practice: true, want: []string{"2024", "2026"}},
		"one that was broken off, as far as it came": {put: func(t *testing.T, f Folder) { years(t, f, "a", "computed", 1) },
			want: []string{"2025"}},
		"one that cannot be read is named": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			put(t, f, "b", bytes.Replace(pottery(t), []byte(`"n":3`), []byte(`"n":7`), 1))
		}, want: []string{"2024"}, left: map[string]error{"b": journal.ErrDamaged}, unread: []string{"b"}},
		"a copy once": {put: func(t *testing.T, f Folder) {
			years(t, f, "a", "satisfactory", 2)
			years(t, f, "b", "satisfactory", 2)
		}, want: []string{"2024"}},
		"the last ten": {put: func(t *testing.T, f Folder) {
			for i := range 12 {
				years(t, f, fmt.Sprint("v", i), "satisfactory", 12-i)
			}
		}, want: []string{"2016", "2017", "2018", "2019", "2020", "2021", "2022", "2023", "2024", "2025"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := At(t.TempDir())
			c.put(t, f)
			if c.kind == "" {
				c.kind = programme.Maintenance
			}
			s := refusedSite(t)
			v, opened, left, err := f.Begin(s, Beginning{Kind: c.kind, Practice: c.practice}, next)
			require.NoError(t, err)
			assert.Equal(t, c.want, numbers(opened))
			assert.Equal(t, c.unread, opened.EarlierUnread)
			got := map[string]error{}
			for _, l := range left {
				got[l.Visit] = l.Why
				require.ErrorIs(t, l.Why, c.left[l.Visit])
			}
			assert.Len(t, got, len(c.left))
			for i, e := range opened.Earlier {
				assert.Equal(t, i == len(opened.Earlier)-1, e.Site != "", "the site of the latest alone")
			}
			w, err := journal.Create(v.Journal())
			require.NoError(t, err)
			_, err = w.Append(next, opened.Kind(), opened)
			require.NoError(t, err)
			require.NoError(t, w.Close())
			assert.Equal(t, opened.Programme, folded(t, v).Programme(), "the record takes it")
		})
	}
}

// What a company's own list found and no maintenance looks at is asked for first, in words
// for a version that does not know its codes.
func TestWhatWasOutstandingIsAskedFor(t *testing.T) {
	f := At(t.TempDir())
	years(t, f, "a", "refused", 1)
	s := refusedSite(t)
	_, opened, _, err := f.Begin(s, Beginning{Kind: programme.Maintenance}, noon.AddDate(1, 0, 0))
	require.NoError(t, err)
	first := opened.Programme[0]
	assert.Equal(t, programme.StepOutstanding, first.Kind)
	assert.True(t, strings.HasPrefix(first.ID, "outstanding/1/F"), first.ID)
	assert.Contains(t, first.Shown, "Cables are labelled.")
	assert.NotEmpty(t, opened.Earlier[0].Outstanding[0].Shown)

	changed, err := f.Revised(foldedFrom(t, opened), read(t, strings.Replace(string(s.Raw), "detectors: [b]",
		"detectors: [b, c]", 1)))
	require.NoError(t, err)
	assert.Equal(t, first, changed.Programme[0], "and of a changed site")
	assert.True(t, slices.ContainsFunc(changed.Programme, func(s programme.Step) bool { return s.ID == "walk/2.2" }))
}

func read(t testing.TB, text string) *site.Site {
	t.Helper()
	s, err := site.Read(siteName, []byte(text))
	require.NoError(t, err)
	return s
}

// foldedFrom is the record of a visit that has begun.
func foldedFrom(t testing.TB, opened record.Opened) *record.Record {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := journal.Create(path)
	require.NoError(t, err)
	_, err = w.Append(noon, opened.Kind(), opened)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	c, err := journal.ReadFile(path)
	require.NoError(t, err)
	r, err := record.Fold(c.Entries)
	require.NoError(t, err)
	return r
}

// A share of the detectors, of the site file or said when the visit begins; with a reason.
func TestASampleOfTheDetectors(t *testing.T) {
	f := At(t.TempDir())
	years(t, f, "a", "satisfactory", 2)
	one := folded(t, years(t, f, "b", "satisfactory", 1)).Site()
	more := strings.Replace(string(one.Raw), "detectors: [a]", "detectors: [a, b, c, d]", 1)
	walk := func(o record.Opened) (points []site.Point) {
		for _, st := range o.Programme {
			if st.Kind == programme.StepDetector && st.Stage == programme.StageWalkTest {
				points = append(points, st.Point)
			}
		}
		return points
	}
	next := noon.AddDate(1, 0, 0)
	_, opened, _, err := f.Begin(read(t, more), Beginning{Kind: programme.Maintenance, Share: 0.25, Reason: "agreed"},
		next)
	require.NoError(t, err)
	assert.Equal(t, []site.Point{"1.2", "1.3", "1.4"}, walk(opened), "those of which nothing is known")
	assert.Equal(t, &record.Sampling{Share: 0.25, Reason: "agreed", Points: walk(opened)}, opened.Sampling)

	sampled := func(keys string) *site.Site {
		changed := strings.Replace(more, "maintenance: {interval", "maintenance: {"+keys+", interval", 1)
		require.NotEqual(t, more, changed)
		return read(t, changed)
	}
	declared := sampled("sample: 25 %, sample_source: the contract")
	_, opened, _, err = f.Begin(declared, Beginning{Kind: programme.Maintenance}, next)
	require.NoError(t, err)
	assert.Equal(t, "the contract", opened.Sampling.Reason)
	_, opened, _, err = f.Begin(declared, Beginning{Kind: programme.Maintenance, Share: 1}, next)
	require.NoError(t, err)
	assert.Nil(t, opened.Sampling, "all of them, this time")
	_, opened, _, err = f.Begin(declared, Beginning{Kind: programme.AfterAlarm}, next)
	require.NoError(t, err)
	assert.Nil(t, opened.Sampling, "only maintenance")
	_, _, _, err = f.Begin(sampled("sample: 25 %"), Beginning{Kind: programme.Maintenance}, next)
	require.ErrorIs(t, err, ErrNoReason)

	_, opened, _, err = f.Begin(declared, Beginning{Kind: programme.Maintenance}, next)
	require.NoError(t, err)
	again, err := f.Revised(foldedFrom(t, opened), read(t, strings.Replace(string(declared.Raw), "[a, b, c, d]",
		"[a, b, c, d, e]", 1)))
	require.NoError(t, err)
	r := foldedFrom(t, opened)
	require.NoError(t, r.MayChangeSite(again))
	assert.True(t, slices.ContainsFunc(again.Programme, func(s programme.Step) bool { return s.ID == "walk/1.5" }),
		"what is new")
	assert.False(t, slices.ContainsFunc(again.Programme, func(s programme.Step) bool { return s.ID == "walk/1.1" }))
}

// Certificates of others stand among the visits of the job; what they left is asked for once.
func TestVisitsOfOthersAreCarriedOn(t *testing.T) {
	f := At(t.TempDir())
	years(t, f, "a", "satisfactory", 3)
	other := record.Earlier{Visit: programme.Maintenance, Number: "M-1/9", Journal: strings.Repeat("9", 64),
		Certificate: strings.Repeat("8", 64), SealedBy: &record.SealedBy{Name: "Marlpit",
			Fingerprint: strings.Repeat("7", 64)},
		Company: "Marlpit", Begun: noon.AddDate(-2, 0, 0), Ended: noon.AddDate(-2, 0, 0), Result: "unsatisfactory", Rules: 4,
		Outstanding: []record.Outstanding{{ID: "F1", Severity: "fault", Steps: []string{"inspection/gone"},
			Said: []byte(`{}`)}}}
	begins := func(after ...record.Earlier) record.Opened {
		s := refusedSite(t)
		_, opened, _, err := f.Begin(s, Beginning{Kind: programme.Maintenance, After: after}, noon)
		require.NoError(t, err)
		return opened
	}
	opened := begins(other)
	assert.Equal(t, []string{"2023", "2024"}, numbers(opened))
	assert.Equal(t, "outstanding/9/F1", opened.Programme[0].ID)

	// A year later the visit that took it in carries it on.
	opened.Site, opened.Programme = string(refusedSite(t).Raw), opened.Programme[:1]
	w, err := journal.Create(Visit{Name: "b", folder: f}.Journal())
	require.NoError(t, err)
	_, err = w.Append(noon.AddDate(-1, 0, 0), opened.Kind(), opened)
	require.NoError(t, err)
	no := record.Answer{Step: opened.Programme[0].ID, Result: record.No}
	_, err = w.Append(noon.AddDate(-1, 0, 0), no.Kind(), no)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	later := begins()
	assert.Equal(t, []string{"2023", "2024", "2025"}, numbers(later))
	assert.Empty(t, later.Earlier[1].Outstanding, "it was carried on by the visit that took it in")
	require.Len(t, later.Earlier[2].Outstanding, 1+len(later.Earlier[2].Outstanding[1:]))
	assert.Equal(t, programme.StepOutstanding, later.Programme[0].Kind)
	assert.NotEqual(t, programme.StepOutstanding, later.Programme[1].Kind, "once")
	_, _, _, err = f.Begin(refusedSite(t), Beginning{Kind: programme.Handover, After: []record.Earlier{other}}, noon)
	require.ErrorIs(t, err, ErrNotAfter)
}

// Thousands of detectors stay of a size that can be read: the latest visits keep theirs.
func TestManyDetectorsAreBounded(t *testing.T) {
	visit := func(n int) record.Earlier {
		return record.Earlier{Detectors: make([]record.DetectorThen, n), Outstanding: make([]record.Outstanding, n),
			Site: "x"}
	}
	got := bounded([]record.Earlier{visit(5000), visit(5000), visit(5000)})
	assert.Equal(t, []int{5000, 0, 0}, []int{got[0].DetectorsLeft, got[1].DetectorsLeft, got[2].DetectorsLeft})
	assert.Equal(t, []int{0, 5000, 5000}, []int{len(got[0].Outstanding), len(got[1].Outstanding), len(got[2].Outstanding)})
	assert.Equal(t, []string{"", "", "x"}, []string{got[0].Site, got[1].Site, got[2].Site})
	one := bounded([]record.Earlier{visit(12_000)})
	assert.Equal(t, []int{2000, 10_000, 12_000}, []int{one[0].OutstandingLeft, len(one[0].Outstanding),
		one[0].DetectorsLeft})
}

func TestNothingIsReadBeyondTheFolder(t *testing.T) {
	f := At(t.TempDir())
	years(t, f, "a", "satisfactory", 2)
	elsewhere := At(t.TempDir())
	years(t, elsewhere, "b", "satisfactory", 1)
	require.NoError(t, os.Symlink(filepath.Join(elsewhere.Dir(), "visits", "b"), filepath.Join(f.Dir(), "visits", "b")))
	_, opened, left, err := f.Begin(refusedSite(t), Beginning{Kind: programme.Maintenance}, noon.Add(time.Hour))
	require.NoError(t, err)
	assert.Equal(t, []string{"2024"}, numbers(opened))
	require.Len(t, left, 1)
	assert.ErrorIs(t, left[0].Why, ErrOutside)
}
