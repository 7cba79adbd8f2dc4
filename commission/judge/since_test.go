package judge

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

func sinceSite(t testing.TB) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(honestSite))
	require.NoError(t, err)
	return s
}

// then is a visit so many years after the first, with the response of the door and the voltage
// ten minutes without mains.
func visitThen(year float64, response time.Duration, volt float64) record.Earlier {
	return record.Earlier{Visit: programme.Maintenance, Number: fmt.Sprintf("H-1 / %v", year),
		Journal: fmt.Sprintf("%v", year),
		Begun:   time.Date(2020, 1, 1, 9, 0, 0, 0, time.UTC).Add(time.Duration(year * yearSeconds * float64(time.Second))),
		TimedBy: signal.ByComputer, Battery: "2019-11-01",
		Detectors: []record.DetectorThen{
			{Point: "1.1", Name: "Door", Kind: "door", Verdict: record.Proved, Response: response,
				Uncertainty: 50 * time.Millisecond,
				Restored:    600 * time.Millisecond, RestoredUncertainty: 50 * time.Millisecond},
			{Point: "2.1", Name: "Window", Kind: "window", Verdict: record.Proved, Response: 500 * time.Millisecond,
				Uncertainty: 50 * time.Millisecond},
		},
		Readings: []record.ReadingThen{
			{Step: programme.IDMainsPresent, Quantity: record.VoltageReading, Value: 13.62, Unit: "V", Uncertainty: 0.05,
				Instrument: "m"},
			{Step: "supply/standby-3", Quantity: record.VoltageReading, Value: volt, Unit: "V", Uncertainty: 0.05,
				Instrument:   "m",
				AfterSeconds: 600},
		}}
}

func lineOf(t testing.TB, s *Since, of Measure, point site.Point) SinceLine {
	t.Helper()
	for _, l := range s.Lines {
		if l.Of == of && (point == "" || l.Detector != nil && l.Detector.Point == point) {
			return l
		}
	}
	require.Fail(t, "no line", "%s %s", of, point)
	return SinceLine{}
}

// Two visits: what is larger than both uncertainties together.
func TestTwoVisits(t *testing.T) {
	s := sinceSite(t)
	got := Compared([]record.Earlier{visitThen(0, 800*time.Millisecond, 12.61)}, visitThen(1, 1710*time.Millisecond,
		12.58), s)
	require.Len(t, got.Visits, 1)
	slower := lineOf(t, got, ResponseSince, "1.1")
	assert.Equal(t, WorseByStep, slower.Change)
	assert.InDelta(t, 0.91, slower.Two.Difference, 1e-9)
	// √(2·(0.05² + 0.2²)) = 0.29155
	assert.InDelta(t, 0.29155, slower.Two.Expanded, 1e-5)
	assert.Nil(t, slower.Trend)
	assert.InDelta(t, 2.0, slower.Limit.SI, 0, "as declared")
	assert.Equal(t, NoChange, lineOf(t, got, StandbySince, "").Change, "0.03 V of ±0.07 V")
	assert.Equal(t, NoChange, lineOf(t, got, ResponseSince, "2.1").Change)
	assert.Equal(t, 5, got.Compared, "two responses, a restore, two voltages")
	assert.Zero(t, got.Trends)
	assert.Equal(t, "2021-12-31", got.NextDue.Format(time.DateOnly), "a year later")
	bare := *s
	bare.Maintenance = site.Maintenance{}
	_, assumed := nextDue(&bare, time.Now())
	assert.True(t, assumed)
	declared := *s
	declared.Maintenance.Interval = site.Interval{Months: 6}
	due, assumed := nextDue(&declared, time.Date(2026, 1, 15, 9, 0, 0, 0, time.UTC))
	assert.Equal(t, "2026-07-15", due.Format(time.DateOnly), "as declared")
	assert.False(t, assumed)

	better := Compared([]record.Earlier{visitThen(0, 1710*time.Millisecond, 12.3)},
		visitThen(1, 800*time.Millisecond, 12.61), s)
	assert.Equal(t, GotBetter, lineOf(t, better, ResponseSince, "1.1").Change)
	assert.Equal(t, GotBetter, lineOf(t, better, StandbySince, "").Change)
}

// Where many are compared, one that is just beyond its uncertainty is chance (Holm).
func TestManyDetectorsAtOnce(t *testing.T) {
	s := sinceSite(t)
	then, now := visitThen(0, 500*time.Millisecond, 12.6), visitThen(1, 800*time.Millisecond, 12.6) // z = 2.06, p = 0.02
	then.Readings, now.Readings = nil, nil
	then.Detectors, now.Detectors = then.Detectors[:1], now.Detectors[:1]
	then.Detectors[0].Restored, now.Detectors[0].Restored = 0, 0
	assert.Equal(t, WorseByStep, lineOf(t, Compared([]record.Earlier{then}, now, s), ResponseSince, "1.1").Change, "alone")
	for i := range 13 {
		d := then.Detectors[0]
		d.Point = site.Point(fmt.Sprintf("3.%d", i+1))
		then.Detectors, now.Detectors = append(then.Detectors, d), append(now.Detectors, d)
	}
	assert.Equal(t, NoChange, lineOf(t, Compared([]record.Earlier{then}, now, s), ResponseSince, "1.1").Change, "among 14")
}

// A detector gets slower over five visits and a battery weaker, each by less than two visits
// show: of three visits nothing is claimed, of four and more the trend is, and when it
// meets its limit. Perfect orders of four and five have probabilities 1/24 and 1/120 (counted).
func TestFiveVisits(t *testing.T) {
	s := sinceSite(t)
	responses := []time.Duration{1100, 1250, 1400, 1600, 1750}
	volts := []float64{12.61, 12.55, 12.49, 12.44, 12.37}
	var earlier []record.Earlier
	for n := range responses {
		now := visitThen(float64(n), responses[n]*time.Millisecond, volts[n])
		got := Compared(earlier, now, s)
		door, battery := lineOf(t, got, ResponseSince, "1.1"), lineOf(t, got, StandbySince, "")
		switch n {
		case 0, 1, 2:
			assert.Equal(t, []Change{NoChange, NoChange}, []Change{door.Change, battery.Change}, n)
			assert.Nil(t, door.Trend, n)
		case 3:
			assert.Equal(t, []Change{WorseByAll, WorseByAll}, []Change{door.Change, battery.Change})
			assert.InDelta(t, 1.0/24, door.Trend.OneSided, 1e-9)
			assert.True(t, door.Trend.Exact)
			assert.Nil(t, door.Trend.Low, "no interval of four")
			assert.Nil(t, door.Meets, "2 s are met in 2025, after the next visit")
		case 4:
			assert.Equal(t, []Change{WorseByAll, WorseByAll}, []Change{door.Change, battery.Change})
			assert.InDelta(t, 1.0/120, door.Trend.OneSided, 1e-9)
			// Slopes 0.15 0.15 0.1667 0.1625 0.15 0.175 0.1667 0.2 0.175 0.15: median (0.1625 + 0.1667)/2.
			assert.InDelta(t, (0.1625+0.5/3)/2, door.Trend.Slope, 1e-4)
			assert.InDelta(t, -0.06, battery.Trend.Slope, 1e-3)
			assert.Nil(t, battery.Meets, "11.5 V are years away")
			assert.Nil(t, door.Meets)
			assert.Equal(t, 4, got.Trends, "not what has no direction")
			assert.InDelta(t, 0.2, got.ByChance, 1e-9)
		}
		earlier = append(earlier, now)
	}
	soon := Compared(earlier, visitThen(5, 1900*time.Millisecond, 12.31), s)
	door := lineOf(t, soon, ResponseSince, "1.1")
	require.NotNil(t, door.Meets)
	// Median response 1.5 s at median time 2.5 a, 0.1625 s a year: 2 s after 5.58 years.
	assert.Equal(t, "2025-07", door.Meets.Format("2006-01"))
}

// What was measured otherwise is not compared, and why is told.
func TestWhatIsNotCompared(t *testing.T) {
	s := sinceSite(t)
	none := func(*record.Earlier, *record.Earlier) {}
	for name, tc := range map[string]struct {
		change func(then, now *record.Earlier)
		of     Measure
		why    Incomparable
	}{
		"all is alike": {none, ResponseSince, ""},
		"a touch then": {func(then, _ *record.Earlier) { then.Detectors[0].Cue = record.ByTouch }, ResponseSince,
			TimedThen},
		"a count now": {func(_, now *record.Earlier) { now.Detectors[0].Cue = record.ByCount }, ResponseSince,
			TimedThen},
		"by hand then": {func(then, _ *record.Earlier) { then.TimedBy = signal.ByHand }, ResponseSince, TimedThen},
		"not known how": {func(then, now *record.Earlier) { then.TimedBy, now.TimedBy = "", "" }, ResponseSince,
			TimedThen},
		"renamed": {func(then, _ *record.Earlier) { then.Detectors[0].Name = "Hatch" }, ResponseSince,
			RenamedThen},
		"another kind": {func(then, _ *record.Earlier) { then.Detectors[0].Kind = "motion" }, ResponseSince,
			RenamedThen},
		"not timed then": {func(then, _ *record.Earlier) { then.Detectors[0].Response = 0 }, ResponseSince, NotThen},
		"not timed now":  {func(_, now *record.Earlier) { now.Detectors[0].Response = 0 }, ResponseSince, NotNow},
		"a new detector": {func(then, _ *record.Earlier) { then.Detectors = then.Detectors[1:] }, ResponseSince,
			NotThen},
		"a new battery": {func(_, now *record.Earlier) { now.Battery = "2021-01-01" }, StandbySince, BatteryThen},
		"a battery of which the file says no day": {func(_, now *record.Earlier) { now.Battery = "" }, StandbySince,
			BatteryUnsaid},
		"none was said then":   {func(then, _ *record.Earlier) { then.Battery = "" }, StandbySince, BatteryUnsaid},
		"neither says any day": {func(then, now *record.Earlier) { then.Battery, now.Battery = "", "" }, StandbySince, ""},
		"another meter": {func(_, now *record.Earlier) { now.Readings[1].Instrument = "n" }, StandbySince,
			InstrumentThen},
		"unknown accuracy": {func(then, _ *record.Earlier) { then.Readings[1].Uncertainty = 0 }, StandbySince,
			UncertaintyThen},
		"unknown now": {func(_, now *record.Earlier) { now.Readings[1].Uncertainty = 0 }, StandbySince,
			UncertaintyThen},
		"another minute": {func(_, now *record.Earlier) { now.Readings[1].AfterSeconds = 661 }, StandbySince,
			MinuteThen},
		"a minute apart": {func(_, now *record.Earlier) { now.Readings[1].AfterSeconds = 660 }, StandbySince, ""},
		"not read then":  {func(then, _ *record.Earlier) { then.Readings = nil }, StandbySince, NotThen},
		"practice":       {func(then, _ *record.Earlier) { then.Simulated = true }, ResponseSince, NotThen},
		"later": {func(then, _ *record.Earlier) { then.Begun = then.Begun.AddDate(2, 0, 0) }, StandbySince,
			NotThen},
		"a new battery and mains": {func(_, now *record.Earlier) { now.Battery = "2021-01-01" }, MainsSince, ""},
	} {
		then, now := visitThen(0, time.Second, 12.6), visitThen(1, 1900*time.Millisecond, 12.6)
		tc.change(&then, &now)
		got := Compared([]record.Earlier{then}, now, s)
		l := lineOf(t, got, tc.of, "")
		assert.Equal(t, tc.why, l.Why, name)
		assert.Equal(t, tc.why == "", l.Two != nil, name)
		switch name {
		case "practice":
			assert.Equal(t, PracticeThen, got.Visits[0].Why)
		case "later":
			assert.Equal(t, LaterThen, got.Visits[0].Why)
		}
	}
}

// The latest visit that can be compared counts, and why a later one does not is told.
func TestAnOlderVisitIsTakenWhereTheLatestWasTimedOtherwise(t *testing.T) {
	old, touched := visitThen(0, 800*time.Millisecond, 12.6), visitThen(1, 900*time.Millisecond, 12.6)
	touched.Detectors[0].Cue = record.ByTouch
	l := lineOf(t, Compared([]record.Earlier{old, touched}, visitThen(2, 1710*time.Millisecond, 12.6), sinceSite(t)),
		ResponseSince, "1.1")
	assert.Equal(t, old.Begun, l.Then().At)
	assert.Equal(t, TimedThen, l.Latest)
	assert.Empty(t, l.Why)
	assert.Equal(t, WorseByStep, l.Change)
}

// A loop that reads otherwise is told; neither direction is worse, and it limits nothing.
func TestALoopThatChanged(t *testing.T) {
	then, now := visitThen(0, time.Second, 12.6), visitThen(1, time.Second, 12.6)
	then.Readings = append(then.Readings, record.ReadingThen{Step: "walk/1.1", Quantity: record.LoopReading, Value: 10,
		Unit: "ohm"})
	now.Readings = append(now.Readings, record.ReadingThen{Step: "walk/1.1", Quantity: record.LoopReading, Value: 14,
		Unit: "ohm"})
	l := lineOf(t, Compared([]record.Earlier{then}, now, sinceSite(t)), LoopSince, "1.1")
	assert.Equal(t, GotOther, l.Change)
	assert.False(t, l.Change.Worse())
	assert.Nil(t, l.Limit)
}

// In whatever order visits are given, and however often, and with visits between them that
// measured nothing, the same is found.
func TestOrderOfVisitsDoesNotMatter(t *testing.T) {
	s := sinceSite(t)
	random := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		var earlier []record.Earlier
		years := 1 + random.IntN(9)
		for n := range years {
			earlier = append(earlier, visitThen(float64(n)+random.Float64()/2,
				time.Duration(400+random.IntN(1500))*time.Millisecond,
				12+random.Float64()))
		}
		now := visitThen(float64(years)+1, time.Duration(400+random.IntN(1500))*time.Millisecond, 12+random.Float64())
		want := Compared(earlier, now, s)
		shuffled := slices.Clone(earlier)
		random.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		assert.Equal(t, string(encoded(want)), string(encoded(Compared(append(shuffled, shuffled[0]), now, s))))

		empty := record.Earlier{Journal: "empty", Begun: now.Begun.Add(-time.Hour), TimedBy: signal.ByComputer}
		with := Compared(append([]record.Earlier{empty}, earlier...), now, s)
		with.Visits = want.Visits
		assert.Equal(t, string(encoded(want)), string(encoded(with)))
	}
}

func TestOnlyTheLatestHundredVisitsAreLookedAt(t *testing.T) {
	var earlier []record.Earlier
	for n := range 105 {
		earlier = append(earlier, visitThen(float64(n), time.Second, 12.6))
	}
	got := Compared(earlier, visitThen(105, time.Second, 12.6), sinceSite(t))
	assert.Equal(t, 5, got.Before)
	assert.Len(t, got.Visits, 100)
	assert.Equal(t, "5", got.Visits[0].Journal)
}

// Ten visits of 200 detectors: go test ./commission/judge -run '^$' -bench TenVisits.
func BenchmarkCompareTenVisitsOf200Detectors(b *testing.B) {
	s := sinceSite(b)
	var all []record.Earlier
	for n := range 10 {
		v := visitThen(float64(n), time.Second, 12.6)
		for i := range 198 {
			d := v.Detectors[0]
			d.Point, d.Response = site.Point(fmt.Sprintf("%d.1", i+3)), time.Duration(500+(i*n)%97)*time.Millisecond
			v.Detectors = append(v.Detectors, d)
		}
		all = append(all, v)
	}
	for b.Loop() {
		if got := Compared(all[:9], all[9], s); len(got.Lines) < 400 {
			b.Fatal(len(got.Lines))
		}
	}
}

// A detector that got slower limits the result where at most half of what it had to its limit of
// 2 s is left; a battery that got weaker does whatever it has left.
func TestWhatGotSlowerFarFromItsLimit(t *testing.T) {
	s := sinceSite(t)
	noLimit := sinceSite(t)
	noLimit.Limits.Response = nil
	for name, tc := range map[string]struct {
		site      *site.Site
		then, now time.Duration
		volt      float64 // now; 12.6 V then
		want      Change
		limiting  bool
	}{
		"far":               {s, 460, 910, 12.6, WorseByStep, false},
		"more than half":    {s, 1000, 1490, 12.6, WorseByStep, false},
		"half":              {s, 1000, 1500, 12.6, WorseByStep, true},
		"less than half":    {s, 460, 1300, 12.6, WorseByStep, true},
		"at its limit":      {s, 460, 2000, 12.6, WorseByStep, true},
		"no limit at all":   {noLimit, 460, 910, 12.6, WorseByStep, true},
		"faster":            {s, 1500, 460, 12.6, GotBetter, false},
		"as it was, near":   {s, 1900, 1900, 12.6, NoChange, false},
		"a weaker battery":  {s, 500, 500, 12.35, WorseByStep, true},
		"a colder day":      {s, 500, 500, 12.50, NoChange, false}, // ± 0.1 V each time
		"a battery as ever": {s, 500, 500, 12.58, NoChange, false},
	} {
		got := Compared([]record.Earlier{visitThen(0, tc.then*time.Millisecond, 12.6)},
			visitThen(1, tc.now*time.Millisecond, tc.volt), tc.site)
		l := lineOf(t, got, ResponseSince, "1.1")
		if tc.then == tc.now && tc.then == 500 {
			l = lineOf(t, got, StandbySince, "")
		}
		assert.Equal(t, []any{tc.want, tc.limiting}, []any{l.Change, l.Limiting}, name)
	}
}

// A trend is held against its first visit, and limits wherever it meets the limit in time.
func TestATrendFarFromItsLimit(t *testing.T) {
	for name, tc := range map[string]struct {
		all      []time.Duration
		step     bool
		meets    bool
		limiting bool
	}{
		"far":                        {[]time.Duration{400, 500, 600, 700}, false, false, false},
		"half is gone since then":    {[]time.Duration{400, 630, 870, 1100, 1250}, false, false, true},
		"steps that are small each":  {[]time.Duration{100, 500, 900, 1300}, true, false, true},
		"meets its limit":            {[]time.Duration{1500, 1600, 1700, 1800, 1920}, false, true, true},
		"meets it, and far as yet":   {[]time.Duration{100, 101, 102, 103, 104, 105, 700}, true, false, false},
		"more than half, a fifth on": {[]time.Duration{900, 1000, 1100, 1200, 1300}, false, false, false},
	} {
		var earlier []record.Earlier
		for n, each := range tc.all[:len(tc.all)-1] {
			earlier = append(earlier, visitThen(float64(n), each*time.Millisecond, 12.6))
		}
		now := visitThen(float64(len(tc.all)-1), tc.all[len(tc.all)-1]*time.Millisecond, 12.6)
		l := lineOf(t, Compared(earlier, now, sinceSite(t)), ResponseSince, "1.1")
		assert.True(t, l.Change.Worse(), name)
		assert.Equal(
			t,
			[]bool{tc.step, tc.meets, tc.limiting},
			[]bool{l.Change == WorseByStep, l.Meets != nil, l.Limiting},
			name,
		)
	}
}

// Each reading is compared as what it is: with mains, on standby or under load, by its step.
func TestWhatAReadingIsComparedAs(t *testing.T) {
	for _, c := range []struct {
		step string
		of   record.Quantity
		want Measure // "" for not compared
	}{
		{"walk/1.1", record.LoopReading, LoopSince},
		{programme.IDAlarmLoad, record.InternalThen, InternalSince},
		{programme.IDAlarmLoad, record.VoltageReading, LoadedSince},
		{programme.IDMainsPresent, record.VoltageReading, MainsSince},
		{programme.IDMainsBack, record.VoltageReading, MainsSince},
		{programme.IDCharging, record.VoltageReading, MainsSince},
		{"supply/standby-3", record.VoltageReading, StandbySince},
		{programme.IDStandbyCurrent, record.CurrentReading, ""},
		{"outputs/sounder/level", record.LevelReading, ""},
		{"walk/1.1", record.VoltageReading, ""},
	} {
		r := record.ReadingThen{Step: c.step, Quantity: c.of, Value: 10, Unit: "V", Uncertainty: 0.05, Instrument: "m"}
		of, is := measureOf(r)
		assert.Equal(t, []any{c.want, c.want != ""}, []any{of, is}, "%s of %s", c.of, c.step)
		items := itemsOf(record.Earlier{Readings: []record.ReadingThen{r}}, sinceSite(t))
		lines := 1
		if c.want == "" || c.want == LoopSince { // a loop is one of its detector
			lines = 0
		}
		assert.Len(t, items, lines, "%s of %s", c.of, c.step)
	}
}

// What got better at every visit is no trend to the worse.
func TestATrendToTheBetterIsNoneToTheWorse(t *testing.T) {
	var earlier []record.Earlier
	for n := range 5 {
		earlier = append(earlier, visitThen(float64(n), time.Duration(1800-50*n)*time.Millisecond, 12.3+0.02*float64(n)))
	}
	got := Compared(earlier, visitThen(5, 1550*time.Millisecond, 12.4), sinceSite(t))
	for _, l := range []SinceLine{lineOf(t, got, ResponseSince, "1.1"), lineOf(t, got, StandbySince, "")} {
		assert.NotNil(t, l.Trend, l.Of)
		assert.False(t, l.Change.Worse(), "%s: %s", l.Of, l.Change)
		assert.Equal(t, []bool{false, true}, []bool{l.Limiting, l.Meets == nil}, l.Of)
	}
}
