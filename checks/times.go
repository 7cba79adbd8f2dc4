package checks

import (
	"fmt"
	"math"
	"slices"
)

// Percentile of sorted readings for p between 0 and 1, by the definition
// p(N+1) (Hyndman–Fan 6): rank r = p(N+1), linear between neighbours, the
// first or last reading outside. Source: NIST/SEMATECH e-Handbook 7.2.6.2.
func Percentile(sorted []float64, p float64) (float64, error) {
	n := len(sorted)
	if n == 0 || !(p >= 0 && p <= 1) {
		return 0, fmt.Errorf("%w: percentile %v of %d readings", ErrQuantity, p, n)
	}
	if !slices.IsSorted(sorted) {
		return 0, fmt.Errorf("%w: readings are not in rising order", ErrQuantity)
	}
	rank := p * float64(n+1)
	below := int(math.Floor(rank))
	switch {
	case below < 1:
		return sorted[0], nil
	case below >= n:
		return sorted[n-1], nil
	}
	return sorted[below-1] + (rank-float64(below))*(sorted[below]-sorted[below-1]), nil
}
