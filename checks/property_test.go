package checks

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// seeded is the same for every run.
func seeded() *rand.Rand { return rand.New(rand.NewPCG(19, 7)) }

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		require.NoError(t, err)
		return v
	}
}

// A longer cable, a larger load, a warmer or thinner wire never lose less.
func TestDropGrows(t *testing.T) {
	r, drop := seeded(), must[float64](t)
	for range 2000 {
		run := Run{LengthMetre: r.Float64() * 200, OhmPerMetre: r.Float64() * 0.3, Ampere: r.Float64(), SupplyVolt: 12}
		base := drop(run.Drop())
		for _, worse := range []Run{
			{run.LengthMetre * 1.1, run.OhmPerMetre, run.Ampere, 12},
			{run.LengthMetre, run.OhmPerMetre * 1.1, run.Ampere, 12},
			{run.LengthMetre, run.OhmPerMetre, run.Ampere * 1.1, 12},
		} {
			assert.GreaterOrEqual(t, drop(worse.Drop()), base)
		}
	}
	for n := -3; n < 50; n++ {
		thick, err := Conductor{AreaMM2: math.Pi * math.Pow(gaugeDiameterMM(n), 2) / 4, Gauge: true,
			AWG: n}.Resistance(
			Solid,
			20,
		)
		require.NoError(t, err)
		thin, err := Conductor{AreaMM2: math.Pi * math.Pow(gaugeDiameterMM(n+1), 2) / 4, Gauge: true,
			AWG: n + 1}.Resistance(
			Solid,
			40,
		)
		require.NoError(t, err)
		assert.Less(t, thick.OhmPerMetre, thin.OhmPerMetre)
	}
}

// At the longest run the load gets just its minimum, and the next size gives it.
func TestLongestRunAndNextSizeAgreeWithTheDrop(t *testing.T) {
	wire, err := ParseConductor("24 AWG")
	require.NoError(t, err)
	r, err := wire.Resistance(Solid, 20)
	require.NoError(t, err)
	run := Run{OhmPerMetre: r.OhmPerMetre, Ampere: 0.3, SupplyVolt: 12}
	run.LengthMetre = must[float64](t)(run.Longest(10))
	assert.InDelta(t, 10, must[float64](t)(run.FarEnd()), 1e-9)
	run.LengthMetre *= 3
	size, ok, err := NextSize(wire, Solid, 20, run, 10)
	require.NoError(t, err)
	require.True(t, ok)
	assert.Equal(t, "18 AWG", size.Text)
	_, ok, err = NextSize(wire, Solid, 20, run, 12)
	require.NoError(t, err)
	assert.False(t, ok)
}

// Several loads along one run against nodal analysis: conductances of the pieces
// of cable, currents drawn at the nodes, solved by gonum/mat.
func TestDropsAlongAgainstNodalAnalysis(t *testing.T) {
	r := seeded()
	for range 200 {
		n := 1 + r.IntN(8)
		var taps []Tap
		at := 0.0
		for range n {
			at += 0.5 + r.Float64()*20
			taps = append(taps, Tap{at, r.Float64() * 0.2})
		}
		const ohm = 0.05
		g, current := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		before := 0.0
		for i, tap := range taps {
			piece := 1 / (2 * (tap.AtMetre - before) * ohm)
			g.Set(i, i, g.At(i, i)+piece)
			if i > 0 {
				g.Set(i-1, i-1, g.At(i-1, i-1)+piece)
				g.Set(i, i-1, -piece)
				g.Set(i-1, i, -piece)
			}
			current.SetVec(i, tap.Ampere)
			before = tap.AtMetre
		}
		var lost mat.VecDense
		require.NoError(t, lost.SolveVec(g, current))
		r.Shuffle(n, func(i, j int) { taps[i], taps[j] = taps[j], taps[i] })
		drops, err := DropsAlong(taps, ohm)
		require.NoError(t, err)
		for i, tap := range taps {
			node := 0
			for _, other := range taps {
				if other.AtMetre < tap.AtMetre {
					node++
				}
			}
			assert.InDelta(t, lost.AtVec(node), drops[i], 1e-9)
		}
	}
}

// Loops against nodal analysis: the circuit's resistance is the voltage of its
// terminal node for one ampere.
func TestLoopsAgainstNodalAnalysis(t *testing.T) {
	r := seeded()
	for range 300 {
		c := Circuit{Kind: TwoResistor, EndOhm: 100 + r.Float64()*1e4, ContactOhm: 100 + r.Float64()*1e4,
			CableOhm: r.Float64() * 50, Contacts: 1 + r.IntN(6)}
		parallel := c
		parallel.Kind = TwoResistorOpen
		for opened := 1; opened <= c.Contacts; opened++ {
			// In series: terminal - cable - each opened contact's resistor - end - ground.
			series := []float64{c.CableOhm + 1e-9}
			for range opened {
				series = append(series, c.ContactOhm)
			}
			series = append(series, c.EndOhm)
			n := len(series)
			g, one := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
			one.SetVec(0, 1)
			for i, ohm := range series {
				g.Set(i, i, g.At(i, i)+1/ohm)
				if i+1 < n {
					g.Set(i+1, i+1, g.At(i+1, i+1)+1/ohm)
					g.Set(i, i+1, -1/ohm)
					g.Set(i+1, i, -1/ohm)
				}
			}
			var v mat.VecDense
			require.NoError(t, v.SolveVec(g, one))
			assert.InEpsilon(t, v.AtVec(0), c.ohm(LoopActive, opened, 1, 1), 1e-6)

			// In parallel: terminal - cable - node with the end and each branch.
			node := 1 / c.EndOhm
			for range opened {
				node += 1 / c.ContactOhm
			}
			cable := 1 / (c.CableOhm + 1e-9)
			g2 := mat.NewDense(2, 2, []float64{cable, -cable, -cable, cable + node})
			var v2 mat.VecDense
			require.NoError(t, v2.SolveVec(g2, mat.NewVecDense(2, []float64{1, 0})))
			assert.InEpsilon(t, v2.AtVec(0), parallel.ohm(LoopActive, opened, 1, 1), 1e-5)
		}
	}
}

// What a circuit should read in a state is classified as that state.
func TestWindowsClassifyThemselves(t *testing.T) {
	for _, c := range []Circuit{
		{Kind: NormallyClosed},
		{Kind: NormallyOpen},
		{Kind: OneResistor, EndOhm: 5600, Tolerance: 0.05},
		{Kind: TwoResistor, EndOhm: 4700, ContactOhm: 4700, Tolerance: 0.05, Contacts: 4},
		{Kind: TwoResistorOpen, EndOhm: 4700, ContactOhm: 4700, Tolerance: 0.01},
		{Kind: ParallelResistor, EndOhm: 4700, CableOhm: 58, CableTol: 0.2},
		{Kind: ThreeResistor, EndOhm: 4700, ContactOhm: 4700, FaultOhm: 2200, Contacts: 2},
	} {
		windows, err := c.Windows()
		require.NoError(t, err)
		for _, w := range windows {
			fit, err := c.Classify(w.Nominal, 0)
			require.NoError(t, err)
			assert.Contains(t, fit, w, "%s", c.Kind)
		}
	}
	fit, err := Circuit{Kind: TwoResistor, EndOhm: 4700, ContactOhm: 4700, Tolerance: 0.01}.Classify(7000, 10)
	require.NoError(t, err)
	assert.Empty(t, fit, "no state explains it")
	overlaps, err := Circuit{Kind: OneResistor, EndOhm: 4700}.Overlaps()
	require.NoError(t, err)
	require.Len(t, overlaps, 1)
	assert.Equal(t, [2]LoopState{LoopActive, LoopCut}, [2]LoopState{overlaps[0].A.State, overlaps[0].B.State})
	overlaps, err = Circuit{Kind: TwoResistor, EndOhm: 4700, ContactOhm: 4700, Tolerance: 0.05}.Overlaps()
	require.NoError(t, err)
	assert.Empty(t, overlaps)
}

// A larger load or a longer standby never needs less; a battery of just the
// required capacity is just emptied.
func TestStandbyGrowsAndCloses(t *testing.T) {
	r, value := seeded(), must[float64](t)
	none := Factors{1, 1}
	for range 500 {
		draws := []Draw{{0.05 + r.Float64(), 1 + r.Float64()*60}, {0.1 + r.Float64()*2, r.Float64()}}
		k := 1 + r.Float64()*0.4
		c := value(RequiredAtRate(draws, 20, k, none))
		used := 0.0
		for _, d := range draws {
			used += d.Hour / value(Battery{c, 20, k}.Autonomy(d.Ampere))
		}
		assert.InDelta(t, 1, used, 1e-9)
		more := []Draw{{draws[0].Ampere * 1.1, draws[0].Hour}, draws[1]}
		assert.Greater(t, value(RequiredAtRate(more, 20, k, none)), c)
		assert.Greater(t, value(RequiredCapacity(more, none)), value(RequiredCapacity(draws, none)))
		assert.InDelta(t, value(RequiredCapacity(draws, none)), value(RequiredAtRate(draws, 20, 1, none)), 1e-9,
			"without Peukert they are the same")
	}
}

// The bounds against the binomial distribution itself: at the lower bound, so
// many successes or more have just the probability α.
func TestBoundsAgainstTheBinomial(t *testing.T) {
	value := must[float64](t)
	for _, n := range []int{1, 5, 20, 41, 200} {
		for misses := 0; misses <= n; misses += 1 + n/7 {
			s := n - misses
			lower, upper := value(ProportionLowerBound(s, n, 0.95)), value(ProportionUpperBound(s, n, 0.95))
			assert.LessOrEqual(t, lower, float64(s)/float64(n))
			assert.GreaterOrEqual(t, upper, float64(s)/float64(n))
			if s > 0 {
				b := distuv.Binomial{N: float64(n), P: lower}
				assert.InDelta(t, 0.05, 1-b.CDF(float64(s-1)), 1e-6, "%d of %d", s, n)
			}
		}
	}
}

// So many trials without a miss as give a confidence, that confidence needs; and one fewer
// gives less.
func TestTrialsNeededAndGiven(t *testing.T) {
	for _, probability := range []float64{0.5, 0.9, 0.95, 0.99, 0.995} {
		for n := 1; n <= 200 && math.Pow(probability, float64(n)) > 1e-6; n++ {
			needed, err := TrialsNeeded(probability, 1-math.Pow(probability, float64(n)))
			require.NoError(t, err)
			assert.Equal(t, n, needed, "%v", probability)
		}
	}
	few, err := TrialsNeeded(0.99, 0.001)
	require.NoError(t, err)
	assert.Equal(t, 1, few, "never none")
	most, err := TrialsNeeded(math.Exp(-1e-6), 1-math.Exp(-9.9999995))
	require.NoError(t, err)
	assert.Equal(t, 10_000_000, most, "9,999,999.5 rounded up")
}

// The largest number of trials without a miss: 1 − 2.9957·10⁻⁷, since α^(1/n) is about
// 1 + ln α / n.
func TestMostTrials(t *testing.T) {
	lower := must[float64](t)(ProportionLowerBound(maxTrials, maxTrials, 0.95))
	assert.InDelta(t, math.Log(0.05)/maxTrials, lower-1, 1e-12)
}

// The decision against a simulated normal distribution, and no guard band can
// turn a value outside into a pass.
func TestDecisionAgainstASimulation(t *testing.T) {
	r := seeded()
	const draws = 200_000
	inside := 0
	for range draws {
		if v := 1.95 + r.NormFloat64()*0.1; v <= 2 {
			inside++
		}
	}
	d, err := Decide(1.95, 0.2, AtMost(2))
	require.NoError(t, err)
	assert.InDelta(t, float64(inside)/draws, d.Probability, 0.005)
	for range 5000 {
		value, u := r.Float64()*4, r.Float64()
		d, err := Decide(value, u, AtMost(2))
		require.NoError(t, err)
		assert.False(t, d.Ruling == Pass && value > 2)
		assert.False(t, d.Ruling == Fail && value < 2)
	}
}

// Mean and deviation against the library's weighted form, and against order.
func TestSummary(t *testing.T) {
	r := seeded()
	x := make([]float64, 500)
	for i := range x {
		x[i] = 0.4 + r.ExpFloat64()/3
	}
	s, err := Summarise(x)
	require.NoError(t, err)
	assert.InDelta(t, stat.Mean(x, nil), s.Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(stat.Moment(2, x, nil)*500/499), s.StandardDeviation, 1e-12)
	assert.True(t, s.P50 <= s.P90 && s.P90 <= s.P95 && s.P95 <= s.Max)
	one, err := Summarise([]float64{3})
	require.NoError(t, err)
	assert.True(t, math.IsNaN(one.StandardDeviation))
	for _, bad := range [][]float64{nil, {math.NaN()}, {1, math.Inf(1)}} {
		_, err := Summarise(bad)
		assert.ErrorIs(t, err, ErrQuantity)
	}
}

// Nonsense is refused by name; nothing gives NaN.
func TestNonsenseIsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	wire := Conductor{Text: "22 AWG", AreaMM2: 0.3255, Gauge: true, AWG: 22}
	for name, err := range map[string]error{
		"negative length":      second(Run{-1, 0.05, 0.1, 12}.Drop()),
		"NaN current":          second(Run{1, 0.05, nan, 12}.Drop()),
		"infinite run":         second(Run{inf, 0.05, 1, 12}.FarEnd()),
		"NaN minimum":          second(Run{1, 0.05, 1, 12}.Longest(nan)),
		"wire of no area":      second(Conductor{}.Resistance(Solid, 20)),
		"molten wire":          second(wire.Resistance(Solid, 1200)),
		"tap at NaN":           second(DropsAlong([]Tap{{nan, 1}}, 0.05)),
		"0 Ah":                 second(Battery{0, 20, 1.2}.Autonomy(1)),
		"exponent 3":           second(Battery{7, 20, 3}.Autonomy(1)),
		"negative load":        second(Battery{7, 20, 1.2}.Autonomy(-1)),
		"factor below one":     second(RequiredCapacity([]Draw{{1, 1}}, Factors{0.5, 1})),
		"negative draw":        second(RequiredAtRate([]Draw{{-1, 1}}, 20, 1.2, Factors{1, 1})),
		"efficiency 120 %":     second(ThroughConverter(1, 12, 11.1, 1.2)),
		"one load":             third(InternalResistance(12, 1, 12, 1, 0)),
		"unknown circuit":      second(Circuit{Kind: "star"}.Windows()),
		"circuit without end":  second(Circuit{Kind: OneResistor}.Windows()),
		"tolerance 100 %":      second(Circuit{Kind: OneResistor, EndOhm: 1, Tolerance: 1}.Windows()),
		"negative reading":     second(Circuit{Kind: NormallyClosed}.Classify(-1, 0)),
		"confidence 120 %":     second(ProportionLowerBound(1, 2, 1.2)),
		"upper of 3 of 2":      second(ProportionUpperBound(3, 2, 0.9)),
		"certainty":            second(TrialsNeeded(1, 0.95)),
		"a billion trials":     second(TrialsNeeded(1-1e-12, 0.95)),
		"unknown shape":        second(fromHalfWidth(1, "square")),
		"negative uncertainty": third(Combined(Contribution{Standard: -1})),
		"no freedom":           second(CoverageFactor(0.95, 0)),
		"at no distance":       second(LevelAt(100, 1, 0)),
		"no levels":            second(AddLevels()),
		"level of NaN":         second(AddLevels(nan)),
		"background above":     second(WithoutBackground(60, 60)),
		"class 3 meter":        second(MeterClass(3).Tolerance(1000, 1000)),
		"no cores":             second(IdentifyCable(0, nil, nan)),
		"more colours":         second(IdentifyCable(1, []string{"red", "black"}, nan)),
	} {
		assert.ErrorIs(t, err, ErrQuantity, name)
	}
}

func second[T any](_ T, err error) error        { return err }
func third[T, U any](_ T, _ U, err error) error { return err }

func BenchmarkStatisticsOnAMillionReadings(b *testing.B) {
	r := seeded()
	x := make([]float64, 1_000_000)
	for i := range x {
		x[i] = r.ExpFloat64()
	}
	b.Run("Summarise", func(b *testing.B) {
		for b.Loop() {
			if _, err := Summarise(x); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("ProportionLowerBound", func(b *testing.B) {
		for b.Loop() {
			if _, err := ProportionLowerBound(999_000, 1_000_000, 0.95); err != nil {
				b.Fatal(err)
			}
		}
	})
}
