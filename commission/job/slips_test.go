package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

var twice = record.Discarded{Reason: "begun twice", By: "Bea"}

// A visit that was set aside is there still, and nothing follows it: it is neither the
// newest nor unfinished, and no retest follows it.
func TestDiscard(t *testing.T) {
	f := At(t.TempDir())
	c := clock.NewSimulated(noon.Add(time.Hour))
	first := begin(t, f, "first", noon)
	second := begin(t, f, "second", noon.AddDate(0, 0, 1))
	assert.Nil(t, second.Discarded())
	require.NoError(t, second.Discard(c, twice))
	assert.Equal(t, &record.Discard{Discarded: twice, At: noon.Add(time.Hour)}, second.Discarded())
	newest, err := f.Newest()
	require.NoError(t, err)
	assert.Equal(t, "first", newest.Name)
	open, err := f.Unfinished()
	require.NoError(t, err)
	assert.Equal(t, "first", open.Name)
	_, opened, err := f.New(readSite(t), programme.Retest, noon)
	require.NoError(t, err)
	assert.Equal(t, "first", opened.Follows)
	all, records, err := f.UnfinishedOnes()
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, "first", all[0].Name)
	assert.Equal(t, noon, records[0].Begun())
	assert.Equal(t, []string{"first", "second"}, names(t, f), "it is listed still")
	_, err = f.Visit("second")
	assert.NoError(t, err)

	require.ErrorIs(t, second.Discard(c, twice), ErrDiscarded)
	require.ErrorIs(t, second.Correct(c, record.Corrected{}), ErrDiscarded)
	_, err = second.Attach(c, "site", "", taken(t, 9))
	require.ErrorIs(t, err, ErrDiscarded)
	assert.ErrorContains(t, err, "begun twice")

	require.NoError(t, first.Discard(c, twice))
	_, err = f.Newest()
	require.ErrorIs(t, err, ErrNone)
	assert.ErrorContains(t, err, "all visits of "+f.Dir()+" were set aside")
	_, err = f.Unfinished()
	require.ErrorIs(t, err, ErrNone)
}

// What is complete, certified or running, and what has no reason, is not set aside.
func TestWhatCannotBeDiscarded(t *testing.T) {
	f := At(t.TempDir())
	c := clock.NewSimulated(noon)
	whole := put(t, f, "handover", pottery(t))
	before, err := os.ReadFile(whole.Journal())
	require.NoError(t, err)
	require.ErrorIs(t, whole.Discard(c, twice), record.ErrNoSense)
	after, err := os.ReadFile(whole.Journal())
	require.NoError(t, err)
	assert.Equal(t, before, after, "nothing is written that could not be read back")
	v := begin(t, f, "open", noon)
	require.ErrorIs(t, v.Discard(c, record.Discarded{}), record.ErrNoSense)
	require.NoError(t, os.MkdirAll(f.certificates(), 0o755))
	require.NoError(t, os.WriteFile(v.CertificatePath(1), nil, 0o644))
	require.ErrorIs(t, v.Discard(c, twice), ErrCertified)
	require.NoError(t, os.Remove(v.CertificatePath(1)))
	w, _, _, err := journal.Open(v.Journal())
	require.NoError(t, err)
	require.ErrorIs(t, v.Discard(c, twice), journal.ErrHeld)
	require.NoError(t, w.Close())
	require.NoError(t, v.Discard(c, twice))
	never := put(t, f, "never", nil)
	require.ErrorIs(t, never.Discard(c, twice), ErrNeverBegan)
	assert.Nil(t, never.Discarded())
}

// A journal that only says that it was set aside hides nothing.
func TestAForgedDiscardHidesNothing(t *testing.T) {
	f := At(t.TempDir())
	v := put(t, f, "handover", pottery(t))
	w, _, _, err := journal.Open(v.Journal())
	require.NoError(t, err)
	_, err = w.Append(noon, twice.Kind(), twice)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	assert.Nil(t, v.Discarded())
	newest, err := f.Newest()
	require.NoError(t, err)
	assert.Equal(t, "handover", newest.Name)
	_, err = v.Record()
	assert.ErrorIs(t, err, record.ErrNoSense)
	all, _, err := f.UnfinishedOnes()
	require.NoError(t, err)
	assert.Empty(t, all, "what cannot be read is left out")
}

// A text that was typed is corrected in a run of its own, also of a complete visit.
func TestCorrect(t *testing.T) {
	f := At(t.TempDir())
	c := clock.NewSimulated(noon)
	v := put(t, f, "handover", pottery(t))
	before := folded(t, v)
	name := before.Correctable()[len(before.Correctable())-2]
	require.Equal(t, record.NameField, name.Field)
	what := record.Corrected{Entry: name.Entry, Field: name.Field, Text: `Ottilie <"&>`, Reason: "a slip", By: "Bea"}
	require.NoError(t, v.Correct(c, what))
	after := folded(t, v)
	assert.Equal(t, `Ottilie <"&>`, after.Customer().Name)
	assert.True(t, after.Done())
	assert.Equal(t, before.Attended(), after.Attended())
	what.Field = "value"
	require.ErrorContains(t, v.Correct(c, what), "can be corrected")
	what.Field, what.Text = record.NameField, strings.Repeat("w", 70_000)
	require.ErrorIs(t, v.Correct(c, what), oneline.ErrText)
	assert.Equal(t, after.Entries(), folded(t, v).Entries())
}

// A site file that was changed gives the programme of the visit's kind at the site as it
// is, with the lines of the checklists that the visit had.
func TestRevised(t *testing.T) {
	f := At(t.TempDir())
	r := folded(t, begin(t, f, "handover", noon))
	grown, err := site.Read(siteName, []byte(strings.Replace(siteText, "detectors: [Door]", "detectors: [Door, Flap]", 1)))
	require.NoError(t, err)
	changed, err := f.Revised(r, grown)
	require.NoError(t, err)
	assert.Equal(t, string(grown.Raw), changed.Site)
	assert.Len(t, changed.Programme, len(r.Programme())+3, "the detector, and the two lines of what is looked at of it")
	require.NoError(t, r.MayChangeSite(changed))
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir(), "checklist-handover.yaml"), []byte("inspection: {"), 0o644))
	_, err = f.Revised(r, grown)
	assert.Error(t, err)
}

// A retest stays one: what it had, and what the change affects.
func TestARevisedRetest(t *testing.T) {
	f := At(t.TempDir())
	two := strings.Replace(siteText, "address: z1, detectors: [Door]}", "address: z1, detectors: [Door]}\n"+
		"  - {number: 2, name: Hatch, kind: door, wiring: normally closed, address: z2, detectors: [Hatch]}\n"+
		"  - {number: 3, name: Flap, kind: door, wiring: normally closed, address: z3, detectors: [Flap]}", 1)
	read := func(text string) *site.Site {
		s, err := site.Read(siteName, []byte(text))
		require.NoError(t, err)
		return s
	}
	s := read(two)
	steps := programme.OfRetest(s, programme.Checklist{}, programme.Of(s, programme.Checklist{}),
		map[string]bool{"walk/1.1": true})
	v := Visit{Name: "retest", folder: f}
	require.NoError(t, os.MkdirAll(filepath.Dir(v.Journal()), 0o755))
	w, err := journal.Create(v.Journal())
	require.NoError(t, err)
	opened := record.Opened{Visit: programme.Retest, Number: "B-1/2", Follows: "gone", SiteName: siteName, Site: two,
		Programme: steps}
	_, err = w.Append(noon, opened.Kind(), opened)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	walks := func(text string) (all []string) {
		changed, err := f.Revised(folded(t, v), read(text))
		require.NoError(t, err)
		require.NoError(t, folded(t, v).MayChangeSite(changed))
		for _, st := range changed.Programme {
			if st.Kind == programme.StepDetector && st.Stage == programme.StageWalkTest {
				all = append(all, st.ID)
			}
		}
		return all
	}
	assert.Equal(t, []string{"walk/1.1"}, walks(two+"# as built\n"))
	assert.Equal(t, []string{"walk/1.1", "walk/2.1"}, walks(strings.Replace(two, "address: z2", "address: z9", 1)))
	assert.Equal(t, []string{"walk/1.1", "walk/3.2"}, walks(strings.Replace(two, "[Flap]", "[Flap, Lid]", 1)))
}

// Why a retest takes each of its steps: findings that rest on it, or steps that lean on it.
func TestWhyARetestTakesAStep(t *testing.T) {
	f := At(t.TempDir())
	put(t, f, "handover", pottery(t))
	r := folded(t, put(t, f, "handover", pottery(t)))
	_, opened, err := f.New(r.Site(), programme.Retest, noon.AddDate(1, 0, 0))
	require.NoError(t, err)
	all, err := f.Again("handover", r.Site(), opened.Programme)
	require.NoError(t, err)
	require.Len(t, all, len(opened.Programme)-2, "but for the names")
	for _, a := range all {
		if a.Step.Kind != programme.StepCheck {
			assert.NotEmpty(t, len(a.Findings)+len(a.For), "%s is taken for no reason", a.Step.ID)
		}
		for _, finding := range a.Findings {
			assert.NotEmpty(t, finding.ID)
		}
	}
	_, err = f.Again("gone", r.Site(), opened.Programme)
	assert.ErrorIs(t, err, ErrNoVisit)
}

// A retest of a retest does not take what the first visit had found to be well.
func TestARetestOfARetest(t *testing.T) {
	f := At(t.TempDir())
	s := folded(t, put(t, f, "handover", pottery(t))).Site()
	_, opened, err := f.New(s, programme.Retest, noon.AddDate(1, 0, 0))
	require.NoError(t, err)
	v := Visit{Name: "retest", folder: f}
	require.NoError(t, os.MkdirAll(filepath.Dir(v.Journal()), 0o755))
	w, err := journal.Create(v.Journal())
	require.NoError(t, err)
	_, err = w.Append(noon.AddDate(1, 0, 0), opened.Kind(), opened)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	_, again, err := f.New(s, programme.Retest, noon.AddDate(2, 0, 0))
	require.NoError(t, err)
	assert.Equal(t, "retest", again.Follows)
	for _, st := range again.Programme {
		assert.Contains(t, opened.Programme, st)
	}
}
