package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each kind of circuit with a cable of 100 Ω ± 10 % and resistors of 1 kΩ ± 5 %, worked
// by Kirchhoff's laws.
func TestWindows(t *testing.T) {
	inf := math.Inf(1)
	open := func(s LoopState, opened int) Window { return Window{s, opened, inf, inf, inf} }
	wire := func(s LoopState, opened int) Window { return Window{s, opened, 90, 100, 110} }
	end := Window{LoopNormal, 0, 1040, 1100, 1160}
	for kind, want := range map[CircuitKind][]Window{
		NormallyClosed: {wire(LoopNormal, 0), open(LoopActive, 1)},
		NormallyOpen:   {open(LoopNormal, 0), wire(LoopActive, 1)},
		OneResistor:    {end, open(LoopActive, 1)},
		TwoResistor:    {end, {LoopActive, 1, 1990, 2100, 2210}, {LoopActive, 2, 2940, 3100, 3260}},
		TwoResistorOpen: {end, {LoopActive, 1, 475 + 90, 600, 525 + 110},
			{LoopActive, 2, 950.0/3 + 90, 1000.0/3 + 100, 1050.0/3 + 110}},
		ParallelResistor: {end, wire(LoopActive, 1)},
		ThreeResistor: {end, {LoopActive, 1, 1990, 2100, 2210}, {LoopActive, 2, 2940, 3100, 3260},
			{LoopFault, 0, 1515, 1600, 1685}, {LoopFault, 1, 2465, 2600, 2735}, {LoopFault, 2, 3415, 3600, 3785}},
	} {
		c := Circuit{Kind: kind, EndOhm: 1000, ContactOhm: 1000, FaultOhm: 500, Contacts: 2,
			Tolerance: 0.05, CableOhm: 100, CableTol: 0.1}
		got, err := c.Windows()
		require.NoError(t, err)
		want = append(want, Window{State: LoopShorted}, open(LoopCut, 0))
		require.Len(t, got, len(want), kind)
		for i, w := range want {
			assert.Equal(t, [2]any{w.State, w.Opened}, [2]any{got[i].State, got[i].Opened}, kind)
			for j, ohm := range []float64{w.Low, w.Nominal, w.Up} {
				is := []float64{got[i].Low, got[i].Nominal, got[i].Up}[j]
				assert.True(t, is == ohm || math.Abs(is-ohm) < 1e-9, "%s %s: %v, not %v", kind, w.State, is, ohm)
			}
		}
	}
	for contacts, actives := range map[int]int{0: 1, 1: 1, 64: 64} {
		got, err := Circuit{Kind: TwoResistor, EndOhm: 1000, ContactOhm: 1000, Contacts: contacts}.Windows()
		require.NoError(t, err)
		assert.Len(t, got, actives+3)
	}
}

// Contacts and clips add up to 2 Ω, and from 1 MΩ on a loop is open (common
// practice, no source); the reading's uncertainty widens both.
func TestClassifyAtTheEdges(t *testing.T) {
	closed, one := Circuit{Kind: NormallyClosed}, Circuit{Kind: OneResistor, EndOhm: 5600}
	for _, tc := range []struct {
		of               Circuit
		ohm, uncertainty float64
		want             []LoopState
	}{
		{closed, 2, 0, []LoopState{LoopNormal, LoopShorted}}, {closed, 2.1, 0, nil},
		{closed, 2.5, 0.6, []LoopState{LoopNormal, LoopShorted}}, {closed, 2.5, 0.4, nil},
		{closed, 999_999, 0, nil}, {closed, 999_999, 1, []LoopState{LoopActive, LoopCut}},
		{closed, 1_000_000, 0, []LoopState{LoopActive, LoopCut}}, {closed, 1_050_000, 0, []LoopState{LoopActive, LoopCut}},
		{closed, math.Inf(1), 0, []LoopState{LoopActive, LoopCut}},
		{one, 5598, 0, []LoopState{LoopNormal}}, {one, 5602, 0, []LoopState{LoopNormal}},
		{one, 5597.9, 0, nil}, {one, 5602.1, 0, nil},
		{one, 5597, 1.5, []LoopState{LoopNormal}}, {one, 5603, 1.5, []LoopState{LoopNormal}}, {one, 5597, 0.5, nil},
	} {
		fit, err := tc.of.Classify(tc.ohm, tc.uncertainty)
		require.NoError(t, err)
		var got []LoopState
		for _, w := range fit {
			got = append(got, w.State)
		}
		assert.Equal(t, tc.want, got, "%s: %v ± %v Ω", tc.of.Kind, tc.ohm, tc.uncertainty)
	}
}

// How many contacts of a circuit in parallel are active may stay open; any other pair
// of states that cannot be told apart is told.
func TestOverlaps(t *testing.T) {
	type pair struct {
		a, b             LoopState
		openedA, openedB int
	}
	for _, tc := range []struct {
		name string
		of   Circuit
		want []pair
	}{
		{"contacts in parallel", Circuit{Kind: TwoResistorOpen, EndOhm: 4700, ContactOhm: 4700, Contacts: 3, Tolerance: 0.2},
			nil},
		{"contacts in series", Circuit{Kind: TwoResistor, EndOhm: 1000, ContactOhm: 1000, Contacts: 3, Tolerance: 0.15},
			[]pair{{LoopActive, LoopActive, 2, 3}}},
		{"hardly any contact resistor", Circuit{Kind: TwoResistorOpen, EndOhm: 1000, ContactOhm: 100_000, Tolerance: 0.05},
			[]pair{{LoopNormal, LoopActive, 0, 1}}},
		{"a short cable", Circuit{Kind: NormallyClosed, CableOhm: 1.5},
			[]pair{{LoopNormal, LoopShorted, 0, 0}, {LoopActive, LoopCut, 1, 0}}},
		{"a longer cable", Circuit{Kind: NormallyClosed, CableOhm: 3}, []pair{{LoopActive, LoopCut, 1, 0}}},
		{"a contact that shorts", Circuit{Kind: ParallelResistor, EndOhm: 4700, Tolerance: 0.05},
			[]pair{{LoopActive, LoopShorted, 1, 0}}},
		{"a contact that shorts, far away", Circuit{Kind: ParallelResistor, EndOhm: 4700, CableOhm: 58, CableTol: 0.2}, nil},
		{"three alike", Circuit{Kind: ThreeResistor, EndOhm: 4700, ContactOhm: 4700, FaultOhm: 4700},
			[]pair{{LoopActive, LoopFault, 1, 0}}},
		{"three that differ", Circuit{Kind: ThreeResistor, EndOhm: 4700, ContactOhm: 4700, FaultOhm: 2200,
			Tolerance: 0.05}, nil},
		{"a short cable, open", Circuit{Kind: NormallyOpen, CableOhm: 1.5},
			[]pair{{LoopNormal, LoopCut, 0, 0}, {LoopActive, LoopShorted, 1, 0}}},
	} {
		overlaps, err := tc.of.Overlaps()
		require.NoError(t, err)
		var got []pair
		for _, o := range overlaps {
			got = append(got, pair{o.A.State, o.B.State, o.A.Opened, o.B.Opened})
		}
		assert.Equal(t, tc.want, got, tc.name)
	}
}

func TestTerminalVoltOfAnOpenLoop(t *testing.T) {
	assert.Equal(t, 12.0, TerminalVolt(12, 2200, math.Inf(1)))
}

// The next decade counts as well; what is no resistance has no preferred value.
func TestNearestPreferredAtTheEdges(t *testing.T) {
	for ohm, want := range map[float64]float64{9600: 10_000, 9500: 9100, 0.5: 0.51, 1: 1, 10: 10, 98e3: 100e3} {
		value, off := nearestPreferred(ohm)
		assert.InDelta(t, want, value, 1e-9*want, "IEC 60063, series E24, from memory")
		assert.InDelta(t, math.Abs(ohm-want)/want, off, 1e-12)
	}
	for _, ohm := range []float64{0, -1, math.Inf(1), math.NaN()} {
		value, off := nearestPreferred(ohm)
		assert.Zero(t, value)
		assert.Equal(t, math.Inf(1), off)
	}
}
