package job

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

const siteText = `
reference: B-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
`

var noon = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)

func readSite(t testing.TB) *site.Site {
	t.Helper()
	s, err := site.Read(siteName, []byte(siteText))
	require.NoError(t, err)
	return s
}

// begin writes the first entry of a visit, which leaves it unfinished.
func begin(t testing.TB, f Folder, name string, at time.Time) Visit {
	t.Helper()
	v := Visit{Name: name, Begun: at, folder: f}
	_, opened, err := f.New(readSite(t), programme.Handover, at)
	require.NoError(t, err)
	w, err := journal.Create(v.Journal())
	require.NoError(t, err)
	_, err = w.Append(at, opened.Kind(), opened)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return v
}

// pottery is the journal of a whole visit that was taken on the simulated controller.
func pottery(t testing.TB) []byte {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	return raw
}

// put makes a visit of a journal that is there.
func put(t testing.TB, f Folder, name string, raw []byte) Visit {
	t.Helper()
	v := Visit{Name: name, folder: f}
	require.NoError(t, os.MkdirAll(v.path(), 0o755))
	require.NoError(t, os.WriteFile(v.Journal(), raw, 0o644))
	return v
}

func folded(t testing.TB, v Visit) *record.Record {
	t.Helper()
	r, err := v.Record()
	require.NoError(t, err)
	return r
}

func TestSite(t *testing.T) {
	f := At(t.TempDir())
	_, err := f.Site()
	require.ErrorIs(t, err, ErrNoSite)
	assert.ErrorContains(t, err, f.SitePath())
	require.NoError(t, os.WriteFile(f.SitePath(), []byte("reference: [\n"), 0o644))
	_, err = f.Site()
	require.ErrorIs(t, err, strictyaml.ErrRefused)
	require.NoError(t, os.WriteFile(f.SitePath(), []byte(siteText), 0o644))
	s, err := f.Site()
	require.NoError(t, err)
	assert.Equal(t, "B-1", s.Reference)
}

// Without controller.yaml the technician watches the controller.
func TestSource(t *testing.T) {
	f := At(t.TempDir())
	source, err := f.Source(readSite(t), clock.Real{})
	require.NoError(t, err)
	assert.True(t, source.About().ByHand)
	require.NoError(t, os.WriteFile(f.ControllerPath(), []byte("listen: simulated\n"), 0o600))
	source, err = f.Source(readSite(t), clock.NewSimulated(noon))
	require.NoError(t, err)
	assert.False(t, source.About().ByHand)
	require.NoError(t, os.WriteFile(f.ControllerPath(), []byte("listen: smoke\n"), 0o600))
	_, err = f.Source(readSite(t), clock.Real{})
	assert.ErrorIs(t, err, strictyaml.ErrRefused)
}

// A checklist of the company's own stands in the place of the built-in one of its kind.
func TestOwnChecklist(t *testing.T) {
	f := At(t.TempDir())
	_, builtIn, err := f.New(readSite(t), programme.Handover, noon)
	require.NoError(t, err)
	own := filepath.Join(f.Dir(), "checklist-handover.yaml")
	glaze := "inspection: [{id: glaze, text: The glaze has no cracks.}]\nhandover: []\n"
	require.NoError(t, os.WriteFile(own, []byte(glaze), 0o644))
	_, opened, err := f.New(readSite(t), programme.Handover, noon)
	require.NoError(t, err)
	assert.Equal(t, "inspection/glaze", opened.Programme[0].ID)
	assert.NotEqual(t, builtIn.Programme, opened.Programme)
	require.NoError(t, os.WriteFile(own, []byte("inspection: {"), 0o644))
	_, _, err = f.New(readSite(t), programme.Handover, noon)
	assert.ErrorIs(t, err, strictyaml.ErrRefused)
	_, maintenance, err := f.New(readSite(t), programme.Maintenance, noon)
	require.NoError(t, err, "another kind has another file")
	assert.Equal(t, programme.Maintenance, maintenance.Visit)
}

// The first entry holds the site file byte by byte.
func TestFirstEntry(t *testing.T) {
	v, opened, err := At(t.TempDir()).New(readSite(t), programme.Maintenance, noon)
	require.NoError(t, err)
	assert.Equal(t, "2026-11-24-maintenance", v.Name)
	assert.Equal(t, "B-1/2026-11-24-maintenance", opened.Document)
	assert.Equal(t, siteText, opened.Site)
	assert.Empty(t, opened.Follows)
	assert.NoDirExists(t, filepath.Dir(v.Journal()), "nothing is written yet")
}

func TestNamesOfNewVisits(t *testing.T) {
	f := At(t.TempDir())
	for _, want := range []string{"2026-11-24-handover", "2026-11-24-handover-2", "2026-11-24-handover-3"} {
		v, _, err := f.New(readSite(t), programme.Handover, noon)
		require.NoError(t, err)
		require.Equal(t, want, v.Name)
		begin(t, f, v.Name, noon)
	}
	v, _, err := f.New(readSite(t), programme.Handover, noon.AddDate(0, 0, 1))
	require.NoError(t, err)
	assert.Equal(t, "2026-11-25-handover", v.Name)
	require.NoError(t, os.MkdirAll(v.path(), 0o755), "power failed before its journal was there")
	v, _, err = f.New(readSite(t), programme.Handover, noon.AddDate(0, 0, 1))
	require.NoError(t, err)
	assert.Equal(t, "2026-11-25-handover-2", v.Name)
}

// A retest follows the visit begun last, and takes again what that has not shown.
func TestRetest(t *testing.T) {
	f := At(t.TempDir())
	_, _, err := f.New(readSite(t), programme.Retest, noon)
	require.ErrorIs(t, err, ErrNone)
	assert.ErrorContains(t, err, "a retest follows an earlier visit: no such visit: "+f.Dir()+" has no visits yet")

	earlier := put(t, f, "handover", pottery(t))
	s := folded(t, earlier).Site()
	begin(t, f, "long-ago", noon.AddDate(-1, 0, 0))
	_, opened, err := f.New(s, programme.Retest, noon.AddDate(0, 0, 7))
	require.NoError(t, err)
	assert.Equal(t, "handover", opened.Follows)
	assert.Less(t, len(opened.Programme), len(folded(t, earlier).Opened().Programme), "what was proved is not taken again")

	begin(t, f, "2026-12-01-maintenance", noon.AddDate(0, 0, 7))
	_, opened, err = f.New(readSite(t), programme.Retest, noon.AddDate(0, 0, 8))
	require.NoError(t, err)
	assert.Equal(t, "2026-12-01-maintenance", opened.Follows)

	put(t, f, "broken", bytes.Replace(pottery(t), []byte(`"n":1`), []byte(`"n":7`), 1))
	_, _, err = f.New(readSite(t), programme.Retest, noon.AddDate(0, 0, 8))
	assert.ErrorIs(t, err, ErrOrder)
	assert.ErrorIs(t, err, journal.ErrDamaged)
}
