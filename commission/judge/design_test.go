package judge

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const designSite = `
reference: D-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: none}
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

// 30 m of 0.22 mm² out and back, 96 Ω/km (DIN VDE 0295): 5.76 Ω, 86.4 mV at 15 mA, from
// the lowest supply accepted on standby.
func TestDrop(t *testing.T) {
	c := designed(t, "drop")
	row := c.Row.(DropRow)
	assert.Equal(t, checks.Pass, c.Ruling)
	assert.InDeltaSlice(t, []float64{11.5, 5.76, 11.4136}, []float64{row.Supply, row.Loop, row.Far}, 1e-9)
	assert.Equal(t, checks.RuleVDE0295Flexible, row.Rule)
	assert.Equal(t, "2.1", string(row.Detector.Point))
	assert.Equal(t, checks.Pass, designed(t, "drop", "minimum: 11.2 V", "minimum: 11.4136 V").Ruling, "just enough")

	c = designed(t, "drop", "cable_length: 30 m", "cable_length: 300 m")
	row = c.Row.(DropRow)
	assert.Equal(t, checks.Fail, c.Ruling)
	assert.InDelta(t, 104, row.Shorten, 0, "0.3 V / (2 · 0.096 Ω/m · 0.015 A) = 104.2 m, rounded down")
	assert.NotEmpty(t, row.Thicker)
	assert.False(t, row.Hopeless)

	for _, minimum := range []string{"11.5 V", "12 V"} {
		row = designed(t, "drop", "minimum: 11.2 V", "minimum: "+minimum).Row.(DropRow)
		assert.True(t, row.Hopeless, minimum)
		assert.Zero(t, row.Shorten)
	}
	assert.False(t, designed(t, "drop", "minimum: 11.2 V", "minimum: 11.49 V").Row.(DropRow).Hopeless)
	warm := designed(t, "drop", "temperature: 20 C", "temperature: 45 C").Row.(DropRow)
	assert.InDelta(t, 5.76*(1+0.00393*25), warm.Loop, 1e-9, "copper, IEC 60028")
}

// What an ohmmeter should read, by Kirchhoff, resistors within 5 %.
func TestExpectedLoops(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(replaced(t, designSite,
		"wiring: normally closed, address: z1, detectors: [Door]",
		"wiring: two resistors, end_of_line: 4k7, contact_resistor: 4k7, address: z1, detectors: [Door, Gate]")))
	require.NoError(t, err)
	l, err := ExpectedLoop(&s.Zones[0])
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{4465, 4700, 4935}, []float64{l.Normal.Low, l.Normal.Nominal, l.Normal.Up}, 1e-6)
	assert.InDelta(t, 9400, l.Active.Nominal, 1e-6)
	assert.Equal(t, 1, l.Active.Opened, "the first window is one contact's")
	assert.Zero(t, l.Shorted.Nominal)
	assert.Equal(t, checks.LoopCut, l.Cut.State)
	assert.Empty(t, l.Alike)

	l, err = ExpectedLoop(&s.Zones[1])
	require.NoError(t, err)
	assert.Contains(t, l.Alike, [2]checks.LoopState{checks.LoopNormal, checks.LoopShorted})
	assert.Contains(t, l.Alike, [2]checks.LoopState{checks.LoopActive, checks.LoopCut})
	_, err = ExpectedLoop(&site.Zone{Wiring: "unheard of"})
	assert.Error(t, err)
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

// A loop may read 50 Ω more than its circuit for cable and joints (common practice, no
// source), and no more.
func TestWhatCableMayAddToALoop(t *testing.T) {
	read := func(ohm float64) Computed {
		s := begin(t)
		s.tell(record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Value: ohm, Unit: "ohm", AsTyped: "as typed"})
		found := loopsOf(Assess(s.record))
		require.Len(t, found, 1)
		return found[0]
	}
	assert.Equal(t, checks.Pass, read(52).Ruling, "with 2 Ω of contacts and clips")
	assert.Equal(t, checks.Fail, read(53).Ruling)
	assert.Empty(t, read(53).Row.(LoopRow).States)
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
