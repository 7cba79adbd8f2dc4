package judge

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// afterVisits is a kept visit as one that took in so many earlier ones, a year apart, of which
// change makes what they are.
func afterVisits(t testing.TB, visits int, change func(n int, e *record.Earlier)) (now, without *Assessment) {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	without = Assess(r)
	opened := r.Opened()
	opened.Visit = programme.Maintenance
	for n := range visits {
		e := without.Remembered(fmt.Sprintf("%064x", n+1))
		e.Site = ""
		e.Begun = e.Begun.AddDate(n-visits, 0, 0)
		change(n, &e)
		opened.Earlier = append(opened.Earlier, e)
	}
	entries := slices.Clone(contents.Entries)
	entries[0].Body, err = json.Marshal(opened)
	require.NoError(t, err)
	r, err = record.Fold(entries)
	require.NoError(t, err)
	return Assess(r), without
}

func worsened(a *Assessment) (all []Finding) {
	for _, f := range slices.Concat(a.findings, a.limitations, a.notes) {
		if _, is := f.What.(GotWorse); is {
			all = append(all, f)
		}
	}
	return all
}

func pointOf(e *record.Earlier, p site.Point) *record.DetectorThen {
	return &e.Detectors[slices.IndexFunc(e.Detectors, func(d record.DetectorThen) bool { return d.Point == p })]
}

// What got worse is a limitation with the weight of advice: the visit is no less satisfactory
// than with any other limitation, and has no defect more.
func TestWhatGotWorseIsALimitation(t *testing.T) {
	now, without := afterVisits(t, 1, func(_ int, e *record.Earlier) { pointOf(e, "2.1").Response /= 8 })
	all := worsened(now)
	require.Len(t, all, 1)
	f := all[0]
	assert.Equal(t, site.Point("2.1"), f.Subject.Detector.Point)
	assert.Equal(t, "walk/2.1", f.Step)
	assert.Equal(t, []string{"walk/2.1"}, now.RestsOn(f))
	assert.Equal(t, consequence{Advice, LookAhead}, f.consequence())
	assert.Equal(t, "L", f.ID[:1])
	of := f.What.(GotWorse).Of
	require.Len(t, of, 1)
	assert.Equal(t, ResponseSince, of[0].Of)
	assert.Equal(t, "s", of[0].Unit)
	assert.Equal(t, WorseByStep, of[0].By)
	assert.Equal(t, 2, of[0].Visits)
	assert.InDelta(t, 0.29, of[0].Expanded, 0.02)
	assert.InDelta(t, 8, of[0].Now/of[0].Then, 1e-6)
	assert.Zero(t, of[0].Slope)
	assert.Equal(t, without.Result(), now.Result())
	assert.Len(t, now.findings, len(without.findings))
	assert.NotNil(t, now.Judged().Since)
	assert.Nil(t, without.Judged().Since)
	assert.Nil(t, without.Since())
}

// What got slower and is far from its limit still is told, and limits nothing.
func TestWhatGotSlowerAndIsFarFromItsLimitIsTold(t *testing.T) {
	now, _ := afterVisits(t, 1, func(_ int, e *record.Earlier) { pointOf(e, "1.1").Response /= 8 })
	assert.Empty(t, worsened(now))
	l := lineOf(t, now.Since(), ResponseSince, "1.1")
	assert.Equal(t, WorseByStep, l.Change)
	assert.False(t, l.Limiting)
}

// The supply has one limitation for all of it; a trend tells its first value and its slope.
func TestASupplyThatGetsWeaker(t *testing.T) {
	now, _ := afterVisits(t, 4, func(n int, e *record.Earlier) {
		for i := range e.Readings {
			if r := &e.Readings[i]; r.Quantity == record.VoltageReading && r.AfterSeconds > 30 {
				r.Value += 0.13 * float64(4-n)
			}
		}
	})
	all := worsened(now)
	require.Len(t, all, 1)
	assert.Equal(t, PartSupply, all[0].Subject.Part)
	assert.True(t, all[0].What.(GotWorse).Holds)
	of := all[0].What.(GotWorse).Of
	require.Len(t, of, 3, "three minutes: the limit under load is more than ten years away")
	for _, w := range of {
		assert.Equal(t, WorseByAll, w.By)
		assert.InDelta(t, 0.52, w.Then-w.Now, 1e-6, "from the first")
		assert.InDelta(t, -0.13, w.Slope, 1e-3)
		assert.Equal(t, 5, w.Visits)
		assert.Zero(t, w.Expanded)
		assert.NotNil(t, w.Limit)
		assert.Nil(t, w.Meets)
	}
}

// A detector that failed has its finding already.
func TestWhatFailedIsNoAdvice(t *testing.T) {
	now, _ := afterVisits(t, 1, func(_ int, e *record.Earlier) { pointOf(e, "2.1").Response /= 8 })
	i := slices.IndexFunc(now.detectors, func(d DetectorLine) bool { return d.Name.Point == "2.1" })
	now.limitations, now.detectors[i].Verdict = nil, record.Late
	now.findWorse()
	assert.Empty(t, now.limitations)
}

// Later visits take in how what was measured was measured.
func TestRememberedHow(t *testing.T) {
	_, a := afterVisits(t, 0, nil)
	e := a.Remembered("x")
	assert.Equal(t, signal.BySimulatedTime, e.TimedBy)
	assert.NotEmpty(t, e.Technician)
	assert.Equal(t, a.record.Site().Supply.Battery.Fitted, e.Battery)
	assert.Empty(t, pointOf(&e, "1.1").Cue)
	i := slices.IndexFunc(e.Readings, func(r record.ReadingThen) bool { return r.Quantity == record.InternalThen })
	require.GreaterOrEqual(t, i, 0)
	row := InternalRow{}
	for _, c := range a.computed {
		if r, is := c.Row.(InternalRow); is {
			row = r
		}
	}
	assert.InDelta(t, row.Ohm, e.Readings[i].Value, 0)
	assert.InDelta(t, row.Uncertainty, e.Readings[i].Uncertainty, 0)
	assert.Equal(t, programme.IDAlarmLoad, e.Readings[i].Step)
	assert.NotEmpty(t, e.Readings[i].Instrument)
	assert.Equal(t, e.Begun.Location(), time.UTC)
}

// Every kind of detector has a spread of its own.
func TestSpreadOfEveryKind(t *testing.T) {
	for _, kind := range site.Kinds {
		for _, of := range []Measure{ResponseSince, RestoredSince} {
			i := item{of: of, kind: site.DetectorKind(kind)}
			assert.GreaterOrEqual(t, i.spread(time.Second, 0).Expanded, 0.2, kind)
		}
	}
	smoke := item{of: ResponseSince, kind: "smoke"}.spread(10*time.Second, 4*time.Second)
	assert.Equal(t, checks.Uncertain{Value: 10, Expanded: 5}, smoke, "√(4² + 3²): a tenth of 30 s")
}

// A small trend of a voltage that is far from its declared limit is told, and limits nothing.
func TestASmallTrendFarFromItsLimitIsTold(t *testing.T) {
	now, _ := afterVisits(t, 4, func(n int, e *record.Earlier) {
		for i := range e.Readings {
			if r := &e.Readings[i]; r.Quantity == record.VoltageReading && r.AfterSeconds > 30 {
				r.Value += 0.03 * float64(4-n)
			}
		}
	})
	assert.Empty(t, worsened(now))
	told := 0
	for _, l := range now.Since().Lines {
		if l.Change == WorseByAll {
			told++
			assert.False(t, l.Limiting)
		}
	}
	assert.Equal(t, 4, told)
	far := SinceLine{Of: StandbySince, Limit: &site.Limit{SI: 11.5, By: site.CommonPractice},
		Points: []SinceWhen{{}, {Value: 12.7}}, trend: &checks.Trend{Slope: -0.03}}
	assert.False(t, far.farBySlope(), "a limit that nobody declared makes no page greener")
	far.Limit.By = site.SiteFile
	assert.True(t, far.farBySlope(), "40 years")
	far.trend.Slope = -0.2
	assert.False(t, far.farBySlope(), "6 years")
}

// One fact is told once: what got worse is added to the limitation of the same quantity, which keeps its remedy.
func TestWhatGotWorseIsAddedToWhatIsTold(t *testing.T) {
	now, _ := afterVisits(t, 4, func(n int, e *record.Earlier) {
		for i := range e.Readings {
			if r := &e.Readings[i]; r.Quantity == record.InternalThen {
				r.Value *= 1 - 0.1*float64(4-n)
			}
		}
	})
	assert.Empty(t, worsened(now), "1.7 times the first value is undecided, and says so itself")
	undecided := slices.IndexFunc(now.limitations, func(f Finding) bool { return f.Code() == "computed/internal" })
	require.GreaterOrEqual(t, undecided, 0)
	require.Len(t, now.limitations[undecided].Since, 1)
	assert.Equal(t, InternalSince, now.limitations[undecided].Since[0].Of)
	i := slices.IndexFunc(now.computed, func(c Computed) bool { return c.Row.Code() == "internal" })
	for _, tc := range []struct {
		what Statement
		step string
		told bool
	}{
		{ComputedSo{Row: now.computed[i].Row, Ruling: checks.Undecided}, programme.IDAlarmLoad, true},
		{ReadingUndecided{}, programme.IDAlarmLoad, false},
	} {
		now.limitations = []Finding{{Step: tc.step, What: tc.what}}
		now.findWorse()
		assert.Equal(t, tc.told, len(now.limitations) == 1, "%T", tc.what)
		assert.Equal(t, tc.told, len(now.limitations[0].Since) == 1, "%T", tc.what)
		f := now.limitations[0]
		again, known := Recall(f.Said())
		require.True(t, known)
		assert.Equal(t, string(f.Said()), string(again.Said()))
	}
	assert.False(t, now.limitations[1].What.(GotWorse).Holds, "nothing was held against a limit")
}
