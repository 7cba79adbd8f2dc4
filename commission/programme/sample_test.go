package programme

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

// sampleSite has zones with so many detectors each; of the last zone they warn of smoke.
func sampleSite(t *testing.T, detectors ...int) *site.Site {
	t.Helper()
	text := "reference: B-1\npremises: {name: Kiln, address: Yard}\ninstaller: {company: Bellbird}\n" +
		"controller: {description: box, location: hall}\nzones:\n"
	for z, n := range detectors {
		kind := "door"
		if z == len(detectors)-1 {
			kind = "smoke"
		}
		var names []string
		for i := range n {
			names = append(names, fmt.Sprintf("{name: D%d}", i+1))
		}
		text += fmt.Sprintf("  - {number: %d, name: Z%d, address: z%d, kind: %s, wiring: normally closed, detectors: [%s]}\n",
			z+1, z+1, z+1, kind, strings.Join(names, ", "))
	}
	text += "supply:\n  adapter: {rating: 1 A, voltage: 13.8 V}\n  battery: {chemistry: lead-acid, capacity: 7 Ah}\n"
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

// The rules as they are stated, each where it alone decides.
func TestASampleIsFair(t *testing.T) {
	s := sampleSite(t, 4, 4, 1)
	year := func(y int) LastProof { return LastProof{At: time.Date(y, 5, 1, 9, 0, 0, 0, time.UTC)} }
	missed := func(p LastProof) LastProof { p.Missed = true; return p }
	alike := func(site.Point) LastProof { return year(2025) }
	for name, c := range map[string]struct {
		share float64
		last  func(site.Point) LastProof
		keep  map[site.Point]bool
		want  []site.Point
	}{
		"one of each zone, and smoke always": {0.01, alike, nil, []site.Point{"1.1", "2.1", "3.1"}},
		"up to the share, rounded up":        {0.4, alike, nil, []site.Point{"1.1", "1.2", "2.1", "3.1"}},
		"the whole": {1, alike, nil, []site.Point{"1.1", "1.2", "1.3", "1.4", "2.1", "2.2", "2.3",
			"2.4", "3.1"}},
		"a third of nine is three": {1. / 3, alike, nil, []site.Point{"1.1", "2.1", "3.1"}},
		"those of longest ago": {0.01, func(p site.Point) LastProof {
			if p == "1.3" || p == "2.4" {
				return year(2023)
			}
			return year(2025)
		}, nil, []site.Point{"1.3", "2.4", "3.1"}},
		"those that failed, and no other of their zone": {0.01, func(p site.Point) LastProof {
			if p == "1.3" || p == "1.4" {
				return missed(year(2025))
			}
			return year(2024)
		}, nil, []site.Point{"1.3", "1.4", "2.1", "3.1"}},
		"those of which nothing is known": {0.01, func(p site.Point) LastProof {
			if p == "2.2" {
				return LastProof{}
			}
			return year(2025)
		}, nil, []site.Point{"1.1", "2.2", "3.1"}},
		"nothing is known at all": {0.01, func(site.Point) LastProof { return LastProof{} }, nil,
			[]site.Point{"1.1", "1.2", "1.3", "1.4", "2.1", "2.2", "2.3", "2.4", "3.1"}},
		"what is kept": {0.01, alike, map[site.Point]bool{"1.4": true}, []site.Point{"1.4", "2.1", "3.1"}},
	} {
		got := Sample(s, c.share, func(p site.Point, _ *site.Detector) LastProof { return c.last(p) }, c.keep)
		assert.Equal(t, c.want, got, name)
	}
}

// With a quarter each year, every detector is proved within as many years as it takes: here
// the smoke detector takes one of the three places of each year.
func TestSamplesComeRound(t *testing.T) {
	s := sampleSite(t, 4, 4, 1)
	last := map[site.Point]LastProof{}
	s.Each(func(p site.Point, _ *site.Zone, _ *site.Detector) {
		last[p] = LastProof{At: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)}
	})
	first := map[site.Point]bool{}
	for year := 2021; year < 2025; year++ {
		for _, p := range Sample(s, 0.25, func(p site.Point, _ *site.Detector) LastProof { return last[p] }, nil) {
			last[p] = LastProof{At: time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)}
			first[p] = true
		}
	}
	assert.Len(t, first, 9)
}

func TestASampledProgrammeLacksOnlyOthersOfTheWalkTest(t *testing.T) {
	s := sampleSite(t, 2, 2, 1)
	whole := Of(s, Checklist{})
	got := Sampled(whole, []site.Point{"1.2", "2.1", "3.1"})
	assert.Len(t, got, len(whole)-2)
	for _, st := range got {
		assert.False(t, st.ID == "walk/1.1" || st.ID == "walk/2.2", st.ID)
	}
	own := []Step{{ID: "walk/route", Stage: StageWalkTest, Kind: StepCheck}}
	assert.Equal(t, own, Sampled(own, nil), "a step at no detector")
	assert.Equal(t, whole, Sampled(whole, []site.Point{"1.1", "1.2", "2.1", "2.2", "3.1"}))
}

// What is looked at of a detector goes with it: of one that is not sampled no line is left,
// of one that is none is missing, and lines that stand at no detector stay.
func TestASampleTakesItsLooksAlong(t *testing.T) {
	s := sampleSite(t, 2, 1, 1)
	list, err := ReadChecklist(BuiltInChecklist(Maintenance))
	require.NoError(t, err)
	whole := Of(s, list)
	for _, tc := range []struct{ points, walk string }{
		{"1.1 1.2 2.1 3.1", "1.1 1.2 2.1 3.1 1.1/gap 1.1/play 1.2/gap 1.2/play 2.1/gap 2.1/play 3.1/latched 3.1/relay"},
		{"1.2 3.1", "1.2 3.1 1.2/gap 1.2/play 3.1/latched 3.1/relay"},
		{"2.1", "2.1 2.1/gap 2.1/play"},
		{"", ""},
	} {
		var points []site.Point
		for _, p := range strings.Fields(tc.points) {
			points = append(points, site.Point(p))
		}
		var walk []string
		others := 0
		for _, st := range Sampled(whole, points) {
			if id, is := strings.CutPrefix(st.ID, "walk/"); is {
				walk = append(walk, id)
			} else {
				others++
			}
		}
		assert.Equal(t, strings.Fields(tc.walk), append([]string{}, walk...), tc.points)
		assert.Equal(t, len(whole)-12, others, "all else is as it was: %s", tc.points)
	}
}

func TestStepsOfWhatWasOutstanding(t *testing.T) {
	id := OutstandingID("2026-05-01-handover", "F2")
	visit, finding := OfOutstanding(id)
	assert.Equal(t, []string{"2026-05-01-handover", "F2"}, []string{visit, finding})
	_, finding = OfOutstanding("outstanding/odd")
	assert.Equal(t, "odd", finding)
	visit, finding = OfOutstanding("outstanding//F2")
	assert.Equal(t, []string{"", "F2"}, []string{visit, finding})
	asked := []Step{{ID: id, Stage: StageInspection, Kind: StepOutstanding}}
	steps := []Step{{ID: "cables/1", Stage: StageCables}, {ID: "inspection/a", Stage: StageInspection},
		{ID: "walk/1.1", Stage: StageWalkTest}}
	got := WithOutstanding(steps, asked)
	assert.Equal(t, []string{"cables/1", id, "inspection/a", "walk/1.1"}, []string{got[0].ID, got[1].ID, got[2].ID,
		got[3].ID})
	assert.Equal(t, got, WithOutstanding(got, asked), "once more changes nothing")
	assert.Equal(t, steps, WithOutstanding(got, nil))
	assert.Len(t, steps, 3)
	assert.Equal(t, []string{"cables/1", id}, ids(WithOutstanding(steps[:1], asked)), "no inspection")
}
