package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

const studio = `
reference: B-1
premises: {name: Pottery studio, address: 3 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: practice controller}
supply: {battery: {chemistry: none}}
setting: {exit_time: 0.2 s, entry_time: 0.3 s, entry_detector: "1.1"}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z1, detectors: [Door contact]}
  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2, detectors: [Left, Right]}
outputs:
  - {name: Sounder, kind: sounder, address: siren}
`

func readStudio(t testing.TB) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(studio))
	require.NoError(t, err)
	return s
}

func TestCommandsAreTyped(t *testing.T) {
	s := readStudio(t)
	for line, want := range map[string]Command{
		"2.2 open":        {Do: Open, At: "2.2"},
		"  2.2   CLOSE ":  {Do: Close, At: "2.2"},
		"open 2.2":        {Do: Open, At: "2.2"},
		"2.2":             {Do: Touch, At: "2.2"},
		"2":               {Do: Touch, At: "2.1"},
		"2 open":          {Do: Open, At: "2.1"},
		"all":             {Do: All},
		"mains off":       {Do: MainsOff},
		"battery on":      {Do: BatteryOn},
		"set":             {Do: Set},
		"unset":           {Do: Unset},
		"restart":         {Do: Restart, For: 20 * time.Second},
		"restart 1.5 s":   {Do: Restart, For: 1500 * time.Millisecond},
		"silence 2 min":   {Do: Silence, For: 2 * time.Minute},
		"storm 5000 10 s": {Do: Storm, Rate: 5000, For: 10 * time.Second},
		"again":           {Do: Again},
		"quit":            {Do: Quit},
	} {
		got, err := ParseCommand(line, s)
		require.NoError(t, err, line)
		assert.Equal(t, want, got, line)
	}
	for line, why := range map[string]string{
		"":                "nothing is typed",
		"9.1 open":        "9.1",
		"2.3":             "2.3",
		"2.2 opened":      "3.1 open",
		"2.2 open now":    "3.1 open",
		"open":            "which detector",
		"mains":           "is not understood",
		"mians off":       `is "mains off" meant?`,
		"storm":           "a rate and a time",
		"storm 0 10 s":    "from 1 to 20000",
		"storm 20001 1 s": "from 1 to 20000",
		"storm 10 10 h":   "at most",
		"silence":         "",
		"silence -3 s":    "",
		"silence 3 V":     "",
		"quit now":        "is not understood",
	} {
		_, err := ParseCommand(line, s)
		require.Error(t, err, line)
		assert.Contains(t, err.Error(), why, line)
	}
}

// Whatever is typed is refused, or can be done.
func FuzzCommand(f *testing.F) {
	for _, line := range []string{"2.2 open", "storm 5000 10 s", "restart", "mains off", "\xff 1", "1..1"} {
		f.Add(line)
	}
	s := readStudio(f)
	f.Fuzz(func(t *testing.T, line string) {
		c, err := ParseCommand(line, s)
		if err != nil {
			return
		}
		_, _, none := s.Find(c.At)
		if c.Do.OfDetector() != (none == nil) || c.Do.Lasting() != (c.For > 0) || c.For > MostFor ||
			(c.Do == Storm) != (c.Rate > 0) || c.Rate > MostRate {
			t.Fatalf("%q: %+v", line, c)
		}
	})
}
