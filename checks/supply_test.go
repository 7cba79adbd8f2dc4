package checks

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked by Ohm's law; two voltages of the same uncertainty differ by √2 of it (JCGM 100
// 5.1.2, from memory).
func TestInternalResistance(t *testing.T) {
	ohm, uncertainty, err := InternalResistance(12.80, 0.5, 12.30, 2.5, 0.02)
	require.NoError(t, err)
	assert.InDelta(t, 0.25, ohm, 1e-12)
	assert.InDelta(t, math.Sqrt(0.02*0.02+0.02*0.02)/2, uncertainty, 1e-12)
	turned, same, err := InternalResistance(12.30, 2.5, 12.80, 0.5, 0.02)
	require.NoError(t, err)
	assert.InDelta(t, ohm, turned, 1e-12, "the order of the loads says nothing")
	assert.InDelta(t, uncertainty, same, 1e-12)
}

// Of six slopes the median lies between the third and the fourth; of three, a high
// confidence takes in all; two readings at one time make no slope.
func TestTheilSenByHand(t *testing.T) {
	s, err := TheilSen([]float64{0, 1, 2, 3}, []float64{0, 1, 1, 4}, 0.9) // 0, 1/2, 1, 4/3, 3/2, 3
	require.NoError(t, err)
	assert.InDelta(t, 7.0/6, s.PerStep, 1e-12)
	s, err = TheilSen([]float64{0, 1, 2}, []float64{0, 1, 4}, 0.99)
	require.NoError(t, err)
	assert.Equal(t, Slope{2, 1, 3}, s)
	s, err = TheilSen([]float64{0, 0, 2}, []float64{0, 2, 4}, 0.9)
	require.NoError(t, err)
	assert.InDelta(t, 1.5, s.PerStep, 1e-12)
}

// varianceOfS is that of Kendall's S over all orders of n values: S is the number of
// pairs less twice the inversions, of which the k-th value adds 0 to k−1 with the same
// probability each.
func varianceOfS(n int) float64 {
	variance := 0.0
	for k := 1; k <= n; k++ {
		mean, square := 0.0, 0.0
		for i := range k {
			mean += float64(i) / float64(k)
			square += float64(i*i) / float64(k)
		}
		variance += 4 * (square - mean*mean)
	}
	return variance
}

// The interval's ranks, with a variance that was found in another way (Sen 1968, section
// 4, from memory). Of a parabola's slopes, each is the sum of its ends.
func TestSlopesInterval(t *testing.T) {
	const z = 1.959964 // 95 % of the normal distribution, table, from memory
	for n := 10; n <= 60; n += 5 {
		var x, y, slopes []float64
		for i := range n {
			at := float64(i) + 0.3*float64(i*i%7)/7
			for _, before := range x {
				slopes = append(slopes, at+before)
			}
			x, y = append(x, at), append(y, at*at)
		}
		slices.Sort(slopes)
		all, half := float64(len(slopes)), z*math.Sqrt(varianceOfS(n))
		s, err := TheilSen(x, y, 0.95)
		require.NoError(t, err)
		assert.InDelta(t, slopes[int(math.Round((all-half)/2))-1], s.Low, 1e-9, "%d readings", n)
		assert.InDelta(t, slopes[int(math.Round((all+half)/2))], s.High, 1e-9, "%d readings", n)
	}
}

func TestTimeToCutOffAtTheEdges(t *testing.T) {
	hours := []float64{1, 1.1, 1.2, 1.3, 1.4, 1.5} // since something else
	for _, tc := range []struct {
		name                                 string
		perHour, cutOff, uncertainty, margin float64
		limited                              bool
	}{
		{"sagging slowly: ten times the half hour", -0.1, 10.5, 0.05, 5, true},
		{"flat", 0, 10.5, 0, 5, true},
		{"rising", 0.5, 10.5, 0, 5, true},
		{"soon: half a volt at two volts an hour", -2, 11, 0.1, 0.25, false},
		{"flat, at the cut-off", 0, 12.6, 0, 0, false},
		{"flat, at the cut-off within its uncertainty", 0, 12.5, 0.1, 0, false},
		{"below it", -1, 12.5, 0, 0, false},
	} {
		var volts []float64
		for _, h := range hours {
			volts = append(volts, 12.6+tc.perHour*(h-1))
		}
		left, limited, err := TimeToCutOff(hours, volts, tc.cutOff, tc.uncertainty)
		require.NoError(t, err, tc.name)
		assert.InDelta(t, tc.margin, left, 1e-9, tc.name)
		assert.Equal(t, tc.limited, limited, tc.name)
	}
	left, limited, err := TimeToCutOff([]float64{0, 1}, []float64{12, 11}, 1, 0)
	require.NoError(t, err)
	assert.Equal(t, 10.0, left, "a volt an hour, ten volts to go")
	assert.True(t, limited, "just as far as it is carried on")
}

func TestFloatRangeByTemperature(t *testing.T) {
	cold, err := LeadAcid.FloatRange(5)
	require.NoError(t, err)
	warm, err := LeadAcid.FloatRange(45)
	require.NoError(t, err)
	// Six cells, −3 mV a kelvin each (handbooks, from memory): 0.72 V over 40 K.
	assert.InDelta(t, 0.72, cold.Lower-warm.Lower, 1e-9)
	assert.InDelta(t, 0.72, cold.Upper-warm.Upper, 1e-9)
	for _, celsius := range []float64{-20, 25, 60} {
		lithium, err := LithiumIon.FloatRange(celsius)
		require.NoError(t, err)
		assert.Equal(t, Interval{12.0, 12.6}, lithium, "4.0 to 4.2 V a cell: common practice, no source")
	}
}
