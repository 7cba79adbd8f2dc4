package judge

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// What the readings of a visit say of battery, charger and load.

// charging is the row of a visit with voltages before mains was removed, at once when it
// came back, and some time after; 0 for not read.
func charging(t *testing.T, changes []string, charged record.Result, before, back, after float64) Computed {
	t.Helper()
	s := begin(t, changes...)
	instead := map[string][]any{programme.IDCharged: {answer(programme.IDCharged, charged)}}
	for step, v := range map[string]float64{programme.IDMainsPresent: before, programme.IDMainsBack: back,
		programme.IDCharging: after} {
		instead[step] = []any{reads(step, v)}
		if v == 0 {
			instead[step] = []any{answer(step, record.LeftOut, "no meter")}
		}
	}
	s.take(instead)
	return s.computedRow("charging")
}

// Readings of a charger, with ± 0.0764 V by one decimal, ± 0.0503 V by two. Below 12.90 V less that, a battery that is
// given as charged has a fault; one that may still be charging is read again.
func TestCharging(t *testing.T) {
	const yes, no, unknown = record.Yes, record.No, record.LeftOut
	ion := []string{"lead-acid, cells: 6", "lithium-ion, cells: 3"}
	phosphate := []string{"lead-acid, cells: 6", "lithium-iron-phosphate, cells: 4"}
	cells := []string{"cells: 6, ", ""}
	for _, tc := range []struct {
		name                string
		site                []string
		charged             record.Result
		before, back, after float64
		want                checks.Ruling
		danger              bool
		lacks               []LackCode
		assumed             []string
	}{
		{"holds throughout", nil, yes, 13.6, 13.2, 13.6, checks.Pass, false, nil, nil},
		{"dead charger, given as charged", nil, yes, 12.45, 12.3, 12.35, checks.Fail, false, nil, nil},
		{"dead charger, not known whether charged", nil, unknown, 12.45, 12.3, 12.35, checks.Undecided, false, nil, nil},
		{"dead charger, not long on charge", nil, no, 12.45, 12.3, 12.35, checks.Undecided, false, nil, nil},
		{"just a fault", nil, yes, 12.84, 13.2, 13.6, checks.Fail, false, nil, nil},
		{"too near to a fault", nil, yes, 12.85, 13.2, 13.6, checks.Undecided, false, nil, nil},
		{"float in dispute", nil, yes, 13.2, 13.2, 13.2, checks.Undecided, false, nil, nil},
		{"not charged before, charges now", nil, no, 12.3, 13.2, 13.6, checks.Pass, false, nil, nil},
		{"low before, not known why", nil, unknown, 12.9, 13.2, 13.6, checks.Undecided, false, nil, nil},
		{"holds, not known whether charged", nil, unknown, 13.6, 13.2, 13.6, checks.Pass, false, nil, nil},
		{"not charged before, rises above rest", nil, no, 12.9, 12.8, 13.15, checks.Pass, false, nil, nil},
		{"charged, rises above rest", nil, yes, 13.6, 13.0, 13.15, checks.Pass, false, nil, nil},
		{"rises, not clear of a battery at rest", nil, no, 12.9, 12.8, 12.95, checks.Undecided, false, nil, nil},
		{"rises, just clear of it", nil, no, 12.9, 12.8, 12.96, checks.Pass, false, nil, nil},
		{"boost after a discharge", nil, yes, 13.6, 14.2, 14.4, checks.Undecided, false, nil, nil},
		{"boiling", nil, yes, 15.2, 13.2, 13.6, checks.Fail, true, nil, nil},
		{"boiling when mains came back", nil, unknown, 13.6, 15.2, 13.6, checks.Fail, true, nil, nil},
		{"boiling ten minutes later", nil, unknown, 13.6, 13.6, 15.2, checks.Fail, true, nil, nil},
		{"danger beside a fault", nil, yes, 12.45, 13.2, 15.2, checks.Fail, true, nil, nil},
		{"13.80 V on three lithium-ion cells", ion, yes, 13.8, 13.8, 13.8, checks.Fail, true, nil, nil},
		{"12.5 V on three lithium-ion cells", ion, yes, 12.5, 12.4, 12.5, checks.Pass, false, nil, nil},
		{"lithium-ion that never charges", ion, no, 10.5, 10.5, 10.5, checks.Fail, false, nil, nil},
		{"lithium-ion that stands where it rests", ion, no, 12.5, 12.1, 12.2, checks.Undecided, false, nil, nil},
		{"lithium iron phosphate", phosphate, yes, 13.8, 13.5, 13.8, checks.Pass, false, nil, nil},
		{"not read before", nil, yes, 0, 13.2, 13.6, "", false, []LackCode{LackMainsVoltage}, nil},
		{"not read again", nil, yes, 13.6, 13.2, 0, "", false, []LackCode{LackChargingVoltage}, nil},
		{"read at no time", nil, yes, 0, 0, 0, "", false, []LackCode{LackMainsVoltage, LackChargingVoltage}, nil},
		{"a fault needs no second reading", nil, yes, 12.3, 0, 0, checks.Fail, false, nil, nil},
		{"cells assumed", cells, yes, 13.6, 13.2, 13.6, checks.Undecided, false, nil, []string{"supply.battery.cells"}},
		{"one cell", []string{"cells: 6", "cells: 1"}, yes, 2.275, 2.275, 2.275, checks.Undecided, false, nil, nil},
		{"a fault, cells assumed", cells, yes, 12.3, 13.2, 13.6, checks.Fail, false, nil, nil},
	} {
		c := charging(t, tc.site, tc.charged, tc.before, tc.back, tc.after)
		assert.Equal(t, tc.want, c.Ruling, tc.name)
		assert.Equal(t, tc.danger, c.Danger, tc.name)
		var lacks []LackCode
		for _, l := range c.Missing {
			lacks = append(lacks, l.What)
		}
		assert.Equal(t, tc.lacks, lacks, tc.name)
		assert.Equal(t, tc.assumed, c.Assumed, tc.name)
		assert.Equal(t, programme.IDMainsPresent, c.Step, tc.name)
	}
}

// What the row tells: each reading with what it was held against, what was answered.
func TestWhatIsToldOfCharging(t *testing.T) {
	row := charging(t, nil, record.Yes, 13.6, 13.2, 13.15).Row.(ChargingRow)
	require.Len(t, row.Readings, 3)
	assert.Equal(t, []any{"lead-acid", 6, record.Yes, true}, []any{row.Chemistry, row.Cells, row.Charged, row.Rose})
	first := row.Readings[0]
	assert.Equal(t, programme.IDMainsPresent, first.Step)
	assert.InDeltaSlice(t, []float64{13.6, 0.0763763, 13.6 / 6, 13.5, 13.8, 15},
		[]float64{first.Volt, first.Uncertainty, first.PerCell, first.Lower, first.Upper, first.Highest}, 1e-6)
	assert.Empty(t, charging(t, nil, record.LeftOut, 13.6, 13.2, 13.6).Row.(ChargingRow).Charged)
	assert.False(t, charging(t, nil, record.Yes, 13.6, 13.2, 13.6).Row.(ChargingRow).Rose, "it holds without that")
	void := begin(t)
	void.tell(answer(programme.IDMainsOff, record.Done), reads(programme.IDMainsPresent, 15.5))
	assert.Empty(t, void.computedRow("charging").Ruling, "read with mains removed")
}

// A battery that stands still at a low voltage after mains came back does not charge: it has
// to rise above the last voltage on battery. Lead-acid alone shows it so.
func TestABatteryThatDoesNotRise(t *testing.T) {
	s := begin(t)
	s.take(map[string][]any{"supply/standby-4": {10 * time.Minute, reads("supply/standby-4", 13.05)},
		programme.IDCharged:  {answer(programme.IDCharged, record.No)},
		programme.IDCharging: {reads(programme.IDCharging, 13.15)}})
	assert.Equal(t, checks.Undecided, s.computedRow("charging").Ruling, "within the uncertainty of both")
	s = begin(t)
	s.take(map[string][]any{programme.IDMainsOff: {answer(programme.IDMainsOff, record.LeftOut, "no")},
		programme.IDCharged:  {answer(programme.IDCharged, record.No)},
		programme.IDCharging: {reads(programme.IDCharging, 13.15)}})
	assert.Equal(t, checks.Undecided, s.computedRow("charging").Ruling, "nothing to rise from")
}

// Lithium rests as high as it charges: that it stands higher than on battery shows nothing.
func TestLithiumThatRises(t *testing.T) {
	s := begin(t, "lead-acid, cells: 6", "lithium-ion, cells: 3")
	s.take(map[string][]any{"supply/standby-4": {10 * time.Minute, reads("supply/standby-4", 11.7)},
		programme.IDMainsPresent: {reads(programme.IDMainsPresent, 12.2)},
		programme.IDMainsBack:    {reads(programme.IDMainsBack, 12)},
		programme.IDCharged:      {answer(programme.IDCharged, record.No)},
		programme.IDCharging:     {reads(programme.IDCharging, 12.2)}})
	assert.Equal(t, checks.Undecided, s.computedRow("charging").Ruling)
}

// sagging is the row of a battery read once, so long after mains was removed.
func sagging(t *testing.T, changes []string, after time.Duration, volt float64) Computed {
	t.Helper()
	s := begin(t, changes...)
	s.tell(answer(programme.IDMainsOff, record.Done), after, reads("supply/standby-4", volt))
	return s.computedRow("sag")
}

// From 12.5 V on after ten minutes at a tenth of C or less there is no sign of a bad
// lead-acid battery; below 12.0 V within an hour it is bad (looked up: a measured discharge).
// Two decimals are read within ± 0.0503 V.
func TestSag(t *testing.T) {
	const ten = 10 * time.Minute
	warmth := func(c string) []string { return []string{"temperature: 20 C", "temperature: " + c} }
	load := func(ma string) []string { return []string{"controller, current: 100 mA", "controller, current: " + ma} }
	ion := []string{"lead-acid, cells: 6", "lithium-ion, cells: 3"}
	for _, tc := range []struct {
		name    string
		site    []string
		after   time.Duration
		volt    float64
		want    checks.Ruling
		short   bool
		assumed []string
	}{
		{"11.70 V after 10 min at 245 mA from 7 Ah", load("245 mA"), ten, 11.7, checks.Fail, false, nil},
		{"no sign of harm", nil, ten, 12.6, checks.Pass, false, nil},
		{"just none", nil, ten, 12.56, checks.Pass, false, nil},
		{"too near to it", nil, ten, 12.55, checks.Undecided, false, nil},
		{"between", nil, ten, 12.2, checks.Undecided, false, nil},
		{"too near to bad", nil, ten, 11.95, checks.Undecided, false, nil},
		{"bad", nil, ten, 11.94, checks.Fail, false, nil},
		{"a hold of one second", nil, time.Second, 12.7, checks.Undecided, true, nil},
		{"just too short", nil, ten - time.Second, 12.7, checks.Undecided, true, nil},
		{"bad at once", nil, time.Second, 11.7, checks.Fail, true, nil},
		{"low after an hour", nil, time.Hour, 11.7, checks.Fail, false, nil},
		{"low after more than an hour", nil, time.Hour + time.Second, 11.7, checks.Undecided, false, nil},
		{"a tenth of C", load("700 mA"), ten, 11.7, checks.Fail, false, nil},
		{"more than a tenth of C", load("701 mA"), ten, 11.7, checks.Undecided, false, nil},
		{"load not known", []string{"controller, current: 100 mA", "controller"}, ten, 11.7, checks.Undecided, false, nil},
		{"part of the load known", []string{"controller, current: 100 mA", "controller",
			"loads: []", "loads: [{name: Keypad, current: 30 mA, alarm_current: 30 mA}]"}, ten, 11.7, checks.Undecided, false,
			nil},
		{"capacity not known", []string{"capacity: 7 Ah, ", ""}, ten, 11.7, checks.Undecided, false, nil},
		{"15 °C", warmth("15 C"), ten, 11.7, checks.Fail, false, nil},
		{"colder than was measured", warmth("14 C"), ten, 11.7, checks.Undecided, false, nil},
		{"good in the cold", warmth("0 C"), ten, 12.7, checks.Pass, false, nil},
		{"cells assumed", []string{"cells: 6, ", ""}, ten, 12.7, checks.Undecided, false, []string{"supply.battery.cells"}},
		{"one cell", []string{"cells: 6", "cells: 1"}, ten, 2.2, checks.Pass, false, nil},
		{"higher than a battery stands", nil, ten, 13.6, checks.Undecided, false, nil},
		{"bad, cells assumed", []string{"cells: 6, ", ""}, ten, 11.7, checks.Fail, false, nil},
		{"lithium-ion", ion, ten, 12.3, checks.Pass, false, nil},
		{"lithium-ion between", ion, ten, 11.5, checks.Undecided, false, nil},
		{"lithium-ion empty", ion, ten, 8.9, checks.Fail, false, nil},
		{"a converter", []string{"lead-acid, cells: 6", "lead-acid, form: converter"}, ten, 9, "", false, nil},
		{"a converter, tried too short", []string{"lead-acid, cells: 6", "lead-acid, form: inline"}, time.Minute, 12,
			checks.Undecided, true, nil},
	} {
		c := sagging(t, tc.site, tc.after, tc.volt)
		row := c.Row.(SagRow)
		assert.Equal(t, tc.want, c.Ruling, tc.name)
		assert.Equal(t, tc.short, row.Short, tc.name)
		assert.Equal(t, tc.assumed, c.Assumed, tc.name)
		assert.Equal(t, []any{1, tc.after, tc.volt, tc.volt, "12 h"},
			[]any{row.Readings, row.Tried, row.From, row.To, row.Required}, tc.name)
	}
	assert.Equal(t, lack(LackStandbyVoltage), begin(t).computedRow("sag").Missing)
	behind := sagging(t, []string{"lead-acid, cells: 6", "lead-acid, form: converter"}, ten, 9)
	assert.True(t, behind.Row.(SagRow).Converter)
}

// The last reading by time counts, of the last time that mains was removed; what was read
// under load, or with mains present, is no part of it.
func TestSagOfOneDischarge(t *testing.T) {
	s := begin(t)
	s.take(nil)
	c := s.computedRow("sag")
	row := c.Row.(SagRow)
	assert.Equal(t, []any{4, 12.7, "supply/standby-4"}, []any{row.Readings, row.To, c.Step})
	assert.InDelta(t, 0.09, row.Ampere, 1e-12, "as measured")
	s = begin(t)
	s.tell(answer(programme.IDMainsOff, record.Done), time.Minute, reads("supply/standby-4", 12.7), 10*time.Minute,
		reads("supply/standby-2", 12.6))
	c = s.computedRow("sag")
	assert.Equal(t, []any{"supply/standby-2", 12.7, 12.6}, []any{c.Step, c.Row.(SagRow).From, c.Row.(SagRow).To})
	s.tell(answer(programme.IDMainsOn, record.Done), time.Hour, record.Reopened{Step: programme.IDMainsOff},
		answer(programme.IDMainsOff, record.Done), time.Second, reads("supply/standby-4", 12.9))
	c = s.computedRow("sag")
	assert.Equal(t, []any{1, 12.9, checks.Undecided}, []any{c.Row.(SagRow).Readings, c.Row.(SagRow).From, c.Ruling})
	assert.InDelta(t, 0.1, c.Row.(SagRow).Ampere, 1e-12, "as declared")
}

// (12.7 V − 12.3 V)/(0.4 A − 0.09 A) = 1.290 Ω ± √2·0.0764/0.31 = 0.348 Ω (two loads). Up to
// 1.3 times the first value holds (from memory), from twice it on it fails (looked up). At
// the hand-over it is the first value, which nothing is held against.
func TestResistance(t *testing.T) {
	first := func(ohm string) []string { return []string{"resistance: 1R5", "resistance: " + ohm + " ohm"} }
	for _, tc := range []struct {
		name  string
		visit programme.VisitKind
		site  []string
		load  float64
		want  checks.Ruling
		lacks []Lack
	}{
		{"first value", programme.Handover, first("0.01"), 12.3, "", nil},
		{"as it was", programme.Maintenance, first("1.3"), 12.3, checks.Pass, nil},
		{"just as it was", programme.Maintenance, first("1.261"), 12.3, checks.Pass, nil},
		{"more than it was", programme.Maintenance, first("1.259"), 12.3, checks.Undecided, nil},
		{"not surely twice", programme.Maintenance, first("0.472"), 12.3, checks.Undecided, nil},
		{"twice", programme.Maintenance, first("0.470"), 12.3, checks.Fail, nil},
		{"no load pulls it down", programme.Maintenance, first("0.4"), 12.71, checks.Pass, nil},
		{"not declared", programme.Maintenance, []string{", resistance: 1R5", ""}, 12.3, "", lack(LackFirstResistance)},
		{"not declared for a retest", programme.Retest, []string{", resistance: 1R5", ""}, 12.3, "",
			lack(LackFirstResistance)},
	} {
		s := opening{site: tc.site, visit: tc.visit}.begin(t)
		s.take(map[string][]any{programme.IDAlarmLoad: s.underLoad(reads(programme.IDAlarmLoad, tc.load))})
		c := s.computedRow("internal")
		assert.Equal(t, tc.want, c.Ruling, tc.name)
		assert.Equal(t, tc.lacks, c.Missing, tc.name)
	}
	s := begin(t)
	s.take(nil)
	c := s.computedRow("internal")
	row := c.Row.(InternalRow)
	assert.InDeltaSlice(t, []float64{12.7, 12.3, 0.31, 0.4 / 0.31, 0.348427},
		[]float64{row.Rest, row.Load, row.More, row.Ohm, row.Uncertainty}, 1e-6)
	assert.Equal(t, []any{true, "", programme.IDAlarmLoad}, []any{row.Measured, row.First, c.Step})
	s = opening{visit: programme.Maintenance}.begin(t)
	s.take(nil)
	assert.Equal(t, "1R5", s.computedRow("internal").Row.(InternalRow).First)
}

// The current that pulls a battery down: as measured of the whole system, else of each
// output, else as declared; with one of them unknown none is computed.
func TestTheCurrentOfAResistance(t *testing.T) {
	left := func(step string) []any { return []any{answer(step, record.LeftOut, "no clamp")} }
	noClamp := map[string][]any{programme.IDStandbyCurrent: left(programme.IDStandbyCurrent),
		programme.IDAlarmCurrent: left(programme.IDAlarmCurrent)}
	with := func(more map[string][]any) map[string][]any {
		for step, facts := range noClamp {
			if more[step] == nil {
				more[step] = facts
			}
		}
		return more
	}
	own := "cut_off: 15 min\n  - {name: Own, kind: sounder, current: 2 A, own_battery: yes}"
	second := "cut_off: 15 min\n  - {name: Second, kind: strobe, current: 0.1 A}"
	sounder := []any{ampere("outputs/Sounder", 0.35), answer("outputs/Sounder", record.Works)}
	for _, tc := range []struct {
		name     string
		site     []string
		instead  map[string][]any
		more     float64
		measured bool
	}{
		{"of the system", nil, map[string][]any{}, 0.31, true},
		{"declared", nil, with(map[string][]any{}), 0.3, false},
		{"of the output", nil, with(map[string][]any{"outputs/Sounder": sounder}), 0.35, true},
		{"all together", []string{"cut_off: 15 min", second}, with(map[string][]any{}), 0.4, false},
		{"one of them measured", []string{"cut_off: 15 min", second}, with(map[string][]any{"outputs/Sounder": sounder}),
			0.45, false},
		{"the other one measured", []string{"cut_off: 15 min", second}, with(map[string][]any{"outputs/Second": {
			ampere("outputs/Second", 0.2), answer("outputs/Second", record.Works)}}), 0.5, false},
		{"a sounder of its own battery", []string{"cut_off: 15 min", own}, with(map[string][]any{}), 0.3, false},
		{"at rest alone says nothing", nil, with(map[string][]any{programme.IDStandbyCurrent: {
			ampere(programme.IDStandbyCurrent, 0.09)}}), 0.3, false},
		{"in alarm alone says nothing", nil, with(map[string][]any{programme.IDAlarmCurrent: {
			ampere(programme.IDAlarmCurrent, 0.4)}}), 0.3, false},
		{"less in alarm than at rest", nil, with(map[string][]any{
			programme.IDStandbyCurrent: {ampere(programme.IDStandbyCurrent, 0.1)},
			programme.IDAlarmCurrent:   {ampere(programme.IDAlarmCurrent, 0.1)}}), 0.3, false},
	} {
		s := begin(t, tc.site...)
		s.take(tc.instead)
		row := s.computedRow("internal").Row.(InternalRow)
		assert.InDelta(t, tc.more, row.More, 1e-12, tc.name)
		assert.Equal(t, tc.measured, row.Measured, tc.name)
	}
	s := begin(t, "    current: 300 mA\n", "")
	s.take(with(map[string][]any{}))
	assert.Equal(t, lack(LackSounderAmpere), s.computedRow("internal").Missing)
	assert.Zero(t, s.computedRow("internal").Row)
	s = begin(t, "cut_off: 15 min", "cut_off: 15 min\n  - {name: Second, kind: strobe}")
	s.take(with(map[string][]any{}))
	assert.Equal(t, lack(LackSounderAmpere), s.computedRow("internal").Missing, "one of two is unknown")
	s = begin(t)
	s.take(map[string][]any{programme.IDAlarmLoad: left(programme.IDAlarmLoad)})
	assert.Equal(t, lack(LackLoadVoltages), s.computedRow("internal").Missing)
	s = begin(t)
	s.take(map[string][]any{"outputs/Sounder": deadSounder, programme.IDAlarmLoad: s.underLoad(reads(programme.IDAlarmLoad, 9))})
	assert.Equal(t, lack(LackLoad), s.computedRow("internal").Missing, "too low, and nobody knows by which current")
	s = begin(t, "cut_off: 15 min", own) // whose own battery carries it: no load of the supply
	s.take(map[string][]any{"outputs/Own": {switched("Own", true), switched("Own", false), answer("outputs/Own", record.Fails, "dead")}})
	assert.Empty(t, s.computedRow("internal").Missing)
	coarse := record.Reading{Step: programme.IDAlarmLoad, Quantity: record.VoltageReading, Value: 12, AsTyped: "12 V",
		Uncertainty: 0.05}
	s = begin(t)
	s.take(map[string][]any{programme.IDAlarmLoad: s.underLoad(coarse)})
	assert.InDelta(t, 1.4142136*0.5795113/0.31, s.computedRow("internal").Row.(InternalRow).Uncertainty, 1e-6,
		"the worse of both, where the last digits differ")
}

// systemRows are the rows of the whole system's current, at rest and in alarm.
func systemRows(s *story) (rest, alarm Computed) {
	for _, c := range systemCurrentsOf(Assess(s.record)) {
		if c.Row.(SystemCurrentRow).Alarm {
			alarm = c
		} else {
			rest = c
		}
	}
	return rest, alarm
}

// deadSounder was energised for nothing.
var deadSounder = []any{switched("Sounder", true), switched("Sounder", false), answer("outputs/Sounder", record.Fails, "dead")}

// At rest 100 mA are declared, in alarm 100 + 300 + 30 mA. Who measures more than is declared
// has a budget that nothing was computed with; what was measured takes its place.
func TestSystemCurrents(t *testing.T) {
	measure := func(rest, alarm float64, changes ...string) *story {
		s := begin(t, changes...)
		s.take(map[string][]any{programme.IDStandbyCurrent: {ampere(programme.IDStandbyCurrent, rest)},
			programme.IDAlarmCurrent: s.underLoad(ampere(programme.IDAlarmCurrent, alarm))})
		return s
	}
	rest, alarm := systemRows(measure(0.1, 0.43))
	assert.Equal(t, []checks.Ruling{checks.Pass, checks.Pass}, []checks.Ruling{rest.Ruling, alarm.Ruling})
	assert.Equal(t, []string{programme.IDStandbyCurrent, programme.IDAlarmCurrent}, []string{rest.Step, alarm.Step})
	row := alarm.Row.(SystemCurrentRow)
	assert.InDeltaSlice(t, []float64{0.43, 0.43}, []float64{row.Declared, row.Measured}, 1e-12)
	assert.True(t, row.Known)
	// Without its sounder, of 0.3 A as declared, the system draws 0.13 A in alarm as declared.
	without := func(read float64, changes ...string) *story {
		s := begin(t, changes...)
		s.take(map[string][]any{"outputs/Sounder": deadSounder, programme.IDStandbyCurrent: {ampere(programme.IDStandbyCurrent, 0.1)},
			programme.IDAlarmCurrent: s.underLoad(ampere(programme.IDAlarmCurrent, read))})
		return s
	}
	for read, want := range map[float64]float64{0.05: 0.43, 0.12: 0.43, 0.2: 0.5, 0.6: 0.9} {
		s := without(read)
		_, alarm = systemRows(s)
		if read == 0.6 {
			assert.Equal(t, checks.Undecided, alarm.Ruling, "too much even without it")
			assert.InDelta(t, read, alarm.Row.(SystemCurrentRow).Measured, 1e-12)
		} else {
			assert.Equal(t, lack(LackLoad), alarm.Missing, read)
		}
		loads := s.computedRow("standby").Row.(StandbyRow).Loads
		assert.InDelta(t, want, loads.Alarm, 1e-12, read)
		added := want > 0.43 // as declared
		assert.Equal(t, []bool{true, added, added}, []bool{loads.Measured, loads.AlarmMeasured, loads.Added}, read)
	}
	small := []string{"capacity: 7 Ah", "capacity: 1.9 Ah"} // enough for what was read, too little with the sounder added
	assert.Equal(t, checks.Undecided, without(0.6, small...).computedRow("standby").Ruling)
	assert.Equal(t, checks.Fail, without(1.6, small...).computedRow("standby").Ruling, "even without it")
	assert.Equal(t, []Lack{{What: LackCurrent, Of: []string{"Sounder"}}},
		without(0.6, "    current: 300 mA\n", "").computedRow("standby").Missing, "nobody knows what it would draw")
	rest, alarm = systemRows(measure(0.101, 0.431))
	assert.Equal(t, []checks.Ruling{checks.Undecided, checks.Undecided}, []checks.Ruling{rest.Ruling, alarm.Ruling})
	rest, _ = systemRows(measure(5, 6, "controller, current: 100 mA", "controller"))
	assert.Empty(t, rest.Ruling, "there is nothing to hold it against")
	assert.Equal(t, lack(LackCurrent, ""), rest.Missing)
	assert.False(t, rest.Row.(SystemCurrentRow).Known)

	s := measure(0.2, 0.6)
	standby, adapter := s.computedRow("standby").Row.(StandbyRow), s.computedRow("adapter").Row.(AdapterRow)
	assert.Equal(t, []float64{0.2, 0.6, 0.2, 0.6},
		[]float64{standby.Standby, standby.Alarm, adapter.Standby, adapter.Alarm})
	assert.True(t, standby.Measured)
	s = measure(0.1, 0.4, "controller, current: 100 mA", "controller", "  loads: []\n", "")
	assert.Equal(t, checks.Pass, s.computedRow("adapter").Ruling, "measured, it need not be declared")

	s = begin(t, "controller, current: 100 mA", "controller")
	left := []any{answer(programme.IDStandbyCurrent, record.LeftOut, "no clamp")}
	s.take(map[string][]any{programme.IDStandbyCurrent: left})
	assert.Equal(t, []Lack{{What: LackCurrent, Of: []string{""}}}, s.computedRow("adapter").Missing, "half of it measured")
	s = begin(t, "controller, current: 100 mA", "controller")
	s.tell(answer(programme.IDMainsOff, record.Done), 10*time.Minute, ampere(programme.IDStandbyCurrent, 0.2),
		reads("supply/standby-4", 11.7))
	assert.Equal(t, checks.Fail, s.computedRow("sag").Ruling, "the load as measured, whoever declares it")

	s = begin(t)
	s.take(map[string][]any{programme.IDStandbyCurrent: {answer(programme.IDStandbyCurrent, record.LeftOut, "no clamp")},
		programme.IDAlarmCurrent: {ampere(programme.IDAlarmCurrent, 0.4), record.Reopened{Step: programme.IDAlarmCurrent},
			answer(programme.IDAlarmCurrent, record.LeftOut, "slipped")}})
	rest, alarm = systemRows(s)
	assert.Equal(t, lack(LackSystemCurrent), rest.Missing)
	assert.Equal(t, lack(LackSystemCurrent), alarm.Missing, "taken back")
	assert.InDelta(t, 0.1, s.computedRow("standby").Row.(StandbyRow).Standby, 1e-12)
	s = opening{keep: func(p programme.Step) bool { return !p.OfCurrent() }}.begin(t)
	assert.Empty(t, systemCurrentsOf(Assess(s.record)), "it was no part of the visit")
}

// The inline site feeds its detector through a converter: what is measured at its terminals
// under alarm load is held against the least at which it works, 11.5 V.
func TestFarVoltage(t *testing.T) {
	far := func(facts func(*story) []any, changes ...string) []Computed {
		s := opening{site: append([]string{"kind: window", "kind: motion", "detectors: [Window]",
			"detectors: [{name: Eye, powered: {current: 15 mA, minimum: 11.5 V, cable_length: 30 m, conductor: 0.22 mm2}}]"},
			changes...)}.begin(t)
		s.tell(answer(programme.IDMainsOff, record.Done))
		s.tell(facts(s)...)
		return farOf(Assess(s.record))
	}
	volt := func(v float64) func(*story) []any {
		return func(s *story) []any { return s.underLoad(reads(programme.IDFarVoltage, v)) }
	}
	for v, want := range map[float64]checks.Ruling{11.56: checks.Pass, 11.55: checks.Undecided, 11.45: checks.Undecided,
		11.44: checks.Fail} {
		c := far(volt(v))
		require.Len(t, c, 1)
		assert.Equal(t, want, c[0].Ruling, v)
		assert.Equal(t, programme.IDFarVoltage, c[0].Step)
		row := c[0].Row.(FarRow)
		assert.Equal(t, []any{v, "11.5 V", site.Point("2.1")}, []any{row.Volt, row.Minimum, row.Detector.Point})
		assert.InDelta(t, 0.0503322, row.Uncertainty, 1e-6)
	}
	assert.Equal(t, lack(LackMinimum), far(volt(11), "minimum: 11.5 V, ", "")[0].Missing)
	for v, want := range map[float64]Computed{12.5: {Missing: lack(LackLoad)}, 11.5: {Ruling: checks.Undecided}, 9: {Ruling: checks.Fail}} {
		c := far(func(s *story) []any { return append(slices.Clone(deadSounder), volt(v)(s)...) })[0]
		assert.Equal(t, []any{want.Missing, want.Ruling}, []any{c.Missing, c.Ruling}, "%g V without the load of the "+
			"sounder", v)
	}
	none := func(*story) []any { return nil }
	assert.Equal(t, lack(LackFarVoltage), far(none)[0].Missing)
	quiet := func(*story) []any { return []any{reads(programme.IDFarVoltage, 11)} }
	assert.Equal(t, lack(LackFarVoltage), far(quiet)[0].Missing, "nothing sounded")
	assert.Empty(t, farOf(Assess(begin(t).record)), "nothing is powered")
}

// The connection that is lost while mains is removed is a defect where the path off the
// premises is on standby power, too; it is explained where it is not.
func TestSwitchOver(t *testing.T) {
	const off, path = programme.IDMainsOff, programme.IDPath
	lost := func(after time.Duration) []any {
		return []any{after, signal.Connection{Why: signal.Broken, Detail: "EOF"}, 5 * time.Second,
			signal.Connection{Up: true}}
	}
	removed := append([]any{answer(off, record.Done)}, lost(1234567*time.Microsecond)...)
	at := func(said record.Result) map[string][]any {
		if said == record.Yes {
			return map[string][]any{off: removed, path: {answer(path, said)}}
		}
		return map[string][]any{off: removed, path: {answer(path, said, "asked")}}
	}
	found := told{"F1", off, "supply", SwitchOverLost{1235 * time.Millisecond}, "", nil}
	limit := found
	limit.ID = "L1"
	for _, row := range []amiss{
		{"path on standby", nil, at(record.Yes), Unsatisfactory, []told{found}, nil},
		{"no path to speak of", nil, at(record.NotApplicable), WithLimitations, nil, []told{limit}},
		{"path not known", nil, at(record.LeftOut), WithLimitations, nil, []told{limit,
			{"L2", path, "reporting on standby", PathNotKnown{}, "asked", nil}}},
		{"path on mains", nil, at(record.No), WithLimitations, nil, []told{
			{"L1", path, "reporting on standby", PathOnMains{}, "asked", nil}}},
		{"before mains was removed", nil, map[string][]any{off: append(lost(time.Second), answer(off, record.Done))},
			Satisfactory, nil, nil},
		{"after it came back", nil, map[string][]any{programme.IDMainsOn: append([]any{answer(programme.IDMainsOn,
			record.Done)}, lost(time.Second)...)}, Satisfactory, nil, nil},
	} {
		row.holds(t)
	}
	twice := begin(t).take(map[string][]any{off: append(removed, lost(time.Second)...)})
	assert.Len(t, twice.Findings(), 1, "told once")
	noSupply := opening{keep: func(s programme.Step) bool { return s.ID != path }}.begin(t)
	assert.Empty(t, noSupply.take(map[string][]any{off: removed}).Findings(), "nobody asked for the path")
}

// What is later than a limit that nobody declared limits the result; against a declared one
// it is a defect.
func TestLimitsOfOursFailNothing(t *testing.T) {
	const two, id = "walk/2.1", programme.IDRestart
	late := map[string][]any{two: append(attempt(two, "z2", 5*time.Second, fast), answer(two, record.AsItIs))}
	lateToRest := map[string][]any{two: append(attempt(two, "z2", fast, 9*time.Second), answer(two, record.AsItIs))}
	ours := site.Limit{SI: 120, By: site.CommonPractice}
	assumed := func(keys ...string) Statement { return LimitsAssumed{keys} }
	responses := []string{"limits.response.door", "limits.response.window"}
	for _, row := range []amiss{
		{"response", []string{"  response: 2 s\n", ""}, late, WithLimitations, nil, []told{
			{"L1", two, "2.1", Shown{record.Operate, heard(record.Late, 5*time.Second, 2*time.Second), 1, true}, "", nil},
			{"L2", "", "limits", assumed(responses...), "", nil}}},
		{"restore", []string{"window: 5 s, ", ""}, lateToRest, WithLimitations, nil, []told{
			{"L1", two, "2.1", Shown{record.Restore, heard(record.Late, 9*time.Second, 5*time.Second), 1, true}, "", nil},
			{"L2", "", "limits", assumed("limits.restore.window"), "", nil}}},
		{"a response that is declared", []string{"window: 5 s, ", ""}, late, Unsatisfactory, []told{
			{"F1", two, "2.1", Shown{record.Operate, heard(record.Late, 5*time.Second, 2*time.Second), 1, false}, "", nil}},
			[]told{{"L1", "", "limits", assumed("limits.restore.window"), "", nil}}},
		{"cold restart", []string{"  cold_restart: 120 s\n", ""}, map[string][]any{id: restart(121 * time.Second)},
			WithLimitations, nil, []told{{"L1", id, "cold restart", RestartLate{121 * time.Second, ours}, "", nil},
				{"L2", "", "limits", assumed("limits.cold_restart"), "", nil}}},
		{"cold restart that never came", []string{"  cold_restart: 120 s\n", ""}, map[string][]any{
			id: append(restart(-1), answer(id, record.AsItIs))}, Unsatisfactory,
			[]told{{"F1", id, "cold restart", RestartSilent{}, "", nil}},
			[]told{{"L1", "", "limits", assumed("limits.cold_restart"), "", nil}}},
	} {
		row.holds(t)
	}
	noted := begin(t, "  response: 2 s\n", "").take(map[string][]any{two: append([]any{note(two, "stiff")}, late[two]...)})
	assert.Equal(t, []string{"stiff"}, noted.Limitations()[0].Noted)
	for _, f := range begin(t, "  response: 2 s\n", "").take(late).Limitations() {
		assert.Equal(t, []any{Advice, DeclareIt}, []any{f.Severity(), f.Remedy()}, f.Code())
	}
}

// A voltage below a limit that is only ours is undecided while a battery may stand there, and
// fails below the lowest end of a discharge that is published: 6 · 1.60 V.
func TestVoltagesBelowALimitOfOurs(t *testing.T) {
	const standby = "supply/standby-2"
	ours := []string{"  standby_lower: 11.5 V\n", "", "  alarm_load_lower: 10.5 V\n", ""}
	ruled := func(step string, v float64, changes ...string) checks.Ruling {
		s := begin(t, append(ours, changes...)...)
		s.take(map[string][]any{step: s.underLoad(reads(step, v))})
		for _, l := range Assess(s.record).Readings() {
			if l.Outcome.Step().ID == step {
				return l.Decision.Ruling
			}
		}
		return ""
	}
	for v, want := range map[float64]checks.Ruling{11.58: checks.Pass, 11.5: checks.Undecided, 11.2: checks.Undecided,
		9.55: checks.Undecided, 9.54: checks.Fail} {
		assert.Equal(t, want, ruled(standby, v), v)
	}
	assert.Equal(t, checks.Undecided, ruled(programme.IDAlarmLoad, 10.3))
	assert.Equal(t, checks.Fail, ruled(programme.IDAlarmLoad, 9.5))
	assert.Equal(t, checks.Undecided, ruled(standby, 9, "lead-acid, cells: 6", "lead-acid, form: converter"),
		"a converter's output says nothing of cells")
	declared := begin(t).take(map[string][]any{standby: {reads(standby, 11.2)}})
	assert.Equal(t, []string{"F1"}, []string{declared.Findings()[0].ID})
}

// Limits that nobody declared are named by kind, of the kinds that are there.
func TestAssumedLimitsByKind(t *testing.T) {
	keys := func(s *story) []string {
		for _, f := range Assess(s.record).Limitations() {
			if a, is := f.What.(LimitsAssumed); is {
				return a.Keys
			}
		}
		return nil
	}
	assert.Empty(t, keys(begin(t)))
	assert.Equal(t, []string{"limits.response.smoke", "limits.listen_for.smoke", "limits.restore.smoke"},
		keys(begin(t, "kind: window", "kind: smoke")), "one time for all kinds is not meant for smoke")
	mixed := "detectors: [Window, {name: Gas, kind: carbon-monoxide}]"
	assert.Equal(t, []string{"limits.response.carbon-monoxide", "limits.listen_for.carbon-monoxide",
		"limits.restore.carbon-monoxide"}, keys(begin(t, "detectors: [Window]", mixed)), "the kind of the detector")
	for key, line := range map[string]string{"steady": "  steady: 1 s\n", "standby_lower": "  standby_lower: 11.5 V\n",
		"alarm_load_lower": "  alarm_load_lower: 10.5 V\n", "cold_restart": "  cold_restart: 120 s\n"} {
		assert.Equal(t, []string{"limits." + key}, keys(begin(t, line, "")))
	}
	only := func(stage programme.Stage) *story {
		return opening{site: []string{"  steady: 1 s\n", "", "  standby_lower: 11.5 V\n", "",
			"  alarm_load_lower: 10.5 V\n", "",
			"  cold_restart: 120 s\n", ""},
			keep: func(s programme.Step) bool { return s.Stage == stage }}.begin(t)
	}
	assert.Equal(t, []string{"limits.steady"}, keys(only(programme.StageWalkTest)))
	assert.Equal(t, []string{"limits.standby_lower", "limits.alarm_load_lower", "limits.cold_restart"},
		keys(only(programme.StageSupply)))
	assert.Equal(t, []string{"limits.mains_lower", "limits.mains_upper"},
		keys(begin(t, "lead-acid, cells: 6", "lead-acid, form: converter")), "no published voltage is a converter's")
}

// A life-safety zone that was only timed is a standing note, which limits nothing.
func TestLifeSafetyIsANote(t *testing.T) {
	declared := []string{"kind: window", "kind: smoke", "  response: 2 s", "  response: {door: 2 s, smoke: 30 s}",
		"  listen_for: 15 s", "  listen_for: {door: 15 s, smoke: 60 s}", "window: 5 s", "smoke: 120 s", "detectors: [Window]",
		"detectors: [{name: Ceiling, powered: {current: 1 mA, minimum: 9 V, cable_length: 5 m, conductor: 0.22 mm2}}]"}
	s := begin(t, declared...)
	a := s.take(map[string][]any{programme.IDFarVoltage: {record.Energised{Output: "Sounder", On: true, By: "hand"},
		reads(programme.IDFarVoltage, 12), record.Energised{Output: "Sounder", By: "hand"}}})
	assert.Equal(t, []told{{"N1", "", "zone 2", OnlyTimed{}, "", nil}}, allTold(a.Notes()))
	assert.Empty(t, allTold(a.Limitations()))
	assert.Equal(t, Satisfactory, a.Result())
	assert.Empty(t, begin(t).take(nil).Notes())
	mixed := begin(t, "detectors: [Window]", "detectors: [Window, {name: Gas, kind: carbon-monoxide}]")
	assert.Len(t, Assess(mixed.record).Notes(), 1, "one of its detectors is enough")
}

// What every system has and the site file does not tell of.
func TestWhatIsNotDescribed(t *testing.T) {
	motion := []string{"kind: window", "kind: motion"}
	for _, row := range []amiss{
		{"no receiving centre named", []string{"centre: none", "account: x"}, nil, WithLimitations, nil,
			[]told{{"L1", "", "reporting on standby", NoCentre{}, "", nil}}},
		{"a receiving centre", []string{"centre: none", "centre: Northmoor, paths: [{name: broadband, within: 30 s}]"}, nil,
			Satisfactory, nil, nil},
		{"power of a motion detector", motion, nil, WithLimitations, nil,
			[]told{{"L1", "", "voltages at detectors", PowerUnknown{[]site.Point{"2.1"}}, "", nil}}},
	} {
		row.holds(t)
	}
	bare := begin(t, "kind: sounder", "kind: strobe")
	assert.Contains(t, bare.codes(Assess(bare.record).Limitations(), "outputs"), "no-output")
}

// What detectors lack alike is told once.
func TestLacksOfDetectorsAreToldOnce(t *testing.T) {
	eye := func(name, more string) string { return "{name: " + name + ", powered: {current: 1 mA" + more + "}}" }
	const whole = ", minimum: 9 V, cable_length: 5 m, conductor: 0.22 mm2"
	s := begin(t, "detectors: [Window]", "detectors: ["+eye("a", "")+", "+eye("b", whole)+", "+eye("c", "")+", "+
		eye("d", ", minimum: 9 V")+"]")
	var found []NotComputed
	for _, f := range Assess(s.record).Limitations() {
		if n, is := f.What.(NotComputed); is && n.Row == "drop" {
			assert.Equal(t, PartVoltages, f.Subject.Part)
			found = append(found, n)
		}
	}
	require.Len(t, found, 2)
	assert.Equal(t, []site.Point{"2.1", "2.3"}, found[0].Of)
	assert.Equal(t, []site.Point{"2.4"}, found[1].Of)
}

// A retest takes again what the visit lacks, and not a step whose row lacks a declaration.
func TestARetestDoesNotRepeatForADeclaration(t *testing.T) {
	s := opening{site: []string{", resistance: 1R5", ""}, visit: programme.Maintenance}.begin(t)
	s.take(nil)
	assert.Empty(t, Unsatisfied(s.record))
	s = begin(t)
	left := programme.IDAlarmCurrent
	s.take(map[string][]any{left: {answer(left, record.LeftOut, "no clamp")}})
	assert.Equal(t, map[string]bool{left: true}, Unsatisfied(s.record))
}
