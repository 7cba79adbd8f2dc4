package checks

import (
	"fmt"
	"math"
)

// InternalResistance is that of a source in Ω from two loads:
// R = (U1 − U2)/(I2 − I1), with leads and fuse in it. uncertaintyVolt is the
// expanded one of each voltage; that of the result is √2·U/ΔI. Source:
// telecommunications battery practice (two-load method).
func InternalResistance(volt1, ampere1, volt2, ampere2, uncertaintyVolt float64) (ohm, uncertainty float64, err error) {
	step := ampere2 - ampere1
	for _, v := range []float64{volt1, ampere1, volt2, ampere2, uncertaintyVolt} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, 0, fmt.Errorf("%w: a reading that is no number", ErrQuantity)
		}
	}
	if step == 0 || uncertaintyVolt < 0 {
		return 0, 0, fmt.Errorf("%w: two loads of %v A and %v A", ErrQuantity, ampere1, ampere2)
	}
	return (volt1 - volt2) / step, math.Sqrt2 * uncertaintyVolt / math.Abs(step), nil
}
