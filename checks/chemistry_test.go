package checks

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Cells of a 12 V battery and their nominal voltage: data sheets of packs, looked up.
func TestChemistries(t *testing.T) {
	for _, tc := range []struct {
		c     Chemistry
		cells int
		volt  float64
	}{{LeadAcid, 6, 12}, {LithiumIon, 3, 11.1}, {LithiumIronPhosphate, 4, 12.8}} {
		assert.True(t, tc.c.Known())
		assert.Contains(t, Chemistries, string(tc.c))
		assert.Equal(t, tc.cells, tc.c.UsualCells())
		assert.InDelta(t, tc.volt, tc.c.NominalVolt(tc.cells), 1e-12)
	}
	none := Chemistry("none")
	assert.False(t, none.Known())
	assert.Zero(t, none.UsualCells())
	assert.Zero(t, none.NominalVolt(6))
	assert.Equal(t, 1.0, none.UsualExponent())
	usual, longest := none.ServiceLife()
	assert.Zero(t, usual)
	assert.Zero(t, longest)
}

// Renewed after: common practice, no source; longest: data sheet and calendar model, looked
// up. A Julian year has 365.25 days (definition).
func TestBatteriesAge(t *testing.T) {
	const year = 365*24*time.Hour + 6*time.Hour
	for c, years := range map[Chemistry][2]time.Duration{
		LeadAcid: {4, 8}, LithiumIon: {5, 14}, LithiumIronPhosphate: {5, 14},
	} {
		usual, longest := c.ServiceLife()
		assert.Equal(t, years[0]*year, usual)
		assert.Equal(t, years[1]*year, longest)
	}
}

// The cautious end of 1.05 to 1.15 for glass-mat lead-acid, and about 1.05 for
// lithium-ion (handbooks, looked up).
func TestUsualExponent(t *testing.T) {
	assert.InDelta(t, 1.15, LeadAcid.UsualExponent(), 1e-12)
	assert.InDelta(t, 1.05, LithiumIon.UsualExponent(), 1e-12)
	assert.InDelta(t, 1.05, LithiumIronPhosphate.UsualExponent(), 1e-12)
}

func TestCellsInSeries(t *testing.T) {
	for _, tc := range []struct {
		p    Pack
		want int
	}{{Pack{LeadAcid, 0}, 6}, {Pack{LithiumIon, 0}, 3}, {Pack{LithiumIronPhosphate, 0}, 4}, {Pack{LeadAcid, 1}, 1},
		{Pack{LeadAcid, 24}, 24}} {
		n, err := tc.p.InSeries()
		assert.NoError(t, err)
		assert.Equal(t, tc.want, n)
	}
	for _, p := range []Pack{{LeadAcid, -1}, {LeadAcid, 25}, {"none", 0}, {"none", 6}} {
		r := of(p.InSeries())
		assert.ErrorIs(t, r.err, ErrQuantity, "%v", p)
		assert.True(t, r.nothing)
	}
}

// Where nobody says how many cells there are, it may be any number that is sold.
func TestPacksThatItMayBe(t *testing.T) {
	assert.Equal(t, []Pack{{LeadAcid, 3}, {LeadAcid, 12}}, Pack{LeadAcid, 0}.Otherwise())
	assert.Equal(t, []Pack{{LithiumIon, 2}, {LithiumIon, 4}, {LithiumIon, 7}}, Pack{LithiumIon, 0}.Otherwise())
	assert.Equal(t, []Pack{{LithiumIronPhosphate, 2}, {LithiumIronPhosphate, 5}, {LithiumIronPhosphate, 8}},
		Pack{LithiumIronPhosphate, 0}.Otherwise())
	assert.Empty(t, Pack{LeadAcid, 6}.Otherwise())
	assert.Empty(t, Pack{"none", 0}.Otherwise())
}
