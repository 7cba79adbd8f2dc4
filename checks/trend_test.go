package checks

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trendSet is a data set of testdata/trend.
type trendSet struct{ times, values []float64 }

func readTrend(t *testing.T, name string) (set trendSet) {
	t.Helper()
	f, err := os.Open("../testdata/trend/" + name + ".csv")
	require.NoError(t, err)
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		at, err := strconv.ParseFloat(row[0], 64)
		require.NoError(t, err)
		v, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		set.times, set.values = append(set.times, at), append(set.values, v)
	}
	return set
}

func trendOf(c conditions, set trendSet) (float64, error) {
	t, err := MannKendall(set.times, set.values, 0.95)
	of := map[string]float64{"n": float64(t.N), "s": float64(t.S), "var": t.VarS, "z": t.Z, "p": t.TwoSided,
		"one": t.TwoSided / 2, "exact": t.Exact, "slope": t.Slope, "intercept": t.Intercept, "low": t.Low, "high": t.High,
		"rank": t.Rank, "pairs": float64(t.Pairs)}
	v, known := of[c.text["of"]]
	require.True(c.t, known, c.text["of"])
	return v, err
}

// criticalS is the smallest S that a trend is claimed from. Published tables have numbers of
// the other parity, too, which are to be read as the next possible one.
func criticalS(c conditions) (float64, error) {
	n := int(c.number("n"))
	for s := n * (n - 1) / 2 % 2; ; s += 2 {
		if exactTail(n, nil, s) <= c.number("level") {
			return float64(s), nil
		}
	}
}

func changeOf(c conditions) (float64, error) {
	d, err := Compare(Uncertain{c.number("before"), c.number("u_before")}, Uncertain{c.number("after"),
		c.number("u_after")}, c.number("r"))
	shown := 0.0
	if d.Shown {
		shown = 1
	}
	return map[string]float64{"difference": d.Difference, "u": d.Expanded / 2, "en": d.En, "z": 2 * d.En,
		"one": d.OneSided,
		"two": 2 * d.OneSided, "shown": shown}[c.text["of"]], err
}

func trendIn(t *testing.T, times, values []float64) Trend {
	t.Helper()
	got, err := MannKendall(times, values, 0.95)
	require.NoError(t, err, "%v %v", times, values)
	return got
}

// drawn are values at times, some of them equal.
func drawn(random *rand.Rand) (times, values []float64) {
	n := 2 + random.IntN(12)
	for range n {
		times, values = append(times, float64(random.IntN(9))/2), append(values, float64(random.IntN(15))/4)
	}
	return times, values
}

func apply(values []float64, f func(float64) float64) []float64 {
	out := slices.Clone(values)
	for i, v := range out {
		out[i] = f(v)
	}
	return out
}

// The laws of a trend, from what its definition says.
func TestTrendLaws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		times, values := drawn(random)
		got := trendIn(t, times, values)
		say := []any{"%v %v: %+v", times, values, got}

		order := random.Perm(len(times))
		shuffled := trendIn(t, pick(times, order), pick(values, order))
		near(t, got, shuffled, say...)

		risen := trendIn(t, times, apply(values, func(v float64) float64 { return 3*v + 7 }))
		assert.Equal(t, []any{got.S, got.Z, got.TwoSided}, []any{risen.S, risen.Z, risen.TwoSided}, say...)
		same(t, 3*got.Slope, risen.Slope, say...)

		turned := trendIn(t, times, apply(values, func(v float64) float64 { return -v }))
		assert.Equal(t, []any{-got.S, -got.Z, got.TwoSided}, []any{turned.S, turned.Z, turned.TwoSided}, say...)
		same(t, -got.Slope, turned.Slope, say...)
		same(t, -got.Low, turned.High, say...)
		same(t, got.Exact, turned.Exact, say...)

		later := trendIn(t, apply(times, func(v float64) float64 { return 4*v + 100 }), values)
		same(t, got.Slope/4, later.Slope, say...)
		bent := trendIn(t, times, apply(values, func(v float64) float64 { return v * v * v }))
		assert.Equal(t, got.S, bent.S, say...)

		all := got.N * (got.N - 1) / 2
		assert.LessOrEqual(t, max(got.S, -got.S), all, say...)
		assert.Equal(t, 0, (got.S-untiedPairs(times, values))%2, say...)
		assert.GreaterOrEqual(t, got.VarS, 0.0, say...)
		allEqual := slices.Max(values) == slices.Min(values) || slices.Max(times) == slices.Min(times)
		assert.Equal(t, allEqual, got.VarS < 1e-9, say...)
		if !math.IsNaN(got.Low) {
			assert.LessOrEqual(t, got.Low, got.Slope, say...)
			assert.GreaterOrEqual(t, got.High, got.Slope, say...)
			wider, err := MannKendall(times, values, 0.99)
			require.NoError(t, err)
			if !math.IsNaN(wider.Low) {
				assert.LessOrEqual(t, wider.Low, got.Low+1e-12, say...)
				assert.GreaterOrEqual(t, wider.High, got.High-1e-12, say...)
			}
		}
	}
}

func pick(values []float64, order []int) (out []float64) {
	for _, i := range order {
		out = append(out, values[i])
	}
	return out
}

func untiedPairs(times, values []float64) (n int) {
	for j := range times {
		for i := range j {
			if times[i] != times[j] && values[i] != values[j] {
				n++
			}
		}
	}
	return n
}

// same takes two numbers for one, also where both are none.
func same(t *testing.T, want, got float64, say ...any) {
	t.Helper()
	if math.IsNaN(want) || math.IsNaN(got) {
		assert.Equal(t, math.IsNaN(want), math.IsNaN(got), say...)
		return
	}
	assert.InDelta(t, want, got, 1e-9*max(1, math.Abs(want)), say...)
}

func near(t *testing.T, a, b Trend, say ...any) {
	t.Helper()
	assert.Equal(t, a.S, b.S, say...)
	for _, pair := range [][2]float64{{a.VarS, b.VarS}, {a.Exact, b.Exact}, {a.Slope, b.Slope}, {a.Low, b.Low},
		{a.High, b.High},
		{a.Intercept, b.Intercept}} {
		same(t, pair[0], pair[1], say...)
	}
}

// The exact probability is the share of all orders, counted one by one.
func TestExactTailCountsOrders(t *testing.T) {
	for _, values := range [][]float64{{1, 2, 3, 4, 5}, {1, 1, 2, 3, 3}, {1, 1, 1, 2}, {7, 7, 7}, {1, 2, 3, 4, 4, 6},
		{1, 2}} {
		times := make([]float64, len(values))
		for i := range times {
			times[i] = float64(i)
		}
		var sums []int
		permute(values, 0, func(order []float64) { sums = append(sums, trendIn(t, times, order).S) })
		for s := range slices.Max(sums) + 1 {
			tail := 0
			for _, v := range sums {
				if v >= s {
					tail++
				}
			}
			assert.InDelta(t, float64(tail)/float64(len(sums)), exactTail(len(values), tiesOf(values), s), 1e-12, "%v %d",
				values, s)
		}
	}
}

func permute(values []float64, from int, take func([]float64)) {
	if from == len(values) {
		take(values)
		return
	}
	for i := from; i < len(values); i++ {
		values[from], values[i] = values[i], values[from]
		permute(values, from+1, take)
		values[from], values[i] = values[i], values[from]
	}
}

// How far the normal approximation is from the exact probability, at worst (recomputed with
// code that is not ours).
func TestNormalIsNearExact(t *testing.T) {
	for n, worst := range map[int]float64{5: 0.0105, 8: 0.0062, 10: 0.0051} {
		for s := n * (n - 1) / 2; s > 0; s -= 2 {
			_, p := normalOf(s, varianceOfS(n, nil, nil))
			assert.InDelta(t, exactTail(n, nil, s), p/2, worst+5e-5, "n %d, S %d", n, s)
		}
	}
}

// One gross error moves the slope by less than the other slopes are apart.
func TestOneGrossErrorMovesTheSlopeLittle(t *testing.T) {
	times, values := []float64{1, 2, 3, 4, 5, 6, 7, 8}, []float64{1, 2.1, 2.9, 4.2, 5, 6.1, 6.8, 8}
	before := trendIn(t, times, values)
	values[3] = 4000
	assert.InDelta(t, before.Slope, trendIn(t, times, values).Slope, 0.15)
}

// A value that is missing leaves the others at their times.
func TestAGapIsNoShift(t *testing.T) {
	gap := trendIn(t, []float64{0, 1, 5, 6}, []float64{0, 1, 5, 6})
	closed := trendIn(t, []float64{0, 1, 2, 3}, []float64{0, 1, 5, 6})
	assert.InDelta(t, 1, gap.Slope, 1e-12)
	assert.Greater(t, closed.Slope, 2.0)
}

func TestEqualTimesHaveNoSlope(t *testing.T) {
	got := trendIn(t, []float64{1, 1, 1}, []float64{1, 2, 3})
	assert.Equal(t, 0, got.S)
	assert.Zero(t, got.Pairs)
	assert.True(t, math.IsNaN(got.Slope))
	assert.InDelta(t, 1, got.TwoSided, 0)
	assert.True(t, math.IsNaN(got.Exact), "not for equal times")
	assert.True(t, got.Tied)
}

// Of fewer than four values nothing is claimed, whatever they are: of three, no order is
// rarer than one in six (counted).
func TestFewValuesClaimNothing(t *testing.T) {
	assert.False(t, trendIn(t, []float64{1, 2}, []float64{1, 900}).Claimed(0.05))
	assert.False(t, trendIn(t, []float64{1, 2, 3}, []float64{1, 90, 900}).Claimed(0.5))
	assert.True(t, trendIn(t, []float64{1, 2, 3, 4}, []float64{1, 2, 3, 4}).Claimed(0.05), "1 in 24")
	assert.False(t, trendIn(t, []float64{1, 2, 3, 4}, []float64{1, 2, 4, 3}).Claimed(0.05))
	assert.False(t, trendIn(t, []float64{1, 2, 3, 4}, []float64{2, 2, 2, 2}).Claimed(0.05))
	eleven := trendIn(t, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})
	assert.True(t, math.IsNaN(eleven.Exact))
	assert.InDelta(t, eleven.TwoSided/2, eleven.OneSided(), 0)
	assert.True(t, eleven.Claimed(0.05))
}

func TestReaches(t *testing.T) {
	rising := trendIn(t, []float64{2020, 2021, 2022, 2023}, []float64{1, 1.25, 1.5, 1.75})
	at, ok := rising.Reaches(2, 2023)
	assert.True(t, ok)
	assert.InDelta(t, 2024, at, 1e-6)
	_, ok = rising.Reaches(0.5, 2023)
	assert.False(t, ok, "that was before")
	level := trendIn(t, []float64{1, 2, 3, 4}, []float64{1, 1, 1, 1})
	_, ok = level.Reaches(2, 0)
	assert.False(t, ok, "never")
}

func TestWhatIsNoTrend(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, tc := range map[string]trendSet{
		"one value":         {[]float64{1}, []float64{1}},
		"none":              {},
		"other lengths":     {[]float64{1, 2, 3}, []float64{1, 2}},
		"no number":         {[]float64{1, 2}, []float64{1, nan}},
		"no time":           {[]float64{nan, 2}, []float64{1, 2}},
		"infinite":          {[]float64{1, 2}, []float64{1, inf}},
		"infinite both":     {[]float64{1, inf}, []float64{1, -inf}},
		"endless time":      {[]float64{-inf, 2}, []float64{1, 2}},
		"too far apart":     {[]float64{1, 2}, []float64{-1e308, 1e308}},
		"times too far":     {[]float64{-1e308, 1e308}, []float64{1, 2}},
		"too steep":         {[]float64{0, 1e-300}, []float64{0, 1e300}},
		"more than a bound": {make([]float64, MostForTrend+1), make([]float64, MostForTrend+1)},
	} {
		_, err := MannKendall(tc.times, tc.values, 0.95)
		require.ErrorIs(t, err, ErrQuantity, name)
	}
	for _, confidence := range []float64{0, 1, -1, nan} {
		_, err := MannKendall([]float64{1, 2}, []float64{1, 2}, confidence)
		require.ErrorIs(t, err, ErrQuantity, confidence)
	}
}

func TestWhatIsNoChange(t *testing.T) {
	good := Uncertain{1, 0.1}
	for _, bad := range []Uncertain{{1, 0}, {1, -1}, {math.NaN(), 1}, {math.Inf(1), 1}, {1, math.NaN()},
		{1, math.Inf(1)}} {
		_, err := Compare(good, bad, 0)
		require.ErrorIs(t, err, ErrQuantity, bad)
		_, err = Compare(bad, good, 0)
		require.ErrorIs(t, err, ErrQuantity, bad)
	}
	for _, r := range []float64{-1.1, 1.1, math.NaN()} {
		_, err := Compare(good, good, r)
		require.ErrorIs(t, err, ErrQuantity, r)
	}
	_, err := Compare(good, Uncertain{2, 0.1}, 1)
	require.ErrorIs(t, err, ErrQuantity, "nothing is left of the uncertainty")
	_, err = Compare(Uncertain{-1.7e308, 1}, Uncertain{1.7e308, 1}, 0)
	require.ErrorIs(t, err, ErrQuantity)
}

// Holm–Bonferroni of four hypotheses: only the first and the last are rejected (an example of
// textbooks, from memory).
func TestHolm(t *testing.T) {
	got, err := Holm([]float64{0.01, 0.04, 0.03, 0.005}, 0.05)
	require.NoError(t, err)
	assert.Equal(t, []bool{true, false, false, true}, got)
	none, err := Holm(nil, 0.05)
	require.NoError(t, err)
	assert.Empty(t, none)
	at, err := Holm([]float64{0.05}, 0.05)
	require.NoError(t, err)
	assert.Equal(t, []bool{true}, at, "at the level is within it")
	for _, bad := range []float64{-0.1, 1.1, math.NaN()} {
		_, err := Holm([]float64{bad}, 0.05)
		require.ErrorIs(t, err, ErrQuantity, bad)
	}
}

func BenchmarkMannKendall(b *testing.B) {
	times, values := make([]float64, 10), make([]float64, 10)
	for i := range times {
		times[i], values[i] = float64(i), float64(i*i%7)
	}
	for b.Loop() {
		if _, err := MannKendall(times, values, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
