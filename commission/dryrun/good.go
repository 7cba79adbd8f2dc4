package dryrun

import (
	"fmt"
	"math"
	"strings"

	"pgregory.net/rapid"
)

// DrawGood is a visit in which everything is declared, measured and holds, so that what is
// spoilt in it shows in its result. It draws form and chemistry of the battery, the source,
// the wiring, the loads and all quantities; what has to fit them follows from them.
func DrawGood(t *rapid.T) Visit {
	g := good{drawing: drawing{T: t}, supply: rapid.SampledFrom(supplies).Draw(t, "supply")}
	g.who()
	g.circuits()
	g.sounding()
	g.source()
	g.accepts()
	fmt.Fprintf(&g.controller, "listen: simulated\nsimulated:\n  seed: %d\n"+
		"  outputs: {Sounder: {cut_off: 3 min}}\n  %s\n", g.number("seed", 0, 1e6), g.supply.building)
	return Visit{Site: []byte(g.site.String()), Controller: []byte(g.controller.String()), Answers: []byte(g.answers())}
}

// good is a visit as far as it is drawn. Currents are in mA.
type good struct {
	drawing
	supply           supplied
	standby, outputs int
	ohms             string // what the loop of the first zone reads
}

// supplied is a battery with what charges it.
type supplied struct {
	battery  string // keys of the site file, beside what follows from the load
	charger  string // its voltage, "" for a pack's own
	building string
	limits   string
	volts    float64 // nominal, of a pack behind a converter; 0 where the terminals show the battery
}

const converterLimits = "mains_lower: 11.4 V, mains_upper: 12.6 V, standby_lower: 11.4 V, alarm_load_lower: 11.4 V"

// What holds for each chemistry: references as in the cases of testdata/visits.
var supplies = []supplied{
	{"chemistry: lead-acid, cells: 6", "13.65 V", "charger: {voltage: 13.65 V}",
		"standby_lower: 11.5 V, alarm_load_lower: 10.5 V", 0},
	{"chemistry: lithium-ion, cells: 3", "12.3 V", "charger: {voltage: 12.3 V}\n  battery: {charge: 97 %}",
		"standby_lower: 10.5 V, alarm_load_lower: 10.2 V", 0},
	{"chemistry: lithium-iron-phosphate, cells: 4", "14.2 V", "charger: {voltage: 14.2 V}",
		"standby_lower: 11.5 V, alarm_load_lower: 10.5 V", 0},
	{"form: inline, chemistry: lithium-ion, cells: 3", "", "battery: {output: 12.1 V}", converterLimits, 11.1},
	{"form: converter, chemistry: lead-acid, cells: 6", "13.65 V", "battery: {output: 12.1 V}", converterLimits, 12},
}

func (g *good) who() {
	current := g.number("controller", 40, 200)
	g.standby += current
	fmt.Fprintf(&g.site, "reference: G-2\npremises: {name: Studio, address: Clay Lane, use: shop, part: all}\n"+
		"customer: {name: Ottoline, contact: 0100 555 0142}\n"+
		"installer: {company: Bellbird, address: Row 12, phone: 0100 555 0190, licence: B-1}\n"+
		"declared: {standard: EN 50131-1, grade: \"2\", class: II, departures: none}\n"+
		"monitoring: {centre: Northmoor, account: …4471, path: broadband, paths: [{name: broadband, within: 30 s}]}\n"+
		"setting: {exit_time: 30 s, entry_time: 30 s, sounder_within: 5 s, entry_detector: \"1.1\"}\ninsurer: Fenwick\n"+
		"cables: {reused: \"yes\"}\nmaintenance: {interval: 1 year}\n"+
		"controller: {description: eight zones, location: packing room, software: 4.2, connection: wired,\n"+
		"  current: %d mA, detector_output: 1 A, alarm_output: 1 A}\n", current)
}

// loops are ways of wiring with their resistors and what they read at rest with 20 m of
// 22 AWG; the cable's 2.2 Ω is less than a hundredth of the resistors.
var loops = [][2]string{{"normally closed", "2.2 ohm"}, {"normally open", "open"},
	{"one resistor, end_of_line: 4k7", "4.7 kohm"}, {"parallel resistor, end_of_line: 4k7", "4.7 kohm"},
	{"two resistors, end_of_line: 4k7, contact_resistor: 4k7", "4.7 kohm"},
	{"three resistors, end_of_line: 2k2, contact_resistor: 4k7, fault_resistor: 10k", "2.2 kohm"}}

func (g *good) circuits() {
	loop := rapid.SampledFrom(loops).Draw(g.T, "loop")
	g.ohms = loop[1]
	fmt.Fprintf(&g.site, "zones:\n  - {number: 1, name: Door, area: Shop, kind: door, wiring: %s,\n"+
		"     tolerance: 1 %%, address: z1, cable: {length: 20 m, conductor: 22 AWG},\n"+
		"     detectors: [{name: Door contact, location: front}]}\n"+
		"  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2,\n"+
		"     detectors: [Left, {name: Glass, kind: glass-break%s}]}\n"+
		"  - {number: 3, name: Motion, kind: motion, wiring: one resistor, end_of_line: 4k7, address: z3,\n"+
		"     detectors: [{name: Motion detector%s}]}\n"+
		"  - {number: 4, name: Smoke, kind: smoke, wiring: normally open, address: z4,\n"+
		"     detectors: [{name: Smoke detector%s}]}\n"+
		"  - {number: 5, name: Covers, kind: tamper, wiring: normally closed, address: z5, detectors: [Cover]}\n",
		loop[0], g.feed(""), g.feed(""), g.feed(g.maybe("chained", `, after: "3.1"`)))
}

// feed is the power of a detector.
func (g *good) feed(after string) string {
	current := g.number("draws", 5, 40)
	g.standby += current
	return fmt.Sprintf(", powered: {current: %d mA, minimum: %d V, cable_length: %d m, conductor: %s%s}", current,
		g.number("minimum", 7, 9), g.number("metres", 0, 30), g.of("gauge", "22 AWG", "0.22 mm2", "0.5 mm2"), after)
}

func (g *good) sounding() {
	sounder, strobe := g.number("sounder", 100, 500), g.number("strobe", 50, 150)
	g.outputs = sounder + strobe
	own := g.maybe("own battery", ", own_battery: yes")
	if own != "" {
		g.standby += sounder
		g.outputs = strobe
	}
	fmt.Fprintf(&g.site, "outputs:\n"+
		"  - {name: Sounder, kind: sounder, location: eaves, address: sounder, current: %d mA, level: 105 dB,\n"+
		"     level_at: 1 m, frequency: 3 kHz, cut_off: 3 min%s}\n"+
		"  - {name: Strobe, kind: strobe, address: strobe, current: %d mA}\n"+
		"  - {name: Chime, kind: chime, address: chime, current: %d mA, follows: [1]}\n", sounder, own, strobe, chime)
	g.outputs += chime
}

const chime = 30 // mA

// source is a battery large enough for what was drawn until then, and an adapter and charger
// for it.
func (g *good) source() {
	keypad := g.number("keypad", 1, 60)
	g.standby += keypad
	hours := g.number("hours", 4, 24)
	ampere, alarm := float64(g.standby)/1000, float64(g.standby+g.outputs)/1000
	capacity := math.Ceil(4*(ampere*float64(hours)+alarm)) + 2 // four times: age, cold, rate and efficiency
	charge := capacity / 10
	direct := fmt.Sprintf("%.1f A, voltage: 16 V", math.Max(alarm, ampere+charge)+0.5)
	fmt.Fprintf(&g.site, "supply:\n  adapter: {rating: %s, location: outlet}\n",
		g.of("adapter", direct, fmt.Sprintf("%.0f VA, voltage: 16 V", 16*2*(alarm+ampere+charge+0.5))))
	volts := ""
	if g.supply.charger != "" {
		volts = "voltage: " + g.supply.charger + ", "
	}
	fmt.Fprintf(&g.site, "  charger: {%scurrent: %.2f A}\n", volts, charge)
	size := fmt.Sprintf(", capacity: %.0f Ah, hour_rating: 20 h, exponent: 1.1", capacity)
	if g.supply.volts > 0 {
		size = fmt.Sprintf(", energy: %.0f Wh, efficiency: 85 %%, output: 12 V", capacity*g.supply.volts)
	}
	fmt.Fprintf(&g.site, "  battery: {%s%s, life: 1826 d, fitted: 2026-11-20, location: cupboard}\n"+
		"  recharge: {within: 72 h, to: 80 %%, source: as declared}\n"+
		"  standby: {for: %d h, alarm_for: 15 min, ageing: 1.25, source: as declared}\n"+
		"  loads: [{name: Keypad, current: %d mA, alarm_current: %d mA}]\n  temperature: %d C\n  hold: 10 min\n",
		g.supply.battery, size, hours, keypad, keypad, g.number("degrees", 5, 25))
}

func (g *good) accepts() {
	fmt.Fprintf(&g.site, "limits:\n  source: agreed with the customer\n"+
		"  response: {door: 2 s, window: 2 s, glass-break: 5 s, motion: 5 s, tamper: 2 s, smoke: 30 s}\n"+
		"  listen_for: {door: 15 s, window: 15 s, glass-break: 15 s, motion: 20 s, tamper: 15 s, smoke: 60 s}\n"+
		"  restore: {door: 5 s, window: 5 s, glass-break: 30 s, motion: 30 s, tamper: 5 s, smoke: 120 s}\n"+
		"  steady: 1 s\n  cold_restart: 120 s\n  margin: 6 dB\n  %s\n", strings.ReplaceAll(g.supply.limits, ", ", "\n  "))
}

// answers are those of a technician who measures everything.
func (g *good) answers() string {
	return fmt.Sprintf(goodAnswers, g.ohms, g.standby, g.standby+g.outputs)
}

const goodAnswers = `answers:
  - {when: cables/isolated, say: done}
  - {when: cables/tester, say: insulation tester}
  - {when: cables/tester/calibrated, say: "2027-03-01"}
  - {when: cables/tester/volt, say: 250 V}
  - {when: cables/tester/uncertainty, say: 5 %%}
  - {when: cables/zone-*/measured, say: 1 ohm >200 Mohm >200 Mohm}
  - {when: cables/zone-*, say: 4 red black green white}
  - {when: cables/apart-*, say: done}
  - {when: walk/1.1/ready, say: [ohms, ready]}
  - {when: walk/1.1/ohms, say: %s}
  - {when: "*/really", say: "yes"}
  - {when: "*/reason", say: could not be reached}
  - {when: "*/note", say: seen}
  - {when: "*/not-proved", say: as it is}
  - {when: inspection/*, say: done}
  - {when: walk/*/tester/value, say: tone tester}
  - {when: walk/*/tester, say: done}
  - {when: list/walk-test/*, say: rest}
  - {when: supply/voltmeter, say: meter}
  - {when: supply/voltmeter/calibrated, say: "2027-03-01"}
  - {when: supply/voltmeter/uncertainty, say: 50 mV}
  - {when: supply/charged, say: "yes"}
  - {when: supply/standby-current/current, say: %d mA}
  - {when: supply/alarm-current/current, say: %d mA}
  - {when: "*/voltage", say: as shown}
  - {when: supply/alarm-load, say: energise}
  - {when: "*/energise", say: "yes"}
  - {when: supply/path, say: "yes"}
  - {when: supply/cold-restart, say: restart}
  - {when: supply/mains-*/*, say: ""}
  - {when: supply/*-fault, say: at the controller}
  - {when: supply/battery-*, say: done}
  - {when: supply/mains-*, say: done}
  - {when: outputs/Chime/*/heard, say: heard, after: 1400 ms}
  - {when: outputs/Chime/*/ready, say: ready}
  - {when: outputs/Chime/*/not-heard, say: as it is}
  - {when: outputs/*/heard, say: as shown}
  - {when: outputs/*/seen, say: as shown}
  - {when: outputs/Sounder/level, say: 110 dB(A) at 1 m ± 0.1 m over 52 dB class 2}
  - {when: outputs/*/cut-off, say: ""}
  - {when: outputs/*/until-stopped, say: "yes"}
  - {when: outputs/*/stopped, say: stopped, after: 3 min}
  - {when: outputs/*/*, say: ""}
  - {when: outputs/*, say: energise}
  - {when: energise/*, say: "yes"}
  - {when: alarm/intrusion/detector, say: "2.1"}
` + alarmAnswers + `  - {when: hand-over/*, say: done}
  - {when: sign-off/technician, say: sign}
  - {when: sign-off/customer, say: accept}
  - {when: sign-off/customer/drawing, say: ""}
  - {when: sign-off/*, say: Ignace}
`
