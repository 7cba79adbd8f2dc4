package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCableSeen(t *testing.T) {
	for text, want := range map[string]CableSeen{
		"4 red black green white / Z3 hall":  {4, []string{"red", "black", "green", "white"}, "Z3 hall"},
		"4 red, black, green, white":         {4, []string{"red", "black", "green", "white"}, ""},
		"3 brown blue green/yellow":          {3, []string{"brown", "blue", "green/yellow"}, ""},
		"6":                                  {6, nil, ""},
		"2 red black /":                      {2, []string{"red", "black"}, ""},
		"2 / up / down":                      {2, nil, "up / down"},
		"50 white":                           {50, []string{"white"}, ""},
		"  1   white  /   behind  the door ": {1, []string{"white"}, "behind  the door"},
	} {
		seen, err := ParseCableSeen(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, seen, text)
	}
	for _, text := range []string{"", "red black", "0 red", "51", "1 red black", "-2", "/ hall", "four"} {
		_, err := ParseCableSeen(text)
		assert.ErrorIs(t, err, ErrQuantity, text)
	}
}

func TestCableMeasured(t *testing.T) {
	over := func(text string, ohm float64) *CableValue { return &CableValue{Text: text, Ohm: ohm, Above: true} }
	loop := func(text string, ohm float64) *CableValue { return &CableValue{Text: text, Ohm: ohm} }
	for text, want := range map[string]CableMeasured{
		"12.4 ohm >200 Mohm >200 Mohm": {Loop: loop("12.4 ohm", 12.4), Between: over("> 200 Mohm", 2e8),
			Earth: over("> 200 Mohm", 2e8)},
		"shorted 12.4ohm; > 200M; 150 Mohm": {Loop: loop("12.4ohm", 12.4), Between: over("> 200M", 2e8),
			Earth: loop("150 Mohm", 1.5e8)},
		"resistor 4k71 none 0.4 Mohm": {Resistor: true, Loop: loop("4k71", 4710), Earth: loop("0.4 Mohm", 4e5)},
		"open >200 Mohm":              {Loop: &CableValue{Text: "open", Open: true}, Between: over("> 200 Mohm", 2e8)},
		"none 300 kohm":               {Between: loop("300 kohm", 3e5)},
		"12.4 ohm":                    {Loop: loop("12.4 ohm", 12.4)},
		"none":                        {},
	} {
		m, err := ParseCableMeasured(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, m, text)
	}
	for _, text := range []string{"", "12.4", "shorted", "resistor none", "> 12 ohm", "1 ohm open",
		"1 ohm 2 ohm 3 ohm 4 ohm",
		"-1 ohm", "12.4 V", "1 ohm >", "1 ohm > none", "resistor shorted 1 ohm"} {
		_, err := ParseCableMeasured(text)
		assert.ErrorIs(t, err, ErrQuantity, text)
	}
}

// The limit of 0.5 MΩ at 250 V is that of IEC 60364-6 (looked up), 0.25 MΩ that of older
// editions (from memory); the rest follows from the guard band.
func TestInsulationIsDecided(t *testing.T) {
	at := func(ohm float64) CableValue { return CableValue{Ohm: ohm} }
	for _, tc := range []struct {
		name string
		of   Insulation
		want Ruling
	}{
		{"above its limit by more than its uncertainty", Insulation{at(0.56e6), 0.1, 250, 0.5e6, false}, Pass},
		{"within its uncertainty of it", Insulation{at(0.55e6), 0.1, 250, 0.5e6, false}, Undecided},
		{"what the instrument does not show is at least that", Insulation{CableValue{Ohm: 0.5e6, Above: true}, 0.1, 250,
			0.5e6, false}, Pass},
		{"and may be anything above", Insulation{CableValue{Ohm: 0.1e6, Above: true}, 0.1, 250, 0.5e6, false}, Undecided},
		{"between the editions", Insulation{at(0.3e6), 0.1, 250, 0.5e6, false}, Undecided},
		{"below every edition", Insulation{at(0.2e6), 0.1, 250, 0.5e6, false}, Fail},
		{"near the older one", Insulation{at(0.24e6), 0.1, 250, 0.5e6, false}, Undecided},
		{"below what was declared", Insulation{at(0.8e6), 0.1, 250, 1e6, true}, Fail},
		{"a lower one may be declared", Insulation{at(0.15e6), 0.1, 250, 0.1e6, true}, Pass},
		{"an ohmmeter proves nothing", Insulation{at(20e6), 0.1, 9, 0.5e6, false}, Undecided},
		{"nor does an unknown voltage", Insulation{at(20e6), 0.1, 0, 0.5e6, false}, Undecided},
		{"but shows what is bad", Insulation{at(20e3), 0.1, 9, 0.5e6, false}, Fail},
		{"more than 250 V is no less", Insulation{at(20e6), 0.1, 500, 0.5e6, false}, Pass},
		{"and no limit is published for it", Insulation{at(0.1e6), 0.1, 500, 0.5e6, false}, Undecided},
		{"but one may be declared", Insulation{at(0.1e6), 0.1, 500, 0.5e6, true}, Fail},
		{"a short", Insulation{at(0), 0.1, 250, 0.5e6, false}, Fail},
	} {
		ruling, err := tc.of.Decide()
		require.NoError(t, err, tc.name)
		assert.Equal(t, tc.want, ruling, tc.name)
	}
	for _, wrong := range []Insulation{{at(-1), 0.1, 250, 1, false}, {at(1), 1, 250, 1, false}, {at(1), 0.1, -1, 1, false},
		{at(1), 0.1, 250, 0, false}} {
		_, err := wrong.Decide()
		assert.ErrorIs(t, err, ErrQuantity)
	}
}
