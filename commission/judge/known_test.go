package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
)

// What is known of a burden may be too much already: that nobody says what else is drawn
// hides no fault, and makes no pass.
func TestWhatIsKnownIsTooMuchAlready(t *testing.T) {
	pack := []string{battery,
		"{chemistry: lithium-ion, form: inline, cells: 3, energy: 60 Wh, efficiency: 90 %, output: 12 V}", charger,
		""}
	strobe := []string{"{name: Sounder, kind: sounder, current: 300 mA}",
		"{name: Sounder, kind: sounder, current: 300 mA}, {name: Flash, kind: strobe}"}
	for _, tc := range []struct {
		name, row string
		changes   []string
		fails     []string // further changes, by which it fails
	}{
		{"adapter", "adapter", strobe, []string{"rating: 2 A", "rating: 60 mA"}},
		{"controller", "adapter", []string{"controller, current: 50 mA,", "controller,"}, []string{"rating: 2 A",
			"rating: 14 mA"}},
		{"standby", "standby", strobe, []string{"capacity: 7 Ah", "capacity: 800 mAh"}},
		{"energy", "energy", append(strobe, pack...), []string{"energy: 60 Wh", "energy: 9 Wh"}},
	} {
		c := designed(t, tc.row, tc.changes...)
		assert.Empty(t, c.Ruling, tc.name)
		assert.NotEmpty(t, c.Missing, tc.name)
		assert.Equal(t,
			map[string]Row{"adapter": AdapterRow{}, "standby": StandbyRow{}, "energy": EnergyRow{}}[tc.row], c.Row,
			tc.name)
		assert.Empty(t, c.Assumed, tc.name)
		failed := designed(t, tc.row, append(tc.changes, tc.fails...)...)
		assert.Equal(t, checks.Fail, failed.Ruling, tc.name)
		assert.Empty(t, failed.Missing, tc.name)
		assert.NotEqual(t, c.Row, failed.Row, tc.name)
	}
	bare := designed(t, "standby", append(strobe, "  loads: []\n", "")...)
	assert.Equal(t, []string{"supply.loads"}, bare.Assumed)
	both := designed(t, "standby", append(strobe, "capacity: 7 Ah, ", "", charger, "")...)
	assert.Equal(t, lack(LackCapacity)[0], both.Missing[0])
	assert.Equal(t, LackCurrent, both.Missing[1].What)
}

// The same of an output of the controller.
func TestAnOutputThatIsOverloadedAlready(t *testing.T) {
	sounders := []string{"{name: Sounder, kind: sounder, current: 300 mA}",
		"{name: Sounder, kind: sounder, current: 300 mA}, {name: Flash, kind: strobe}",
		"detectors:\n      - {name: Eye, powered: {current: 15 mA, minimum: 11.2 V, cable_length: 30 m, conductor: 0.22 " +
			"mm2}}",
		"detectors: [Eye]"}
	for most, want := range map[string]checks.Ruling{"alarm_output: 1 A": "", "alarm_output: 299 mA": checks.Fail} {
		c := designed(t, "output-limit", append(sounders, "alarm_output: 1 A", most)...)
		assert.Equal(t, want, c.Ruling, most)
		assert.Equal(t, want == "", len(c.Missing) > 0, most)
	}
}
