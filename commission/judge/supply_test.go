package judge

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// What a site file alone allows to say of adapter, outputs, charger and battery, each
// ruling at its boundaries.

const (
	charger  = "  charger: {voltage: 13.65 V, current: 700 mA}\n"
	recharge = "  recharge: {within: 72 h, to: 80 %}\n"
	battery  = "{chemistry: lead-acid, cells: 6, capacity: 7 Ah, hour_rating: 20 h, exponent: 1.15}"
	warmth   = "  temperature: 20 C\n"
	loads    = "  loads: []\n"
)

// Nothing is missing in the site of these tests, and everything fits.
func TestADesignThatHolds(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(designSite))
	require.NoError(t, err)
	var all []string
	for _, c := range Design(s) {
		assert.Equal(t, checks.Pass, c.Ruling, c.Row.Code())
		assert.Empty(t, c.Missing, c.Row.Code())
		assert.Empty(t, c.Assumed, c.Row.Code())
		assert.False(t, c.Danger, c.Row.Code())
		all = append(all, c.Row.Code())
	}
	assert.Equal(t, []string{"adapter", "output-limit", "output-limit", "charger", "recharge", "standby", "drop"}, all)
}

// ruling is one row of the site after changes: what is decided of it and why.
type ruling struct {
	name    string
	row     string
	changes []string
	want    checks.Ruling // "" where something is missing
	lacks   []LackCode
	assumed []string
}

func (r ruling) holds(t *testing.T) {
	t.Helper()
	c := designed(t, r.row, r.changes...)
	assert.Equal(t, r.want, c.Ruling, r.name)
	var lacks []LackCode
	for _, l := range c.Missing {
		lacks = append(lacks, l.What)
	}
	assert.Equal(t, r.lacks, lacks, r.name)
	assert.Equal(t, r.assumed, c.Assumed, r.name)
}

// Standby 65 mA, alarm 365 mA, charger 700 mA: the adapter needs 765 mA to do all at once.
// One that cannot carry the system at rest fails; where a battery has to help in alarm
// nothing is decided, and without a battery it fails.
func TestAdapterRulings(t *testing.T) {
	rated := func(r string) []string { return []string{"rating: 2 A", "rating: " + r} }
	none := func(r string) []string {
		return append(rated(r), "chemistry: lead-acid", "chemistry: none", charger, "")
	}
	for _, tc := range []ruling{
		{"just enough", "adapter", rated("765 mA"), checks.Pass, nil, nil},
		{"not while it charges", "adapter", rated("764 mA"), checks.Undecided, nil, nil},
		{"the battery helps in alarm", "adapter", rated("364 mA"), checks.Undecided, nil, nil},
		{"just the standby", "adapter", rated("65 mA"), checks.Undecided, nil, nil},
		{"not even the standby", "adapter", rated("64 mA"), checks.Fail, nil, nil},
		{"no battery helps", "adapter", none("364 mA"), checks.Fail, nil, nil},
		{"no battery has to", "adapter", none("365 mA"), checks.Pass, nil, nil},
		{"a charger of unknown current", "adapter", []string{charger, ""}, checks.Undecided, nil,
			[]string{"supply.charger.current"}},
		{"too small whatever the charger takes", "adapter", append(rated("364 mA"), charger, ""), checks.Undecided, nil, nil},
		{"a pack of which nobody says what it takes", "adapter", []string{charger, "", "lead-acid", "lead-acid, form: " +
			"inline"},
			checks.Undecided, nil, []string{"supply.charger.current"}},
		{"a pack that charges itself", "adapter", append(rated("764 mA"), "lead-acid", "lead-acid, form: inline"),
			checks.Undecided, nil, nil},
		{"an adapter that charges the pack, too", "adapter", append(rated("765 mA"), "lead-acid", "lead-acid, form: inline"),
			checks.Pass, nil, nil},
		{"a charger without a battery", "adapter", append(rated("365 mA"), "chemistry: lead-acid", "chemistry: none"),
			checks.Pass, nil, nil},
		{"nobody said what else it feeds", "adapter", []string{loads, ""}, checks.Undecided, nil, []string{"supply.loads"}},
		{"too small whatever else it feeds", "adapter", append(rated("64 mA"), loads, ""), checks.Fail, nil,
			[]string{"supply.loads"}},
		{"further loads", "adapter", append(rated("765 mA"), "loads: []",
			"loads: [{name: Keypad, current: 1 mA, alarm_current: 9 mA}]"), checks.Undecided, nil, nil},
		{"a sounder of its own battery, at rest", "adapter", append(rated("364 mA"), "current: 300 mA",
			"current: 300 mA, own_battery: yes"), checks.Fail, nil, nil},
		{"the same, enough", "adapter", append(rated("1065 mA"), "current: 300 mA", "current: 300 mA, own_battery: yes"),
			checks.Pass, nil, nil},
		{"no rating", "adapter", []string{"rating: 2 A, ", ""}, "", []LackCode{LackRating}, nil},
		{"no current of the controller", "adapter", []string{"current: 50 mA, ", ""}, "", []LackCode{LackCurrent}, nil},
	} {
		tc.holds(t)
	}
	row := designed(t, "adapter").Row.(AdapterRow)
	assert.InDeltaSlice(t, []float64{0.065, 0.365, 0.7, 2, 2, 0.765},
		[]float64{row.Standby, row.Alarm, row.Charge, row.Least, row.Most, row.Need}, 1e-12)
	assert.Equal(t, "2 A", row.Rating)
	row = designed(t, "adapter", "current: 300 mA", "current: 2 A").Row.(AdapterRow)
	assert.InDelta(t, 2.065, row.Need, 1e-12, "the alarm where it is the larger")
	c := designed(t, "adapter", "current: 50 mA, ", "", ", current: 300 mA", "")
	assert.Equal(t, []Lack{{What: LackCurrent, Of: []string{"", "Sounder"}}}, c.Missing, "each part is named")
}

// 20 VA at 16 V are 1.25 A of alternating current: 0.6875 A of direct current at 0.55 (a
// transformer maker's 1.8 A for 1 A, looked up). By guides that are from memory it is no more
// than 0.775 A, which may not fail it. More than 20 VA / 12 V = 1.67 A cannot be.
func TestAdaptersOfAlternatingCurrent(t *testing.T) {
	draws := func(milliampere int) []string {
		return []string{"rating: 2 A, voltage: 13.65 V", "rating: 20 VA, voltage: 16 V", "chemistry: lead-acid",
			"chemistry: none", "current: 50 mA", fmt.Sprint("current: ", milliampere-15, " mA"), "current: 300 mA",
			"current: 0 mA"}
	}
	for milliampere, want := range map[int]checks.Ruling{687: checks.Pass, 688: checks.Undecided, 775: checks.Undecided,
		776: checks.Undecided, 1666: checks.Undecided, 1667: checks.Fail} {
		assert.Equal(t, want, designed(t, "adapter", draws(milliampere)...).Ruling, milliampere)
	}
	row := designed(t, "adapter", draws(700)...).Row.(AdapterRow)
	assert.InDeltaSlice(t, []float64{0.6875, 20.0 / 12}, []float64{row.Least, row.Most}, 1e-12)
	assert.Equal(t, "20 VA", row.Rating)
	ruling{"no voltage", "adapter", []string{"rating: 2 A, voltage: 13.65 V", "rating: 20 VA"}, "",
		[]LackCode{LackAdapterVoltage}, nil}.holds(t)
	spoilt := nonsense(t, "adapter", draws(700), func(s *site.Site) { s.Supply.Adapter.Voltage.SI = -1 })
	assert.Equal(t, LackSense, spoilt.Missing[0].What)
	assert.Empty(t, spoilt.Ruling)
}

// The detectors draw 15 mA, the sounder 300 mA.
func TestOutputLimits(t *testing.T) {
	limit := func(which Terminal, changes ...string) Computed {
		s, err := site.Read("site.yaml", []byte(replaced(t, designSite, changes...)))
		require.NoError(t, err)
		for _, c := range Design(s) {
			if row, is := c.Row.(OutputLimitRow); is && row.Which == which {
				return c
			}
		}
		return Computed{}
	}
	const ofDetectors, ofAlarm = "detector_output: 500 mA", "alarm_output: 1 A"
	assert.Equal(t, OutputLimitRow{DetectorOutput, 0.015, "500 mA"}, limit(DetectorOutput).Row)
	assert.Equal(t, OutputLimitRow{AlarmOutput, 0.3, "1 A"}, limit(AlarmOutput).Row)
	assert.Equal(t, checks.Pass, limit(DetectorOutput, ofDetectors, "detector_output: 15 mA").Ruling)
	assert.Equal(t, checks.Fail, limit(DetectorOutput, ofDetectors, "detector_output: 14 mA").Ruling)
	assert.Equal(t, checks.Pass, limit(AlarmOutput, ofAlarm, "alarm_output: 300 mA").Ruling)
	assert.Equal(t, checks.Fail, limit(AlarmOutput, ofAlarm, "alarm_output: 299 mA").Ruling)
	none := limit(AlarmOutput, ", "+ofAlarm, "", ", current: 300 mA", "")
	assert.Equal(t, []Lack{{What: LackAlarmOutput}, {What: LackCurrent, Of: []string{"Sounder"}}}, none.Missing)
	assert.Empty(t, none.Ruling)
	assert.Equal(t, lack(LackDetectorOutput), limit(DetectorOutput, ofDetectors+", ", "").Missing)
	more := "outputs: [{name: Chime, kind: chime, current: 5 A}, " +
		"{name: Own, kind: strobe, current: 4 A, own_battery: yes}, {"
	assert.Equal(t, 0.3, limit(AlarmOutput, "outputs: [{", more).Row.(OutputLimitRow).Load, "neither feeds on that output")
	assert.Nil(t, limit(AlarmOutput, "kind: sounder", "kind: chime").Row, "nothing sounds")
	plain := "- {name: Eye, powered: {current: 15 mA, minimum: 11.2 V, cable_length: 30 m, conductor: 0.22 mm2}}"
	assert.Nil(t, limit(DetectorOutput, plain, "- Eye").Row, "nothing is powered")
}

// Charging voltages by chemistry and cells, as if they stood for ever. Lead-acid at 20 to
// 25 °C: 2.25 to 2.30 V a cell holds, above 2.50 V is a danger, below 2.15 V (2.175 V less
// 5 mV/K to 30 °C) a fault. Lithium-ion: 4.10 to 4.20, 4.35, 3.838 V. Lithium iron phosphate:
// 3.35 to 3.65, 3.90, 3.20 V (all looked up; rows "…/float/…", "…/charge/…" of the table).
func TestChargersByChemistryAndCells(t *testing.T) {
	for _, tc := range []struct {
		chemistry string
		cells     int
		volt      string
		want      checks.Ruling
		verdict   checks.ChargeVerdict
	}{
		{"lead-acid", 6, "12.89", checks.Fail, checks.ChargeFault},
		{"lead-acid", 6, "12.91", checks.Undecided, checks.ChargeUndecided},
		{"lead-acid", 6, "13.49", checks.Undecided, checks.ChargeUndecided},
		{"lead-acid", 6, "13.5", checks.Pass, checks.ChargeHolds},
		{"lead-acid", 6, "13.8", checks.Pass, checks.ChargeHolds},
		{"lead-acid", 6, "13.81", checks.Undecided, checks.ChargeUndecided},
		{"lead-acid", 6, "15", checks.Undecided, checks.ChargeUndecided},
		{"lead-acid", 6, "15.01", checks.Fail, checks.ChargeDanger},
		{"lead-acid", 3, "6.8", checks.Pass, checks.ChargeHolds},
		{"lead-acid", 3, "13.65", checks.Fail, checks.ChargeDanger},
		{"lead-acid", 12, "13.65", checks.Fail, checks.ChargeFault},
		{"lead-acid", 12, "27.3", checks.Pass, checks.ChargeHolds},
		{"lithium-ion", 3, "11.51", checks.Fail, checks.ChargeFault},
		{"lithium-ion", 3, "11.52", checks.Undecided, checks.ChargeUndecided},
		{"lithium-ion", 3, "12.29", checks.Undecided, checks.ChargeUndecided},
		{"lithium-ion", 3, "12.3", checks.Pass, checks.ChargeHolds},
		{"lithium-ion", 3, "12.6", checks.Pass, checks.ChargeHolds},
		{"lithium-ion", 3, "12.61", checks.Undecided, checks.ChargeUndecided},
		{"lithium-ion", 3, "13.05", checks.Undecided, checks.ChargeUndecided},
		{"lithium-ion", 3, "13.06", checks.Fail, checks.ChargeDanger},
		{"lithium-ion", 3, "13.8", checks.Fail, checks.ChargeDanger},
		{"lithium-ion", 4, "13.8", checks.Fail, checks.ChargeFault},
		{"lithium-ion", 4, "16.8", checks.Pass, checks.ChargeHolds},
		{"lithium-iron-phosphate", 4, "12.79", checks.Fail, checks.ChargeFault},
		{"lithium-iron-phosphate", 4, "12.81", checks.Undecided, checks.ChargeUndecided},
		{"lithium-iron-phosphate", 4, "13.4", checks.Pass, checks.ChargeHolds},
		{"lithium-iron-phosphate", 4, "14.6", checks.Pass, checks.ChargeHolds},
		{"lithium-iron-phosphate", 4, "14.61", checks.Undecided, checks.ChargeUndecided},
		{"lithium-iron-phosphate", 4, "15.61", checks.Fail, checks.ChargeDanger},
		{"lithium-iron-phosphate", 8, "13.8", checks.Fail, checks.ChargeFault},
	} {
		c := designed(t, "charger", "voltage: 13.65 V, current: 700 mA", "voltage: "+tc.volt+" V, current: 700 mA",
			"lead-acid, cells: 6", fmt.Sprintf("%s, cells: %d", tc.chemistry, tc.cells))
		row := c.Row.(ChargerRow)
		name := fmt.Sprint(tc.chemistry, tc.cells, " at ", tc.volt)
		assert.Equal(t, tc.want, c.Ruling, name)
		assert.Equal(t, tc.verdict, row.Verdict, name)
		assert.Equal(t, tc.verdict == checks.ChargeDanger, c.Danger, name)
		assert.Equal(t, tc.cells, row.Cells, name)
		assert.Equal(t, tc.chemistry, row.Chemistry, name)
	}
	row := designed(t, "charger").Row.(ChargerRow)
	assert.InDeltaSlice(t, []float64{13.5, 13.8, 15, 2.275, 13.65, 0.7, 1.75}, []float64{row.Lower, row.Upper, row.Highest,
		row.PerCell, row.Volt, row.Ampere, row.MostAmpere}, 1e-9)
	assert.Zero(t, row.RuinAmpere)
}

// Below 0 °C lithium is not charged, above 60 °C neither, above 45 °C by some; what
// lead-acid is charged with is stated for 20 to 25 °C, whatever its lowest temperature.
func TestChargersInColdAndHeat(t *testing.T) {
	ion := []string{"lead-acid, cells: 6", "lithium-ion, cells: 3", "13.65 V, current", "12.5 V, current"}
	for celsius, want := range map[int]checks.Ruling{-1: checks.Fail, 0: checks.Pass, 45: checks.Pass,
		46: checks.Undecided, 60: checks.Undecided, 61: checks.Fail} {
		c := designed(t, "charger", append(ion, "20 C", fmt.Sprint(celsius, " C"))...)
		assert.Equal(t, want, c.Ruling, celsius)
		assert.Equal(t, celsius < 0, c.Danger, celsius)
		assert.Equal(t, celsius >= 0 && celsius <= 45, c.Row.(ChargerRow).Upper > 0, "nothing holds at %d °C", celsius)
		assert.Equal(t, celsius < 0 || celsius > 45, c.Row.(ChargerRow).Upper == 0, "and nothing is no number")
	}
	for _, celsius := range []string{"-15 C", "40 C"} {
		assert.Equal(t, checks.Pass, designed(t, "charger", "20 C", celsius).Ruling)
	}
}

// Up to 0.25 C no source objects to a current into lead-acid, above 0.4 C every one does;
// into lithium 0.2 C, and no limit is common to all (looked up).
func TestChargerCurrents(t *testing.T) {
	ion := []string{"lead-acid, cells: 6", "lithium-ion, cells: 3", "13.65 V, current", "12.5 V, current"}
	for _, tc := range []struct {
		current string
		changes []string
		want    checks.Ruling
		ruin    float64
	}{
		{"1.75 A", nil, checks.Pass, 0}, {"1.76 A", nil, checks.Undecided, 0}, {"2.8 A", nil, checks.Undecided, 0},
		{"2.81 A", nil, checks.Fail, 2.8},
		{"4 A", []string{"capacity: 7 Ah", "capacity: 10 Ah"}, checks.Undecided, 0}, // 0.4 C to the bit
		{"1.4 A", ion, checks.Pass, 0}, {"1.41 A", ion, checks.Undecided, 0}, {"50 A", ion, checks.Undecided, 0},
	} {
		c := designed(t, "charger", append(tc.changes, "current: 700 mA", "current: "+tc.current)...)
		assert.Equal(t, tc.want, c.Ruling, tc.current)
		assert.False(t, c.Danger)
		assert.InDelta(t, tc.ruin, c.Row.(ChargerRow).RuinAmpere, 1e-12)
	}
}

// A charger that nobody describes gives the adapter's voltage; an adapter of alternating
// current says nothing. What is a danger or a fault needs nothing more to be one.
func TestChargersThatNobodyDescribes(t *testing.T) {
	ac := []string{"rating: 2 A, voltage: 13.65 V", "rating: 40 VA, voltage: 16 V"}
	ion := []string{"lead-acid, cells: 6", "lithium-ion, cells: 3"}
	bare := []string{charger, "", ", capacity: 7 Ah", ""}
	for _, tc := range []ruling{
		{"no charger", "charger", []string{charger, ""}, "", []LackCode{LackChargerCurrent},
			[]string{"supply.charger.voltage"}},
		{"only its current", "charger", []string{"voltage: 13.65 V, current: 700", "current: 700"}, checks.Undecided, nil,
			[]string{"supply.charger.voltage"}},
		{"an adapter above lead-acid feeds a charging circuit", "charger", []string{"voltage: 13.65 V, current: 700",
			"current: 700", "voltage: 13.65 V", "voltage: 16 V"}, checks.Undecided, nil, []string{"supply.charger.voltage"}},
		{"an adapter above lithium is a danger", "charger", append(ion, "voltage: 13.65 V, current: 700", "current: 700"),
			checks.Fail, nil, []string{"supply.charger.voltage"}},
		{"adapter of alternating current", "charger", append(ac, charger, ""), "",
			[]LackCode{LackChargerVoltage, LackChargerCurrent}, nil},
		{"but a charger behind it", "charger", ac, checks.Pass, nil, nil},
		{"nothing at all", "charger", append(bare, ", voltage: 13.65 V", ""), "",
			[]LackCode{LackChargerVoltage, LackChargerCurrent, LackCapacity}, nil},
		{"no capacity", "charger", []string{", capacity: 7 Ah", ""}, "", []LackCode{LackCapacity}, nil},
		{"cells assumed", "charger", []string{", cells: 6", ""}, checks.Undecided, nil, []string{"supply.battery.cells"}},
		{"one cell", "charger", []string{"cells: 6", "cells: 1", "voltage: 13.65 V, current", "voltage: 2.27 V, current"},
			checks.Pass, nil, nil},
		{"warmth of lead-acid", "charger", []string{warmth, ""}, checks.Pass, nil, nil},
		{"warmth of lithium", "charger", append(ion, warmth, "", "13.65 V, current", "12.5 V, current"), checks.Undecided,
			nil, []string{"supply.temperature"}},
		{"a danger without capacity and current", "charger", append(bare, ion...), checks.Fail, nil,
			[]string{"supply.charger.voltage"}},
		{"a fault without them", "charger", append(bare, "cells: 6", "cells: 12"), checks.Fail, nil,
			[]string{"supply.charger.voltage"}},
	} {
		tc.holds(t)
	}
	assert.True(t, designed(t, "charger", "voltage: 13.65 V, current: 700", "current: 700").Row.(ChargerRow).OfAdapter)
	assert.False(t, designed(t, "charger").Row.(ChargerRow).OfAdapter)
	assert.Equal(t, 3, designed(t, "charger", "lead-acid, cells: 6", "lithium-ion").Row.(ChargerRow).Cells)
	// A pack with a charger of its own is not charged by ours.
	s, err := site.Read("site.yaml", []byte(replaced(t, designSite, "lead-acid", "lead-acid, form: inline")))
	require.NoError(t, err)
	for _, c := range Design(s) {
		assert.NotContains(t, []string{"charger", "recharge", "standby"}, c.Row.Code())
	}
}

// 80 % of 17 Ah with 110 % returned is 14.96 Ah: 9.97 h at 1.5 A. Nothing that is assumed
// fails it, and who declares nothing learns what is missing.
func TestRecharge(t *testing.T) {
	large := []string{"rating: 2 A", "rating: 1.5 A", "capacity: 7 Ah", "capacity: 17 Ah", "current: 700 mA",
		"current: 1.5 A"}
	within := func(time string) []string { return append(large, "within: 72 h", "within: "+time) }
	for _, tc := range []ruling{
		{"17 Ah on 1.5 A within 72 h", "recharge", large, checks.Pass, nil, nil},
		{"within 600 min", "recharge", within("600 min"), checks.Pass, nil, nil},
		{"within 598 min", "recharge", within("598 min"), checks.Fail, nil, nil},
		{"nothing declared", "recharge", append(large, recharge, ""), "", []LackCode{LackRecharge}, nil},
		{"share assumed", "recharge", append(large, ", to: 80 %", ""), checks.Undecided, nil, []string{"supply.recharge.to"}},
		{"too slow with the usual share", "recharge", append(within("598 min"), ", to: 80 %", ""), checks.Fail, nil,
			[]string{"supply.recharge.to"}},
		{"charger not described", "recharge", []string{charger, ""}, "", []LackCode{LackChargerCurrent}, nil},
		{"nothing known", "recharge", []string{charger, "", recharge, "", ", capacity: 7 Ah", ""}, "",
			[]LackCode{LackRecharge, LackCapacity, LackChargerCurrent}, nil},
	} {
		tc.holds(t)
	}
	row := designed(t, "recharge", large...).Row.(RechargeRow)
	assert.InDelta(t, 9.9733333, row.Hours, 1e-6)
	assert.Equal(t, []any{"72 h", Assumable{Value: 0.8}, "17 Ah", 1.5, ""},
		[]any{row.Within, row.To, row.Capacity, row.Ampere, row.Source})
	spoilt := nonsense(t, "recharge", nil, func(s *site.Site) { s.Supply.Charger.Current.SI = 0 })
	assert.Equal(t, LackSense, spoilt.Missing[0].What, "a charger that gives nothing never ends")
	assert.Empty(t, spoilt.Ruling)
	spoilt = nonsense(t, "recharge", nil, func(s *site.Site) { s.Supply.Charger.Current.SI = math.NaN() })
	assert.Equal(t, LackSense, spoilt.Missing[0].What)
}

// Σ I·t = 0.065·12 + 0.365·0.25 = 0.871 Ah; by Peukert's law at the 20 h rate with 1.15,
// 20·((12·0.065^1.15 + 0.25·0.365^1.15)/20)^(1/1.15), it is 0.943 Ah, which counts.
// × 1.25 (ageing, IEEE 485) × 1.054 at 20 °C (IEEE 485 table 1, linear between 15.6 and
// 21.1 °C) holds; × 1/0.99 (a maker of glass-mat batteries, looked up) is what must fail.
func TestStandbyRulings(t *testing.T) {
	row := designed(t, "standby").Row.(StandbyRow)
	assert.InDelta(t, 0.9425829*1.25*1.054, row.Required, 1e-6)
	assert.InDelta(t, 0.9425829*1.25/0.99, row.Declared, 1e-6)
	assert.InDeltaSlice(t, []float64{0.065, 0.365, 1.054, 1 / 0.99},
		[]float64{row.Standby, row.Alarm, row.Cold, row.ColdLeast}, 1e-9)
	assert.Equal(t, []string{"12 h", "15 min", "7 Ah", "policy"}, []string{row.For, row.AlarmFor, row.Fitted, row.Source})
	assert.Equal(t, []Assumable{{Value: 1.25}, {Value: 20}, {Value: 1.15}, {Value: 20}},
		[]Assumable{row.Ageing, row.Temperature, row.Exponent, row.Rate})
	require.NotNil(t, row.Autonomy)
	assert.InDelta(t, 7/0.065, *row.Autonomy, 1e-6, "below the rated current no law lengthens it: C/I")
	assert.False(t, row.Measured)
	fitted := func(ah string, changes ...string) []string {
		return append([]string{"capacity: 7 Ah", "capacity: " + ah}, changes...)
	}
	const ageing, rate, exponent = ", ageing: 1.25", ", hour_rating: 20 h", ", exponent: 1.15"
	for _, tc := range []ruling{
		{"by every source", "standby", fitted("1.242 Ah"), checks.Pass, nil, nil},
		{"between", "standby", fitted("1.241 Ah"), checks.Undecided, nil, nil},
		{"just not failed", "standby", fitted("1.191 Ah"), checks.Undecided, nil, nil},
		{"by no source", "standby", fitted("1.19 Ah"), checks.Fail, nil, nil},
		{"ageing assumed", "standby", []string{ageing, ""}, checks.Undecided, nil, []string{"supply.standby.ageing"}},
		{"ageing alone does not fail", "standby", fitted("1.19 Ah", ageing, ""), checks.Undecided, nil,
			[]string{"supply.standby.ageing"}},
		{"fails without it", "standby", fitted("0.952 Ah", ageing, ""), checks.Fail, nil, []string{"supply.standby.ageing"}},
		{"temperature assumed", "standby", []string{warmth, ""}, checks.Undecided, nil, []string{"supply.temperature"}},
		{"temperature alone does not fail", "standby", fitted("1.179 Ah", warmth, ""), checks.Undecided, nil,
			[]string{"supply.temperature"}},
		{"fails without it", "standby", fitted("1.178 Ah", warmth, ""), checks.Fail, nil, []string{"supply.temperature"}},
		{"exponent does not matter", "standby", []string{exponent, ""}, checks.Pass, nil, nil},
		{"exponent matters", "standby", fitted("1.25 Ah", exponent, ""), checks.Undecided, nil,
			[]string{"supply.battery.exponent"}},
		{"exponent alone does not fail", "standby", fitted("1.101 Ah", exponent, ""), checks.Undecided, nil, nil},
		{"fails without it", "standby", fitted("1.1 Ah", exponent, ""), checks.Fail, nil, nil},
		{"rate does not matter", "standby", []string{rate, ""}, checks.Pass, nil, nil},
		{"rate matters", "standby", fitted("1.25 Ah", rate, ""), checks.Undecided, nil,
			[]string{"supply.battery.hour_rating"}},
		{"no law, so that the rate is no matter", "standby", fitted("1.15 Ah", rate, "", "exponent: 1.15", "exponent: 1"),
			checks.Pass, nil, nil},
		{"the rate is declared", "standby", fitted("3 Ah", exponent, ""), checks.Pass, nil, nil},
		{"neither is declared", "standby", fitted("3 Ah", exponent, "", rate, ""), checks.Undecided, nil,
			[]string{"supply.battery.exponent", "supply.battery.hour_rating"}},
		{"loads assumed", "standby", []string{loads, ""}, checks.Undecided, nil, []string{"supply.loads"}},
		{"nothing declared", "standby", []string{", capacity: 7 Ah", "", "for: 12 h, alarm_for: 15 min, ageing: 1.25, source",
			"source", "current: 50 mA, ", ""}, "",
			[]LackCode{LackCapacity, LackStandbyFor, LackAlarmFor, LackCurrent}, nil},
		{"no alarm time", "standby", []string{", alarm_for: 15 min", ""}, "", []LackCode{LackAlarmFor}, nil},
		{"no alarm to be fed", "standby", []string{", alarm_for: 15 min", "",
			"outputs: [{name: Sounder, kind: sounder, current: 300 mA}]", ""}, checks.Pass, nil, nil},
		{"frost", "standby", []string{"20 C", "-5 C"}, checks.Pass, nil, nil},
		{"colder than anything is known for", "standby", []string{"20 C", "-21 C"}, "", []LackCode{LackSense}, nil},
	} {
		tc.holds(t)
	}
	assert.Equal(t, StandbyRow{}, designed(t, "standby", ", alarm_for: 15 min", "").Row, "no number beside a lack")
	idle := designed(t, "standby", "current: 50 mA", "current: 0 mA", "current: 15 mA", "current: 0 mA",
		"current: 300 mA", "current: 0 mA")
	assert.Nil(t, idle.Row.(StandbyRow).Autonomy, "without a load there is no end to it")
	// A high rate makes Peukert's law count: 2 A for an hour from a 20 h battery.
	c := designed(t, "standby", "current: 50 mA", "current: 1.985 A", "for: 12 h, alarm_for: 15 min",
		"for: 1 h, alarm_for: 0 s")
	assert.InDelta(t, 2.9561711*1.25*1.054, c.Row.(StandbyRow).Required, 1e-5, "20·(1·2^1.15/20)^(1/1.15)")
}

// 1 A for 1 h by the one-hour rate at 25 °C is 1 Ah, with 25 % for ageing 1.25 Ah.
func TestStandbyOnTheEdge(t *testing.T) {
	edge := func(capacity, ageing string) checks.Ruling {
		return designed(t, "standby", "current: 50 mA", "current: 1 A", "current: 15 mA", "current: 0 A",
			"current: 300 mA", "current: 0 A", "20 C", "25 C", "for: 12 h, alarm_for: 15 min, ageing: 1.25",
			"for: 1 h, alarm_for: 0 s"+ageing, "capacity: 7 Ah, hour_rating: 20 h, exponent: 1.15",
			"capacity: "+capacity+", exponent: 1, hour_rating: 1 h").Ruling
	}
	assert.Equal(t, checks.Pass, edge("1.25 Ah", ", ageing: 1.25"), "just what is required")
	assert.Equal(t, checks.Fail, edge("1.24 Ah", ", ageing: 1.25"), "all is declared, and every source agrees at 25 °C")
	assert.Equal(t, checks.Undecided, edge("1.25 Ah", ""))
	assert.Equal(t, checks.Undecided, edge("1 Ah", ""), "just what is declared")
	assert.Equal(t, checks.Fail, edge("0.99 Ah", ""))
}

// (0.065·12 + 0.365·0.25) A·h · 12 V = 10.455 Wh; × 1.25 for ageing / 0.9 for the converter is
// 14.521 Wh, which must be there at the least; × 1.0353 at 20 °C (the least share that is
// published for lithium-ion: 85 % at 0 °C, from memory, linear to 25 °C) 15.0333 Wh holds.
func TestEnergyOfPacks(t *testing.T) {
	pack := func(changes ...string) []string {
		return append([]string{battery,
			"{chemistry: lithium-ion, form: inline, cells: 3, energy: 60 Wh, efficiency: 90 %, output: 12 V}"}, changes...)
	}
	of := func(energy string, changes ...string) []string {
		return pack(append([]string{"60 Wh", energy}, changes...)...)
	}
	row := designed(t, "energy", pack()...).Row.(EnergyRow)
	assert.InDeltaSlice(t, []float64{15.0333333, 14.5208333, 60, 0.065, 0.365, 1.0352941, 1},
		[]float64{row.Required, row.Declared, row.Energy, row.Standby, row.Alarm, row.Cold, row.ColdLeast}, 1e-6)
	require.NotNil(t, row.Autonomy)
	assert.InDelta(t, 60*0.9/(0.065*12), *row.Autonomy, 1e-9)
	assert.Equal(t, []Assumable{{Value: 12}, {Value: 0.9}, {Value: 1.25}, {Value: 20}},
		[]Assumable{row.Output, row.Efficiency, row.Ageing, row.Temperature})
	assert.Equal(t, []string{"12 h", "15 min", "policy"}, []string{row.For, row.AlarmFor, row.Source})
	for _, tc := range []ruling{
		{"by every source", "energy", of("15.04 Wh"), checks.Pass, nil, nil},
		{"between", "energy", of("15.03 Wh"), checks.Undecided, nil, nil},
		{"just not failed", "energy", of("14.53 Wh"), checks.Undecided, nil, nil},
		{"by no source", "energy", of("14.52 Wh"), checks.Fail, nil, nil},
		{"efficiency assumed", "energy", pack(", efficiency: 90 %", ""), checks.Undecided, nil,
			[]string{"supply.battery.efficiency"}},
		{"efficiency alone does not fail", "energy", of("13.07 Wh", ", efficiency: 90 %", ""), checks.Undecided, nil,
			[]string{"supply.battery.efficiency"}},
		{"fails without it", "energy", of("13.06 Wh", ", efficiency: 90 %", ""), checks.Fail, nil,
			[]string{"supply.battery.efficiency"}},
		{"output assumed", "energy", pack(", output: 12 V", ""), checks.Undecided, nil, []string{"supply.battery.output"}},
		{"ageing assumed", "energy", pack(", ageing: 1.25", ""), checks.Undecided, nil, []string{"supply.standby.ageing"}},
		{"temperature assumed", "energy", pack(warmth, ""), checks.Undecided, nil, []string{"supply.temperature"}},
		{"no energy", "energy", pack("energy: 60 Wh, ", ""), "", []LackCode{LackEnergy}, nil},
		{"no energy, no standby", "energy", pack("energy: 60 Wh, ", "", "for: 12 h, ", ""), "",
			[]LackCode{LackEnergy, LackStandbyFor}, nil},
		{"capacity and cells", "energy", pack("energy: 60 Wh", "capacity: 1.36 Ah"), checks.Pass, nil, nil},
		{"capacity between", "energy", pack("energy: 60 Wh", "capacity: 1.35 Ah"), checks.Undecided, nil, nil},
		{"cells assumed", "energy", pack("energy: 60 Wh", "capacity: 5 Ah", "cells: 3, ", ""), checks.Undecided, nil,
			[]string{"supply.battery.cells"}},
		{"nominal voltage declared", "energy", pack("energy: 60 Wh", "capacity: 5 Ah, voltage: 11.1 V", "cells: 3, ", ""),
			checks.Pass, nil, nil},
		{"deep frost", "energy", pack("20 C", "-21 C"), "", []LackCode{LackSense}, nil},
	} {
		tc.holds(t)
	}
	assert.InDelta(t, 5*14.8, designed(t, "energy", pack("energy: 60 Wh", "capacity: 5 Ah, voltage: 14.8 V")...).
		Row.(EnergyRow).Energy, 1e-9)
	assert.InDelta(t, 60, designed(t, "energy", pack("energy: 60 Wh", "energy: 60 Wh, capacity: 5 Ah")...).
		Row.(EnergyRow).Energy, 1e-9, "what is stated counts")
	cold := func(energy string, changes ...string) checks.Ruling {
		return designed(t, "energy", pack(append([]string{"lithium-ion, form: inline, cells: 3", "lead-acid, form: converter",
			"60 Wh", energy, "20 C", "0 C"}, changes...)...)...).Ruling
	}
	assert.Equal(t, checks.Undecided, cold("16.9 Wh"), "14.521 Wh/0.86 at 0 °C by a maker of glass-mat batteries")
	assert.Equal(t, checks.Fail, cold("16.8 Wh"))
	assert.Equal(t, checks.Undecided, cold("16.8 Wh", "  temperature: 0 C\n", ""),
		"a temperature that is ours fails nothing")
	assert.Equal(t, checks.Undecided, cold("14.6 Wh", "  temperature: 0 C\n", ""), "not even by 1/0.99 at the usual 20 °C")
	assert.False(t, row.Measured)
	lead := designed(t, "energy", "lead-acid", "lead-acid, form: converter, energy: 84 Wh, output: 12 V", "20 C", "0 C")
	assert.Greater(t, lead.Row.(EnergyRow).ColdLeast, 1.1, "cold lead-acid gives less by every source")
	idle := designed(t, "energy", pack("current: 50 mA", "current: 0 A", "current: 15 mA", "current: 0 A",
		"current: 300 mA", "current: 0 A")...)
	assert.Nil(t, idle.Row.(EnergyRow).Autonomy)
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
	power := func(s *site.Site) *site.Power { return s.Zones[1].Detectors[0].Power }
	nan := checks.Quantity{SI: math.NaN(), Text: "?"}
	for _, tc := range []struct {
		row   string
		spoil func(*site.Site)
	}{
		{"standby", func(s *site.Site) { s.Controller.Current = nan }},
		{"standby", func(s *site.Site) { s.Supply.Standby.For = nan }},
		{"standby", func(s *site.Site) { s.Supply.Battery.Exponent = nan }},
		{"standby", func(s *site.Site) { s.Supply.Battery.Chemistry = "unheard of" }},
		{"charger", func(s *site.Site) { s.Supply.Battery.Chemistry = "unheard of" }},
		{"charger", func(s *site.Site) { s.Supply.Charger.Voltage = nan }},
		{"drop", func(s *site.Site) { power(s).Conductor.AreaMM2 = 0 }},
		{"drop", func(s *site.Site) { power(s).Current = nan }},
	} {
		c := nonsense(t, tc.row, nil, tc.spoil)
		require.Len(t, c.Missing, 1, tc.row)
		assert.Equal(t, LackSense, c.Missing[0].What, tc.row)
		assert.NotEmpty(t, c.Missing[0].Said, tc.row)
		assert.Empty(t, c.Ruling, tc.row)
	}
}

// What a visit lacks is told from what the site file lacks.
func TestWhoLacksWhat(t *testing.T) {
	for _, k := range []LackCode{LackRating, LackAdapterVoltage, LackCapacity, LackEnergy, LackStandbyFor, LackAlarmFor,
		LackCurrent, LackChargerVoltage, LackChargerCurrent, LackRecharge, LackDetectorOutput, LackAlarmOutput, LackMinimum,
		LackLength, LackConductor, LackFitted, LackFirstResistance} {
		assert.False(t, Lack{What: k}.FromVisit(), k)
	}
	for _, k := range []LackCode{LackMainsVoltage, LackChargingVoltage, LackStandbyVoltage, LackLoadVoltages,
		LackSounderAmpere, LackSystemCurrent, LackFarVoltage, LackLoad, LackSense} {
		assert.True(t, Lack{What: k}.FromVisit(), k)
	}
	assert.True(t, strings.HasPrefix(Lack{What: LackRating}.Code(), "lack/"))
}

// Whoever leaves all fields empty gets no verdict and every lack.
func TestAnEmptySiteFileIsNotGreen(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(`
reference: E-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
cables: {reused: "no"}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}}
zones:
  - number: 1
    name: Hall
    kind: motion
    wiring: normally closed
    address: z1
    detectors: [{name: Eye, powered: {current: 9 mA}}]
outputs: [{name: Sounder, kind: sounder}]
`))
	require.NoError(t, err)
	for _, c := range Design(s) {
		assert.Empty(t, c.Ruling, c.Row.Code())
		assert.NotEmpty(t, c.Missing, c.Row.Code())
	}
}

// Below −20 °C no factor of ours says what a battery gives: nothing is computed, and
// that is what is told.
func TestABatteryInTheColdOfWhichNothingIsKnown(t *testing.T) {
	assert.Empty(t, designed(t, "standby", "temperature: 20 C", "temperature: -20 C").Missing)
	c := designed(t, "standby", "temperature: 20 C", "temperature: -30 C")
	assert.Empty(t, c.Ruling)
	require.Len(t, c.Missing, 1)
	assert.Equal(t, LackSense, c.Missing[0].What)
	assert.Contains(t, c.Missing[0].Said, "-30 °C")
}
