package checks

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Draw is a current for a time.
type Draw struct {
	Ampere float64
	Hour   float64
}

// Battery is a standby battery as its maker rates it.
type Battery struct {
	AmpereHour float64
	RateHour   float64 // the discharge time that the capacity is stated for, 20 h as a rule
	Exponent   float64 // Peukert's; 1 for none
}

func (b Battery) valid() error {
	switch {
	case !(b.AmpereHour > 0) || math.IsInf(b.AmpereHour, 0):
		return fmt.Errorf("%w: a battery of %v Ah", ErrQuantity, b.AmpereHour)
	case !(b.RateHour > 0) || math.IsInf(b.RateHour, 0):
		return fmt.Errorf("%w: a capacity stated for %v h", ErrQuantity, b.RateHour)
	case !(b.Exponent >= 1 && b.Exponent <= 2):
		return fmt.Errorf("%w: a Peukert exponent of %v; it lies between 1 and 2", ErrQuantity, b.Exponent)
	}
	return nil
}

func validDraws(draws []Draw) error {
	for _, d := range draws {
		if !(d.Ampere >= 0) || !(d.Hour >= 0) || math.IsInf(d.Ampere, 0) || math.IsInf(d.Hour, 0) {
			return fmt.Errorf("%w: %v A for %v h", ErrQuantity, d.Ampere, d.Hour)
		}
	}
	return nil
}

// Autonomy is how many hours a new battery carries a constant load, by
// Peukert's law in its hour-rate form: t = H (C/(I·H))^k. +Inf for no load.
// Source: Peukert 1897; the form in current handbooks. (The one-ampere form
// t = Cp/I^k is the same with H = C/(1 A).)
func (b Battery) Autonomy(ampere float64) (float64, error) {
	if err := b.valid(); err != nil {
		return 0, err
	}
	if !(ampere >= 0) || math.IsInf(ampere, 0) {
		return 0, fmt.Errorf("%w: a load of %v A", ErrQuantity, ampere)
	}
	return b.RateHour * math.Pow(b.AmpereHour/(ampere*b.RateHour), b.Exponent), nil
}

// Factors enlarge a required capacity; 1 for none.
type Factors struct{ Ageing, Temperature float64 }

// RequiredCapacity is Σ I·t in Ah, times the factors. Source: NFPA 72 battery
// calculation, IEEE 485 for the factors.
func RequiredCapacity(draws []Draw, f Factors) (float64, error) {
	if err := validDraws(draws); err != nil {
		return 0, err
	}
	if !(f.Ageing >= 1) || !(f.Temperature >= 1) || math.IsInf(f.Ageing*f.Temperature, 0) {
		return 0, fmt.Errorf("%w: factors for ageing %v and temperature %v must be 1 or more", ErrQuantity, f.Ageing,
			f.Temperature)
	}
	sum := 0.0
	for _, d := range draws {
		sum += d.Ampere * d.Hour
	}
	return sum * f.Ageing * f.Temperature, nil
}

// RequiredAtRate is the rated capacity in Ah at which the draws, one after the
// other, just empty a battery that follows Peukert's law: each uses the share
// t/Autonomy(I) of it, and the shares add up to one:
// C = H (Σ t·I^k / H)^(1/k), times the factors. With k = 1 it is Σ I·t.
func RequiredAtRate(draws []Draw, rateHour, exponent float64, f Factors) (float64, error) {
	if _, err := RequiredCapacity(draws, f); err != nil {
		return 0, err
	}
	if err := (Battery{1, rateHour, exponent}).valid(); err != nil {
		return 0, err
	}
	sum := 0.0
	for _, d := range draws {
		sum += d.Hour * math.Pow(d.Ampere, exponent)
	}
	return rateHour * math.Pow(sum/rateHour, 1/exponent) * f.Ageing * f.Temperature, nil
}

// coldRows is the capacity factor of lead-acid batteries by temperature in °C.
// Source: IEEE 485 table 1 (1.215 s.g.), from memory.
var coldRows = [][2]float64{{0, 1.35}, {4.4, 1.30}, {15.6, 1.11}, {21.1, 1.04}, {25, 1.00}}

// ColdFactor is how much larger a lead-acid battery must be at a temperature in
// °C: IEEE 485 table 1, linear between its rows, 1 above 25 °C. Below 0 °C the
// table as kept here ends: an error.
func ColdFactor(celsius float64) (float64, error) {
	if !(celsius >= coldRows[0][0] && celsius <= 60) {
		return 0, fmt.Errorf("%w: no capacity factor is known for %v °C; it is known from 0 to 60 °C", ErrQuantity, celsius)
	}
	i, exact := slices.BinarySearchFunc(coldRows, celsius, func(row [2]float64, c float64) int {
		switch {
		case row[0] < c:
			return -1
		case row[0] > c:
			return 1
		}
		return 0
	})
	switch {
	case exact:
		return coldRows[i][1], nil
	case i == len(coldRows):
		return 1, nil
	}
	a, b := coldRows[i-1], coldRows[i]
	return a[1] + (b[1]-a[1])*(celsius-a[0])/(b[0]-a[0]), nil
}

// ThroughConverter is the current that a pack gives for a load behind a
// converter: I·V_load/(V_pack·η). η lies above 0 and not above 1.
func ThroughConverter(ampere, loadVolt, packVolt, efficiency float64) (float64, error) {
	if !(efficiency > 0 && efficiency <= 1) || !(packVolt > 0) || !(loadVolt > 0) || !(ampere >= 0) ||
		math.IsInf(ampere, 0) {
		return 0, fmt.Errorf("%w: %v A at %v V through a converter of efficiency %v from %v V", ErrQuantity, ampere,
			loadVolt, efficiency, packVolt)
	}
	through := ampere * loadVolt / (packVolt * efficiency)
	if math.IsInf(through, 0) || math.IsNaN(through) {
		return 0, fmt.Errorf("%w: a pack of %v V", ErrQuantity, packVolt)
	}
	return through, nil
}

// Chemistry is what a battery is made of.
type Chemistry string

// The chemistries, as site files name them.
const (
	LeadAcid   Chemistry = "lead-acid"
	LithiumIon Chemistry = "lithium-ion"
)

// ServiceLife is the age at which a battery in standby use is commonly renewed:
// common practice, no source.
func (c Chemistry) ServiceLife() time.Duration {
	const year = 8766 * time.Hour
	if c == LithiumIon {
		return 5 * year
	}
	return 4 * year
}

// UsualExponent is a cautious Peukert exponent where none is given: lead-acid
// glass-mat 1.05 to 1.15, lithium-ion about 1.05 (looked up).
func (c Chemistry) UsualExponent() float64 {
	if c == LithiumIon {
		return 1.05
	}
	return 1.15
}

// recharge is the current in A with which a battery is commonly recharged: a
// tenth of its capacity an hour (common practice, no source).
func recharge(ampereHour float64) float64 { return ampereHour / 10 }
