package visit_test

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// asBuilt is a visit's configuration at a controller that reports as the bench is built,
// whatever the site file says.
func asBuilt(t *testing.T, answers string, out *bytes.Buffer) visit.Config {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	c := clock.NewSimulated(benchMorning)
	source, err := simulated.New(s, c, simulated.Options{Seed: 5})
	require.NoError(t, err)
	a, err := scripted.Read("answers.yaml", []byte(answers))
	require.NoError(t, err)
	return simulated.Join(
		visit.Config{Operator: scripted.New(a, c, out, words.English{}), Source: source, Clock: c, Tool: "test"})
}

// A zone whose address is wrong in the site file is silent. The visit is paused, the file
// mended and taken in: only that zone is tried again, and what came of it before is shown
// as taken under the earlier file.
func TestAWrongAddressIsMended(t *testing.T) {
	wrong := strings.Replace(visit.BenchSite, "address: z3", "address: z9", 1)
	require.NotEqual(t, visit.BenchSite, wrong)
	read := func(text string) (*site.Site, []programme.Step) {
		s, err := site.Read("site.yaml", []byte(text))
		require.NoError(t, err)
		list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
		require.NoError(t, err)
		return s, programme.Of(s, list)
	}
	_, steps := read(wrong)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	upToWalk, _, _ := strings.Cut(visit.BenchAnswers, `  - {when: "*/voltage"`)
	upToWalk += "  - {when: inspection/*, say: done}\n"
	var out bytes.Buffer
	v, err := visit.Start(asBuilt(t, upToWalk, &out), path, record.Opened{Visit: programme.Handover, Number: "B-1/1",
		SiteName: "site.yaml", Site: wrong, Programme: steps})
	require.NoError(t, err)
	require.ErrorIs(t, v.Run(context.Background()), ask.ErrUnanswered, "broken off before the supply")
	require.NoError(t, v.Close())
	before := folded(t, path)
	require.Equal(t, record.Silent, before.Find("walk/3.1").Last().Verdict())
	assert.Equal(t, map[string]int{"z3": 1}, before.Strangers())

	_, mended := read(visit.BenchSite)
	out.Reset()
	v, err = visit.Resume(asBuilt(t, visit.BenchAnswers, &out), path)
	require.NoError(t, err)
	require.NoError(t, v.TakeSite(record.SiteChanged{Site: visit.BenchSite, Programme: mended}))
	require.NoError(t, v.Run(context.Background()), out.String())
	require.NoError(t, v.Close())
	after := folded(t, path)
	assert.True(t, after.Done())
	assert.Equal(t, record.Proved, after.Find("walk/3.1").Last().Verdict())
	assert.Len(t, after.Find("walk/3.1").Tried(), 1, "what was tried under the earlier file is no trial of this zone")
	for _, step := range before.Outcomes() {
		if id := step.Step().ID; step.Concluded() && id != "walk/3.1" {
			assert.Equal(t, step, after.Find(id), "%s was not taken again", id)
		}
	}
	require.Len(t, after.SiteChanges(), 1)
	change := after.SiteChanges()[0]
	require.Len(t, change.Again, 1)
	assert.Equal(t, "walk/3.1", change.Again[0].Step().ID)
	assert.Equal(t, record.Silent, change.Again[0].Last().Verdict())
	assert.Equal(t, "z9", change.Earlier.Zone(3).Address)
	assert.Empty(t, change.Removed)
	assert.Empty(t, after.Strangers(), "they are known now")
	for _, d := range judge.Assess(after).Detectors() {
		if d.Name.Point == "3.1" {
			assert.Equal(t, record.Proved, d.Verdict)
		}
	}
}

// A site file that cannot be taken in leaves the journal as it is.
func TestASiteThatCannotBeTakenIn(t *testing.T) {
	_, path := wholeVisit(t)
	var out bytes.Buffer
	v, err := visit.Resume(asBuilt(t, visit.BenchAnswers, &out), path)
	require.NoError(t, err)
	before := v.Record().Entries()
	err = v.TakeSite(record.SiteChanged{Site: visit.BenchSite})
	require.ErrorIs(t, err, record.ErrNoSense)
	assert.ErrorContains(t, err, "the changed site file cannot be taken in")
	require.NoError(t, v.Close())
	assert.Equal(t, before, folded(t, path).Entries())
}
