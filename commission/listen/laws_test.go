package listen

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/keyboard"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// The laws of a record know each source as it describes itself.
func TestTheLawsKnowEverySource(t *testing.T) {
	seeded, err := simulated.New(demoSite(t), clock.Real{}, simulated.Options{})
	require.NoError(t, err)
	inNoTime, err := simulated.New(demoSite(t), clock.NewSimulated(time.Now()), simulated.Options{})
	require.NoError(t, err)
	poll, err := web.NewPoll(web.PollConfig{Every: time.Second, Timeout: 3 * time.Second}, clock.Real{})
	require.NoError(t, err)
	seen := map[signal.Way]bool{}
	for _, source := range []signal.Source{mqtt.New(mqtt.Config{}, clock.Real{}),
		mqtt.New(mqtt.Config{Supply: &mqtt.SupplyRule{}}, clock.Real{}), keyboard.New(), seeded, inNoTime,
		web.NewHook(web.HookConfig{}, clock.Real{}), poll} {
		about := source.About()
		assert.True(t, record.IsWay(about), about)
		assert.Equal(t, record.UncertaintyOf[about.Way], time.Duration(about.UncertaintyNS-about.AskedNS), about)
		seen[about.Way] = true
	}
	assert.Len(t, record.UncertaintyOf, len(seen))
}
