package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/judge"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

// Whoever reads a certificate has never seen the site file: what its keys are is said in plain words.
func TestKeysAreSaidInPlainWords(t *testing.T) {
	keys := []string{"outputs[].own_battery", "outputs[].frequency", "supply.battery.form", "supply.battery.cells",
		"supply.battery.life", "supply.battery.exponent", "supply.battery.hour_rating", "supply.battery.output",
		"supply.battery.efficiency", "supply.standby.ageing", "supply.temperature", "supply.loads", "supply.recharge.to",
		"supply.charger.voltage", "supply.charger.current", "zones[].tolerance", "limits.alarm_load_lower",
		"limits.mains_lower", "limits.mains_upper", "limits.standby_lower", "limits.cold_restart", "limits.steady",
		"limits.response.door", "limits.response.smoke", "limits.listen_for.door", "limits.restore.motion"}
	for _, l := range languages.All() {
		for _, key := range keys {
			for _, p := range []words.Phrase{judge.RestsOnDefaults{Keys: []string{key}}, judge.LimitsAssumed{Keys: []string{key}},
				judge.TakenAs{Keys: []string{key}}} {
				assert.NotRegexp(t, `[a-z]\.[a-z]|\[\]|[a-z]_[a-z]`, l.Say(p), key)
			}
		}
	}
	assert.Equal(
		t,
		"nobody declared response time (door, smoke); how long a report has to stand; common practice was taken",
		words.English{}.Say(judge.LimitsAssumed{Keys: []string{"limits.response.door", "limits.response.smoke",
			"limits.steady"}}),
	)
}
