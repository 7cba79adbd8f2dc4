package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// A charger that fails only by the usual number of cells is undecided where nobody says how
// many there are, and a danger stays one; one that fits no battery that is sold fails.
func TestChargersOfCellsThatNobodyDeclares(t *testing.T) {
	for name, tc := range map[string]struct {
		chemistry, volt string
		want            checks.Ruling
		danger, assumed bool
	}{
		"lead-acid of 12 V":                 {"lead-acid", "13.65 V", checks.Undecided, false, true},
		"lead-acid of 24 V":                 {"lead-acid", "27.3 V", checks.Undecided, true, true},
		"lead-acid of 6 V":                  {"lead-acid", "6.8 V", checks.Undecided, false, true},
		"no lead-acid":                      {"lead-acid", "18 V", checks.Fail, true, true},
		"three lithium-ion cells":           {"lithium-ion", "12.5 V", checks.Undecided, false, true},
		"four lithium-ion cells":            {"lithium-ion", "16.6 V", checks.Undecided, true, true},
		"lithium-ion under lead-acid":       {"lithium-ion", "13.65 V", checks.Fail, true, true},
		"five iron phosphate cells":         {"lithium-iron-phosphate", "17.5 V", checks.Undecided, true, true},
		"iron phosphate charged too high":   {"lithium-iron-phosphate", "20 V", checks.Fail, true, true},
		"three lithium-ion cells, declared": {"lithium-ion, cells: 3", "16.6 V", checks.Fail, true, false},
	} {
		c := designed(t, "charger", "lead-acid, cells: 6", tc.chemistry, "{voltage: 13.65 V", "{voltage: "+tc.volt)
		assert.Equal(t, tc.want, c.Ruling, name)
		assert.Equal(t, tc.danger, c.Danger, name)
		assert.Equal(t, tc.assumed, len(c.Assumed) > 0, name)
		assert.Empty(t, c.Missing, name)
	}
}

// The same of what is measured: while mains is present, and on battery.
func TestReadingsOfCellsThatNobodyDeclares(t *testing.T) {
	bare := []string{"cells: 6, ", ""}
	for _, tc := range []struct {
		before, after float64
		want          checks.Ruling
		danger        bool
	}{
		{27.3, 27.3, checks.Undecided, true}, {27.3, 0, checks.Undecided, true}, {6.8, 6.8, checks.Undecided, false},
		{18, 18, checks.Fail, true}, {12.3, 13.6, checks.Fail, false}, {27.3, 13.6, checks.Undecided, true},
	} {
		c := charging(t, bare, record.Yes, tc.before, tc.after, tc.after)
		assert.Equal(t, tc.want, c.Ruling, "%v", tc)
		assert.Equal(t, tc.danger, c.Danger, "%v", tc)
		assert.Equal(t, tc.want == checks.Undecided, len(c.Assumed) > 0, "%v", tc)
	}
	for volt, want := range map[float64]checks.Ruling{6.2: checks.Undecided, 5.7: checks.Fail, 11.7: checks.Fail,
		23: checks.Undecided} {
		assert.Equal(t, want, sagging(t, bare, 10*time.Minute, volt).Ruling, volt)
	}
}

// A danger that rests on a number of cells is put right by saying it.
func TestADangerByCells(t *testing.T) {
	f := Finding{What: ComputedSo{Row: ChargerRow{}, Ruling: checks.Undecided, Danger: true, Assumed: []string{cellsKey}}}
	assert.Equal(t, Danger, f.Severity())
	assert.Equal(t, DeclareIt, f.Remedy())
}
