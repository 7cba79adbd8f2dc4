package judge

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// powered is one zone of motion detectors, each with what it takes.
func poweredSite(t *testing.T, supply, limits string, detectors ...string) *site.Site {
	t.Helper()
	text := `
reference: V-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
cables: {reused: "no"}
controller: {description: controller, location: hall}
supply: {battery: ` + supply + `}
limits: ` + limits + `
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - number: 2
    name: Hall
    kind: motion
    wiring: normally closed
    address: z2
    detectors:
`
	for i, d := range detectors {
		text += fmt.Sprintf("      - {name: Eye %d, powered: {%s}}\n", i+1, d)
	}
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

const (
	lead     = "{chemistry: lead-acid}"
	declared = "{alarm_load_lower: 10.5 V}"
	ofCable  = "cable_length: 30 m, conductor: 0.22 mm2"
)

// 30 m of 0.22 mm² out and back, 96 Ω/km (DIN VDE 0295): 5.76 Ω, 86.4 mV at 15 mA, from the
// lowest voltage accepted under alarm load.
func TestDropUnderAlarmLoad(t *testing.T) {
	only := func(supply, limits, detector string) Computed {
		found := dropsOf(poweredSite(t, supply, limits, detector))
		require.Len(t, found, 1)
		return found[0]
	}
	c := only(lead, declared, "current: 15 mA, minimum: 10 V, "+ofCable)
	row := c.Row.(DropRow)
	assert.Equal(t, checks.Pass, c.Ruling)
	assert.Empty(t, c.Assumed)
	assert.InDeltaSlice(t, []float64{10.5, 5.76, 10.4136, 0.015},
		[]float64{row.Supply, row.Loop, row.Far, row.Carries}, 1e-9)
	assert.Equal(t, []any{checks.RuleVDE0295Flexible, "2.1", site.SiteFile, false, site.Point(""), 0.0},
		[]any{row.Rule, string(row.Detector.Point), row.Limit.By, row.Converter, row.After, row.Before})
	assert.Equal(t, []string{"30 m", "0.22 mm2", "15 mA", "10 V"},
		[]string{row.Length, row.Conductor, row.Current, row.Minimum})

	assert.Equal(t, checks.Pass, only(lead, declared, "current: 15 mA, minimum: 10.4136 V, "+ofCable).Ruling,
		"just enough")
	c = only(lead, declared, "current: 15 mA, minimum: 10.2 V, cable_length: 300 m, conductor: 0.22 mm2")
	row = c.Row.(DropRow)
	assert.Equal(t, checks.Fail, c.Ruling)
	assert.InDelta(t, 104, row.Shorten, 0, "0.3 V / (2 · 0.096 Ω/m · 0.015 A) = 104.2 m, rounded down")
	assert.NotEmpty(t, row.Thicker)
	assert.False(t, row.Hopeless)
	for minimum, hopeless := range map[string]bool{"10.5 V": true, "12 V": true, "10.49 V": false} {
		row = only(lead, declared, "current: 15 mA, minimum: "+minimum+", "+ofCable).Row.(DropRow)
		assert.Equal(t, hopeless, row.Hopeless, minimum)
		assert.Equal(t, hopeless, row.Shorten == 0, minimum)
	}
	assert.Zero(t, only(lead, declared, "current: 99 A, minimum: 10 V, "+ofCable).Row.(DropRow).Far, "not below zero")
}

// Where nobody declares the lowest supply, 10.5 V are ours (common practice, no source):
// that it holds there rests on it unless it holds at 9.6 V, the lowest end of discharge
// (looked up); it fails only where 12 V would not do either.
func TestDropFromASupplyThatIsAssumed(t *testing.T) {
	rests := []string{"limits.alarm_load_lower"}
	for _, tc := range []struct {
		minimum string
		want    checks.Ruling
		assumed []string
	}{
		{"9.5136 V", checks.Pass, nil}, {"9.514 V", checks.Pass, rests}, {"10.4136 V", checks.Pass, rests},
		{"10.414 V", checks.Undecided, rests}, {"11.9136 V", checks.Undecided, rests}, {"11.914 V", checks.Fail, nil},
	} {
		s := poweredSite(t, lead, "{steady: 1 s}", "current: 15 mA, minimum: "+tc.minimum+", "+ofCable)
		c := dropsOf(s)[0]
		assert.Equal(t, tc.want, c.Ruling, tc.minimum)
		assert.Equal(t, tc.assumed, c.Assumed, tc.minimum)
		assert.Equal(t, site.CommonPractice, c.Row.(DropRow).Limit.By)
		assert.Equal(t, tc.want != checks.Pass, c.Row.(DropRow).Shorten > 0 || c.Row.(DropRow).Hopeless, tc.minimum)
	}
}

// Behind a converter its output feeds the detectors, whatever the battery's limit.
func TestDropBehindAConverter(t *testing.T) {
	pack := "{chemistry: lithium-ion, form: inline, capacity: 5 Ah, output: 12 V}"
	c := dropsOf(poweredSite(t, pack, "{steady: 1 s}", "current: 15 mA, minimum: 11.9136 V, "+ofCable))[0]
	row := c.Row.(DropRow)
	assert.Equal(t, checks.Pass, c.Ruling)
	assert.Empty(t, c.Assumed)
	assert.InDelta(t, 11.9136, row.Far, 1e-9)
	assert.True(t, row.Converter)
	assert.Nil(t, row.Limit)
	assert.Equal(t, checks.Fail,
		dropsOf(poweredSite(t, pack, "{steady: 1 s}", "current: 15 mA, minimum: 11.914 V, "+ofCable))[0].Ruling)
	unknown := "{chemistry: lithium-ion, form: converter, capacity: 5 Ah}"
	c = dropsOf(poweredSite(t, unknown, "{steady: 1 s}", "current: 15 mA, "+ofCable))[0]
	assert.Equal(t, []Lack{{What: LackOutput}, {What: LackMinimum}}, c.Missing)
	assert.Empty(t, c.Ruling)
	none := dropsOf(poweredSite(t, "{chemistry: none}", declared, "current: 15 mA, minimum: 10 "+
		"V, "+ofCable))[0].Row.(DropRow)
	assert.False(t, none.Converter)
}

// One cable with several detectors: what each piece loses is what checks.DropsAlong says
// of the whole, by Kirchhoff.
func TestDropsAlongOneCable(t *testing.T) {
	s := poweredSite(t, lead, declared,
		"current: 15 mA, minimum: 9 V, cable_length: 20 m, conductor: 0.22 mm2",
		`current: 20 mA, minimum: 9 V, cable_length: 10 m, conductor: 0.22 mm2, after: "2.1"`,
		`current: 25 mA, minimum: 9 V, cable_length: 30 m, conductor: 0.22 mm2, after: "2.2"`)
	drops, err := checks.DropsAlong([]checks.Tap{{AtMetre: 20, Ampere: 0.015}, {AtMetre: 30, Ampere: 0.020},
		{AtMetre: 60, Ampere: 0.025}}, 0.096)
	require.NoError(t, err)
	for i, c := range dropsOf(s) {
		row := c.Row.(DropRow)
		assert.InDelta(t, 10.5-drops[i], row.Far, 1e-9)
		assert.InDelta(t, []float64{0.060, 0.045, 0.025}[i], row.Carries, 1e-12)
		assert.InDelta(t, []float64{0, drops[0], drops[1]}[i], row.Before, 1e-9)
		assert.Equal(t, []site.Point{"", "2.1", "2.2"}[i], row.After)
		assert.Equal(t, checks.Pass, c.Ruling)
	}
}

// Two branches after one detector load its piece, not each other's: 2·50 m·96 Ω/km =
// 9.6 Ω with 1 A in all, then 0.5 A or 0.3 A.
func TestDropsOfACableThatBranches(t *testing.T) {
	const each = "minimum: 5 V, cable_length: 50 m, conductor: 0.22 mm2"
	s := poweredSite(t, lead, "{alarm_load_lower: 20 V}", "current: 200 mA, "+each,
		`current: 500 mA, after: "2.1", `+each, `current: 300 mA, after: "2.1", `+each)
	var far []float64
	for _, c := range dropsOf(s) {
		far = append(far, c.Row.(DropRow).Far)
	}
	assert.InDeltaSlice(t, []float64{10.4, 5.6, 7.52}, far, 1e-9)
	last := `current: 500 mA, after: "2.1", minimum: 6 V, cable_length: 50 m, conductor: 0.22 mm2`
	c := dropsOf(poweredSite(t, lead, "{alarm_load_lower: 20 V}", "current: 500 mA, "+each, last))[1]
	row := c.Row.(DropRow)
	assert.Equal(t, checks.Fail, c.Ruling)
	assert.Equal(t, []any{0.0, "", false}, []any{row.Shorten, row.Thicker, row.Hopeless}, "its own piece says too little")
}

// What lacks on the way is told at every detector that it feeds, once.
func TestDropsThatLackSomething(t *testing.T) {
	s := poweredSite(t, lead, declared, "current: 15 mA, minimum: 9 V",
		`current: 15 mA, minimum: 9 V, conductor: 0.22 mm2, after: "2.1"`,
		"current: 15 mA, "+ofCable, "current: 15 mA, minimum: 9 V, conductor: 0.22 mm2",
		"current: 15 mA, minimum: 9 V, cable_length: 30 m")
	for i, want := range [][]Lack{{{What: LackLength}, {What: LackConductor}},
		{{What: LackLength}, {What: LackConductor}}, {{What: LackMinimum}}, {{What: LackLength}},
		{{What: LackConductor}}} {
		c := dropsOf(s)[i]
		assert.Equal(t, want, c.Missing)
		assert.Empty(t, c.Ruling)
		assert.Zero(t, c.Row.(DropRow).Far)
		assert.False(t, Lack{What: LackOutput}.FromVisit())
	}
}

// Nothing is computed from what makes no sense.
func TestDropsThatMakeNoSense(t *testing.T) {
	for said, spoil := range map[string]func(*site.Power){
		"conductor": func(p *site.Power) { p.Conductor.AreaMM2 = 0 },
		"cable":     func(p *site.Power) { p.Current = checks.Quantity{SI: math.NaN(), Text: "?"} },
	} {
		s := poweredSite(t, lead, declared, "current: 15 mA, minimum: 9 V, "+ofCable)
		spoil(s.Zones[1].Detectors[0].Power)
		c := dropsOf(s)[0]
		require.Len(t, c.Missing, 1, said)
		assert.Equal(t, LackSense, c.Missing[0].What, said)
		assert.Contains(t, c.Missing[0].Said, said)
		assert.Empty(t, c.Ruling, said)
	}
}

// What is no number lies within no limits.
func TestOutside(t *testing.T) {
	assert.True(t, outside(math.NaN(), checks.AtLeast(1)))
	assert.False(t, below(1, 1))
	assert.True(t, below(0.999, 1))
}
