package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Diameters in mil of the wire table of ASTM B258, looked up as in testdata/reference/cable.csv;
// those of 4/0 and 24 AWG from memory. A gauge is its own nearest, and half way to the next is
// where two meet.
func TestNearestGauge(t *testing.T) {
	area := func(mil float64) float64 { d := mil * 0.0254; return math.Pi * d * d / 4 }
	for want, mil := range map[string]float64{"12 AWG": 80.81, "14 AWG": 64.08, "16 AWG": 50.82, "18 AWG": 40.30,
		"24 AWG": 20.1, "4/0 AWG": 460} {
		assert.Equal(t, want, NearestGauge(area(mil)))
		assert.Equal(t, want, NearestGauge(area(mil*1.05)), "less than half a step above")
		assert.Equal(t, want, NearestGauge(area(mil*0.95)), "less than half a step below")
	}
	for text, want := range map[string]string{"22 AWG": "22 AWG", "2/0 AWG": "2/0 AWG", "1/0 AWG": "1/0 AWG",
		"50 AWG": "50 AWG"} {
		c, err := ParseConductor(text)
		assert.NoError(t, err)
		assert.Equal(t, want, NearestGauge(c.AreaMM2))
	}
	for area, want := range map[float64]string{0.22: "24 AWG", 0.5: "20 AWG", 0.75: "18 AWG", 1.5: "15 AWG", 2.5: "13 AWG",
		1e-5: "50 AWG", 1e4: "4/0 AWG"} {
		assert.Equal(t, want, NearestGauge(area), area)
	}
}
