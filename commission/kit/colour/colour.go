// Package colour tells of colours what a reader needs of them: whether a text in one can be read
// on white, and whether two can be told apart.
package colour

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
)

// RGB is a colour of the sRGB space, 8 bits each.
type RGB struct{ Red, Green, Blue uint8 }

// White is the paper.
var White = RGB{255, 255, 255}

var form = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

// Parse reads #RRGGBB; anything else is an error.
func Parse(text string) (RGB, error) {
	if !form.MatchString(text) {
		return RGB{}, fmt.Errorf("%q is no colour; write it as #RRGGBB, for example #1F4E79", text)
	}
	n, err := strconv.ParseUint(text[1:], 16, 32)
	return RGB{uint8(n >> 16), uint8(n >> 8), uint8(n)}, err
}

// String is #RRGGBB.
func (c RGB) String() string { return fmt.Sprintf("#%02X%02X%02X", c.Red, c.Green, c.Blue) }

// linear is the light of a channel, from 0 to 1, as IEC 61966-2-1 and WCAG 2.2 have it.
func linear(channel uint8) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// Luminance is the relative luminance of WCAG 2.2, from 0 (black) to 1 (white).
func (c RGB) Luminance() float64 {
	return 0.2126*linear(c.Red) + 0.7152*linear(c.Green) + 0.0722*linear(c.Blue)
}

// Contrast is the contrast ratio of WCAG 2.2, (L1 + 0.05) / (L2 + 0.05) with L1 the lighter:
// from 1 to 21.
func Contrast(a, b RGB) float64 {
	x, y := a.Luminance(), b.Luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// lab are the coordinates of CIE 1976 L*a*b* with the white point D65 (2°).
func (c RGB) lab() (l, a, b float64) {
	red, green, blue := linear(c.Red), linear(c.Green), linear(c.Blue)
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124564*red + 0.3575761*green + 0.1804375*blue) / 0.95047)
	y := f(0.2126729*red + 0.7151522*green + 0.0721750*blue)
	z := f((0.0193339*red + 0.1191920*green + 0.9503041*blue) / 1.08883)
	return 116*y - 16, 500 * (x - y), 200 * (y - z)
}

// Distance is the colour difference CIE76: 2 is hardly seen side by side, 100 is that of black
// and white.
func Distance(a, b RGB) float64 {
	l1, a1, b1 := a.lab()
	l2, a2, b2 := b.lab()
	return math.Sqrt((l1-l2)*(l1-l2) + (a1-a2)*(a1-a2) + (b1-b2)*(b1-b2))
}
