package checks

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// CableSeen is what can be seen of a cable of unknown use: its cores (1 to 50), their colours
// as far as they were told, and the label that it carries, as typed.
type CableSeen struct {
	Cores   int      `json:"cores"`
	Colours []string `json:"colours,omitempty"`
	Label   string   `json:"label,omitempty"`
}

// ParseCableSeen reads "4 red black green white", and behind a slash between spaces what
// stands on the label: "2 red black / hall". The error wraps ErrQuantity.
func ParseCableSeen(text string) (CableSeen, error) {
	seen, label, _ := strings.Cut(text+" ", " / ")
	words := strings.FieldsFunc(seen, func(r rune) bool { return r == ' ' || r == ',' })
	c := CableSeen{Label: strings.TrimSpace(label)}
	if len(words) > 0 {
		c.Cores, _ = strconv.Atoi(words[0]) // 0 is refused
		c.Colours = words[1:]
	}
	if len(c.Colours) == 0 {
		c.Colours = nil
	}
	if c.Cores < 1 || c.Cores > 50 || len(c.Colours) > c.Cores {
		return CableSeen{}, fmt.Errorf("%w: write the number of cores (1 to 50), their colours, and behind a slash "+
			"what the label says: 4 red black green white / hall", ErrQuantity)
	}
	return c, nil
}

// CableValue is a resistance of a cable in Ω, or that it is above what the instrument shows
// (Above), or open.
type CableValue struct {
	Text  string  `json:"as_typed"`
	Ohm   float64 `json:"ohm"`
	Above bool    `json:"above,omitempty"`
	Open  bool    `json:"open,omitempty"`
}

// CableMeasured is what was measured of a cable, nil for what was not: the loop through two
// cores with the far end shorted, or with its Resistor there; the insulation between cores, and
// to earth.
type CableMeasured struct {
	Resistor bool        `json:"resistor,omitempty"`
	Loop     *CableValue `json:"loop,omitempty"`
	Between  *CableValue `json:"between,omitempty"`
	Earth    *CableValue `json:"earth,omitempty"`
}

// The words of a line of values.
const (
	wordShorted  = "shorted"
	wordResistor = "resistor"
	wordOpen     = "open"
	wordNone     = "none"
)

var errCableLine = fmt.Errorf("%w: write the loop, the insulation between cores, and that to earth, for example: "+
	"12.4 ohm >200 Mohm >200 Mohm; with its resistor at the far end: resistor 4.71k >200 Mohm >200 Mohm; "+
	"open for a loop that reads open, none for what was not measured", ErrQuantity)

// ParseCableMeasured reads "12.4 ohm >200 Mohm >200 Mohm": the loop with the far end shorted,
// the insulation between cores, that to earth. "resistor" before the first tells that the
// resistor was there; "open" is a loop that reads open, "none" what was not measured, and so is
// what is not written. The error wraps ErrQuantity.
func ParseCableMeasured(text string) (CableMeasured, error) {
	words := strings.Fields(strings.NewReplacer(";", " ", ",", " ", ">", " > ").Replace(text))
	m := CableMeasured{}
	if len(words) > 0 && (words[0] == wordShorted || words[0] == wordResistor) {
		m.Resistor = words[0] == wordResistor
		words = words[1:]
	}
	if len(words) == 0 {
		return CableMeasured{}, errCableLine
	}
	for _, to := range []**CableValue{&m.Loop, &m.Between, &m.Earth} {
		var err error
		if *to, words, err = nextCableValue(words, to == &m.Loop); err != nil {
			return CableMeasured{}, err
		}
	}
	if len(words) > 0 || m.Resistor && m.Loop == nil {
		return CableMeasured{}, errCableLine
	}
	return m, nil
}

// nextCableValue takes one value off the words: only a loop reads open, and only insulation
// more than an instrument shows.
func nextCableValue(words []string, loop bool) (*CableValue, []string, error) {
	if len(words) == 0 {
		return nil, nil, nil
	}
	switch {
	case words[0] == wordNone:
		return nil, words[1:], nil
	case words[0] == wordOpen && loop:
		return &CableValue{Text: wordOpen, Open: true}, words[1:], nil
	}
	v := &CableValue{}
	if words[0] == ">" && !loop {
		v.Above, words = true, words[1:]
	}
	for n := 1; n <= 2 && n <= len(words); n++ { // 4k7, or 12.4 ohm
		if q, err := Resistance.Parse(strings.Join(words[:n], " ")); err == nil {
			v.Text, v.Ohm = q.Text, q.SI
			if v.Above {
				v.Text = "> " + q.Text
			}
			return v, words[n:], nil
		}
	}
	return nil, nil, errCableLine
}

// Insulation is a resistance of insulation in Ω and what it is held against.
type Insulation struct {
	Value    CableValue
	Share    float64 // its expanded uncertainty (k = 2), as a share of it
	TestVolt float64 // V d.c. with which it was measured; 0 for not known
	Limit    float64 // Ω that it is held against
	Declared bool    // somebody declared that
}

// Decide holds insulation against its limit with a guard band of its uncertainty. A value
// above what the instrument shows is at least that. Measured with less than TestVolt it never
// passes: an ohmmeter is no insulation test; and what is bad already then fails. Measured with
// more, it is held against what was declared only. Where nobody declared a limit, what older
// editions let pass is undecided. Sources: the rows of the thresholds.
func (i Insulation) Decide() (Ruling, error) {
	v, least := i.Value, i.Limit
	if !(v.Ohm >= 0) || math.IsInf(v.Ohm, 0) || !(i.Share >= 0 && i.Share < 1) || !(i.TestVolt >= 0) || !(least > 0) {
		return "", fmt.Errorf("%w: insulation of %v Ω", ErrQuantity, v.Ohm)
	}
	low, up := v.Ohm*(1-i.Share), v.Ohm*(1+i.Share)
	if v.Above {
		low, up = v.Ohm, math.Inf(1)
	}
	enough, fails := InsulationTestVolt(), least
	if !i.Declared {
		fails = min(least, threshold("cable/insulation/older"))
	}
	switch {
	case low >= least && i.TestVolt >= enough:
		return Pass, nil
	case up < fails && (i.Declared || i.TestVolt <= enough):
		return Fail, nil
	}
	return Undecided, nil
}

// InsulationTestVolt is the voltage, in V d.c., with which extra-low voltage circuits are
// tested.
func InsulationTestVolt() float64 { return threshold("cable/insulation/test-volt") }
