package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// identified are the codes of what a cable may be.
func identified(t *testing.T, cores int, colours []string, ohm float64) []GuessCode {
	t.Helper()
	guesses, err := IdentifyCable(cores, colours, ohm)
	require.NoError(t, err)
	var codes []GuessCode
	for _, g := range guesses {
		codes = append(codes, g.What)
		assert.NotEmpty(t, g.Why, "every guess says why")
		assert.NotEmpty(t, g.Next, "every guess says what to check")
	}
	return codes
}

// By the number of cores and their colours; common practice, no source.
func TestCableByCores(t *testing.T) {
	red, mixed := []string{"red", "black"}, []string{"Red", "white", " BLACK ", "blue"}
	for _, tc := range []struct {
		cores   int
		colours []string
		want    []GuessCode
		next    GuessCheck // of the first
	}{
		{1, nil, []GuessCode{SingleConductor}, TraceBothEnds},
		{2, nil, []GuessCode{ContactLoop, SounderOrSupply}, ReadOpenAndClosed},
		{2, red, []GuessCode{SupplyOrSounder, ContactLoop}, MeasureRedBlack},
		{2, []string{"red", "blue"}, []GuessCode{ContactLoop, SounderOrSupply}, ReadOpenAndClosed},
		{2, []string{"blue", "black"}, []GuessCode{ContactLoop, SounderOrSupply}, ReadOpenAndClosed},
		{3, nil, []GuessCode{DetectorAlarm, TwoContactLoops}, FindSupplyPair},
		{4, mixed, []GuessCode{DetectorAlarm, TwoContactLoops}, MeasureRedBlack},
		{5, nil, []GuessCode{DetectorAlarm, TwoContactLoops}, FindSupplyPair},
		{6, nil, []GuessCode{DetectorAlarmTamp, SounderStrobe}, FindSupplyPair},
		{7, mixed, []GuessCode{DetectorAlarmTamp, SounderStrobe}, MeasureRedBlack},
		{8, nil, []GuessCode{TrunkToOthers}, OpenFarEnd},
		{50, nil, []GuessCode{TrunkToOthers}, OpenFarEnd},
	} {
		assert.Equal(t, tc.want, identified(t, tc.cores, tc.colours, math.NaN()), "%d cores, %v", tc.cores, tc.colours)
		guesses, err := IdentifyCable(tc.cores, tc.colours, math.NaN())
		require.NoError(t, err)
		assert.Equal(t, tc.next, guesses[0].Next, "%d cores, %v", tc.cores, tc.colours)
		assert.Equal(t, tc.cores, guesses[0].Cores)
	}
}

// By the reading: from 1 MΩ on it is open, below 50 Ω there is no resistor, and a preferred
// value (IEC 60063, series E24) or twice one is taken within 2 %; common practice, no source.
func TestCableByReading(t *testing.T) {
	for _, tc := range []struct {
		ohm, value, within float64
		want               GuessCode
	}{
		{math.Inf(1), 0, 0, OpenCircuit}, {1e6, 0, 0, OpenCircuit}, {1.05e6, 0, 0, OpenCircuit},
		{999_999, 1e6, 1e-6, EndOfLine},
		{0, 0, 0, ClosedLoop}, {49.9, 0, 0, ClosedLoop}, {50.5, 51, 0.5 / 51, EndOfLine}, {50, 51, 1.0 / 51, EndOfLine},
		{4720, 4700, 20.0 / 4700, EndOfLine}, {1019, 1000, 0.019, EndOfLine}, {1020, 1000, 0.02, EndOfLine},
		{1021, 510, 0.5 / 510, TwoInSeries}, {980, 1000, 0.02, EndOfLine}, {4080, 2000, 0.02, TwoInSeries},
		{9400, 4700, 0, TwoInSeries}, {1050, 0, 0, SeveralResistors}, {1042, 510, 11.0 / 510, SeveralResistors},
	} {
		guesses, err := IdentifyCable(2, nil, tc.ohm)
		require.NoError(t, err)
		g := guesses[0]
		assert.Equal(t, tc.want, g.What, "%v Ω", tc.ohm)
		assert.NotEmpty(t, g.Why)
		assert.NotEmpty(t, g.Next)
		assert.Equal(t, tc.ohm, g.Ohm)
		if tc.want == EndOfLine || tc.want == TwoInSeries {
			assert.InDelta(t, tc.value, g.Value, 1e-9, "%v Ω", tc.ohm)
			assert.InDelta(t, tc.within, g.Within, 1e-12, "%v Ω", tc.ohm)
		}
		all := []GuessCode{tc.want, ContactLoop, SounderOrSupply}
		assert.Equal(t, all, identified(t, 2, nil, tc.ohm), "the cores count as well")
	}
}

// The colours that are used for mains somewhere in the world come first, whatever was
// read (IEC 60446 and national practice, from memory).
func TestMainsColours(t *testing.T) {
	for _, tc := range []struct {
		cores   int
		colours []string
		mains   bool
	}{
		{3, []string{"brown", "blue", "green/yellow"}, true}, {2, []string{"brown", "blue"}, true},
		{5, []string{"brown", "blue", "red", "black", "white"}, true}, {2, []string{"Brown", "BLUE "}, true},
		{2, []string{"brown", "red"}, false}, {2, []string{"blue", "red"}, false},
		{2, []string{"black", "white"}, true}, {3, []string{"black", "white", "red"}, true},
		{4, []string{"black", "white", "red", "green"}, false}, {3, []string{"black", "red", "yellow"}, false},
		{3, []string{"white", "red", "yellow"}, false},
		{3, []string{"black", "red", "bare"}, true}, {4, []string{"black", "red", "blue", " Bare"}, true},
		{3, []string{"red", "black", "green"}, true}, {3, []string{"red", "black", "GREEN"}, true},
		{4, []string{"red", "black", "green", "yellow"}, false}, {2, []string{"red", "green"}, false},
		{4, []string{"red", "black", "yellow", "yellow-green"}, true}, {3, []string{"red", "black", "yellow"}, false},
		{4, nil, false},
	} {
		guesses := identified(t, tc.cores, tc.colours, 4700)
		assert.Equal(t, tc.mains, guesses[0] == PerhapsMains, "%v", tc.colours)
		assert.Equal(t, tc.mains, len(guesses) > 1 && guesses[1] == EndOfLine, "%v", tc.colours)
	}
	guesses, err := IdentifyCable(2, []string{"brown", "blue"}, math.NaN())
	require.NoError(t, err)
	assert.Equal(t, TreatAsLive, guesses[0].Next)
}

// A warning of mains does not depend on the language that colours are written in: German names,
// and the abbreviations of IEC 60757 (from memory; older German letters: common practice, no
// source).
func TestMainsColoursInGermanAndAbbreviated(t *testing.T) {
	for _, tc := range []struct {
		cores   int
		colours []string
		mains   bool
	}{
		{2, []string{"braun", "blau"}, true}, {2, []string{"Braun", " BLAU "}, true}, {2, []string{"BN", "BU"}, true},
		{2, []string{"bn", "blau"}, true}, {2, []string{"br", "bl"}, true}, {2, []string{"braun", "hellblau"}, true},
		{2, []string{"schwarz", "weiß"}, true}, {2, []string{"schwarz", "weiss"}, true}, {2, []string{"BK", "WH"}, true},
		{2, []string{"SCHWARZ", "WEISS"}, true}, {2, []string{"schwarz", "WEI\u1e9e"}, true}, {2, []string{"sw", "ws"}, true},
		{3, []string{"schwarz", "rot", "grün"}, true}, {3, []string{"schwarz", "rot", "gruen"}, true},
		{3, []string{"schwarz", "rot", "gru\u0308n"}, true}, {3, []string{"BK", "RD", "GN"}, true},
		{3, []string{"schwarz", "rot", "blank"}, true},
		{4, []string{"rot", "grau", "rosa", "grün-gelb"}, true}, {4, []string{"rot", "grau", "rosa", "grüngelb"}, true},
		{4, []string{"rot", "grau", "rosa", "GRÜN/GELB"}, true}, {4, []string{"rot", "grau", "rosa", "gelb-grün"}, true},
		{4, []string{"rot", "grau", "rosa", "gelbgrün"}, true}, {4, []string{"rot", "grau", "rosa", "GNYE"}, true},
		{4, []string{"rot", "grau", "rosa", "gn/ye"}, true}, {4, []string{"rot", "grau", "rosa", "GN-YE"}, true},
		{4, []string{"rot", "grau", "rosa", "gnge"}, true}, {4, []string{"rot", "grau", "rosa", "gru\u0308n-gelb"}, true},
		{4, []string{"rot", "grau", "rosa", "PE"}, true}, {4, []string{"red", "gray", "pink", "greenyellow"}, true},

		{2, []string{"braun", "rot"}, false}, {2, []string{"blau", "rot"}, false}, {2, []string{"BN", "RD"}, false},
		{4, []string{"schwarz", "weiß", "rot", "grün"}, false}, {4, []string{"rot", "schwarz", "grün", "gelb"}, false},
		{4, []string{"RD", "BK", "GN", "YE"}, false}, {3, []string{"weiß", "rot", "gelb"}, false},
		{3, []string{"grau", "rot", "schwarz"}, false}, {3, []string{"gr", "rt", "sw"}, false},
		{4, []string{"orange", "violett", "rosa", "türkis"}, false}, {4, []string{"OG", "VT", "PK", "TQ"}, false},
		{2, []string{"rot", "grün"}, false},
	} {
		guesses := identified(t, tc.cores, tc.colours, math.NaN())
		assert.Equal(t, tc.mains, guesses[0] == PerhapsMains, "%v", tc.colours)
	}
}

// Each colour of IEC 60757 is one colour, however it is written, and no name belongs to two.
func TestCoreColours(t *testing.T) {
	for colour, names := range map[string][]string{
		"black": {"BK", "schwarz"}, "brown": {"BN", "Braun"}, "red": {"RD", "rot"}, "orange": {"OG", "Orange"},
		"yellow": {"YE", "gelb"}, "green": {"GN", "GRÜN"}, "blue": {"BU", "blau"}, "violet": {"VT", "violett"},
		"grey": {"GY", "grau"}, "white": {"WH", "weiß"}, "pink": {"PK", "rosa"}, "turquoise": {"TQ", "türkis"},
		"green-yellow": {"GNYE", "grün-gelb", "yellow/green"},
	} {
		for _, name := range append(names, colour) {
			assert.Equal(t, colour, coreColour(name), name)
		}
	}
	of := map[string]string{}
	for colour, names := range coreColours {
		for _, name := range names {
			assert.Empty(t, of[name], "%s is %s", name, colour)
			of[name] = colour
		}
	}
	for _, unknown := range []string{"", "gr", "gelblich", "brownish", "mauve"} {
		assert.Empty(t, coreColour(unknown), unknown)
	}
	assert.Equal(t, []GuessCode{SupplyOrSounder, ContactLoop}, identified(t, 2, []string{"rot", "SCHWARZ"}, math.NaN()))
}
