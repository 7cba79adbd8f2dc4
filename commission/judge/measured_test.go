package judge

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// rows are the kinds of what was computed.
func rows(a *Assessment) (out []string) {
	for _, c := range a.Computed() {
		out = append(out, c.Row.Code())
	}
	return out
}

// A battery is computed where there is one, and where somebody looked at it.
func TestWhatIsComputedOfABattery(t *testing.T) {
	assert.Equal(t, []string{"adapter", "standby", "float", "internal", "sag", "age"}, rows(begin(t).take(nil)))
	assert.Equal(t, []string{"adapter", "standby"}, rows(begin(t, "chemistry: lead-acid", "chemistry: none").take(nil)))
	noSupply := opening{keep: func(s programme.Step) bool { return s.Stage != programme.StageSupply }}
	assert.Equal(t, []string{"adapter", "standby"}, rows(noSupply.begin(t).take(nil)))
}

// 13.05 to 13.8 V at 25 °C, −18 mV a kelvin for six cells: 13.14 to 13.89 V at 20 °C (common
// practice; sources differ).
func TestFloatVoltage(t *testing.T) {
	s := begin(t)
	lacking := Computed{Row: FloatRow{}, Step: programme.IDMainsPresent, Missing: lack(LackMainsVoltage)}
	assert.Equal(t, lacking, s.computedRow("float"))
	s.take(nil)
	c := s.computedRow("float")
	row := c.Row.(FloatRow)
	assert.InDeltaSlice(t, []float64{13.6, 0.0763763, 20, 13.14, 13.89},
		[]float64{row.Volt, row.Uncertainty, row.Celsius, row.Lower, row.Upper}, 1e-6)
	assert.Equal(t, []any{"lead-acid", checks.Pass, checks.Ruling(""), programme.IDMainsPresent},
		[]any{row.Chemistry, row.Plausible, c.Ruling, c.Step}, "a hint, no verdict")

	hot := begin(t, "hold: 60 s", "hold: 60 s, temperature: 65 C")
	hot.take(nil)
	c = hot.computedRow("float")
	assert.Equal(t, FloatRow{}, c.Row)
	require.Len(t, c.Missing, 1)
	assert.Equal(t, LackSense, c.Missing[0].What)
	assert.Contains(t, c.Missing[0].Said, "65 °C")

	void := begin(t)
	void.tell(answer(programme.IDMainsOff, record.Done), reads(programme.IDMainsPresent, 12.7))
	assert.Equal(t, lacking, void.computedRow("float"), "read with mains removed")
}

// R = (11.8 V − 11.2 V)/I, U = √2·U/I by the two-load method, with 0.0764 V of each voltage;
// the worse where the last digits differ (0.5795 V for "11 V").
func TestInternalResistance(t *testing.T) {
	const declared = "kind: sounder, address: s, current: 0.3 A}, {name: Second, kind: sounder, current: 2 A}"
	two := []string{"kind: sounder, address: s}", declared}
	ampere := func(output string, a float64) []any {
		return []any{record.Reading{Step: "outputs/" + output, Quantity: record.CurrentReading, Value: a, Unit: "A"},
			answer("outputs/"+output, record.Works)}
	}
	on := record.Energised{Output: "Sounder", On: true, By: "hand"}
	coarse := record.Reading{Step: programme.IDAlarmLoad, Quantity: record.VoltageReading, Value: 11, AsTyped: "11 V",
		Uncertainty: 0.05}
	for _, tc := range []struct {
		name    string
		instead map[string][]any
		want    InternalRow
	}{
		{"declared", nil, InternalRow{Rest: 11.8, Load: 11.2, More: 0.3, Ohm: 2, Uncertainty: 0.360041}},
		{"measured", map[string][]any{"outputs/Sounder": ampere("Sounder", 0.4)},
			InternalRow{Rest: 11.8, Load: 11.2, More: 0.4, Measured: true, Ohm: 1.5, Uncertainty: 0.270031}},
		{"another one measured", map[string][]any{"outputs/Second": ampere("Second", 1)},
			InternalRow{Rest: 11.8, Load: 11.2, More: 0.3, Ohm: 2, Uncertainty: 0.360041}},
		{"last digits differ", map[string][]any{programme.IDAlarmLoad: {on, coarse}},
			InternalRow{Rest: 11.8, Load: 11, More: 0.3, Ohm: 0.8 / 0.3, Uncertainty: 2.731843}},
	} {
		s := begin(t, two...)
		s.take(tc.instead)
		c := s.computedRow("internal")
		row := c.Row.(InternalRow)
		assert.InDeltaSlice(t, []float64{tc.want.Ohm, tc.want.Uncertainty}, []float64{row.Ohm, row.Uncertainty}, 1e-5,
			tc.name)
		row.Ohm, row.Uncertainty = tc.want.Ohm, tc.want.Uncertainty
		c.Row = row
		assert.Equal(t, Computed{Row: tc.want, Step: programme.IDAlarmLoad}, c, tc.name)
	}
}

// What is missing for it is told, and no number.
func TestInternalResistanceThatCannotBeComputed(t *testing.T) {
	left := func(steps ...string) map[string][]any {
		all := map[string][]any{}
		for _, step := range steps {
			all[step] = []any{answer(step, record.LeftOut, "no meter")}
		}
		return all
	}
	for _, tc := range []struct {
		site    []string
		instead map[string][]any
		want    LackCode
	}{
		{nil, nil, LackSounderAmpere},
		{[]string{"address: s}", "address: s, current: 0.3 A}"}, left(programme.IDAlarmLoad), LackLoadVoltages},
		{[]string{"address: s}", "address: s, current: 0.3 A}"},
			left("supply/standby-1", "supply/standby-2", "supply/standby-3", "supply/standby-4"), LackLoadVoltages},
	} {
		s := begin(t, tc.site...)
		s.take(tc.instead)
		want := Computed{Row: InternalRow{}, Step: programme.IDAlarmLoad, Missing: lack(tc.want)}
		assert.Equal(t, want, s.computedRow("internal"))
	}
}

// discharge reads steps of the supply, one at each minute after mains was removed.
func (s *story) discharge(steps []string, minutes []float64, typed ...string) {
	s.t.Helper()
	s.tell(reads(programme.IDMainsPresent, 13.6), answer(programme.IDMainsOff, record.Done))
	removed := s.now
	for i, step := range steps {
		s.now = removed + time.Duration(minutes[i]*float64(time.Minute))
		v, err := checks.Voltage.Parse(typed[i])
		require.NoError(s.t, err)
		s.tell(record.Reading{Step: step, Quantity: record.VoltageReading, Value: v.SI, AsTyped: typed[i], Uncertainty: 0.05})
	}
}

// 30 mV a minute is −1.8 V/h; from 12.0 V ± 0.0764 V to 10.5 V it takes 47.45 min, within ten
// times the 5 min that were observed.
func TestSag(t *testing.T) {
	cutOff := site.Limit{SI: 10.5, By: site.CommonPractice}
	steps := []string{"supply/standby-1", "supply/standby-2", "supply/standby-3"}
	minutes, falling := []float64{1, 3, 6}, []string{"12.15 V", "12.09 V", "12.0 V"}
	for _, tc := range []struct {
		name    string
		steps   []string
		minutes []float64
		typed   []string
		want    SagRow
		step    string
		missing []Lack
	}{
		{"falls", steps, minutes, falling,
			SagRow{3, 5 * time.Minute, cutOff, -1.8, 47 * time.Minute, false}, steps[2], nil},
		{"read in another order", []string{steps[1], steps[2], steps[0]}, minutes, falling,
			SagRow{3, 5 * time.Minute, cutOff, -1.8, 47 * time.Minute, false}, steps[0], nil},
		{"does not fall", steps, minutes, []string{"12.7 V", "12.7 V", "12.7 V"},
			SagRow{3, 5 * time.Minute, cutOff, 0, 50 * time.Minute, true}, steps[2], nil},
		{"too short", steps, []float64{1, 3, 5.9}, falling,
			SagRow{Readings: 3, Over: 294 * time.Second, CutOff: cutOff}, "", lack(LackLongerHold)},
		{"two readings", steps[:2], []float64{1, 9}, []string{"12.15 V", "12.09 V"}, SagRow{}, "", lack(LackThreeVoltages)},
	} {
		s := begin(t)
		s.discharge(tc.steps, tc.minutes, tc.typed...)
		c := s.computedRow("sag")
		row := c.Row.(SagRow)
		assert.InDelta(t, tc.want.Slope, row.Slope, 1e-9, tc.name)
		row.Slope = tc.want.Slope
		c.Row = row
		assert.Equal(t, Computed{Row: tc.want, Step: tc.step, Missing: tc.missing}, c, tc.name)
	}
}

// The voltage with the sounder on, and those with mains present, are no part of a sag.
func TestSagIsOfStandbyAlone(t *testing.T) {
	s := begin(t)
	s.take(nil)
	assert.Equal(t, 4, s.computedRow("sag").Row.(SagRow).Readings)
}

// More readings than a slope is taken of are refused.
func TestSagOfTooManyReadings(t *testing.T) {
	var at []string
	for i := range 2001 {
		at = append(at, fmt.Sprint(i, " s"))
	}
	s := begin(t, "hold: 60 s", "hold: 2000 s, readings_at: ["+strings.Join(at, ", ")+"]")
	s.tell(answer(programme.IDMainsOff, record.Done))
	for i := range at {
		s.tell(reads(fmt.Sprint("supply/standby-", i+1), 12.7), time.Second)
	}
	c := s.computedRow("sag")
	require.Len(t, c.Missing, 1)
	assert.Equal(t, LackSense, c.Missing[0].What)
	cutOff := site.Limit{SI: 10.5, By: site.CommonPractice}
	assert.Equal(t, SagRow{Readings: 2001, Over: 2000 * time.Second, CutOff: cutOff}, c.Row)
}

// Lead-acid is renewed after 4 years of 365.25 days, lithium-ion after 5 (common practice, no
// source). A battery that was fitted after the visit is a wrong date; one day is left to clocks.
func TestBatteryAge(t *testing.T) {
	nine := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	midnight := nine.Add(-9 * time.Hour)
	for _, tc := range []struct {
		chemistry, fitted string
		at                time.Time
		want              checks.Ruling
	}{
		{"lead-acid", "2022-11-25", nine, checks.Pass},
		{"lead-acid", "2022-11-24", nine, checks.Undecided},
		{"lead-acid", "2022-11-24", midnight, checks.Pass}, // 1461 days to the hour
		{"lithium-ion", "2021-11-24", nine, checks.Undecided},
		{"lithium-ion", "2021-11-25", nine, checks.Pass},
		{"lead-acid", "2026-11-24", nine, checks.Pass},
		{"lead-acid", "2026-11-25", midnight, checks.Pass},
		{"lead-acid", "2026-11-25", midnight.Add(-30 * time.Minute), checks.Fail},
		{"lead-acid", "2026-11-26", nine, checks.Fail},
	} {
		battery := fmt.Sprintf("{chemistry: %s, fitted: %s}", tc.chemistry, tc.fitted)
		s := opening{site: []string{"{chemistry: lead-acid}", battery}, at: tc.at}.begin(t)
		assert.Equal(t, tc.want, s.computedRow("age").Ruling, "%s at %s", battery, tc.at)
	}
	assert.Equal(t, Computed{Row: AgeRow{}, Missing: lack(LackFitted)}, begin(t).computedRow("age"))
}

// An output that draws more than the budget was computed with puts the budget in doubt.
func TestMeasuredCurrents(t *testing.T) {
	const id = "outputs/Sounder"
	declared := []string{"address: s}", "address: s, current: 300 mA}"}
	for _, tc := range []struct {
		site  []string
		typed string
		want  []Computed
	}{
		{declared, "290 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "290 mA"}, Step: id, Ruling: checks.Pass}}},
		{declared, "300 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "300 mA"}, Step: id, Ruling: checks.Pass}}},
		{declared, "310 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "310 mA"}, Step: id, Ruling: checks.Undecided}}},
		{nil, "310 mA", nil},
	} {
		s := begin(t, tc.site...)
		v, err := checks.Current.Parse(tc.typed)
		require.NoError(t, err)
		s.tell(record.Reading{Step: id, Quantity: record.CurrentReading, Value: v.SI, Unit: "A", AsTyped: tc.typed})
		assert.Equal(t, tc.want, currentsOf(Assess(s.record)), tc.typed)
	}
}
