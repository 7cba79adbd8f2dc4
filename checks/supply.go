package checks

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
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

// Slope is a Theil–Sen slope with its interval.
type Slope struct{ PerStep, Low, High float64 }

// TheilSen is the median of the slopes of all pairs of points, with Sen's
// interval at a confidence between 0 and 1: of the N sorted slopes those at the
// ranks (N − z √var(S))/2 and (N + z √var(S))/2 + 1, rounded, var(S) = n(n−1)(2n+5)/18 (no ties in y). Source: Sen,
// J. Am. Stat. Assoc. 63 (1968). At least two different x, at most 2,000 points.
func TheilSen(x, y []float64, confidence float64) (Slope, error) {
	if len(x) != len(y) || len(x) < 2 || len(x) > 2000 || !(confidence > 0 && confidence < 1) {
		return Slope{}, fmt.Errorf("%w: a slope of %d and %d readings at confidence %v", ErrQuantity, len(x), len(y),
			confidence)
	}
	var slopes []float64
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			if s := (y[j] - y[i]) / (x[j] - x[i]); x[j] != x[i] {
				if math.IsNaN(s) || math.IsInf(s, 0) {
					return Slope{}, fmt.Errorf("%w: a reading that is no number", ErrQuantity)
				}
				slopes = append(slopes, s)
			}
		}
	}
	if len(slopes) == 0 {
		return Slope{}, fmt.Errorf("%w: all readings were taken at one time", ErrQuantity)
	}
	slices.Sort(slopes)
	n := float64(len(x))
	half := distuv.UnitNormal.Quantile(0.5+confidence/2) * math.Sqrt(n*(n-1)*(2*n+5)/18) / 2
	middle := float64(len(slopes)) / 2
	at := func(i float64) float64 { return slopes[max(0, min(len(slopes)-1, int(i)))] }
	return Slope{median(slopes), at(math.Round(middle-half) - 1), at(math.Round(middle + half))}, nil
}

func median(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	return (sorted[n/2-1] + sorted[n/2]) / 2
}

// reach is how many times the observed span a sag may be carried on.
const reach = 10

// TimeToCutOff is a cautious estimate in hours of how long a voltage stays above
// a cut-off, from readings over a hold time: the last reading less its expanded
// uncertainty, carried on along the steepest slope of Sen's 95 % interval, and
// never further than ten times the observed span: a battery that is nearly
// empty falls faster than any straight line, so the estimate holds on the flat
// part of its curve only. limited tells that the span, not the slope, ended it.
func TimeToCutOff(hour, volt []float64, cutOff, uncertaintyVolt float64) (hours float64, limited bool, err error) {
	s, err := TheilSen(hour, volt, 0.95)
	if err != nil {
		return 0, false, err
	}
	n := len(hour)
	span := (slices.Max(hour) - slices.Min(hour)) * reach
	margin := volt[n-1] - uncertaintyVolt - cutOff
	switch {
	case !(uncertaintyVolt >= 0) || math.IsNaN(cutOff):
		return 0, false, fmt.Errorf("%w: cut-off %v V, uncertainty %v V", ErrQuantity, cutOff, uncertaintyVolt)
	case margin <= 0:
		return 0, false, nil
	case s.Low >= 0 || margin/-s.Low >= span:
		return span, true, nil
	}
	return margin / -s.Low, false, nil
}

// FloatRange is the voltage at which a 12 V battery is plausibly kept charged at
// a temperature in °C. Lead-acid, six cells: 13.05 V (gel) to 13.8 V at 25 °C
// (sources differ), −3 mV a kelvin and cell. Lithium-ion, three in series: 12.0
// to 12.6 V whatever the temperature (4.2 V a cell at most).
func (c Chemistry) FloatRange(celsius float64) (Interval, error) {
	if !(celsius >= -20 && celsius <= 60) {
		return Interval{}, fmt.Errorf("%w: a battery at %v °C", ErrQuantity, celsius)
	}
	switch c {
	case LeadAcid:
		shift := -0.018 * (celsius - 25)
		return Interval{13.05 + shift, 13.8 + shift}, nil
	case LithiumIon:
		return Interval{12.0, 12.6}, nil
	}
	return Interval{}, fmt.Errorf("%w: no float voltage is known for %q", ErrQuantity, c)
}
