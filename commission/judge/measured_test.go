package judge

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/programme"
)

// rows are the kinds of what was computed.
func rows(a *Assessment) (out []string) {
	for _, c := range a.Computed() {
		out = append(out, c.Row.Code())
	}
	return out
}

// A battery is computed where there is one, and where somebody looked at it.
func TestWhatIsComputedOfABattery(t *testing.T) {
	design := []string{"adapter", "output-limit", "charger", "recharge", "standby"}
	battery := []string{"charging", "internal", "sag", "age"}
	assert.Subset(t, rows(begin(t).take(nil)), append(battery, design...))
	bare := rows(begin(t, "chemistry: lead-acid", "chemistry: none").take(nil))
	noSupply := opening{keep: func(s programme.Step) bool {
		return s.Stage != programme.StageSupply && s.ID != programme.IDCharging
	}}
	unseen := rows(noSupply.begin(t).take(nil))
	for _, row := range battery {
		assert.NotContains(t, bare, row)
		assert.NotContains(t, unseen, row)
	}
	assert.Subset(t, unseen, design)
	assert.NotContains(t, bare, "standby", "no battery to hold it against")
	inline := rows(begin(t, "chemistry: lead-acid", "chemistry: lead-acid, form: inline").take(nil))
	assert.Subset(t, inline, []string{"energy", "sag", "age"})
	for _, row := range []string{"charger", "recharge", "standby", "charging", "internal"} {
		assert.NotContains(t, inline, row, "the terminals show the converter")
	}
}

// Lead-acid is renewed after 4 years of 365.25 days, lithium-ion after 5 (common practice, no
// source). A battery that was fitted after the visit is a wrong date; one day is left to clocks.
func TestBatteryAge(t *testing.T) {
	nine := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	midnight := nine.Add(-9 * time.Hour)
	for _, tc := range []struct {
		chemistry, fitted string
		at                time.Time
		want              checks.Ruling
	}{
		{"lead-acid", "2022-11-25", nine, checks.Pass},
		{"lead-acid", "2022-11-24", nine, checks.Undecided},
		{"lead-acid", "2022-11-24", midnight, checks.Pass}, // 1461 days to the hour
		{"lithium-ion", "2021-11-24", nine, checks.Undecided},
		{"lithium-ion", "2021-11-25", nine, checks.Pass},
		{"lead-acid", "1996-11-25", nine, checks.Undecided}, // an age alone never fails
		{"lead-acid", "2026-11-24", nine, checks.Pass},
		{"lead-acid", "2026-11-25", midnight, checks.Pass},
		{"lead-acid", "2026-11-25", midnight.Add(-30 * time.Minute), checks.Undecided},
		{"lead-acid", "2026-11-26", nine, checks.Undecided},
		{"lead-acid, life: 10 d", "2026-11-14", nine, checks.Undecided},
		{"lead-acid, life: 11 d", "2026-11-14", nine, checks.Pass},
	} {
		s := opening{site: []string{"chemistry: lead-acid", "chemistry: " + tc.chemistry, "2026-11-01", tc.fitted},
			at: tc.at}.begin(t)
		c := s.computedRow("age")
		assert.Equal(t, tc.want, c.Ruling, "%s fitted %s at %s", tc.chemistry, tc.fitted, tc.at)
		assert.Equal(t, strings.Contains(tc.chemistry, "life"), c.Row.(AgeRow).ByMaker)
	}
	assert.Equal(t, Computed{Row: AgeRow{}, Missing: lack(LackFitted)},
		begin(t, ", fitted: 2026-11-01", "").computedRow("age"))
}
