package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// FewestForTrend is how many values a trend is claimed from: of three, no order has a
// one-sided probability under 1/6.
const FewestForTrend = 4

// MostForTrend bounds the values of a trend: every pair of them has a slope.
const MostForTrend = 3000

// mostExact is up to how many values probabilities are exact.
const mostExact = 10

// Trend is whether values rise or fall with time, by Mann and Kendall, and how fast, by
// Theil and Sen. The unit of a slope is that of the values by that of the times.
type Trend struct {
	N    int
	S    int     // Σ sign(y_j − y_i)·sign(x_j − x_i) over all pairs
	VarS float64 // with ties in values and in times
	Z    float64 // (|S| − 1)/√Var(S) with the sign of S, 0 for S = 0
	// TwoSided is the normal approximation of P(|S| ≥ |s|), 1 where all are equal.
	TwoSided float64
	// Exact is P(S ≥ |s|), one-sided, over all orders of the values; NaN for more than ten
	// of them, and where times are equal.
	Exact float64
	Tied  bool // some values, or some times, are equal
	Pairs int  // with different times: each has a slope
	// Slope is the median of theirs, NaN for none. Intercept is median y − slope · median x
	// (Conover).
	Slope, Intercept float64
	// Rank is the one of the lower end of the interval among the slopes, by Gilbert; under
	// 1 there is no interval: too few values.
	Rank      float64
	Low, High float64 // of the slope, at the confidence that was asked for; NaN for none
}

// MannKendall is the trend of values at times, in any order, at a confidence of the
// slope's interval such as 0.95. Var(S) is that of Kendall with ties in both; the slope
// that of Theil (1950) and Sen (1968); its interval that of Gilbert (1987): with
// C = z·√Var(S), the slopes at the ranks (N' − C)/2 and (N' + C)/2 + 1 of N', between two
// by their distance. Fewer than two values or more than MostForTrend, lists of different
// lengths, what is no number, and what is too large to be subtracted: ErrQuantity.
func MannKendall(times, values []float64, confidence float64) (Trend, error) {
	if err := trendable(times, values, confidence); err != nil {
		return Trend{}, err
	}
	t := Trend{N: len(values)}
	var slopes []float64
	for j := range values {
		for i := range j {
			across, up := times[j]-times[i], values[j]-values[i]
			t.S += cmp.Compare(values[j], values[i]) * cmp.Compare(times[j], times[i])
			if times[j] == times[i] {
				continue
			}
			slope := up / across
			if math.IsInf(slope, 0) || math.IsNaN(slope) || math.IsInf(up, 0) || math.IsInf(across, 0) {
				return Trend{}, fmt.Errorf("%w: values %v and %v at %v and %v are too far apart", ErrQuantity, values[i],
					values[j], times[i], times[j])
			}
			slopes = append(slopes, slope)
		}
	}
	inValues, inTimes := tiesOf(values), tiesOf(times)
	t.Tied, t.VarS = len(inValues)+len(inTimes) > 0, varianceOfS(t.N, inValues, inTimes)
	t.Z, t.TwoSided = normalOf(t.S, t.VarS)
	if t.Exact = math.NaN(); t.N <= mostExact && len(inTimes) == 0 {
		t.Exact = exactTail(t.N, inValues, t.S)
	}
	t.slopes(slopes, times, values, distuv.UnitNormal.Quantile(0.5+confidence/2))
	return t, nil
}

func trendable(times, values []float64, confidence float64) error {
	switch {
	case len(times) != len(values):
		return fmt.Errorf("%w: %d times for %d values", ErrQuantity, len(times), len(values))
	case len(values) < 2 || len(values) > MostForTrend:
		return fmt.Errorf("%w: %d values; a trend is of 2 to %d", ErrQuantity, len(values), MostForTrend)
	case !(confidence > 0 && confidence < 1):
		return fmt.Errorf("%w: a confidence of %v", ErrQuantity, confidence)
	}
	for i := range values {
		if math.IsNaN(times[i]+values[i]) || math.IsInf(times[i], 0) || math.IsInf(values[i], 0) {
			return fmt.Errorf("%w: value %d is %v at %v", ErrQuantity, i+1, values[i], times[i])
		}
	}
	return nil
}

// tiesOf are the sizes of the groups of equal values, of two and more.
func tiesOf(values []float64) (groups []int) {
	sorted := slices.Sorted(slices.Values(values))
	for from := 0; from < len(sorted); {
		to := from + 1
		for to < len(sorted) && sorted[to] == sorted[from] {
			to++
		}
		if to-from > 1 {
			groups = append(groups, to-from)
		}
		from = to
	}
	return groups
}

// varianceOfS is Var(S) with ties t of the values and u of the times (Kendall 1976):
//
//	[n(n−1)(2n+5) − Σt(t−1)(2t+5) − Σu(u−1)(2u+5)]/18
//	+ Σt(t−1)(t−2)·Σu(u−1)(u−2)/(9n(n−1)(n−2)) + Σt(t−1)·Σu(u−1)/(2n(n−1))
func varianceOfS(n int, t, u []int) float64 {
	sum := func(groups []int, of func(k float64) float64) (all float64) {
		for _, k := range groups {
			all += of(float64(k))
		}
		return all
	}
	two := func(k float64) float64 { return k * (k - 1) }
	three := func(k float64) float64 { return k * (k - 1) * (k - 2) }
	most := func(k float64) float64 { return k * (k - 1) * (2*k + 5) }
	all := float64(n)
	v := (most(all) - sum(t, most) - sum(u, most)) / 18
	if n > 2 {
		v += sum(t, three) * sum(u, three) / (9 * three(all))
	}
	v += sum(t, two) * sum(u, two) / (2 * two(all))
	return max(v, 0) // equal values leave nothing but what machines round
}

// normalOf is Z of S and its two-sided probability. Where nothing varies there is no trend.
func normalOf(s int, variance float64) (z, p float64) {
	if variance == 0 || s == 0 {
		return 0, 1
	}
	z = (math.Abs(float64(s)) - 1) / math.Sqrt(variance)
	return math.Copysign(z, float64(s)), min(1, 2*distuv.UnitNormal.CDF(-z))
}

// exactTail is P(S ≥ |s|) of n values with such ties, where every distinguishable order of
// them is as likely. Their number by inversions k has the generating function
// Π(1 − q^i), i = 1 … n, divided by the same of every group of ties, and
// S = (pairs that are not tied) − 2k.
func exactTail(n int, ties []int, s int) float64 {
	orders := make([]int64, n*(n+1)/2+1)
	orders[0] = 1
	for i := 1; i <= n; i++ {
		for k := len(orders) - 1; k >= i; k-- {
			orders[k] -= orders[k-i]
		}
	}
	divide := func(size int) {
		for i := 1; i <= size; i++ {
			for k := i; k < len(orders); k++ {
				orders[k] += orders[k-i]
			}
		}
	}
	untied, alone := n*(n-1)/2, n
	for _, size := range ties {
		divide(size)
		untied, alone = untied-size*(size-1)/2, alone-size
	}
	for range alone {
		divide(1)
	}
	var all, tail int64
	for k, count := range orders {
		if all += count; untied-2*k >= max(s, -s) {
			tail += count
		}
	}
	return float64(tail) / float64(all)
}

// slopes sets what follows from the slopes of all pairs.
func (t *Trend) slopes(all, times, values []float64, z float64) {
	slices.Sort(all)
	t.Pairs, t.Slope, t.Intercept, t.Low, t.High = len(all), math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if len(all) == 0 {
		return
	}
	t.Slope = median(all)
	t.Intercept = median(slices.Sorted(slices.Values(values))) - t.Slope*median(slices.Sorted(slices.Values(times)))
	c := z * math.Sqrt(t.VarS)
	n := float64(len(all))
	if t.Rank = (n - c) / 2; t.Rank < 1 || (n+c)/2+1 > n {
		return
	}
	t.Low, t.High = ranked(all, t.Rank), ranked(all, (n+c)/2+1)
}

func median(sorted []float64) float64 { return ranked(sorted, float64(len(sorted)+1)/2) }

// ranked is the value at a rank, counted from 1, between two by their distance.
func ranked(sorted []float64, rank float64) float64 {
	below := int(math.Floor(rank))
	part := rank - float64(below)
	if part == 0 || below == len(sorted) {
		return sorted[below-1]
	}
	return sorted[below-1] + part*(sorted[below]-sorted[below-1])
}

// Claimed tells whether a trend is shown at a level such as 0.05, one-sided, in the
// direction of S: by the exact probability where there is one. Fewer than FewestForTrend
// values claim nothing.
func (t Trend) Claimed(level float64) bool {
	return t.N >= FewestForTrend && t.S != 0 && t.OneSided() <= level
}

// OneSided is the probability that Claimed goes by: exact where there is one.
func (t Trend) OneSided() float64 {
	if !math.IsNaN(t.Exact) {
		return t.Exact
	}
	return t.TwoSided / 2
}

// Reaches is the time at which the line of the slope meets a limit; ok is false where it
// never does, and where it did so before from.
func (t Trend) Reaches(limit, from float64) (at float64, ok bool) {
	at = (limit - t.Intercept) / t.Slope
	return at, !math.IsNaN(at) && !math.IsInf(at, 0) && at >= from
}
