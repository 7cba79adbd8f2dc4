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
	design := []string{"adapter", "output-limit", "charger", "recharge", "standby"}
	battery := []string{"charging", "internal", "sag", "age"}
	assert.Subset(t, rows(begin(t).take(nil)), append(battery, design...))
	bare := rows(begin(t, "chemistry: lead-acid", "chemistry: none").take(nil))
	noSupply := opening{keep: func(s programme.Step) bool { return s.Stage != programme.StageSupply && s.ID != programme.IDCharging }}
	unseen := rows(noSupply.begin(t).take(nil))
	for _, row := range battery {
		assert.NotContains(t, bare, row)
		assert.NotContains(t, unseen, row)
	}
	assert.Subset(t, unseen, design)
	assert.NotContains(t, bare, "standby", "no battery to hold it against")
	inline := rows(begin(t, "chemistry: lead-acid", "chemistry: lead-acid, form: inline").take(nil))
	assert.Subset(t, inline, []string{"energy", "sag", "age"})
	for _, row := range []string{"charger", "recharge", "standby", "charging", "internal"} {
		assert.NotContains(t, inline, row, "the terminals show the converter")
	}
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
		{"lead-acid", "1996-11-25", nine, checks.Undecided}, // an age alone never fails
		{"lead-acid", "2026-11-24", nine, checks.Pass},
		{"lead-acid", "2026-11-25", midnight, checks.Pass},
		{"lead-acid", "2026-11-25", midnight.Add(-30 * time.Minute), checks.Undecided},
		{"lead-acid", "2026-11-26", nine, checks.Undecided},
		{"lead-acid, life: 10 d", "2026-11-14", nine, checks.Undecided},
		{"lead-acid, life: 11 d", "2026-11-14", nine, checks.Pass},
	} {
		s := opening{site: []string{"chemistry: lead-acid", "chemistry: " + tc.chemistry, "2026-11-01", tc.fitted},
			at: tc.at}.begin(t)
		c := s.computedRow("age")
		assert.Equal(t, tc.want, c.Ruling, "%s fitted %s at %s", tc.chemistry, tc.fitted, tc.at)
		assert.Equal(t, strings.Contains(tc.chemistry, "life"), c.Row.(AgeRow).ByMaker)
	}
	assert.Equal(t, Computed{Row: AgeRow{}, Missing: lack(LackFitted)}, begin(t, ", fitted: 2026-11-01", "").computedRow("age"))
}

// An output that draws more than the budget was computed with puts the budget in doubt.
func TestMeasuredCurrents(t *testing.T) {
	const id = "outputs/Sounder"
	unknown := []string{"    current: 300 mA\n", ""}
	for _, tc := range []struct {
		site  []string
		typed string
		want  []Computed
	}{
		{nil, "290 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "290 mA"}, Step: id, Ruling: checks.Pass}}},
		{nil, "300 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "300 mA"}, Step: id, Ruling: checks.Pass}}},
		{nil, "310 mA", []Computed{{Row: CurrentRow{"Sounder", "300 mA", "310 mA"}, Step: id, Ruling: checks.Undecided}}},
		{unknown, "310 mA", nil},
	} {
		s := begin(t, tc.site...)
		v, err := checks.Current.Parse(tc.typed)
		require.NoError(t, err)
		s.tell(record.Reading{Step: id, Quantity: record.CurrentReading, Value: v.SI, Unit: "A", AsTyped: tc.typed})
		assert.Equal(t, tc.want, currentsOf(Assess(s.record)), tc.typed)
	}
}

// 100 dB at 3 m are 100 + 20 lg 3 = 109.54 dB at 1 m (ISO 9613-2 7.1), with 106 dB at 1 m
// 10 lg(9·10¹⁰ + 10^10.6) = 111.13 dB together. Class 1 reads within 1.1 dB, class 2 within
// 1.4 dB (IEC 61672-1:2002).
func TestSoundLevels(t *testing.T) {
	outputs := []string{"cut_off: 15 min", "cut_off: 15 min\n  - {name: Second, kind: sounder}\n  - {name: Strobe, kind: strobe}"}
	level := func(output string, dB, metre, ambient float64, class int) record.Reading {
		return record.Reading{Step: "outputs/" + output, Quantity: record.LevelReading, Value: dB, Unit: "dB",
			AsTyped: fmt.Sprint(dB, " dB(A)"), Distance: metre, Ambient: ambient, MeterClass: class}
	}
	levels := func(readings ...any) []Computed {
		s := begin(t, outputs...)
		s.tell(readings...)
		return levelsOf(Assess(s.record))
	}
	found := levels(level("Sounder", 100, 3, 45, 1), level("Second", 106, 1, 0, 2), level("Strobe", 60, 1, 0, 0))
	require.Len(t, found, 3)
	first, second, together := found[0].Row.(LevelRow), found[1].Row.(LevelRow), found[2].Row.(TogetherRow)
	assert.InDeltaSlice(t, []float64{109.5424, 106, 111.1331}, []float64{first.AtOne, second.AtOne, together.AtOne}, 1e-4)
	margin := 55.0
	assert.Equal(t, LevelRow{"Sounder", "100 dB(A)", first.AtOne, &margin, 1.1, 1}, first)
	assert.Equal(t, LevelRow{"Second", "106 dB(A)", second.AtOne, nil, 1.4, 2}, second, "no ambient level, no margin")
	assert.Equal(t, 2, together.Sounders)
	assert.Equal(t, []string{"outputs/Sounder", "outputs/Second", ""},
		[]string{found[0].Step, found[1].Step, found[2].Step})

	alone := levels(level("Sounder", 100, 3, 0, 0))
	require.Len(t, alone, 1)
	assert.Zero(t, alone[0].Row.(LevelRow).Tolerance, "of a class that is not known")

	nowhere := levels(level("Sounder", 100, 0, 0, 1), level("Second", 106, 1, 0, 1))
	require.Len(t, nowhere, 2, "one alone is not added")
	assert.Equal(t, LackSense, nowhere[0].Missing[0].What)
	assert.Equal(t, LevelRow{"Sounder", "100 dB(A)", 0, nil, 1.1, 1}, nowhere[0].Row)
	assert.Empty(t, nowhere[1].Missing)
	assert.Len(t, levels(level("Sounder", 300, 1, 0, 1), level("Second", 300, 1, 0, 1)), 2, "no sum of what cannot be")
}

// A reading that cannot be is refused; a state that fits in several ways is told once.
func TestLoopReadingsThatAreUnusual(t *testing.T) {
	s := begin(t)
	s.tell(record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Value: -5, Unit: "ohm", AsTyped: "-5 ohm"})
	c := s.computedRow("loop")
	require.Len(t, c.Missing, 1)
	assert.Equal(t, LackSense, c.Missing[0].What)
	name := programme.DetectorName{Point: "1.1", Name: "Door", Zone: programme.ZoneName{Number: 1, Name: "Door"}}
	row := LoopRow{Detector: name, Measured: "-5 ohm", Wiring: programme.Hint{Wiring: site.NormallyClosed}}
	assert.Equal(t, Computed{Row: row, Step: "walk/1.1", Missing: c.Missing}, c)

	// 10k and 470 Ω a contact, within 5 %: one open contact reads 9946 to 10994 Ω, two 10393 to 11487 Ω.
	s = begin(t, "wiring: normally closed, address: z1, detectors: [Door]",
		"wiring: two resistors, end_of_line: 10k, contact_resistor: 470 ohm, address: z1, detectors: [Door, Gate]")
	s.tell(record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Value: 10950, Unit: "ohm", AsTyped: "10k95"})
	c = s.computedRow("loop")
	assert.Equal(t, []checks.LoopState{checks.LoopActive}, c.Row.(LoopRow).States)
	assert.Equal(t, checks.Fail, c.Ruling)
}
