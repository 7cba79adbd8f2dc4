package checks

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Both factors enlarge both forms of a required capacity; Peukert's law with k = 1 is I·t.
func TestFactorsEnlarge(t *testing.T) {
	value := must[float64](t)
	draws, f := []Draw{{0.25, 24}, {1, 0.5}}, Factors{Ageing: 1.25, Temperature: 1.11}
	assert.InDelta(t, 6.5*1.25*1.11, value(RequiredCapacity(draws, f)), 1e-12)
	assert.InDelta(t, 6.5*1.25*1.11, value(RequiredAtRate(draws, 20, 1, f)), 1e-12)
}

// Without a load a battery lasts for ever.
func TestAutonomyWithoutLoad(t *testing.T) {
	assert.True(t, math.IsInf(must[float64](t)(Battery{7, 20, 1.15}.Autonomy(0)), 1))
}

// Half-way between two rows of IEEE 485 table 1 (from memory) lies half-way between
// their factors; above 25 °C nothing is taken off.
func TestColdFactorBetweenRows(t *testing.T) {
	for celsius, want := range map[float64]float64{2.2: 1.325, 10: 1.205, 18.35: 1.075, 23.05: 1.02, 30: 1, 60: 1} {
		assert.InDelta(t, want, must[float64](t)(ColdFactor(celsius)), 1e-9, "%v °C", celsius)
	}
}

// Common practice, no source; a Julian year has 365.25 days (definition).
func TestBatteriesAge(t *testing.T) {
	const day = 24 * time.Hour
	assert.Equal(t, 4*365*day+day, LeadAcid.ServiceLife())
	assert.Equal(t, 5*365*day+30*time.Hour, LithiumIon.ServiceLife())
}

// The cautious end of 1.05 to 1.15 for glass-mat lead-acid, and about 1.05 for
// lithium-ion (handbooks, looked up).
func TestUsualExponent(t *testing.T) {
	assert.InDelta(t, 1.15, LeadAcid.UsualExponent(), 1e-12)
	assert.InDelta(t, 1.05, LithiumIon.UsualExponent(), 1e-12)
}

func TestRecharge(t *testing.T) {
	assert.InDelta(t, 0.7, recharge(7), 1e-12, "a tenth of the capacity an hour: common practice, no source")
}
