package checks

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// conditions are what a reference value was stated for.
type conditions struct {
	t    *testing.T
	text map[string]string
}

func (c conditions) number(key string) float64 {
	c.t.Helper()
	text, there := c.text[key]
	require.True(c.t, there, "no condition %q", key)
	if text == "inf" {
		return math.Inf(1)
	}
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(c.t, err)
	return v
}

func (c conditions) either(key string, otherwise float64) float64 {
	if c.text[key] == "" {
		return otherwise
	}
	return c.number(key)
}

func (c conditions) numbers(key string) []float64 {
	c.t.Helper()
	var out []float64
	for _, f := range strings.Fields(c.text[key]) {
		v, err := strconv.ParseFloat(f, 64)
		require.NoError(c.t, err)
		out = append(out, v)
	}
	return out
}

func (c conditions) ohm(key string) float64 {
	c.t.Helper()
	q, err := Resistance.Parse(c.text[key])
	require.NoError(c.t, err)
	return q.SI
}

func (c conditions) conductor() Conductor {
	c.t.Helper()
	w, err := ParseConductor(c.text["gauge"])
	require.NoError(c.t, err)
	return w
}

func (c conditions) wire() float64 {
	c.t.Helper()
	r, err := c.conductor().Resistance(Make(c.text["make"]), c.number("temperature"))
	require.NoError(c.t, err)
	return r.OhmPerMetre
}

func (c conditions) pack() Pack {
	return Pack{Chemistry(c.text["chemistry"]), int(c.either("cells", 0))}
}

func (c conditions) draws() []Draw {
	var out []Draw
	for _, part := range strings.Split(c.text["draws"], "+") {
		a, h, _ := strings.Cut(part, "x")
		ampere, _ := strconv.ParseFloat(a, 64)
		hour, _ := strconv.ParseFloat(h, 64)
		out = append(out, Draw{ampere, hour})
	}
	return out
}

func (c conditions) parts() []Contribution {
	var out []Contribution
	for _, part := range strings.Fields(c.text["parts"]) {
		u, f, _ := strings.Cut(part, ":")
		standard, _ := strconv.ParseFloat(u, 64)
		freedom, _ := strconv.ParseFloat(f, 64)
		out = append(out, Contribution{Standard: standard, Freedom: freedom})
	}
	return out
}

// readings reads a data file of NIST's.
func readings(t *testing.T, name string) []float64 {
	t.Helper()
	f, err := os.Open("../testdata/nist/" + name + ".dat")
	require.NoError(t, err)
	defer f.Close()
	var out []float64
	for s := bufio.NewScanner(f); s.Scan(); {
		if text := strings.TrimSpace(s.Text()); text != "" && !strings.HasPrefix(text, "#") {
			v, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			out = append(out, v)
		}
	}
	return out
}

// resistivities: NIST/SEMATECH e-Handbook 7.2.6.2, sorted.
var resistivities = []float64{95.0610, 95.0925, 95.1065, 95.1195, 95.1442, 95.1567, 95.1591, 95.1682, 95.1772,
	95.1937, 95.1959, 95.1990}

func loopValue(c conditions) (float64, error) {
	circuit := Circuit{Kind: CircuitKind(c.text["kind"]), Tolerance: c.either("tolerance", 0),
		Contacts: int(c.either("contacts", 1)), CableOhm: c.either("cable", 0),
		CableTol: c.either("cable_tolerance", 0)}
	for key, to := range map[string]*float64{"end": &circuit.EndOhm, "contact": &circuit.ContactOhm,
		"fault": &circuit.FaultOhm} {
		if c.text[key] != "" {
			*to = c.ohm(key)
		}
	}
	all, err := circuit.Windows()
	for _, w := range all {
		if string(w.State) == c.text["state"] &&
			w.Opened == int(c.either("opened", map[bool]float64{true: 1}[w.State == LoopActive])) {
			return map[string]float64{"low": w.Low, "nominal": w.Nominal, "up": w.Up}[c.text["bound"]], err
		}
	}
	return math.NaN(), err
}

func summarised(c conditions, pick func(Times) float64) (float64, error) {
	s, err := Summarise(readings(c.t, c.text["file"]))
	return pick(s), err
}

// references are the checks that reference values name.
var references = map[string]func(conditions) (float64, error){
	"diameter": func(c conditions) (float64, error) { return gaugeDiameterMM(c.conductor().AWG) / 0.0254, nil },
	"wire":     func(c conditions) (float64, error) { return c.wire() * 1000 * unitOf(c), nil },
	"temperature_factor": func(c conditions) (float64, error) {
		return temperatureFactor(c.number("temperature")), nil
	},
	"temperature_factor_inverse": func(c conditions) (float64, error) {
		return 1 / temperatureFactor(c.number("temperature")), nil
	},
	"drop": func(c conditions) (float64, error) {
		return Run{c.number("length"), c.number("ohm_per_metre"), c.number("current"), 12}.Drop()
	},
	"drop_of": func(c conditions) (float64, error) {
		return Run{c.number("length"), c.wire(), c.number("current"), 12}.Drop()
	},
	"capacity": func(c conditions) (float64, error) {
		return RequiredCapacity(c.draws(), Factors{c.number("ageing"), 1})
	},
	"autonomy": func(c conditions) (float64, error) {
		return Battery{c.number("capacity"), c.number("rate"), c.number("exponent")}.Autonomy(c.number("load"))
	},
	"internal": func(c conditions) (float64, error) {
		r, _, err := InternalResistance(c.number("volt1"), c.number("ampere1"), c.number("volt2"), c.number("ampere2"), 0)
		return r, err
	},
	"converter": func(c conditions) (float64, error) {
		return ThroughConverter(c.number("load"), c.number("load_volt"), c.number("pack_volt"), c.number("efficiency"))
	},
	"insulation": func(c conditions) (float64, error) {
		ruling, err := Insulation{CableValue{Ohm: c.ohm("value")}, c.number("share"), c.number("volt"),
			threshold("cable/insulation/holds"), false}.Decide()
		return map[Ruling]float64{Pass: 1, Undecided: 0, Fail: -1}[ruling], err
	},
	"reused_loop": func(c conditions) (float64, error) {
		wire, err := c.conductor().Resistance(Flexible, c.number("temperature"))
		return Run{LengthMetre: c.number("length"), OhmPerMetre: wire.OhmPerMetre}.LoopOhm(), err
	},
	"threshold": func(c conditions) (float64, error) {
		return threshold(c.text["id"]) * c.number("times"), nil
	},
	"compensation": func(c conditions) (float64, error) {
		return -threshold(c.text["id"]) * c.number("cells") * (c.number("to") - c.number("from")), nil
	},
	"at_rate": func(c conditions) (float64, error) {
		return RequiredAtRate(c.draws(), c.number("rate"), c.number("exponent"), Factors{1, 1})
	},
	"capacity_cold": func(c conditions) (float64, error) {
		_, cold, err := Pack{Chemistry: LeadAcid}.ColdFactors(c.number("temperature"))
		require.NoError(c.t, err)
		return RequiredCapacity(c.draws(), Factors{c.number("ageing"), cold})
	},
	"favourable": func(c conditions) (float64, error) {
		f, _, err := c.pack().ColdFactors(c.number("temperature"))
		return f, err
	},
	"cautious": func(c conditions) (float64, error) {
		_, f, err := c.pack().ColdFactors(c.number("temperature"))
		return f, err
	},
	"recharge": func(c conditions) (float64, error) {
		return RechargeHours(c.number("capacity"), c.number("share"), c.number("current"), 0)
	},
	"rectified": func(c conditions) (float64, error) {
		a, _, err := RectifiedAmpere(c.number("apparent"), c.number("volt"))
		return a, err
	},
	"rectified_most": func(c conditions) (float64, error) {
		_, a, err := RectifiedAmpere(c.number("apparent"), c.number("volt"))
		return a, err
	},
	"charge_current": func(c conditions) (float64, error) {
		a, _ := MaximumChargeCurrent(c.pack().Chemistry, c.number("capacity"))
		return a, nil
	},
	"charge_current_most": func(c conditions) (float64, error) {
		_, a := MaximumChargeCurrent(c.pack().Chemistry, c.number("capacity"))
		return a, nil
	},
	"end":        func(c conditions) (float64, error) { v, _ := c.pack().EndOfDischarge(); return v, nil },
	"end_lowest": func(c conditions) (float64, error) { _, v := c.pack().EndOfDischarge(); return v, nil },
	"per_cell": func(c conditions) (float64, error) {
		j, err := c.pack().JudgeCharger(c.number("volt"), 20)
		return j.PerCell, err
	},
	"charge_low": func(c conditions) (float64, error) {
		j, err := c.pack().JudgeCharger(13, c.number("temperature"))
		return j.Holds.Lower, err
	},
	"charge_high": func(c conditions) (float64, error) {
		j, err := c.pack().JudgeCharger(13, c.number("temperature"))
		return j.Holds.Upper, err
	},
	"preferred":  func(c conditions) (float64, error) { v, _ := nearestPreferred(c.number("near")); return v, nil },
	"resistance": func(c conditions) (float64, error) { return c.ohm("code"), nil },
	"loop":       loopValue,
	"terminal": func(c conditions) (float64, error) {
		return TerminalVolt(c.number("supply"), c.number("pull_up"), c.number("loop")), nil
	},
	"parallel": func(c conditions) (float64, error) {
		w, err := Circuit{Kind: TwoResistorOpen, EndOhm: c.number("a"), ContactOhm: c.number("b")}.Windows()
		return w[1].Nominal, err
	},
	"mean": func(c conditions) (float64, error) { return summarised(c, func(s Times) float64 { return s.Mean }) },
	"deviation": func(c conditions) (float64, error) {
		return summarised(c, func(s Times) float64 { return s.StandardDeviation })
	},
	"lag1":       func(c conditions) (float64, error) { return summarised(c, func(s Times) float64 { return s.Lag1 }) },
	"percentile": func(c conditions) (float64, error) { return percentile(resistivities, c.number("p")), nil },
	"lower": func(c conditions) (float64, error) {
		return ProportionLowerBound(int(c.number("successes")), int(c.number("trials")), c.number("confidence"))
	},
	"upper": func(c conditions) (float64, error) {
		return ProportionUpperBound(int(c.number("successes")), int(c.number("trials")), c.number("confidence"))
	},
	"trials_needed": func(c conditions) (float64, error) {
		n, err := TrialsNeeded(c.number("probability"), c.number("confidence"))
		return float64(n), err
	},
	"half_width": func(c conditions) (float64, error) { return fromHalfWidth(c.number("a"), Shape(c.text["shape"])) },
	"resolution": func(c conditions) (float64, error) { return FromResolution(c.number("a")) },
	"combined":   func(c conditions) (float64, error) { u, _, err := Combined(c.parts()...); return u, err },
	"freedom":    func(c conditions) (float64, error) { _, f, err := Combined(c.parts()...); return f, err },
	"t": func(c conditions) (float64, error) {
		return CoverageFactor(c.number("confidence"), c.number("freedom"))
	},
	"conformity": func(c conditions) (float64, error) {
		d, err := Decide(c.number("value"), 2*c.number("standard"),
			Interval{c.either("lower", math.Inf(-1)), c.either("upper", math.Inf(1))})
		return d.Probability, err
	},
	"trend": func(c conditions) (float64, error) { return trendOf(c, readTrend(c.t, c.text["set"])) },
	"trend_tail": func(c conditions) (float64, error) {
		return exactTail(int(c.number("n")), nil, int(c.number("s"))), nil
	},
	"trend_critical": criticalS,
	"two_visits":     changeOf,
	"any_by_chance": func(c conditions) (float64, error) {
		return AnyByChance(int(c.number("m")), c.number("level")),
			nil
	},
	"sum": func(c conditions) (float64, error) { return AddLevels(c.numbers("levels")...) },
	"at": func(c conditions) (float64, error) {
		return LevelAt(c.number("level"), c.number("from"), c.number("to"))
	},
	"background": func(c conditions) (float64, error) {
		return WithoutBackground(c.number("total"), c.number("background"))
	},
	"meter": func(c conditions) (float64, error) {
		return MeterClass(c.number("class")).Tolerance(c.number("from"), c.either("to", c.number("from")))
	},
	"distance_down": func(c conditions) (float64, error) {
		down, _, err := DistanceError(c.number("at"), c.number("within"))
		return down, err
	},
	"distance_up": func(c conditions) (float64, error) {
		_, up, err := DistanceError(c.number("at"), c.number("within"))
		return up, err
	},
	"sound_budget": func(c conditions) (float64, error) {
		down, up, err := SoundBudget{c.number("meter"), c.either("resolution", 0), c.number("at"),
			c.number("within")}.Expanded()
		return map[string]float64{"down": down, "up": up}[c.text["side"]], err
	},
	"background_correction": func(c conditions) (float64, error) {
		k, _, err := BackgroundCorrection(c.number("total"), c.number("background"))
		return k, err
	},
}

// unitOf turns Ω/km into the unit of the row.
func unitOf(c conditions) float64 {
	if c.text["unit"] == "ohm/kft" {
		return 0.3048
	}
	return 1
}

func conditionsOf(t *testing.T, text, unit string) conditions {
	c := conditions{t, map[string]string{"unit": unit}}
	for _, part := range strings.Split(text, ";") {
		key, value, ok := strings.Cut(part, "=")
		require.True(t, ok, text)
		c.text[key] = value
	}
	return c
}

// tolerance is absolute, or a share of the value where it ends in %.
func tolerance(t *testing.T, text string, value float64) float64 {
	share, relative := strings.CutSuffix(text, "%")
	v, err := strconv.ParseFloat(share, 64)
	require.NoError(t, err)
	if relative {
		return math.Abs(value) * v / 100
	}
	return v
}

// Every reference value, with its source and how far off we are.
func TestReferenceValues(t *testing.T) {
	files, err := filepath.Glob("../testdata/reference/*.csv")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	sources, values := map[string]bool{}, 0
	used := map[string]bool{}
	for _, file := range files {
		f, err := os.Open(file)
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		require.NoError(t, f.Close())
		for i, row := range rows[1:] {
			name := fmt.Sprintf("%s:%d %s %s", filepath.Base(file), i+2, row[0], row[1])
			check, known := references[row[0]]
			require.True(t, known, name)
			want, err := strconv.ParseFloat(row[2], 64)
			require.NoError(t, err, name)
			got, err := check(conditionsOf(t, row[1], row[3]))
			require.NoError(t, err, name)
			within := tolerance(t, row[4], want)
			assert.LessOrEqual(t, math.Abs(got-want), within+1e-15, "%s: %v, published %v (%s, %s)", name, got, want,
				row[5], row[6])
			assert.True(t, slices.Contains([]string{"looked up", "from memory", "common practice", "recomputed"}, row[6]), name)
			t.Logf("%-70s %12.7g %-8s off by %9.2g   %s (%s)", name, want, row[3], got-want, row[5], row[6])
			sources[row[5]], used[row[0]] = true, true
			values++
		}
	}
	assert.GreaterOrEqual(t, values, 150)
	assert.GreaterOrEqual(t, len(sources), 15)
	assert.Len(t, used, len(references), "every check has a reference value")
}
