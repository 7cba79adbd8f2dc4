package checks

import (
	"fmt"
	"math"
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

// ratedAmpere is the current at which the capacity is stated.
func (b Battery) ratedAmpere() float64 { return b.AmpereHour / b.RateHour }

// autonomy is Autonomy for values that make sense.
func (b Battery) autonomy(ampere float64) float64 {
	if ampere < b.ratedAmpere() {
		return b.AmpereHour / ampere
	}
	return b.RateHour * math.Pow(b.ratedAmpere()/ampere, b.Exponent)
}

// Autonomy is how many hours a new battery carries a constant load, by
// Peukert's law in its hour-rate form: t = H (C/(I·H))^k. Below the rated
// current C/H the law promises more than the battery holds: there it is C/I.
// +Inf for no load. Source: Peukert 1897; the form in current handbooks. (The
// one-ampere form t = Cp/I^k is the same with H = C/(1 A).) Published tables of
// glass-mat batteries bear it out between their 20 h and 1 h rates only:
// BelowHourRate tells.
func (b Battery) Autonomy(ampere float64) (float64, error) {
	if err := b.valid(); err != nil {
		return 0, err
	}
	if !(ampere >= 0) || math.IsInf(ampere, 0) {
		return 0, fmt.Errorf("%w: a load of %v A", ErrQuantity, ampere)
	}
	return b.autonomy(ampere), nil
}

// BelowHourRate tells whether a load empties the battery no faster than its 1 h
// rate, or its rated one if that is faster: beyond it Peukert's law flatters by
// up to a half. Errors as Autonomy.
func (b Battery) BelowHourRate(ampere float64) (bool, error) {
	hours, err := b.Autonomy(ampere)
	return hours >= math.Min(threshold("peukert/shortest"), b.RateHour)-1e-9, err // the rate itself, in binary
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
// other, just empty a battery: each uses the share t/Autonomy(I) of it, and the
// shares add up to one; times the factors. A draw below the rated current of
// that battery counts I·t, one above it more, by Peukert's law. With k = 1 it is
// Σ I·t.
func RequiredAtRate(draws []Draw, rateHour, exponent float64, f Factors) (float64, error) {
	if _, err := RequiredCapacity(draws, f); err != nil {
		return 0, err
	}
	b := Battery{1, rateHour, exponent}
	if err := b.valid(); err != nil {
		return 0, err
	}
	low, _ := RequiredCapacity(draws, Factors{1, 1}) // no battery gives more; the draws are valid
	if low == 0 {
		return 0, nil
	}
	enough := func(ampereHour float64) bool { b.AmpereHour = ampereHour; return b.used(draws) <= 1 }
	high := low
	for !enough(high) {
		high *= 2
	}
	for range halvings {
		if middle := (low + high) / 2; enough(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high * f.Ageing * f.Temperature, nil
}

// halvings narrow a capacity down to the digits of a float64.
const halvings = 60

// used is the share of a battery that the draws take, one after the other.
func (b Battery) used(draws []Draw) float64 {
	share := 0.0
	for _, d := range draws {
		share += d.Hour / b.autonomy(d.Ampere)
	}
	return share
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

// InlineAutonomy is how many hours a pack with a converter of its own carries a
// load in W: Wh·η/W, of a new and full pack. +Inf for no load. η lies above 0
// and not above 1.
func InlineAutonomy(wattHour, efficiency, watt float64) (float64, error) {
	if !amounts(wattHour, watt) || wattHour == 0 || !(efficiency > 0 && efficiency <= 1) {
		return 0, fmt.Errorf("%w: %v W from a pack of %v Wh at an efficiency of %v", ErrQuantity, watt, wattHour, efficiency)
	}
	return wattHour * efficiency / watt, nil
}
