package words

import (
	"math"
	"regexp"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

// Measured is a quantity, or a reading, as a person typed it: 13.62 V, 96 dB(A) at 3 m, open.
type Measured string

// Chemistry is the kind of a battery, as the site file has it.
type Chemistry string

// Code names it.
func (Measured) Code() string  { return "measured" }
func (Chemistry) Code() string { return "chemistry" }

// UnitsOf is what a language keeps of a site's units: "" for metric ones, whether the file
// names them or not.
func UnitsOf(u site.Units) site.Units {
	if u == site.US {
		return u
	}
	return ""
}

// The international foot and inch, exactly.
const (
	metresPerFoot = 0.3048
	metresPerInch = 0.0254
)

// Metres is a length of so many metres, in metres with so many decimals or in feet, in inches
// below one foot, to three significant digits.
func Metres(u site.Units, metre float64, decimals int, number func(float64, int) string) string {
	if u != site.US {
		return number(metre, decimals) + " m"
	}
	if foot := metre / metresPerFoot; foot >= 1 {
		return number(significant(foot), AsNeeded) + " ft"
	}
	return number(significant(metre/metresPerInch), AsNeeded) + " in"
}

// FromTo are the ends of a range of lengths in metres; the unit stands once where it is the same.
func FromTo(u site.Units, from, to float64, number func(float64, int) string) (string, string) {
	if u != site.US {
		return number(from, AsNeeded), Metres(u, to, AsNeeded, number)
	}
	return Metres(u, from, AsNeeded, number), Metres(u, to, AsNeeded, number)
}

// significant is a value to three significant digits, or to whole ones.
func significant(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, max(0, 2-math.Floor(math.Log10(math.Abs(v)))))
	return math.Round(v*scale) / scale
}

// InInches is a length of so many metres in inches.
func InInches(a judge.Assumable) judge.Assumable {
	a.Value = significant(a.Value / metresPerInch)
	return a
}

// LengthAsTyped is a length as it was typed, in US units one that was typed in metric ones in
// feet.
func LengthAsTyped(u site.Units, text string, number func(float64, int) string) string {
	q, err := checks.Length.Parse(text)
	if u != site.US || err != nil || strings.HasSuffix(text, "ft") || strings.HasSuffix(text, "in") {
		return text
	}
	return Metres(u, q.SI, AsNeeded, number)
}

// ConductorAsTyped is a conductor as it was typed, in US units one that was typed as a
// cross-section as the nearest gauge, with what was typed.
func ConductorAsTyped(u site.Units, text string) string {
	c, err := checks.ParseConductor(text)
	if u != site.US || err != nil || c.Gauge {
		return text
	}
	return checks.NearestGauge(c.AreaMM2) + " (" + text + ")"
}

// distance is one inside of a reading of a level.
var distance = regexp.MustCompile(`( at | ?± ?)(\d[\d.]* ?(?:m|cm|mm))\b`)

// ReadingAsTyped is a reading as it was typed, with its distances in the units.
func ReadingAsTyped(u site.Units, text string, number func(float64, int) string) string {
	if u != site.US {
		return text
	}
	return distance.ReplaceAllStringFunc(text, func(found string) string {
		parts := distance.FindStringSubmatch(found)
		return parts[1] + LengthAsTyped(u, parts[2], number)
	})
}
