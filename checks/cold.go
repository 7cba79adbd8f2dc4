package checks

import (
	"fmt"
	"math"
)

// coldRow is the factor on a required capacity at a temperature in °C.
type coldRow struct {
	celsius, factor float64
	known           Known
}

// coldRows is IEEE 485 table 1 (vented lead-acid, 1.215 s.g., 25 °C): from 4.4 °C
// on looked up in a public code library and a university course, below from
// memory. A published polynomial fits all of them.
var coldRows = []coldRow{{-3.9, 1.52, FromMemory}, {-1.1, 1.43, FromMemory}, {1.7, 1.35, FromMemory},
	{4.4, 1.30, LookedUp}, {10, 1.19, LookedUp}, {15.6, 1.11, LookedUp}, {21.1, 1.04, LookedUp}, {25, 1, LookedUp}}

// glassMatRows are the best that makers of glass-mat batteries publish, as 1/share.
var glassMatRows = []coldRow{{-15, 1 / 0.65, LookedUp}, {-10, 1 / 0.74, LookedUp}, {0, 1 / 0.86, LookedUp},
	{5, 1 / 0.88, LookedUp}, {10, 1 / 0.90, LookedUp}, {15, 1 / 0.94, LookedUp}, {20, 1 / 0.99, LookedUp},
	{25, 1, LookedUp}}

// The least that is published for lithium, as 1/share.
var (
	ironPhosphateRows = []coldRow{{-20, 1 / 0.70, LookedUp}, {0, 1 / 0.80, LookedUp}, {25, 1, LookedUp}}
	lithiumIonRows    = []coldRow{{-20, 1 / 0.50, FromMemory}, {0, 1 / 0.85, FromMemory}, {25, 1, LookedUp}}
)

// Where capacity factors are known, in °C: the coldest and the warmest at which
// makers of batteries let them be discharged.
const coldest, warmest = -20, 60

// between reads rows at a temperature, linear between two, the outer ones beyond.
func between(rows []coldRow, celsius float64) float64 {
	before := rows[0]
	for _, row := range rows {
		if celsius <= row.celsius {
			if row == before {
				return row.factor
			}
			return before.factor + (row.factor-before.factor)*(celsius-before.celsius)/(row.celsius-before.celsius)
		}
		before = row
	}
	return before.factor
}

// ColdFactors are how much larger a battery must be at a temperature in °C:
// what holds with cautious holds by every source, what fails with favourable
// fails by every source. 1 from 25 °C on; outside −20 to 60 °C, or for an
// unknown chemistry, an error.
//
// Lead-acid: favourable by makers of glass-mat batteries, no worse than their
// −15 °C below it; cautious by IEEE 485, below its table by the polynomial
// 1.405 − 2.4941x + 4.1916x² − 2.8117x³, x = °C/100 (looked up: a sizing
// program's). Lithium: cautious by the least share that is published;
// favourable is 1, since makers state minima only.
func (p Pack) ColdFactors(celsius float64) (favourable, cautious float64, err error) {
	if _, err := p.InSeries(); err != nil {
		return 0, 0, err
	}
	if !(celsius >= coldest && celsius <= warmest) {
		return 0, 0, fmt.Errorf("%w: no capacity factor is known for %v °C; it is known from %d to %d °C", ErrQuantity,
			celsius, coldest, warmest)
	}
	switch p.Chemistry {
	case LithiumIon:
		return 1, between(lithiumIonRows, celsius), nil
	case LithiumIronPhosphate:
		return 1, between(ironPhosphateRows, celsius), nil
	}
	cautious = between(coldRows, celsius)
	if celsius < coldRows[0].celsius {
		x := celsius / 100
		cautious = math.Max(cautious, 1.405-2.4941*x+4.1916*x*x-2.8117*x*x*x)
	}
	return between(glassMatRows, celsius), cautious, nil
}
