package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Ruling is what a measured value says about a limit.
type Ruling string

const (
	Pass      Ruling = "pass"
	Undecided Ruling = "undecided"
	Fail      Ruling = "fail"
)

// coverage is the factor k between an expanded uncertainty U and the standard
// uncertainty u = U/k, for about 95 % (JCGM 100 6.2.1).
const coverage = 2

// Interval bounds a value; use math.Inf for a side without a limit.
type Interval struct{ Lower, Upper float64 }

// AtMost and AtLeast are limits with one side.
func AtMost(upper float64) Interval  { return Interval{math.Inf(-1), upper} }
func AtLeast(lower float64) Interval { return Interval{lower, math.Inf(1)} }

// Decision is a verdict with the probability of conformity behind it.
type Decision struct {
	Ruling      Ruling
	Probability float64 // of conformity, 0 to 1
}

// Decide holds a value with expanded uncertainty U (k = 2) against limits with
// a guard band of U on each side: pass at least U inside, fail at least U
// outside, undecided between. The probability of conformity is
// pc = Φ((T_U − y)/u) − Φ((T_L − y)/u), u = U/2. With U = 0 it is 0 or 1, and a
// value on a limit conforms. Source: JCGM 106:2012, 7.3 and 8.3. A value or
// limit that is not a number, or U negative: an error.
func Decide(value, expanded float64, in Interval) (Decision, error) {
	return DecideAt(value, expanded/coverage, coverage, in)
}

// DecideAt is Decide with a standard uncertainty u and a coverage factor k of
// its own: the guard band is k·u.
func DecideAt(value, standard, k float64, in Interval) (Decision, error) {
	expanded := k * standard
	if math.IsNaN(value) || math.IsInf(value, 0) || math.IsNaN(in.Lower) || math.IsNaN(in.Upper) || in.Lower > in.Upper {
		return Decision{}, fmt.Errorf("%w: value %v against limits %v to %v", ErrQuantity, value, in.Lower, in.Upper)
	}
	if math.IsNaN(expanded) || math.IsInf(expanded, 0) || expanded < 0 || k < 0 {
		return Decision{}, fmt.Errorf("%w: uncertainty %v; it must be zero or more", ErrQuantity, expanded)
	}
	d := Decision{Ruling: Undecided, Probability: conformity(value, standard, in)}
	band := expanded - 1e-12*math.Max(1, math.Abs(value)) // 11.6 − 11.5 is a hair under 0.1 in binary
	switch {
	case value-in.Lower >= band && in.Upper-value >= band:
		d.Ruling = Pass
	case in.Lower-value >= band || value-in.Upper >= band:
		d.Ruling = Fail
	}
	return d, nil
}

func conformity(y, u float64, in Interval) float64 {
	if u == 0 {
		if y >= in.Lower && y <= in.Upper {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF((in.Upper-y)/u) - distuv.UnitNormal.CDF((in.Lower-y)/u)
}
