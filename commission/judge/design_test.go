package judge

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const designSite = `
reference: D-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: none}
maintenance: {interval: 1 year}
controller: {description: controller, current: 50 mA, detector_output: 500 mA, alarm_output: 1 A}
supply:
  adapter: {rating: 2 A, voltage: 13.65 V}
  charger: {voltage: 13.65 V, current: 700 mA}
  recharge: {within: 72 h, to: 80 %}
  battery: {chemistry: lead-acid, cells: 6, capacity: 7 Ah, hour_rating: 20 h, exponent: 1.15}
  standby: {for: 12 h, alarm_for: 15 min, ageing: 1.25, source: policy}
  temperature: 20 C
  loads: []
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - number: 2
    name: Hall
    kind: motion
    wiring: normally closed
    address: z2
    detectors:
      - {name: Eye, powered: {current: 15 mA, minimum: 11.2 V, cable_length: 30 m, conductor: 0.22 mm2}}
outputs: [{name: Sounder, kind: sounder, current: 300 mA}]
limits: {standby_lower: 11.5 V, alarm_load_lower: 11.5 V}
`

// designed is the row of a site file that was changed, a text for its replacement each.
func designed(t *testing.T, row string, changes ...string) Computed {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(replaced(t, designSite, changes...)))
	require.NoError(t, err)
	for _, c := range Design(s) {
		if c.Row.Code() == row {
			return c
		}
	}
	t.Fatalf("no row %q", row)
	return Computed{}
}

func replaced(t testing.TB, text string, changes ...string) string {
	t.Helper()
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	return text
}

// Each caution stands where what it is about is fitted, and only there.
func TestCautions(t *testing.T) {
	read := func(changes ...string) []Caution {
		s, err := site.Read("site.yaml", []byte(replaced(t, designSite, changes...)))
		require.NoError(t, err)
		return cautionsOf(s)
	}
	assert.Equal(t, []Caution{CautionMains, CautionLadders, CautionLeadAcid, CautionSounder}, read())
	assert.Equal(t, []Caution{CautionMains, CautionLadders, CautionLithiumIon},
		read("lead-acid", "lithium-ion", "kind: sounder", "kind: strobe"))
	assert.Equal(t, []Caution{CautionMains, CautionLadders, CautionSounder},
		read("chemistry: lead-acid", "chemistry: none"))
	assert.Equal(t,
		[]Caution{CautionMains, CautionLadders, CautionLeadAcid, CautionSounder, CautionMonitored, CautionAnnounce},
		read("centre: none", "centre: Kiln Watch", "kind: door", "kind: hold-up"))
	assert.Equal(t,
		[]Caution{CautionMains, CautionLadders, CautionLeadAcid, CautionSounder, CautionAnnounce, CautionLifeSafety},
		read("kind: door", "kind: smoke"))
}

// One address that the site does not have is a limitation; so are more.
func TestStrangersAreLimitations(t *testing.T) {
	for n := range 3 {
		s := begin(t)
		for i := range n {
			s.tell(signal.Signal{Address: string(rune('a' + i)), State: signal.Active},
				signal.Signal{Address: string(rune('a' + i)), State: signal.Restored})
		}
		said := s.about(Assess(s.record).Limitations(), "signals")
		if n == 0 {
			assert.Empty(t, said)
			continue
		}
		assert.Contains(t, said, fmt.Sprintf(`"addresses":%d`, n))
	}
}

// A visit writes down so many addresses and no more: from then on there may be more of them.
func TestMoreStrangersThanAreCounted(t *testing.T) {
	s := begin(t)
	tell := func(n int) { s.tell(signal.Signal{Address: fmt.Sprint("stranger ", n), State: signal.Active}) }
	for n := range record.MostStrangers - 1 {
		tell(n)
	}
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "signals"), `{"addresses":999}`)
	tell(record.MostStrangers)
	assert.Contains(t, s.about(Assess(s.record).Limitations(), "signals"), `{"addresses":1000,"at_least":true}`)
}

// A walk-test that proved nothing at all says so, and one that proved one does not.
func TestNoneProvedIsTold(t *testing.T) {
	s := begin(t)
	s.attempt("walk/2.1", "z2", -1, 0)
	assert.Contains(t, s.about(Assess(s.record).Findings(), "detection"), "none-proved")
	s.attempt("walk/1.1", "z1", fast, fast)
	assert.Empty(t, s.about(Assess(s.record).Findings(), "detection"))
}
