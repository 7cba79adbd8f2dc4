package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// percentile of sorted readings for p between 0 and 1, by the definition p(N+1)
// (Hyndman–Fan 6): rank r = p(N+1), linear between neighbours, the first or last
// reading outside. Source: NIST/SEMATECH e-Handbook 7.2.6.2.
func percentile(sorted []float64, p float64) float64 {
	n := len(sorted)
	rank := p * float64(n+1)
	below := int(math.Floor(rank))
	switch {
	case below < 1:
		return sorted[0]
	case below >= n:
		return sorted[n-1]
	}
	return sorted[below-1] + (rank-float64(below))*(sorted[below]-sorted[below-1])
}

// Times summarises readings in the order they were taken.
type Times struct {
	N                 int
	Mean              float64
	StandardDeviation float64 // n − 1; NaN for one reading
	Lag1              float64 // autocorrelation; NaN where all readings are alike
	P50, P90, P95     float64 // by p(N+1)
	Max               float64
}

// Summarise is n, mean, standard deviation (n − 1), lag-1 autocorrelation
// Σ(x[i]−m)(x[i+1]−m)/Σ(x[i]−m)², percentiles and the largest of the readings,
// the definitions of NIST's Statistical Reference Datasets. An empty list or a
// reading that is no number: an error.
func Summarise(readings []float64) (Times, error) {
	if len(readings) == 0 {
		return Times{}, fmt.Errorf("%w: no readings", ErrQuantity)
	}
	for i, v := range readings {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Times{}, fmt.Errorf("%w: reading %d is %v", ErrQuantity, i+1, v)
		}
	}
	// Around the first reading, so that a large common part costs no digits.
	shifted := make([]float64, len(readings))
	for i, v := range readings {
		shifted[i] = v - readings[0]
	}
	mean, deviation := stat.MeanStdDev(shifted, nil)
	products, squares := 0.0, 0.0
	for i, v := range shifted {
		d := v - mean
		squares += d * d
		if i+1 < len(shifted) {
			products += d * (shifted[i+1] - mean)
		}
	}
	if math.IsInf(mean, 0) || math.IsNaN(mean) || math.IsInf(squares, 0) {
		return Times{}, fmt.Errorf("%w: readings too large to be summed", ErrQuantity)
	}
	sorted := slices.Clone(readings)
	slices.Sort(sorted)
	return Times{N: len(readings), Mean: readings[0] + mean, StandardDeviation: deviation, Lag1: products / squares,
		P50: percentile(sorted,
			0.5), P90: percentile(sorted, 0.9), P95: percentile(sorted, 0.95), Max: sorted[len(sorted)-1]}, nil
}
