package listen

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/listen/bench"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/signal"
)

const scenario = `building:
  seed: 7
  faults: [{at: "1.1", fault: chatter}]
  mains_fault: {reported: 3 s}
spread: 300 ms
retained: no
steps:
  - {do: mains off}
  - {after: 5 s, do: open, at: "1.1"}
  - {after: 1 min, do: storm, rate: 5000, for: 10 s}
  - {do: restart}
  - {do: restart, for: 2 s}
`

func TestScenarios(t *testing.T) {
	s, err := ReadScenario("s.yaml", []byte(scenario), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, uint64(7), s.Building.Seed)
	assert.Equal(t, []simulated.Fault{{At: "1.1", Kind: simulated.Chatter}}, s.Building.Faults)
	assert.Equal(t, 3*time.Second, s.Building.Told[signal.MainsFault].Reported)
	assert.Equal(t, 300*time.Millisecond, s.Building.Spread)
	assert.True(t, s.Fresh)
	assert.Equal(t, []bench.Step{
		{Command: bench.Command{Do: bench.MainsOff}},
		{After: 5 * time.Second, Command: bench.Command{Do: bench.Open, At: "1.1"}},
		{After: time.Minute, Command: bench.Command{Do: bench.Storm, Rate: 5000, For: 10 * time.Second}},
		{Command: bench.Command{Do: bench.Restart, For: 20 * time.Second}},
		{Command: bench.Command{Do: bench.Restart, For: 2 * time.Second}},
	}, s.Steps)
}

// The scenario that the README shows can be played in the demonstration's studio.
func TestTheScenarioOfTheReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, text, found := strings.Cut(string(readme), "```yaml\nbuilding:")
	require.True(t, found)
	text, _, _ = strings.Cut("building:"+text, "```")
	s, err := ReadScenario("README.md", []byte(text), demoSite(t))
	require.NoError(t, err)
	assert.Len(t, s.Steps, 4)
}

// What is wrong is told with its place.
func TestWrongScenarios(t *testing.T) {
	for text, want := range map[string]string{
		"step: []":                                            `s.yaml:1:1: unknown key "step"`,
		"building: {seed: -1}":                                "s.yaml:1:18: seed is no whole number",
		"building: {faults: [{fault: asleep}]}":               "s.yaml:1:21",
		"spread: 3 V":                                         "s.yaml:1:9: spread is not a time",
		"spread: 2 h":                                         "s.yaml:1:9: spread is not between",
		"retained: maybe":                                     "s.yaml:1:11: retained is neither yes nor no",
		"steps: [{after: 5 s}]":                               `s.yaml:1:9`,
		"steps: [{do: oepn}]":                                 "is open meant?",
		"steps: [{do: dance}]":                                "one of: open, close",
		"steps: [{do: open}]":                                 `"open" needs "at"`,
		"steps: [{do: open, at: \"99.1\"}]":                   "s.yaml:1:24",
		"steps: [{do: open, at: \"1.1\", for: 1 s}]":          `"open" has no "for"`,
		"steps: [{do: storm, for: 1 s}]":                      `"storm" needs "rate"`,
		"steps: [{do: storm, for: 1 s, rate: 0}]":             "s.yaml:1:37: rate is no whole number from 1 to 20000",
		"steps: [{do: silence}]":                              `"silence" needs "for"`,
		"steps: [{do: silence, for: 2 h}]":                    "s.yaml:1:28: for is not between",
		"steps: [{after: 25 h, do: all}]":                     "after is not between",
		"steps:\n" + strings.Repeat("  - {do: all}\n", 10001): "more than 10000 steps",
	} {
		_, err := ReadScenario("s.yaml", []byte(text), demoSite(t))
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want, text)
	}
}

// Whatever is read can be done.
func FuzzScenario(f *testing.F) {
	f.Add([]byte(scenario))
	f.Add([]byte("steps: [{do: storm, for: 1 s, rate: 1}]"))
	s := demoSite(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		all, err := ReadScenario("s.yaml", data, s)
		if err != nil {
			return
		}
		for _, step := range all.Steps {
			c := step.Command
			_, _, none := s.Find(c.At)
			if step.After < 0 || step.After > bench.MostAfter || c.Do.OfDetector() != (none == nil) ||
				c.Do.Lasting() != (c.For > 0) || c.For > bench.MostFor || (c.Do == bench.Storm) != (c.Rate > 0) {
				t.Fatalf("%+v", step)
			}
		}
	})
}
