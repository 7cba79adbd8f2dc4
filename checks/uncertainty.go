package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Shape is how a quantity is spread between its limits.
type Shape string

// The shapes, with the divisor of the half-width (JCGM 100 4.3.7, 4.3.9).
const (
	Rectangular Shape = "rectangular" // a/√3
	Triangular  Shape = "triangular"  // a/√6
	Arcsine     Shape = "arcsine"     // a/√2
)

// fromHalfWidth is the standard uncertainty of a quantity known to lie within
// ±a. An unknown shape or negative a: an error.
func fromHalfWidth(a float64, s Shape) (float64, error) {
	divisor, known := map[Shape]float64{Rectangular: 3, Triangular: 6, Arcsine: 2}[s]
	if !known || !(a >= 0) || math.IsInf(a, 0) {
		return 0, fmt.Errorf("%w: half-width %v, %q", ErrQuantity, a, s)
	}
	return a / math.Sqrt(divisor), nil
}

// FromResolution is the standard uncertainty of an indication with resolution
// δ: δ/√12 (JCGM 100 F.2.2.1).
func FromResolution(delta float64) (float64, error) { return fromHalfWidth(delta/2, Rectangular) }

// Contribution is one part of an uncertainty. Freedom 0 stands for infinite.
type Contribution struct {
	Standard    float64
	Sensitivity float64 // 0 counts as 1
	Freedom     float64
}

// Combined is the combined standard uncertainty √Σ(c·u)² of independent
// contributions and its effective degrees of freedom by Welch and
// Satterthwaite, +Inf if none is finite. Source: JCGM 100:2008 5.1.2, G.4.1.
func Combined(parts ...Contribution) (standard, freedom float64, err error) {
	squares, fourths := 0.0, 0.0
	for _, p := range parts {
		if !(p.Standard >= 0) || math.IsInf(p.Standard, 0) || math.IsNaN(p.Sensitivity) || !(p.Freedom >= 0) {
			return 0, 0, fmt.Errorf("%w: a contribution of %v", ErrQuantity, p.Standard)
		}
		c := p.Sensitivity
		if c == 0 {
			c = 1
		}
		u2 := c * c * p.Standard * p.Standard
		squares += u2
		if p.Freedom > 0 {
			fourths += u2 * u2 / p.Freedom
		}
	}
	return math.Sqrt(squares), squares * squares / fourths, nil
}

// CoverageFactor is Student's t for a two-sided level of confidence and degrees
// of freedom (at least 1; +Inf for the normal distribution). Source: NIST TN
// 1297 appendix B.
func CoverageFactor(confidence, freedom float64) (float64, error) {
	if !(confidence > 0 && confidence < 1) || !(freedom >= 1) {
		return 0, fmt.Errorf("%w: coverage of %v with %v degrees of freedom", ErrQuantity, confidence, freedom)
	}
	p := 0.5 + confidence/2
	if math.IsInf(freedom, 1) || freedom > 1e6 {
		return distuv.UnitNormal.Quantile(p), nil
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p), nil
}
