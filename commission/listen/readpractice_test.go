package listen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/bench"
	"loopwitness/commission/record"
)

const (
	pollPractised = "poll:\n  url: http://127.0.0.1:8470/\n  signals:\n" +
		"    - {address: z01, active: open, restored: closed}\n"
	hookPractised = "webhook:\n  at: 127.0.0.1:8460\n  secret: kiln-kiln-kiln\n  signals:\n" +
		"    - {path: /z, address: z01, active: open, restored: closed}\n"
	mqttPractised = "mqtt:\n  broker: tcp://127.0.0.1\n  signals:\n" +
		"    - {topic: z, address: z01, active: open, restored: closed}\n"
)

// Where the file says that it is practice, whatever listens says so to the record, which takes it as a way
// that there is; and only there a practice controller speaks.
func TestPracticeIsKeptByEachWay(t *testing.T) {
	for way, text := range map[string]string{"poll": pollPractised, "webhook": hookPractised, "mqtt": mqttPractised} {
		for practice, want := range map[string]bool{"": false, "practice: no\n": false, "practice: yes\n": true} {
			c, err := Read("controller.yaml", []byte("listen: "+way+"\n"+practice+text), demoSite(t))
			require.NoError(t, err, way)
			source, err := c.Source(demoSite(t), clock.Real{})
			require.NoError(t, err)
			about := source.About()
			assert.Equal(t, want, about.Simulated, "%s %s", way, practice)
			assert.True(t, record.IsWay(about), way)
			_, err = bench.New(demoSite(t), clock.Real{}, c.Bench(), bench.Scenario{}, nil)
			if want {
				assert.NoError(t, err, way)
			} else {
				assert.ErrorIs(t, err, bench.ErrNoPractice, way)
			}
		}
	}
	for text, want := range map[string]string{
		"listen: keyboard\npractice: yes\n":                 "practice stands beside listen: keyboard",
		"listen: mqtt\npractice: perhaps\n" + mqttPractised: "controller.yaml:2:11: practice is neither yes nor no",
	} {
		_, err := Read("controller.yaml", []byte(text), demoSite(t))
		assert.ErrorContains(t, err, want)
	}
	c, err := Read("controller.yaml", []byte("listen: simulated\npractice: yes\n"), demoSite(t))
	require.NoError(t, err)
	_, err = bench.New(demoSite(t), clock.Real{}, c.Bench(), bench.Scenario{}, nil)
	assert.ErrorContains(t, err, "names no way")
}
