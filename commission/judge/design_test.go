package judge

import (
	"fmt"
	"math"
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
controller: {description: controller, current: 50 mA}
supply:
  adapter: {rating: 1 A}
  battery: {chemistry: lead-acid, capacity: 7 Ah}
  standby: {for: 12 h, alarm_for: 15 min}
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

// Standby 65 mA, alarm 365 mA, recharge C/10 = 700 mA (common practice, no source): the
// adapter needs 0.765 A.
func TestAdapter(t *testing.T) {
	c := designed(t, "adapter")
	row := c.Row.(AdapterRow)
	assert.Equal(t, checks.Pass, c.Ruling)
	assert.InDelta(t, 0.235, row.Headroom, 1e-9)
	assert.Zero(t, row.Need)
	assert.InDeltaSlice(t, []float64{0.065, 0.365, 0.7}, []float64{row.Standby, row.Alarm, row.Recharge}, 1e-9)
	assert.Equal(t, "1 A", row.Rating)

	assert.Equal(t, checks.Pass, designed(t, "adapter", "rating: 1 A", "rating: 765 mA").Ruling, "just enough")
	c = designed(t, "adapter", "rating: 1 A", "rating: 760 mA")
	assert.Equal(t, checks.Fail, c.Ruling)
	assert.InDelta(t, 0.8, c.Row.(AdapterRow).Need, 1e-9, "rounded up to a tenth")
	// The alarm load counts where it is the larger: 2.05 A.
	c = designed(t, "adapter", "current: 300 mA", "current: 2 A")
	assert.InDelta(t, -1.065, c.Row.(AdapterRow).Headroom, 1e-9)
	assert.InDelta(t, 2.1, c.Row.(AdapterRow).Need, 1e-9)
	none := designed(t, "adapter", "{chemistry: lead-acid, capacity: 7 Ah}", "{chemistry: none}")
	assert.InDelta(t, 0.635, none.Row.(AdapterRow).Headroom, 1e-9, "nothing to recharge")
}

// What the site file does not give is named, part by part.
func TestLacks(t *testing.T) {
	assert.Equal(t, lack(LackRating),
		designed(t, "adapter", "adapter: {rating: 1 A}", "adapter: {voltage: 13.8 V}").Missing)
	assert.Equal(t, lack(LackCapacity), designed(t, "adapter", ", capacity: 7 Ah", "").Missing)
	assert.Equal(t, []Lack{{What: LackCurrent, Of: []string{"", "Sounder"}}},
		designed(t, "adapter", ", current: 50 mA", "", ", current: 300 mA", "").Missing)

	assert.Equal(t, lack(LackBattery),
		designed(t, "standby", "{chemistry: lead-acid, capacity: 7 Ah}", "{chemistry: none}").Missing)
	assert.Equal(
		t,
		[]Lack{{What: LackCapacity}, {What: LackStandbyFor}, {What: LackAlarmFor}, {What: LackCurrent, Of: []string{""}}},
		designed(t, "standby", ", capacity: 7 Ah", "", "standby: {for: 12 h, alarm_for: 15 min}",
			"standby: {source: policy}", ", current: 50 mA", "").Missing,
	)
	assert.Empty(
		t,
		designed(t, "standby", ", alarm_for: 15 min", "",
			"outputs: [{name: Sounder, kind: sounder, current: 300 mA}]", "").Missing,
		"without an output no alarm has to be fed",
	)
	assert.Equal(t, LackSense, designed(t, "standby", "supply:\n", "supply:\n  temperature: -5 C\n").Missing[0].What)

	assert.Equal(t, []Lack{{What: LackMinimum}, {What: LackLength}, {What: LackConductor}},
		designed(t, "drop", ", minimum: 11.2 V, cable_length: 30 m, conductor: 0.22 mm2", "").Missing)
	for _, k := range []LackCode{LackRating, LackCapacity, LackStandbyFor, LackAlarmFor, LackCurrent,
		LackMinimum, LackLength, LackConductor, LackFitted} {
		assert.False(t, Lack{What: k}.FromVisit(), k)
	}
	for _, k := range []LackCode{LackMainsVoltage, LackLoadVoltages, LackSounderAmpere, LackThreeVoltages,
		LackLongerHold, LackSense, LackBattery} {
		assert.True(t, Lack{What: k}.FromVisit(), k)
	}
}

// Σ I·t = 0.065·12 + 0.365·0.25 = 0.871 Ah; by Peukert's law at the 20 h rate with 1.15,
// 20·((12·0.065^1.15 + 0.25·0.365^1.15)/20)^(1/1.15), it is 0.943 Ah, which counts.
// × 1.25 (ageing, IEEE 485) × 1.054 (20 °C: IEEE 485 table 1, from memory, linear between
// 15.6 and 21.1 °C).
func TestStandby(t *testing.T) {
	c := designed(t, "standby")
	row := c.Row.(StandbyRow)
	assert.Equal(t, checks.Pass, c.Ruling)
	assert.InDelta(t, 0.9425829*1.25*1.054, row.Required, 1e-6)
	assert.InDelta(t, 0.87125, row.Declared, 1e-9, "without what nobody declared")
	assert.Equal(t, []Assumable{{1.25, true}, {20, true}, {1.15, true}, {20, true}},
		[]Assumable{row.Ageing, row.Temperature, row.Exponent, row.Rate})
	assert.InDelta(t, 1.054, row.Cold, 1e-9)
	require.NotNil(t, row.Autonomy)
	assert.InDelta(t, 107.6923, *row.Autonomy, 1e-3, "7 Ah/0.065 A: below the rated current")
	assert.Nil(t, row.Through)
	assert.Equal(t, []string{"12 h", "15 min", "7 Ah", ""}, []string{row.For, row.AlarmFor, row.Fitted, row.Source})
	assert.InDeltaSlice(t, []float64{0.065, 0.365}, []float64{row.Standby, row.Alarm}, 1e-12)

	// Between what is declared alone and what we assume as well, nothing is decided.
	assert.Equal(t, checks.Undecided, designed(t, "standby", "capacity: 7 Ah", "capacity: 1 Ah").Ruling)
	assert.Equal(t, checks.Undecided, designed(t, "standby", "capacity: 7 Ah", "capacity: 0.8713 Ah").Ruling)
	assert.Equal(t, checks.Fail, designed(t, "standby", "capacity: 7 Ah", "capacity: 0.871 Ah").Ruling)
	assert.Equal(t, checks.Pass, designed(t, "standby", "capacity: 7 Ah", "capacity: 1.242 Ah").Ruling)
	// What is declared counts in full.
	declared := []string{"supply:\n", "supply:\n  temperature: 20 C\n", "alarm_for: 15 min}",
		"alarm_for: 15 min, ageing: 1.25, source: policy}", "capacity: 7 Ah",
		"capacity: 1 Ah, exponent: 1.15, hour_rating: 20 h"}
	c = designed(t, "standby", declared...)
	assert.Equal(t, checks.Fail, c.Ruling)
	row = c.Row.(StandbyRow)
	assert.InDelta(t, row.Required, row.Declared, 1e-12)
	assert.Equal(t, "policy", row.Source)
	assert.Equal(t, []Assumable{{Value: 1.25}, {Value: 20}, {Value: 1.15}, {Value: 20}},
		[]Assumable{row.Ageing, row.Temperature, row.Exponent, row.Rate})
	// A high rate makes Peukert's law count: 2 A for an hour from a 20 h battery.
	c = designed(t, "standby", "current: 50 mA", "current: 1.985 A", "for: 12 h, alarm_for: 15 min",
		"for: 1 h, alarm_for: 0 s")
	assert.InDelta(t, 2.9561711*1.25*1.054, c.Row.(StandbyRow).Required, 1e-5, "20·(1·2^1.15/20)^(1/1.15)")
	// Without a load there is no end to it.
	idle := designed(t, "standby", "current: 50 mA", "current: 0 mA", "current: 15 mA", "current: 0 mA",
		"current: 300 mA", "current: 0 mA")
	assert.Nil(t, idle.Row.(StandbyRow).Autonomy)
}

// A lithium-ion pack gives its current through a converter: I·12/(11.1·0.9), an
// efficiency that is common practice without a source.
func TestLithiumIonGoesThroughItsConverter(t *testing.T) {
	lithium := []string{"chemistry: lead-acid", "chemistry: lithium-ion"}
	row := designed(t, "standby", lithium...).Row.(StandbyRow)
	require.NotNil(t, row.Through)
	assert.Equal(t, Converter{Pack: 11.1, Load: 12, Efficiency: 0.9}, *row.Through)
	assert.InDelta(t, 1.0762666*1.25, row.Required, 1e-6, "by Peukert's law with 1.05")
	assert.Equal(t, []any{1.0, Assumable{1.05, true}}, []any{row.Cold, row.Exponent}, "no cold factor is known for it")
	stated := append(lithium, "capacity: 7 Ah", "capacity: 7 Ah, voltage: 14.8 V, efficiency: 0.8",
		"rating: 1 A", "rating: 1 A, voltage: 13.8 V")
	row = designed(t, "standby", stated...).Row.(StandbyRow)
	assert.Equal(t, Converter{Pack: 14.8, Load: 13.8, Efficiency: 0.8}, *row.Through)
	assert.InDelta(t, 1.0443149*1.25, row.Required, 1e-6)
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
		read("{chemistry: lead-acid, capacity: 7 Ah}", "{chemistry: none}"))
	assert.Equal(t,
		[]Caution{CautionMains, CautionLadders, CautionLeadAcid, CautionSounder, CautionMonitored, CautionAnnounce},
		read("zones:\n", "monitoring: {centre: Kiln Watch}\nzones:\n", "kind: door", "kind: hold-up"))
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

// nonsense is the row of a site after what no file can say was written into it.
func nonsense(t *testing.T, row string, changes []string, spoil func(*site.Site)) Computed {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(replaced(t, designSite, changes...)))
	require.NoError(t, err)
	spoil(s)
	for _, c := range Design(s) {
		if c.Row.Code() == row {
			return c
		}
	}
	t.Fatalf("no row %q", row)
	return Computed{}
}

// Nothing is computed from what makes no sense, and nothing is passed.
func TestNonsenseIsRefused(t *testing.T) {
	lithium := []string{"chemistry: lead-acid", "chemistry: lithium-ion"}
	power := func(s *site.Site) *site.Power { return s.Zones[1].Detectors[0].Power }
	nan := checks.Quantity{SI: math.NaN(), Text: "?"}
	for _, tc := range []struct {
		row     string
		empty   bool // the row names no part
		changes []string
		spoil   func(*site.Site)
		said    string
	}{
		{"adapter", true, nil, func(s *site.Site) { s.Controller.Current = nan }, "draws"},
		{"standby", true, nil, func(s *site.Site) { s.Controller.Current = nan }, "draws"},
		{"standby", true, []string{"supply:\n", "supply:\n  temperature: -5 C\n"}, func(*site.Site) {}, "-3.9 to 60 °C"},
		{"standby", true, nil, func(s *site.Site) { s.Supply.Standby.For = nan }, "h"},
		{"standby", true, nil, func(s *site.Site) { s.Supply.Battery.Exponent = nan }, "Peukert"},
		{"standby", true, lithium, func(s *site.Site) { s.Supply.Battery.Efficiency = nan }, "converter"},
		{"drop", false, nil, func(s *site.Site) { power(s).Conductor.AreaMM2 = 0 }, "conductor"},
		{"drop", false, nil, func(s *site.Site) { power(s).Current = nan }, "cable"},
	} {
		c := nonsense(t, tc.row, tc.changes, tc.spoil)
		require.Len(t, c.Missing, 1, tc.said)
		assert.Equal(t, LackSense, c.Missing[0].What, tc.said)
		assert.Contains(t, c.Missing[0].Said, tc.said)
		assert.Empty(t, c.Ruling, tc.said)
		if tc.empty {
			assert.Zero(t, c.Row, tc.said)
		}
	}
}

// Where one input is missing no verdict stands beside it.
func TestOneLackIsEnough(t *testing.T) {
	for _, tc := range []struct {
		row     string
		changes []string
		want    LackCode
	}{
		{"adapter", []string{", capacity: 7 Ah", ""}, LackCapacity},
		{"standby", []string{", capacity: 7 Ah", ""}, LackCapacity},
		{"standby", []string{", alarm_for: 15 min", ""}, LackAlarmFor},
		{"drop", []string{", cable_length: 30 m", ""}, LackLength},
	} {
		c := designed(t, tc.row, tc.changes...)
		assert.Equal(t, lack(tc.want), c.Missing)
		assert.Empty(t, c.Ruling, tc.row)
	}
	drop := designed(t, "drop", ", cable_length: 30 m", "").Row.(DropRow)
	assert.Zero(t, drop.Far)
	assert.Equal(t, AdapterRow{}, designed(t, "adapter", ", capacity: 7 Ah", "").Row)
	assert.Equal(t, StandbyRow{}, designed(t, "standby", ", capacity: 7 Ah", "").Row)
}

// 1 A for 1 h by the one-hour rate at 25 °C is 1 Ah, with 25 % for ageing 1.25 Ah.
func TestStandbyOnTheEdge(t *testing.T) {
	edge := func(capacity, ageing string) checks.Ruling {
		return designed(t, "standby", "current: 50 mA", "current: 1 A", "current: 15 mA", "current: 0 A",
			"current: 300 mA", "current: 0 A",
			"supply:\n", "supply:\n  temperature: 25 C\n", "for: 12 h, alarm_for: 15 min", "for: 1 h, alarm_for: 0 s"+ageing,
			"capacity: 7 Ah", "capacity: "+capacity+", exponent: 1, hour_rating: 1 h").Ruling
	}
	assert.Equal(t, checks.Pass, edge("1.25 Ah", ""), "just what is required")
	assert.Equal(t, checks.Pass, edge("1.25 Ah", ", ageing: 1.25"))
	assert.Equal(t, checks.Undecided, edge("1 Ah", ""), "just what is declared")
	assert.Equal(t, checks.Fail, edge("0.99 Ah", ""))
}
