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

// lead is a healthy 12 V lead-acid battery of so many ampere-hours on a charger.
func lead(capacity float64) Supply {
	return supplyOf(&site.Site{}, SupplyOptions{Pack: Battery{Capacity: capacity}})
}

// onBattery is the voltage after a time with a load, from the moment mains was removed.
func onBattery(s Supply, before, charge, load float64, d time.Duration) float64 {
	m := Moment{Since: d, Before: before, Charge: charge, Load: load}
	m.Charge = s.charged(m, d)
	return s.Volts(m)
}

// A measured discharge of a new 100 Ah glass-mat battery with a tenth of its capacity, from
// 13.23 V at rest (looked up: a published full cycle). The model ends with the knee at 8 h.
func TestMeasuredDischarge(t *testing.T) {
	s := lead(100)
	for _, row := range []struct {
		after time.Duration
		volts float64
	}{
		{5 * time.Second, 13.03}, {30 * time.Second, 12.81}, {time.Minute, 12.69}, {2 * time.Minute, 12.64},
		{5 * time.Minute, 12.62}, {10 * time.Minute, 12.61}, {30 * time.Minute, 12.57}, {time.Hour, 12.51},
		{2 * time.Hour, 12.38}, {4 * time.Hour, 12.10}, {5 * time.Hour, 11.95}, {7 * time.Hour, 11.60},
		{8 * time.Hour, 11.35},
	} {
		assert.InDelta(t, row.volts, onBattery(s, 13.23, 1, 10, row.after), 0.1, "%s", row.after)
	}
}

// The discharge model of a 12 V 7.2 Ah battery that a network simulator has among its
// presets, evaluated by us (its parameters looked up).
func TestModelledDischarge(t *testing.T) {
	s := lead(7.2)
	for _, row := range []struct {
		load  float64
		volts [4]float64 // after 1, 5, 10, 30 min
	}{
		{0.36, [4]float64{12.77, 12.76, 12.74, 12.69}},
		{0.72, [4]float64{12.73, 12.69, 12.66, 12.57}},
		{1.44, [4]float64{12.63, 12.57, 12.51, 12.36}},
	} {
		for i, after := range []time.Duration{1, 5, 10, 30} {
			assert.InDelta(t, row.volts[i], onBattery(s, 12.8, 1, row.load, after*time.Minute), 0.1, "%g A %d min",
				row.load, after)
		}
	}
}

// Rest voltages of 12 V glass-mat batteries by charge, three published tables (looked up);
// ours lies within their range by a tenth of a volt.
func TestRestOfLeadAcid(t *testing.T) {
	b := lead(7).Battery
	for _, row := range []struct{ charge, low, high float64 }{
		{1, 12.7, 13.0}, {0.75, 12.4, 12.6}, {0.5, 12.05, 12.3}, {0.25, 11.74, 12.0}, {0, 11.54, 11.8},
	} {
		assert.GreaterOrEqual(t, b.rest(row.charge), row.low-0.1, "%g", row.charge)
		assert.LessOrEqual(t, b.rest(row.charge), row.high+0.1, "%g", row.charge)
	}
	assert.Less(t, b.rest(0.74), b.rest(0.75))
	assert.InDelta(t, (b.rest(0.5)+b.rest(0.75))/2, b.rest(0.625), 1e-9, "straight between its rows")
}

// Rest voltages of packs by charge, by the firmware of a battery monitor (looked up).
func TestRestOfLithium(t *testing.T) {
	for _, row := range []struct {
		chemistry string
		cells     int
		volts     [4]float64 // at 100, 50, 20, 5 %
	}{
		{"lithium-ion", 3, [4]float64{12.59, 11.51, 11.18, 10.76}},
		{"lithium-ion", 4, [4]float64{16.79, 15.35, 14.90, 14.35}},
		{"lithium-iron-phosphate", 4, [4]float64{13.57, 13.06, 12.85, 12.53}},
	} {
		s := supplyOf(&site.Site{}, SupplyOptions{Pack: Battery{Chemistry: row.chemistry, Cells: row.cells}})
		for i, charge := range []float64{1, 0.5, 0.2, 0.05} {
			assert.InDelta(t, row.volts[i], s.Battery.rest(charge), 0.01, "%s %g", row.chemistry, charge)
			assert.InDelta(t, row.volts[i], s.Volts(Moment{Charge: charge, Load: 0.1}), 0.1, "on battery")
		}
	}
}

// A measured charge of the same 100 Ah battery with 31 A up to 14.95 V, from empty (looked
// up): a limited charger stands low for hours, and rightly.
func TestMeasuredCharge(t *testing.T) {
	s := supplyOf(&site.Site{}, SupplyOptions{Pack: Battery{Capacity: 100}, Empty: true,
		Charge: Charger{Voltage: 14.95, Current: 31}})
	assert.Zero(t, s.Battery.Charge)
	for _, row := range []struct {
		after time.Duration
		volts float64
	}{{2 * time.Minute, 12.55}, {54 * time.Minute, 13.12}, {2 * time.Hour, 14.0}} {
		m := Moment{Mains: true, Charge: s.charged(Moment{Mains: true}, row.after)}
		assert.InDelta(t, row.volts, s.Volts(m), 0.1, "%s", row.after)
	}
}

// What a voltmeter shows with mains present, by charger and battery.
func TestChargers(t *testing.T) {
	half := Battery{Charge: 0.5}
	for name, tc := range map[string]struct {
		options  SupplyOptions
		from, to float64
	}{
		"as usual":               {SupplyOptions{}, 13.62, 13.62},
		"said to be good":        {SupplyOptions{Charger: Good, Battery: Good}, 13.62, 13.62},
		"dead":                   {SupplyOptions{Charger: Dead}, 12.79, 12.81},
		"dead, half charged":     {SupplyOptions{Charger: Dead, Pack: half}, 12.1, 12.2},
		"too high":               {SupplyOptions{Charger: TooHigh}, 15.6, 15.6},
		"limited, full":          {SupplyOptions{Charger: Limited}, 13.62, 13.62},
		"limited, half":          {SupplyOptions{Charger: Limited, Pack: half}, 12.5, 13.5},
		"by numbers":             {SupplyOptions{Charge: Charger{Voltage: 13.8}}, 13.8, 13.8},
		"below the battery":      {SupplyOptions{Charge: Charger{Voltage: 12}}, 12.79, 12.81},
		"of three lithium cells": {SupplyOptions{Pack: Battery{Chemistry: "lithium-ion"}}, 12.6, 12.6},
		"on three lithium cells": {SupplyOptions{Pack: Battery{Chemistry: "lithium-ion"},
			Charge: Charger{Voltage: 13.8}}, 13.8, 13.8},
		"on three that are half full": {SupplyOptions{Pack: Battery{Chemistry: "lithium-ion", Charge: 0.5}}, 11.5, 11.6},
		"behind a converter":          {SupplyOptions{Pack: Battery{Chemistry: "lithium-ion", Output: 12.1}}, 12, 12.1},
		"behind one, no charger": {SupplyOptions{Charger: Dead, Pack: Battery{Chemistry: "lithium-ion", Output: 12.1}},
			12, 12.1},
	} {
		s := supplyOf(&site.Site{}, tc.options)
		volts := s.Volts(Moment{Mains: true, Charge: s.Battery.Charge, Load: 0.25})
		assert.GreaterOrEqual(t, volts, tc.from-0.01, name)
		assert.LessOrEqual(t, volts, tc.to+0.01, name)
	}
}

// A weak battery falls below 12 V in ten minutes at whatever load, and a good one does
// not; an empty one, and an empty pack, show nothing.
func TestWeakBatteries(t *testing.T) {
	for _, load := range []float64{0.02, 0.25, 3} {
		var of site.Site
		of.Controller.Current.SI = load
		weak := supplyOf(&of, SupplyOptions{Battery: Weak})
		assert.Less(t, onBattery(weak, 13.62, 1, load, 10*time.Minute), 12.0, "%g A", load)
		assert.Greater(t, onBattery(weak, 13.62, 1, load, 10*time.Minute), 11.0, "%g A", load)
		assert.Zero(t, onBattery(weak, 13.62, 1, load, 2*time.Hour))
	}
	assert.Greater(t, onBattery(lead(7), 13.62, 1, 0.25, 10*time.Minute), 12.6)
	pack := supplyOf(&site.Site{}, SupplyOptions{Pack: Battery{Chemistry: "lithium-ion", Output: 12.1}})
	assert.InDelta(t, 12.1, onBattery(pack, 12.1, 1, 0.25, time.Hour), 0.1)
	assert.Zero(t, onBattery(pack, 12.1, 1, 0.25, 28*time.Hour))
}

// Without a load a battery loses nothing, and on a dead charger it gains nothing.
func TestCharged(t *testing.T) {
	s := lead(7)
	assert.InDelta(t, 0.5, s.charged(Moment{Charge: 1, Load: 0.35}, 10*time.Hour), 1e-9)
	assert.InDelta(t, 0.0, s.charged(Moment{Charge: 1, Load: 0.35}, 30*time.Hour), 1e-9)
	assert.InDelta(t, 1.0, s.charged(Moment{Mains: true, Charge: 0.5, Load: 1}, 4*time.Hour), 1e-9)
	s.Charger = Charger{}
	assert.InDelta(t, 0.5, s.charged(Moment{Mains: true, Charge: 0.5, Load: 1}, 4*time.Hour), 1e-9)
}

// What the site file says of battery and load is that of the building, too.
func TestTheSupplyOfTheSite(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(`
reference: S-1
premises: {name: Studio, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 180 mA}
supply: {battery: {chemistry: lithium-ion, capacity: 17 Ah}}
zones:
  - {number: 1, name: Hall, kind: motion, wiring: normally closed, address: z1,
     detectors: [{name: Motion, powered: {current: 20 mA}}]}
outputs: [{name: Sounder, kind: sounder, current: 500 mA}, {name: Strobe, kind: strobe}]
`))
	require.NoError(t, err)
	supply := supplyOf(s, SupplyOptions{})
	assert.Equal(t, Battery{Chemistry: "lithium-ion", Cells: 3, Capacity: 17, Charge: 1,
		Resistance: lithiumOhm / 17 * 3}, supply.Battery)
	c, err := New(s, clock.NewSimulated(start), Options{Outputs: map[string]OutputFault{"Strobe": {CutOff: time.Minute}}})
	require.NoError(t, err)
	assert.InDelta(t, 0.2, c.load(start), 1e-9)
	c.Took(start, record.Energised{Output: "Sounder", On: true})
	c.Took(start, record.Energised{Output: "Strobe", On: true})
	assert.InDelta(t, 0.85, c.load(start), 1e-9)
	c.Took(start.Add(40*time.Second), record.Energised{Output: "Strobe", On: true}) // as it stands, for an error
	assert.InDelta(t, 0.7, c.load(start.Add(time.Minute)), 1e-9, "it ended by itself")
	c.Took(start.Add(time.Minute), record.Energised{Output: "Sounder"})
	assert.InDelta(t, 0.2, c.load(start.Add(time.Minute)), 1e-9)
	c.Took(start, record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	c.Took(start.Add(time.Second), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	assert.Equal(t, start, c.supply.since, "it cannot be removed twice")
	c.opt.Outputs["Sounder"] = OutputFault{Silent: true}
	c.Took(start, record.Energised{Output: "Sounder", On: true})
	assert.False(t, c.works("Sounder"))
	assert.True(t, c.works("Strobe"))
	assert.InDelta(t, 0.35, c.load(start), 1e-9, "what is broken draws nothing")
}

// What a person sees for themselves is minded only in simulated time: a script would not.
func TestWhatAPersonSees(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(studio))
	require.NoError(t, err)
	opt := Options{Outputs: map[string]OutputFault{"Chime": {Silent: true}}, Faults: []Fault{{Kind: Drops}}}
	heard := ask.Watch{ID: "outputs/Chime/zone-1/heard", Keys: []ask.Key{ask.Heard, ask.Leave}}
	for simulated, c := range map[bool]clock.Clock{true: clock.NewSimulated(start), false: clock.Real{}} {
		b, err := New(s, c, opt)
		require.NoError(t, err)
		b.Took(c.Now(), record.Opened{Programme: programme.Of(s, programme.Checklist{})})
		b.Took(c.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
		assert.Equal(t, simulated, b.neverHeard(heard))
		assert.Equal(t, simulated, b.awayFor() > 0)
		assert.False(t, b.neverHeard(ask.Watch{ID: heard.ID, Keys: []ask.Key{ask.Ready}}), "not that it is ready")
		assert.False(t, b.neverHeard(ask.Watch{ID: "outputs/Strobe/heard", Keys: heard.Keys}))
		b.opt.Outputs = nil
		assert.False(t, b.neverHeard(heard))
		require.NoError(t, b.Close())
	}
}
