package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Uncertain is a value with its expanded uncertainty (k = 2), in the same unit.
type Uncertain struct{ Value, Expanded float64 }

// Change is the difference of two values. Difference and Expanded are in their unit.
type Change struct {
	Difference float64 // after − before
	Expanded   float64 // its uncertainty, k = 2
	// En is Difference/Expanded: within ±1 no difference is shown, which is not to say that
	// there is none.
	En float64
	// OneSided is the probability of a difference as large in that direction where there is
	// none, by the normal distribution: Φ(−|2·En|).
	OneSided float64
	// Shown tells that |En| is above 1, by more than binary fractions are off.
	Shown bool
}

// Compare is what changed from one value to another: U(d) = √(U1² + U2² − 2·r·U1·U2)
// (JCGM 100:2008 5.2.2), E_n = d/U(d) (ISO 13528). r is the correlation of the two, −1 to
// 1: above 0 where the same instrument was off by the same. Values or uncertainties that
// are no numbers or infinite, a negative uncertainty, none at all on either side, and a
// correlation that leaves none: ErrQuantity.
func Compare(before, after Uncertain, r float64) (Change, error) {
	for _, v := range []Uncertain{before, after} {
		if math.IsNaN(v.Value) || math.IsInf(v.Value, 0) || !(v.Expanded > 0) || math.IsInf(v.Expanded, 0) {
			return Change{}, fmt.Errorf("%w: %v with an uncertainty of %v", ErrQuantity, v.Value, v.Expanded)
		}
	}
	if !(r >= -1 && r <= 1) {
		return Change{}, fmt.Errorf("%w: a correlation of %v", ErrQuantity, r)
	}
	c := Change{Difference: after.Value - before.Value}
	u1, u2 := before.Expanded, after.Expanded
	c.Expanded = math.Sqrt(max(u1*u1+u2*u2-2*r*u1*u2, 0))
	if c.Expanded == 0 || math.IsInf(c.Difference, 0) || math.IsInf(c.Expanded, 0) {
		return Change{}, fmt.Errorf("%w: no uncertainty is left of %v and %v", ErrQuantity, u1, u2)
	}
	c.En = c.Difference / c.Expanded
	c.OneSided = distuv.UnitNormal.CDF(-math.Abs(coverage * c.En))
	off := 1e-12 * max(1, math.Abs(before.Value), math.Abs(after.Value)) // 10.05 − 10 is a hair over 0.05
	c.Shown = math.Abs(c.Difference) > c.Expanded+off
	return c, nil
}

// Holm tells which of several probabilities are at most a level for all of them together:
// the smallest is held against level/m, the next against level/(m − 1), until one is
// above (Holm 1979). The chance of any false one is then at most the level. A probability
// outside 0 to 1: ErrQuantity.
func Holm(p []float64, level float64) ([]bool, error) {
	order := make([]int, len(p))
	for i, v := range p {
		if !(v >= 0 && v <= 1) {
			return nil, fmt.Errorf("%w: a probability of %v", ErrQuantity, v)
		}
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	out := make([]bool, len(p))
	for rank, i := range order {
		if p[i] > level/float64(len(p)-rank) {
			break
		}
		out[i] = true
	}
	return out, nil
}

// AnyByChance is the probability that of m independent comparisons at a level at least one
// shows a difference that there is not: 1 − (1 − level)^m.
func AnyByChance(m int, level float64) float64 { return -math.Expm1(float64(m) * math.Log1p(-level)) }
