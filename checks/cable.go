package checks

import (
	"fmt"
	"math"
	"slices"
)

// Copper, annealed, at 20 °C: conductivity 58 MS/m exactly, so 1/58 Ω·mm²/m;
// temperature coefficient 0.00393 /K. Source: IEC 60028.
const (
	copperOhmMM2PerMetre = 1.0 / 58
	copperPerKelvin      = 0.00393
)

// Make is how a conductor is made; its maximum resistance depends on it.
type Make string

// The makes of conductors.
const (
	Solid    Make = "solid"    // IEC 60228 class 1; AWG: one round wire
	Stranded Make = "stranded" // IEC 60228 class 2; AWG: seven strands
	Flexible Make = "flexible" // IEC 60228 class 5
)

// strandLay is what the lay of strands adds to the resistance of an AWG
// conductor: 2 % (NFPA 70 chapter 9 table 8 shows 2.0 to 2.6 %).
const strandLay = 1.02

// metricRow is the maximum resistance of a size at 20 °C, in Ω/km.
type metricRow struct{ areaMM2, solid, flexible float64 }

// metricRows: IEC 60228:2004, plain copper, classes 1 and 2, and 5. Rows 4, 10,
// 16 and 25 mm² from memory, the others looked up. The standard has no row
// below 0.5 mm².
var metricRows = []metricRow{
	{0.5, 36.0, 39.0}, {0.75, 24.5, 26.0}, {1, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98},
	{4, 4.61, 4.95}, {6, 3.08, 3.30}, {10, 1.83, 1.91}, {16, 1.15, 1.21}, {25, 0.727, 0.780},
}

// smallRows: sizes below IEC 60228, in Ω/km at 20 °C. Source: DIN VDE 0295, one
// reproduction; for 0.22 mm² it is well above ρ/A, which is on the safe side.
var smallRows = []metricRow{{0.14, 134, 134}, {0.22, 96, 96}, {0.25, 76, 76}, {0.34, 53, 53}}

// WireResistance is the resistance of one metre of one conductor, in Ω, and the
// rule it was taken from.
type WireResistance struct {
	OhmPerMetre float64
	Rule        WireRule
}

// WireRule is where a conductor's resistance is taken from.
type WireRule string

// The rules: a standard's maximum for a size, solid or flexible; copper over the area,
// where no standard has a row; and a gauge's own area, solid or stranded.
const (
	RuleIEC60228         WireRule = "iec-60228"
	RuleIEC60228Flexible WireRule = "iec-60228-flexible"
	RuleVDE0295          WireRule = "vde-0295"
	RuleVDE0295Flexible  WireRule = "vde-0295-flexible"
	RuleArea             WireRule = "area"
	RuleGauge            WireRule = "gauge"
	RuleGaugeStranded    WireRule = "gauge-stranded"
)

// Code names the rule.
func (r WireRule) Code() string { return "wire/" + string(r) }

// Resistance is that of one metre of the conductor at a temperature in °C
// (−100 to 200). Metric sizes with a row in IEC 60228 or DIN VDE 0295 take the
// maximum of that row; every other size ρ/A (ASTM B258, IEC 60028), with 2 % for
// strands of AWG sizes. At a temperature t: × (1 + 0.00393 (t − 20)).
func (c Conductor) Resistance(m Make, celsius float64) (WireResistance, error) {
	if !(c.AreaMM2 > 0) || math.IsInf(c.AreaMM2, 0) {
		return WireResistance{}, fmt.Errorf("%w: a conductor of %v mm²", ErrQuantity, c.AreaMM2)
	}
	if !(celsius >= -100 && celsius <= 200) {
		return WireResistance{}, fmt.Errorf("%w: a conductor at %v °C", ErrQuantity, celsius)
	}
	r := c.at20(m)
	r.OhmPerMetre *= temperatureFactor(celsius)
	return r, nil
}

func (c Conductor) at20(m Make) WireResistance {
	if !c.Gauge {
		for _, table := range []struct {
			rows            []metricRow
			solid, flexible WireRule
		}{{metricRows, RuleIEC60228, RuleIEC60228Flexible}, {smallRows, RuleVDE0295, RuleVDE0295Flexible}} {
			for _, row := range table.rows {
				if math.Abs(row.areaMM2-c.AreaMM2) > 1e-9 {
					continue
				}
				if m == Flexible {
					return WireResistance{row.flexible / 1000, table.flexible}
				}
				return WireResistance{row.solid / 1000, table.solid}
			}
		}
		return WireResistance{copperOhmMM2PerMetre / c.AreaMM2, RuleArea}
	}
	r := WireResistance{copperOhmMM2PerMetre / c.AreaMM2, RuleGauge}
	if m != Solid {
		r.OhmPerMetre *= strandLay
		r.Rule = RuleGaugeStranded
	}
	return r
}

// temperatureFactor is R(t)/R(20 °C) of copper: 1 + 0.00393 (t − 20). Source:
// IEC 60028 (the exact form of IEC 60228's annex is the same).
func temperatureFactor(celsius float64) float64 { return 1 + copperPerKelvin*(celsius-20) }

// Run is a two-wire cable with a load.
type Run struct {
	LengthMetre float64 // one way
	OhmPerMetre float64 // of one conductor
	Ampere      float64
	SupplyVolt  float64
}

// valid refuses a run that makes no sense.
func (r Run) valid() error {
	for _, v := range []float64{r.LengthMetre, r.OhmPerMetre, r.Ampere, r.SupplyVolt} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("%w: a cable of %v m and %v Ω/m with %v A from %v V; none may be negative", ErrQuantity,
				r.LengthMetre, r.OhmPerMetre, r.Ampere, r.SupplyVolt)
		}
	}
	return nil
}

// LoopOhm is the resistance of both conductors: 2·L·R′.
func (r Run) LoopOhm() float64 { return 2 * r.LengthMetre * r.OhmPerMetre }

// Drop is the voltage lost on both conductors, V = 2·L·R′·I, for a load that
// draws its current whatever the voltage (detectors do, nearly).
func (r Run) Drop() (float64, error) { return r.LoopOhm() * r.Ampere, r.valid() }

// FarEnd is the voltage at the load: supply less drop. It is not below zero;
// there the load would not draw its current any more.
func (r Run) FarEnd() (float64, error) {
	drop, err := r.Drop()
	return math.Max(0, r.SupplyVolt-drop), err
}

// Longest is the longest one-way length in metres at which the load still gets
// a minimum voltage: (V − V_min)/(2·R′·I). +Inf for no current, 0 when the
// supply itself is too low.
func (r Run) Longest(minimumVolt float64) (float64, error) {
	if err := r.valid(); err != nil || !(minimumVolt >= 0) {
		return 0, fmt.Errorf("%w: longest run for %v V", ErrQuantity, minimumVolt)
	}
	if minimumVolt >= r.SupplyVolt {
		return 0, nil
	}
	return (r.SupplyVolt - minimumVolt) / (2 * r.OhmPerMetre * r.Ampere), nil
}

// Tap is a load along a run, at a distance from the supply.
type Tap struct{ AtMetre, Ampere float64 }

// DropsAlong is the voltage lost at each tap of one cable: every piece of it
// carries the current of all taps beyond (Kirchhoff). Taps may come in any
// order; the result is in theirs.
func DropsAlong(taps []Tap, ohmPerMetre float64) ([]float64, error) {
	order := make([]int, len(taps))
	current := 0.0
	for i, t := range taps {
		if err := (Run{t.AtMetre, ohmPerMetre, t.Ampere, 0}).valid(); err != nil {
			return nil, err
		}
		order[i] = i
		current += t.Ampere
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case taps[a].AtMetre < taps[b].AtMetre:
			return -1
		case taps[a].AtMetre > taps[b].AtMetre:
			return 1
		}
		return 0
	})
	drops := make([]float64, len(taps))
	at, lost := 0.0, 0.0
	for _, i := range order {
		lost += 2 * (taps[i].AtMetre - at) * ohmPerMetre * current
		drops[i] = lost
		at = taps[i].AtMetre
		current -= taps[i].Ampere
	}
	return drops, nil
}

// sizes from which NextSize chooses, as they are sold.
var (
	gaugeSizes  = []string{"24 AWG", "22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG"}
	metricSizes = []string{"0.14 mm2", "0.22 mm2", "0.34 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2",
		"4 mm2", "6 mm2"}
)

// NextSize is the smallest size, in the system of the conductor, at which the
// run still gives its load a minimum voltage; ok is false when none does.
func NextSize(c Conductor, m Make, celsius float64, r Run, minimumVolt float64) (size Conductor, ok bool, err error) {
	names := metricSizes
	if c.Gauge {
		names = gaugeSizes
	}
	for _, name := range names {
		size, err := ParseConductor(name)
		if err != nil {
			return Conductor{}, false, err
		}
		wire, err := size.Resistance(m, celsius)
		if err != nil {
			return Conductor{}, false, err
		}
		r.OhmPerMetre = wire.OhmPerMetre
		volts, err := r.FarEnd()
		if err != nil {
			return Conductor{}, false, err
		}
		if volts >= minimumVolt && size.AreaMM2 >= c.AreaMM2 {
			return size, true, nil
		}
	}
	return Conductor{}, false, nil
}
