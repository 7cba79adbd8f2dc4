package extract

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const twoZones = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
`

// Of a visit that listened in several ways, each stands with its zones; of any other none does.
func TestWays(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(twoZones))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	mqtt := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7}
	ear, poll := mqtt, signal.Listening{Way: signal.ByPolling, TimedBy: signal.ByComputer, UncertaintyNS: 105e7, AskedNS: 1e9,
		Addresses: []string{"z2"}}
	ear.Addresses = []string{"z1"}
	for _, tc := range []struct {
		heard signal.Listening
		want  []Way
	}{
		{mqtt, nil},
		{signal.Together([]signal.Listening{ear, poll}), []Way{{"mqtt", 0.05, []int{1}}, {"poll", 1.05, []int{2}}}},
	} {
		w := journal.On(&nothing{})
		r := &record.Record{}
		for _, f := range []record.Fact{record.Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml",
			Site: twoZones, Programme: programme.Of(s, list)}, tc.heard} {
			e, err := w.Append(time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC), f.Kind(), f)
			require.NoError(t, err)
			require.NoError(t, r.Take(e))
		}
		assert.Equal(t, tc.want, waysOf(r))
	}
}

// nothing is a file that is not kept.
type nothing struct{}

func (*nothing) Write(p []byte) (int, error) { return len(p), nil }
func (*nothing) Sync() error                 { return nil }
func (*nothing) Close() error                { return nil }
