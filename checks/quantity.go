package checks

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// maxQuantityText bounds what is looked at: nobody writes a longer quantity.
const maxQuantityText = 48

// ErrQuantity is wrapped by every refusal of a written quantity.
var ErrQuantity = errors.New("not a usable quantity")

// Quantity is a value as a person wrote it. SI is in the SI unit of its
// Dimension; Text is what was written, so that it can be shown unchanged.
// Precision is not accuracy: a Quantity carries no uncertainty.
type Quantity struct {
	SI   float64
	Text string
}

// Given tells whether the quantity was written at all.
func (q Quantity) Given() bool { return q.Text != "" }

// Duration returns a Quantity of Time as a time.Duration.
func (q Quantity) Duration() time.Duration {
	return time.Duration(math.Round(q.SI * float64(time.Second)))
}

// Dimension is a kind of quantity: the unit spellings it takes, each with
// its factor (and offset) to the SI unit, and the range it makes sense in.
type Dimension struct {
	Name     string // as an error names it: "a length"
	SI       string // unit of Quantity.SI
	Examples string
	units    []unit
	min, max float64 // inclusive, in SI units
}

type unit struct {
	spelling string
	factor   float64
	offset   float64
}

// The dimensions that site files and calculators use. The factors of feet and
// inches are exact (international foot, 0.3048 m). Capacity is kept in
// ampere-hours, the trade's unit; the key names say so. \u2126 is the ohm sign, which looks
// like the Greek letter.
var (
	Length = Dimension{"a length", "m", "18 m, 60 ft, 250 mm", []unit{
		{"m", 1, 0}, {"cm", 0.01, 0}, {"mm", 0.001, 0}, {"km", 1000, 0}, {"ft", 0.3048, 0}, {"in", 0.0254, 0}}, 0, 1e5}
	Current = Dimension{"a current", "A", "450 mA, 1.2 A", []unit{
		{"A", 1, 0}, {"mA", 1e-3, 0}, {"uA", 1e-6, 0}, {"µA", 1e-6, 0}, {"μA", 1e-6, 0}}, 0, 1e4}
	Voltage = Dimension{"a voltage", "V", "13.8 V, 50 mV", []unit{
		{"V", 1, 0}, {"mV", 1e-3, 0}, {"kV", 1e3, 0}}, -1e5, 1e5}
	Capacity = Dimension{"a battery capacity", "Ah", "7 Ah, 1200 mAh", []unit{
		{"Ah", 1, 0}, {"mAh", 1e-3, 0}}, 1e-6, 1e5}
	Energy    = Dimension{"an energy", "Wh", "60 Wh, 1.2 kWh", []unit{{"Wh", 1, 0}, {"kWh", 1e3, 0}}, 1e-6, 1e6}
	Apparent  = Dimension{"an apparent power", "VA", "40 VA", []unit{{"VA", 1, 0}, {"mVA", 1e-3, 0}}, 1e-6, 1e6}
	Frequency = Dimension{"a frequency", "Hz", "3 kHz, 2800 Hz", []unit{{"Hz", 1, 0}, {"kHz", 1e3, 0}}, 1e-3, 1e9}
	Time      = Dimension{"a time", "s", "2 s, 500 ms, 15 min, 12 h", []unit{
		{"s", 1, 0}, {"ms", 1e-3, 0}, {"min", 60, 0}, {"m", 60, 0}, {"h", 3600, 0}, {"d", 86400, 0}}, 0, 86400 * 3660}
	Temperature = Dimension{"a temperature", "C", "20 C, 68 F", []unit{
		{"C", 1, 0}, {"°C", 1, 0}, {"F", 5.0 / 9, -160.0 / 9}, {"°F", 5.0 / 9, -160.0 / 9}}, -100, 200}
	Resistance = Dimension{"a resistance", "ohm", "4k7, 4700 ohm, 2R2, 1M", []unit{
		{"ohm", 1, 0}, {"Ω", 1, 0}, {"\u2126", 1, 0}, {"R", 1, 0},
		{"k", 1e3, 0}, {"kohm", 1e3, 0}, {"kΩ", 1e3, 0}, {"k\u2126", 1e3, 0},
		{"M", 1e6, 0}, {"Mohm", 1e6, 0}, {"MΩ", 1e6, 0}, {"M\u2126", 1e6, 0},
		{"mohm", 1e-3, 0}, {"mΩ", 1e-3, 0}, {"m\u2126", 1e-3, 0}}, 0, 1e12}
	Area = Dimension{"a conductor cross-section", "mm2", "0.22 mm2, 1.5 mm²", []unit{
		{"mm2", 1, 0}, {"mm²", 1, 0}, {"mm^2", 1, 0}}, 1e-4, 1e4}
	SoundLevel = Dimension{"a sound level", "dB", "96 dB, 96 dB(A)", []unit{
		{"dB", 1, 0}, {"dBA", 1, 0}, {"dB(A)", 1, 0}}, -50, 250}
	Ratio = Dimension{"a ratio", "1", "95 %, 0.95", []unit{
		{"%", 0.01, 0}, {"", 1, 0}}, 0, 1e6}
)

// Parse reads a quantity of this dimension: a decimal number, an optional
// blank, and a unit that must be written. Resistances may also be written as
// IEC 60062 codes (4k7, 2R2, 470R, 1M0), times in parts ("1 h 30 min").
// Not a number, infinite, out of range or of another dimension: an error that
// wraps ErrQuantity, names what was written and what would be accepted.
func (d Dimension) Parse(text string) (Quantity, error) {
	t := strings.TrimSpace(text)
	if t == "" || len(t) > maxQuantityText {
		return Quantity{}, d.refuse(text, NoNumber, "")
	}
	si, err := d.value(t)
	if err != nil {
		return Quantity{}, err
	}
	if si < d.min || si > d.max {
		return Quantity{}, d.refuse(text, OutOfRange, "")
	}
	return Quantity{SI: si, Text: t}, nil
}

func (d Dimension) value(t string) (float64, error) {
	if d.SI == Resistance.SI {
		if v, ok := resistorCode(t); ok {
			return v, nil
		}
	}
	if d.SI == Time.SI {
		return d.sumOfParts(t)
	}
	number, rest := splitNumber(t)
	return d.convert(t, number, strings.TrimSpace(rest))
}

// sumOfParts reads "1 h 30 min": each part smaller than the one before, so
// that "30 min 1 h", likely a slip, is refused.
func (d Dimension) sumOfParts(t string) (float64, error) {
	total, last := 0.0, math.Inf(1)
	for rest := t; rest != ""; {
		number, after := splitNumber(rest)
		after = strings.TrimSpace(after)
		end := strings.IndexFunc(after, func(r rune) bool { return r == ' ' || r >= '0' && r <= '9' })
		name := after
		rest = ""
		if end >= 0 {
			name, rest = after[:end], strings.TrimSpace(after[end:])
		}
		v, err := d.convert(t, number, name)
		if err != nil {
			return 0, err
		}
		factor := d.factorOf(name)
		if factor >= last || (v < 0 && rest != "") {
			return 0, d.refuse(t, LargerFirst, "")
		}
		total, last = total+v, factor
	}
	return total, nil
}

func (d Dimension) factorOf(name string) float64 {
	for _, u := range d.units {
		if u.spelling == name {
			return u.factor
		}
	}
	return 0
}

func (d Dimension) convert(whole, number, name string) (float64, error) {
	if strings.Contains(whole, ",") {
		return 0, d.refuse(whole, DecimalComma, "")
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, d.refuse(whole, NoNumber, "")
	}
	for _, u := range d.units {
		if u.spelling == name {
			return v*u.factor + u.offset, nil
		}
	}
	if name == "" {
		return 0, d.refuse(whole, NoUnit, "")
	}
	return 0, d.refuse(whole, OtherUnit, name)
}

// splitNumber cuts a leading decimal number off. An 'e' belongs to it only
// when an exponent follows.
func splitNumber(t string) (number, rest string) {
	i := 0
	digits := func() {
		for i < len(t) && t[i] >= '0' && t[i] <= '9' {
			i++
		}
	}
	if i < len(t) && (t[i] == '-' || t[i] == '+') {
		i++
	}
	digits()
	if i < len(t) && t[i] == '.' {
		i++
		digits()
	}
	if i < len(t) && (t[i] == 'e' || t[i] == 'E') {
		j := i
		i++
		if i < len(t) && (t[i] == '-' || t[i] == '+') {
			i++
		}
		start := i
		digits()
		if i == start {
			i = j
		}
	}
	return t[:i], t[i:]
}

// resistorCode reads the marking code of IEC 60062: the letter R, k (or K) or
// M stands where the decimal sign would (4k7 = 4700 Ω, 2R2 = 2.2 Ω, 1M0).
func resistorCode(t string) (float64, bool) {
	at := strings.IndexAny(t, "RkKM")
	if at < 1 || at > 5 || len(t)-at > 5 {
		return 0, false
	}
	whole, part := t[:at], t[at+1:]
	if !onlyDigits(whole) || part != "" && !onlyDigits(part) {
		return 0, false
	}
	v, err := strconv.ParseFloat(whole+"."+part, 64)
	if err != nil {
		return 0, false
	}
	return v * map[byte]float64{'R': 1, 'k': 1e3, 'K': 1e3, 'M': 1e6}[t[at]], true
}

func onlyDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// Resolution is one step of the last digit of a quantity as it was typed, in the
// SI unit: 100 for 9.5k, 0.01 for 13.62 V. Zero where an exponent hides it.
func (d Dimension) Resolution(q Quantity) float64 {
	number, rest := splitNumber(strings.TrimLeft(strings.TrimSpace(q.Text), "+-"))
	if strings.ContainsAny(number, "eE") {
		return 0
	}
	rest = strings.TrimSpace(rest)
	_, decimals, _ := strings.Cut(number, ".")
	if d.SI == Resistance.SI && len(rest) > 1 && onlyDigits(rest[1:]) { // 9k53
		decimals, rest = rest[1:], rest[:1]
	}
	factor := d.factorOf(rest)
	if factor == 0 && rest == "K" {
		factor = 1e3
	}
	return factor * math.Pow(10, -float64(len(decimals)))
}

// FormatNumber prints a number with up to six significant digits and no
// needless zeros or exponent.
func FormatNumber(v float64) string {
	if v != 0 && (math.Abs(v) < 1e-4 || math.Abs(v) >= 1e9) {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// FormatDuration prints a duration with the unit a person would choose:
// milliseconds are never hidden below a minute.
func FormatDuration(d time.Duration) string {
	switch {
	case d < time.Minute:
		return FormatNumber(d.Seconds()) + " s"
	case d < time.Hour:
		return partsOf(d, time.Minute, "min", time.Second, "s")
	default:
		return partsOf(d, time.Hour, "h", time.Minute, "min")
	}
}

func partsOf(d, big time.Duration, bigName string, small time.Duration, smallName string) string {
	d = d.Round(small)
	text := fmt.Sprintf("%d %s", d/big, bigName)
	if rest := d % big / small; rest > 0 {
		text += fmt.Sprintf(" %d %s", rest, smallName)
	}
	return text
}
