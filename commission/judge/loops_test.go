package judge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

const aDoor = "wiring: normally closed, address: z1, detectors: [Door]"

// doorSite is the honest site with its first zone wired another way.
func doorSite(t *testing.T, door string) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(replaced(t, honestSite, aDoor, door+", address: z1, detectors: [Door, Gate]")))
	require.NoError(t, err)
	return s
}

const known = ", cable: {length: 300 m, conductor: 0.22 mm2}"

var (
	atRestOnly = []checks.LoopState{checks.LoopNormal}
	activeOnly = []checks.LoopState{checks.LoopActive}
	openOnes   = []checks.LoopState{checks.LoopActive, checks.LoopCut}
)

// 300 m of 0.22 mm² out and back are 57.6 Ω (DIN VDE 0295), within 20 % up to 69.1 Ω, and
// never more than half as much again; 500 m of 0.14 mm² are 134 Ω. Contacts and clips add
// 2 Ω, an ohmmeter may be 1 % off. Resistors as declared, else within 5 %, of which 10 %
// may be and 1 % may be meant (common practice, no source).
func TestReadLoop(t *testing.T) {
	const closed, one = "wiring: normally closed", "wiring: one resistor, end_of_line: 4k7"
	const two = "wiring: two resistors, end_of_line: 4k7, contact_resistor: 4k7"
	const three = "wiring: three resistors, end_of_line: 4k7, contact_resistor: 4k7, fault_resistor: 2k2"
	const across = "wiring: parallel resistor, end_of_line: 4k7"
	inf := math.Inf(1)
	for _, tc := range []struct {
		door   string
		ohm    float64
		want   checks.Ruling
		states []checks.LoopState
		opened int
	}{
		{closed + known, 62, checks.Pass, atRestOnly, 0},
		{closed + known, 71.1, checks.Pass, atRestOnly, 0}, {closed + known, 71.2, checks.Undecided, atRestOnly, 0},
		{closed + known, 44.1, checks.Pass, atRestOnly, 0}, {closed + known, 44, checks.Undecided, atRestOnly, 0},
		{closed + known, 89.2, checks.Undecided, atRestOnly, 0}, {closed + known, 89.4, checks.Fail, nil, 0},
		{closed + known, 1, checks.Fail, []checks.LoopState{checks.LoopShorted}, 0},
		{closed, 62, checks.Undecided, atRestOnly, 0},
		{closed, 2, checks.Pass, []checks.LoopState{checks.LoopNormal, checks.LoopShorted}, 0},
		{closed, 2.1, checks.Undecided, atRestOnly, 0}, {closed, 137.3, checks.Undecided, atRestOnly, 0},
		{closed, 137.4, checks.Fail, nil, 0}, {closed, 4700, checks.Fail, nil, 0},
		{closed, inf, checks.Fail, openOnes, 1}, {closed + known, inf, checks.Fail, openOnes, 1},
		{"wiring: normally open", inf, checks.Pass, []checks.LoopState{checks.LoopNormal, checks.LoopCut}, 0},
		{"wiring: normally open" + known, 60, checks.Fail, activeOnly, 1},
		{one, 4700, checks.Pass, atRestOnly, 0}, {one, 4937, checks.Pass, atRestOnly, 0},
		{one, 4938, checks.Undecided, atRestOnly, 0}, {one, 5359, checks.Undecided, atRestOnly, 0},
		{one, 5360, checks.Fail, nil, 0}, {one, 4187, checks.Undecided, atRestOnly, 0}, {one, 4186, checks.Fail, nil, 0},
		{one + ", tolerance: 1 %" + known, 4748, checks.Pass, atRestOnly, 0},
		{one + ", tolerance: 1 %" + known, 4600, checks.Fail, nil, 0},
		{two, 4700, checks.Pass, atRestOnly, 0}, {two, 9400, checks.Fail, activeOnly, 1},
		{two, 8800, checks.Fail, activeOnly, 1},
		{"wiring: two resistors, end_of_line: 10k, contact_resistor: 470 ohm", 10950, checks.Undecided,
			[]checks.LoopState{checks.LoopNormal, checks.LoopActive}, 0},
		{two, 14100, checks.Fail, activeOnly, 2}, {two, 7000, checks.Fail, nil, 0},
		{three, 4700, checks.Pass, atRestOnly, 0}, {three, 9400, checks.Fail, activeOnly, 1},
		{three, 6900, checks.Fail, []checks.LoopState{checks.LoopFault}, 0},
		{"wiring: three resistors, end_of_line: 4k7, contact_resistor: 4k7, fault_resistor: 4k0", 8500, checks.Fail,
			[]checks.LoopState{checks.LoopFault}, 0}, // not with a contact of 10 %, which may be as well
		{across, 4700, checks.Pass, atRestOnly, 0}, {across + known, 60, checks.Fail, activeOnly, 1},
		{across, 0.5, checks.Fail, []checks.LoopState{checks.LoopActive, checks.LoopShorted}, 1},
	} {
		s := doorSite(t, tc.door)
		m, err := ReadLoop(s, &s.Zones[0], tc.ohm)
		require.NoError(t, err)
		assert.Equal(t, tc.want, m.Ruling, "%s: %v Ω", tc.door, tc.ohm)
		assert.Equal(t, tc.states, m.States, "%s: %v Ω", tc.door, tc.ohm)
		assert.Equal(t, tc.opened, m.Opened, "%s: %v Ω", tc.door, tc.ohm)
		lacks := []LackCode(nil)
		if tc.want == checks.Undecided && s.Zones[0].Cable == nil {
			lacks = []LackCode{LackZoneCable}
		}
		assert.Equal(t, lacks, m.Lacks, "%s: %v Ω", tc.door, tc.ohm)
	}
}

// A pass that only resistors of 5 % explain rests on that they are such: 1 %, with 1 % of
// the ohmmeter and 2 Ω of contacts, explains 4700 Ω up to 4797 Ω.
func TestPassThatRestsOnTheTolerance(t *testing.T) {
	const one = "wiring: one resistor, end_of_line: 4k7"
	for ohm, rests := range map[float64]bool{4700: false, 4796: false, 4798: true, 4606: false, 4604: true} {
		s := doorSite(t, one)
		m, err := ReadLoop(s, &s.Zones[0], ohm)
		require.NoError(t, err)
		assert.Equal(t, checks.Pass, m.Ruling)
		assert.Equal(t, rests, len(m.Assumed) > 0, "%v Ω", ohm)
		s = doorSite(t, one+", tolerance: 5 %")
		m, err = ReadLoop(s, &s.Zones[0], ohm)
		require.NoError(t, err)
		assert.Empty(t, m.Assumed)
	}
	s := doorSite(t, "wiring: normally open")
	m, err := ReadLoop(s, &s.Zones[0], math.Inf(1))
	require.NoError(t, err)
	assert.Equal(t, checks.Pass, m.Ruling)
	assert.Empty(t, m.Assumed)
	s = doorSite(t, one)
	m, _ = ReadLoop(s, &s.Zones[0], 4900)
	assert.Equal(t, []string{"zones[].tolerance"}, m.Assumed)
}

// Half of a cable's data is no data; a cold cable has less resistance (IEC 60028).
func TestCableOfAZone(t *testing.T) {
	for door, want := range map[string]float64{
		"wiring: normally closed" + known:                                     57.6,
		"wiring: normally closed, cable: {length: 300 m}":                     0,
		"wiring: normally closed, cable: {conductor: 0.22 mm2}":               0,
		"wiring: normally closed, cable: {length: 100 m, conductor: 0.5 mm2}": 7.8,
	} {
		s := doorSite(t, door)
		c, is, err := circuitOf(s, &s.Zones[0])
		require.NoError(t, err)
		assert.InDelta(t, want, c.CableOhm, 1e-9, door)
		assert.Equal(t, want > 0, is, door)
	}
	cold := doorSite(t, "wiring: normally closed"+known)
	cold.Supply.Temperature = checks.Quantity{SI: 0, Text: "0 C"}
	c, _, err := circuitOf(cold, &cold.Zones[0])
	require.NoError(t, err)
	assert.InDelta(t, 57.6*(1-0.00393*20), c.CableOhm, 1e-9)
}

// What makes no sense is refused.
func TestLoopsThatMakeNoSense(t *testing.T) {
	s := doorSite(t, "wiring: normally closed"+known)
	refuse := func(name string, z *site.Zone, ohm float64) {
		m, err := ReadLoop(s, z, ohm)
		assert.ErrorIs(t, err, checks.ErrQuantity, name)
		assert.Zero(t, m, name)
	}
	refuse("below zero", &s.Zones[0], -5)
	refuse("no number", &s.Zones[0], math.NaN())
	refuse("no such wiring", &site.Zone{Wiring: "unheard of"}, 5)
	_, err := ExpectedLoop(s, &site.Zone{Wiring: "unheard of"})
	assert.Error(t, err)
	s.Zones[0].Cable.Conductor.AreaMM2 = 0
	refuse("no conductor", &s.Zones[0], 5)
	_, err = ExpectedLoop(s, &s.Zones[0])
	assert.Error(t, err)
	s.Supply.Temperature = checks.Quantity{SI: 999, Text: "999 C"}
	s.Zones[0].Cable = nil
	refuse("too hot", &s.Zones[0], 5)
}

// What an ohmmeter should read, by Kirchhoff.
func TestExpectedLoop(t *testing.T) {
	s := doorSite(t, "wiring: two resistors, end_of_line: 4k7, contact_resistor: 4k7")
	l, err := ExpectedLoop(s, &s.Zones[0])
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{4465, 4700, 4935}, []float64{l.Normal.Low, l.Normal.Nominal, l.Normal.Up}, 1e-6)
	assert.InDelta(t, 9400, l.Active.Nominal, 1e-6)
	assert.Equal(t, 1, l.Active.Opened, "the first window is one contact's")
	assert.Zero(t, l.Shorted.Nominal)
	assert.Equal(t, checks.LoopCut, l.Cut.State)
	assert.Nil(t, l.Fault)
	assert.Empty(t, l.Alike)

	l, err = ExpectedLoop(s, &s.Zones[1])
	require.NoError(t, err)
	assert.Equal(t, [][2]checks.LoopState{{checks.LoopNormal, checks.LoopShorted}, {checks.LoopActive, checks.LoopCut}},
		l.Alike)

	s = doorSite(
		t,
		"wiring: three resistors, end_of_line: 4k7, contact_resistor: 4k7, fault_resistor: 4k7, tolerance: 1 %"+
			known,
	)
	l, err = ExpectedLoop(s, &s.Zones[0])
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{4699.08, 4757.6, 4816.12},
		[]float64{l.Normal.Low, l.Normal.Nominal, l.Normal.Up}, 1e-6)
	assert.InDelta(t, 9457.6, l.Fault.Nominal, 1e-6)
	assert.Zero(t, l.Fault.Opened)
	assert.Equal(t, [][2]checks.LoopState{{checks.LoopActive, checks.LoopFault}}, l.Alike, "each pair once")
}

// A reading on a visit, as a row.
func TestLoopReadingOfAVisit(t *testing.T) {
	door := aDoor[:len("wiring: normally closed")]
	read := func(door string, r record.Reading) Computed {
		s := begin(t, aDoor, door+", address: z1, detectors: [Door]")
		r.Step, r.Quantity, r.Unit = "walk/1.1", record.LoopReading, "ohm"
		s.tell(r)
		found := loopsOf(Assess(s.record))
		require.Len(t, found, 1)
		assert.False(t, s.record.Find("walk/1.1").Concluded(), "a reading is no trial")
		return found[0]
	}
	name := programme.DetectorName{Point: "1.1", Name: "Door", Zone: programme.ZoneName{Number: 1, Name: "Door"}}
	row := LoopRow{Detector: name, Measured: "62 ohm", Wiring: programme.Hint{Wiring: site.NormallyClosed},
		Tolerance: Assumable{0.05, true}, States: atRestOnly}
	assert.Equal(t, Computed{Row: row, Step: "walk/1.1", Ruling: checks.Undecided, Missing: lack(LackZoneCable)},
		read(door, record.Reading{Value: 62, AsTyped: "62 ohm"}))
	row.Length, row.Conductor, row.Cable, row.Tolerance = "300 m", "0.22 mm2", 57.6, Assumable{Value: 0.01}
	with := read(door+", tolerance: 1 %"+known, record.Reading{Value: 62, AsTyped: "62 ohm"})
	assert.InDelta(t, 57.6, with.Row.(LoopRow).Cable, 1e-9)
	got := with.Row.(LoopRow)
	got.Cable = 57.6
	with.Row = got
	assert.Equal(t, Computed{Row: row, Step: "walk/1.1", Ruling: checks.Pass}, with)

	open := read(door, record.Reading{Open: true, AsTyped: "open"})
	assert.Equal(t, checks.Fail, open.Ruling)
	assert.Equal(t, openOnes, open.Row.(LoopRow).States)
	assert.Equal(t, 1, open.Row.(LoopRow).Opened)

	five := read("wiring: one resistor, end_of_line: 4k7", record.Reading{Value: 4900, AsTyped: "4k9"})
	assert.Equal(t, []string{"zones[].tolerance"}, five.Assumed)

	s := begin(t, aDoor, door+", address: z1, detectors: [Door]")
	not := loopOf(s.record.Site(), Assess(s.record).detectors[0],
		&record.Taken{Reading: record.Reading{Value: -5, AsTyped: "-5 ohm"}})
	require.Len(t, not.Missing, 1)
	assert.Equal(t, LackSense, not.Missing[0].What)
	assert.Equal(t, LoopRow{Detector: name, Measured: "-5 ohm", Wiring: programme.Hint{Wiring: site.NormallyClosed}},
		not.Row)
	assert.False(t, Lack{What: LackZoneCable}.FromVisit())
	assert.Empty(t, loopsOf(Assess(begin(t).record)))
}

// A loop whose wiring nobody knows means nothing: no row says anything of it, one limitation
// says why, and the reading is still there.
func TestALoopThatIsHeldAgainstNothing(t *testing.T) {
	for wiring, unheld := range map[string]int{"normally closed": 0, "not known": 1} {
		s := begin(t, aDoor, "wiring: "+wiring+", address: z1, detectors: [Door]")
		s.tell(record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Unit: "ohm", Value: 1.2, AsTyped: "1.2 ohm"})
		a := Assess(s.record)
		assert.Len(t, loopsOf(a), 1-unheld, wiring)
		all := a.UnheldLoops()
		require.Len(t, all, unheld, wiring)
		var keys []string
		for _, f := range a.Limitations() {
			if what, is := f.What.(NotKnown); is {
				keys = append(keys, what.Keys...)
			}
		}
		assert.Len(t, keys, unheld, wiring)
		if unheld > 0 {
			assert.Equal(t, "1.2 ohm", all[0].Taken.AsTyped)
			assert.Equal(t, site.Point("1.1"), all[0].Detector.Point)
			assert.Equal(t, []string{"zones[].wiring"}, keys)
		}
	}
}
