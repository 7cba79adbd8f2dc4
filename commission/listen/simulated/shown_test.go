package simulated

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

const shop = `
reference: S-1
premises: {name: Studio, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 120 mA}
supply:
  charger: {voltage: 13.8 V, current: 400 mA}
  battery: {chemistry: lead-acid, capacity: 7 Ah}
  loads: [{name: Keypad, current: 30 mA, alarm_current: 50 mA}]
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Hall, kind: motion, wiring: normally closed, address: z2, detectors: [
     {name: Motion, powered: {current: 100 mA, minimum: 9 V, cable_length: 50 m, conductor: 0.5 mm2}}]}
outputs:
  - {name: Sounder, kind: sounder, address: s, current: 300 mA}
  - {name: Chime, kind: chime, address: c, follows: [1]}
`

// What the practice meters show is what the site file says of currents and cables.
func TestWhatMetersShow(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(shop))
	require.NoError(t, err)
	c := clock.NewSimulated(start)
	b, err := New(s, c, Options{})
	require.NoError(t, err)
	b.Took(start, record.Opened{Programme: programme.Of(s, programme.Checklist{})})
	detector := func(p site.Point) ask.Phrase {
		return ask.DetectorVoltage{Step: programme.Name{Detector: &programme.DetectorName{Point: p}}}
	}
	current := ask.Question{ID: "outputs/Sounder/current", What: ask.CurrentMatter}
	assert.Equal(t, "250 mA", b.shown(ask.Question{What: ask.SystemCurrent{}}))
	assert.Empty(t, b.shown(current), "nothing is drawn while it is off")
	assert.Empty(t, b.shown(ask.Question{What: ask.NoteMatter}))
	b.Took(start, record.Energised{Output: "Chime", On: true})
	assert.Equal(t, "300 mA", b.shown(ask.Question{What: ask.SystemCurrent{}}), "a chime is no alarm")
	b.Took(start, record.Energised{Output: "Chime"})
	b.Took(start, record.Energised{Output: "Sounder", On: true})
	assert.Equal(t, "570 mA", b.shown(ask.Question{What: ask.SystemCurrent{}}), "with the keypad in alarm")
	assert.Equal(t, "300 mA", b.shown(current))

	// 2 · 50 m of 0.5 mm² with 0.1 A: copper has 36.0 Ω/km (class 1) to 39.0 Ω/km (class 5)
	// at 20 °C (IEC 60228; from memory).
	assert.InDelta(t, 0.375, b.lost("2.1"), 0.02)
	assert.Zero(t, b.lost("1.1"))
	assert.Zero(t, b.lost("9.9"))
	assert.Contains(t, []string{"13.41 V", "13.42 V", "13.40 V", "13.43 V"}, b.shown(ask.Question{What: detector("2.1")}))
	assert.Equal(t, Charger{13.8, 0.4}, b.supply.Charger, "as declared")
}

// What the site file says of the battery is that of the building, unless it is said otherwise.
func TestBatteriesOfTheSite(t *testing.T) {
	with := func(b site.Battery, o SupplyOptions) Supply {
		return supplyOf(&site.Site{Supply: site.Supply{Battery: b}}, o)
	}
	of := site.Battery{Chemistry: "lithium-iron-phosphate", Cells: 5, Form: site.Direct}
	of.Energy.SI = 32
	s := with(of, SupplyOptions{})
	assert.Equal(t, 5, s.Battery.Cells)
	assert.InDelta(t, 2.0, s.Battery.Capacity, 1e-9, "32 Wh at 16 V")
	assert.Zero(t, s.Battery.Output)
	assert.InDelta(t, 17.25, s.Charger.Voltage, 1e-9)
	assert.Equal(t, 3, with(of, SupplyOptions{Pack: Battery{Chemistry: "lithium-ion"}}).Battery.Cells, "another chemistry")
	assert.Equal(t, 4, with(of, SupplyOptions{Pack: Battery{Cells: 4}}).Battery.Cells)

	of.Form = site.Inline
	assert.InDelta(t, 12.0, with(of, SupplyOptions{}).Battery.Output, 1e-9)
	of.Form, of.Output.SI = site.Converter, 13.5
	s = with(of, SupplyOptions{})
	assert.InDelta(t, 13.5, s.Battery.Output, 1e-9)
	assert.InDelta(t, 13.5-0.05*0.2, s.Volts(Moment{Charge: 0.5, Load: 0.2, Since: time.Hour}), 1e-9)
}
