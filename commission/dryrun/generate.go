package dryrun

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"

	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/site"
)

// Draw is a small site with a building for it and a technician, for property tests: one to
// six zones of any kind and wiring, any outputs and supply, with any keys or without, and
// with faults or without.
func Draw(t *rapid.T) Visit {
	d := drawing{T: t}
	d.zones()
	d.outputs()
	d.supply()
	d.building()
	return Visit{Site: []byte(d.site.String()), Controller: []byte(d.controller.String()),
		Answers: []byte(d.answers())}
}

// drawing is a visit as far as it is drawn.
type drawing struct {
	*rapid.T
	site, controller strings.Builder
	points           []string
	powered          []string // points, too
	intrudable       []string // points that may raise an alarm
	addresses        []string
	sounding         []string // outputs by name
}

// maybe is a text or nothing.
func (d *drawing) maybe(label, text string) string {
	if rapid.Bool().Draw(d.T, label) {
		return text
	}
	return ""
}

func (d *drawing) of(label string, texts ...string) string {
	return rapid.SampledFrom(texts).Draw(d.T, label)
}

func (d *drawing) number(label string, from, to int) int {
	return rapid.IntRange(from, to).Draw(d.T, label)
}

func (d *drawing) zones() {
	fmt.Fprintf(&d.site, "reference: G-1\npremises: {name: Studio, address: Clay Lane}\n%s%s"+
		"installer: {company: Bellbird%s}\n%scontroller: {description: controller%s}\nzones:\n",
		d.maybe("customer", "customer: {name: Ottoline}\n"), d.maybe("declared", "declared: {grade: \"2\"}\n"),
		d.maybe("licence", ", licence: B-1"), d.maybe("monitoring", "monitoring: {centre: Northmoor}\n"),
		d.maybe("current", fmt.Sprintf(", current: %d mA", d.number("controller", 20, 400)))+
			d.maybe("detector output", fmt.Sprintf(", detector_output: %d mA", d.number("gives", 20, 1000)))+
			d.maybe("alarm output", fmt.Sprintf(", alarm_output: %d mA", d.number("gives", 20, 2000))))
	for zone := range d.number("zones", 1, 6) {
		d.zone(zone + 1)
	}
}

func (d *drawing) zone(number int) {
	wiring := site.Wiring(d.of("wiring", site.Wirings...))
	resistors := ""
	for _, key := range wiring.Resistors() {
		resistors += fmt.Sprintf(", %s: %s", key, d.of(key, "1k", "2k2", "4k7", "10k"))
	}
	address := fmt.Sprintf("z%d", number)
	d.addresses = append(d.addresses, address)
	kind := d.of("kind", site.Kinds...)
	fmt.Fprintf(&d.site, "  - {number: %d, name: Zone %d, kind: %s, wiring: %s%s, address: %s%s%s, detectors: [",
		number, number, kind, wiring, resistors, address,
		d.maybe("tolerance", ", tolerance: "+d.of("is", "1 %", "5 %", "10 %")),
		d.maybe("cable", fmt.Sprintf(", cable: {length: %d m%s}", d.number("metres", 0, 300),
			d.maybe("wire", ", conductor: 0.22 mm2"))))
	for i := range d.number("detectors", 1, 3) {
		point := string(site.PointOf(number, i))
		own := d.of("its kind", site.Kinds...)
		if !rapid.Bool().Draw(d.T, "own kind") {
			own = kind
		}
		fmt.Fprintf(&d.site, "{name: Detector %s, kind: %s%s},", point, own, d.power(point))
		if raises(own) && raises(kind) { // also without its own kind
			d.intrudable = append(d.intrudable, point)
		}
		d.points = append(d.points, point)
	}
	d.site.WriteString("]}\n")
}

// power is that of a detector, which may come after one that was drawn before.
func (d *drawing) power(point string) string {
	if !rapid.Bool().Draw(d.T, "powered") {
		return ""
	}
	after := ""
	if len(d.powered) > 0 {
		after = d.maybe("chained", fmt.Sprintf(", after: %q", d.of("after", d.powered...)))
	}
	d.powered = append(d.powered, point)
	return fmt.Sprintf(", powered: {current: %d mA%s%s%s%s}", d.number("draws", 1, 60),
		d.maybe("minimum", fmt.Sprintf(", minimum: %d V", d.number("volts", 8, 11))),
		d.maybe("length", fmt.Sprintf(", cable_length: %d m", d.number("metres", 1, 120))),
		d.maybe("conductor", ", conductor: "+d.of("gauge", "22 AWG", "0.22 mm2", "0.5 mm2")), after)
}

func (d *drawing) outputs() {
	d.site.WriteString("outputs:\n")
	for _, name := range []string{"Sounder", "Strobe", "Chime"} {
		if !rapid.Bool().Draw(d.T, name) {
			continue
		}
		follows := ""
		if name == "Chime" {
			follows = ", follows: [1]"
		}
		d.sounding = append(d.sounding, name)
		fmt.Fprintf(&d.site, "  - {name: %s, kind: %s, address: %s%s%s%s}\n", name, strings.ToLower(name), name, follows,
			d.maybe("takes", fmt.Sprintf(", current: %d mA", d.number("ampere", 20, 900)))+
				d.maybe("own battery", ", own_battery: yes"),
			d.maybe("cut-off", ", cut_off: "+d.of("cut-off after", "3 min", "15 min", "20 min"))+
				d.maybe("level", ", level: "+d.of("level is", "85 dB", "105 dB")+", level_at: "+d.of("at", "1 m", "3 m"))+
				d.maybe("frequency", ", frequency: 3 kHz"))
	}
}

func (d *drawing) supply() {
	fmt.Fprintf(&d.site, "supply:\n  battery: {chemistry: %s%s}\n", d.of("chemistry", site.Chemistries...), d.battery())
	d.site.WriteString(d.maybe("adapter", fmt.Sprintf("  adapter: {rating: %s%s}\n", d.of("rating", "300 mA", "1 A",
		"3 A", "10 VA", "40 VA"), d.maybe("voltage", ", voltage: 13.8 V"))))
	d.site.WriteString(d.maybe("charger", fmt.Sprintf("  charger: {voltage: %s%s}\n",
		d.of("charges with", "12.3 V", "13.65 V", "14.2 V", "15.6 V"), d.maybe("gives", ", current: 500 mA"))))
	d.site.WriteString(d.maybe("recharge", fmt.Sprintf("  recharge: {within: %d h%s}\n", d.number("within", 1, 72),
		d.maybe("to", ", to: 80 %"))))
	d.site.WriteString(d.maybe("standby", fmt.Sprintf("  standby: {for: %d h%s%s}\n", d.number("for", 1, 72),
		d.maybe("alarm for", ", alarm_for: 15 min"), d.maybe("ageing", ", ageing: 1.25"))))
	d.site.WriteString(d.maybe("loads", "  loads: ["+d.maybe("a load", fmt.Sprintf(
		"{name: Keypad, current: %d mA, alarm_current: 60 mA}", d.number("keypad", 1, 60)))+"]\n"))
	d.site.WriteString(d.maybe("temperature", fmt.Sprintf("  temperature: %d C\n", d.number("degrees", -25, 45))))
	d.site.WriteString("  hold: " + d.of("hold", "1 min", "10 min", "2 h") + "\n")
	d.limits()
}

func (d *drawing) battery() string {
	return d.maybe("form", ", form: "+d.of("form is", site.Forms...)) +
		d.maybe("cells", fmt.Sprintf(", cells: %d", d.number("in series", 2, 7))) +
		d.maybe("capacity given", fmt.Sprintf(", capacity: %d Ah", d.number("capacity", 1, 24))) +
		d.maybe("energy", ", energy: 60 Wh") + d.maybe("rate", ", hour_rating: 20 h") +
		d.maybe("exponent", ", exponent: 1.15") + d.maybe("nominal", ", voltage: 12 V") +
		d.maybe("efficiency", ", efficiency: 88 %") + d.maybe("output", ", output: 12 V") +
		d.maybe("resistance", ", resistance: 60 mohm") + d.maybe("life", ", life: 1826 d") +
		d.maybe("fitted", ", fitted: "+d.of("date", "2026-11-20", "2022-01-01", "2014-06-30"))
}

func (d *drawing) limits() {
	d.site.WriteString(d.maybe("limits", "limits: {response: "+
		d.of("response", "1 s", "3 s", "12 s", "{door: 2 s, smoke: 30 s}")+
		d.maybe("steady", ", steady: 1 s")+d.maybe("restore", ", restore: {door: 5 s, motion: 30 s}")+
		d.maybe("mains", ", mains_lower: 13.5 V, mains_upper: 14.4 V")+
		d.maybe("on battery", ", standby_lower: 11.5 V, alarm_load_lower: 10.5 V")+
		d.maybe("restart", ", cold_restart: 120 s")+d.maybe("margin", ", margin: 10 dB")+"}\n"))
}

func (d *drawing) building() {
	fmt.Fprintf(&d.controller, "listen: simulated\nsimulated:\n  seed: %d\n%s%s", d.number("seed", 0, 1e6),
		d.maybe("charger", "  charger: "+d.of("charger is", append(simulated.ChargerWords,
			"{voltage: 13.8 V}", "{voltage: 12.3 V}")...)+"\n"),
		d.maybe("battery", "  battery: "+d.of("battery is", append(simulated.BatteryWords, "{charge: 60 %}",
			"{resistance: 2 ohm}", "{output: 12.1 V}")...)+"\n"))
	if rapid.Bool().Draw(d.T, "delayed") {
		fmt.Fprintf(&d.controller, "  delays: {%s: %d s}\n", d.of("address", d.addresses...), d.number("delay", 1, 20))
	}
	if len(d.sounding) > 0 && rapid.Bool().Draw(d.T, "broken output") {
		fmt.Fprintf(&d.controller, "  outputs: {%s: {silent: yes}}\n", d.of("output", d.sounding...))
	}
	if rapid.Bool().Draw(d.T, "faulty") {
		kind := d.of("fault", simulated.FaultKinds...)
		if simulated.FaultKind(kind).OfController() {
			fmt.Fprintf(&d.controller, "  faults: [{fault: %s}]\n", kind)
			return
		}
		fmt.Fprintf(&d.controller, "  faults: [{at: %q, fault: %s, with: 1%s}]\n", d.of("at", d.points...), kind,
			d.maybe("mended", ", trials: 1"))
	}
}

// answers are those of a technician who may leave out what may be left out.
func (d *drawing) answers() string {
	level, current := d.maybe("level", "96 dB(A) at 3 m ± 0.1 m over 50 dB class 2"), d.maybe("current", "as shown")
	path := d.of("path", "yes", "no", "not tested")
	return "answers:\n" +
		d.maybe("skip", "  - {when: walk/1.1/ready, say: skip}\n") +
		d.maybe("defect", "  - {when: inspection/*, say: [done, defect, done]}\n") +
		d.alarm() +
		fmt.Sprintf(commonAnswers, d.of("checked", "done", "not tested"), d.maybe("calibrated", "2027-03-01"),
			d.maybe("uncertainty", "50 mV"), d.of("charged", "yes", "no", "not known"), d.maybe("system", "as shown"),
			path, level, current, d.of("accepts", "accept", "refuses", "absent"))
}

// raises tells whether a kind of detector raises an alarm only where the system is set.
func raises(kind string) bool {
	k := site.DetectorKind(kind)
	return !k.Trait().LifeSafety && !k.Tamper()
}

// alarm is raised at any detector that may raise one, or by nobody.
func (d *drawing) alarm() string {
	if len(d.intrudable) == 0 || !rapid.Bool().Draw(d.T, "alarm") {
		return "  - {when: alarm, say: none}\n"
	}
	return fmt.Sprintf("  - {when: alarm/intrusion/detector, say: %q}\n", d.of("intrusion", d.intrudable...)) +
		alarmAnswers
}

// alarmAnswers are those of a technician who waits for all that the controller tells.
const alarmAnswers = `  - {when: alarm, say: begin}
  - {when: alarm/setting/set, say: silent, after: 3 min}
  - {when: alarm/*/set, say: skip, after: 3 min}
  - {when: alarm/*/clock, say: ready}
  - {when: alarm/*/clock-said, say: as shown}
  - {when: alarm/*/received, say: as shown}
`

const commonAnswers = `
  - {when: "*/really", say: "yes"}
  - {when: "*/reason", say: could not be reached}
  - {when: "*/note", say: seen}
  - {when: "*/not-proved", say: [again, as it is]}
  - {when: inspection/*, say: %s}
  - {when: walk/*/tester/value, say: tone tester}
  - {when: walk/*/tester, say: done}
  - {when: list/walk-test/*, say: rest}
  - {when: supply/voltmeter, say: meter}
  - {when: supply/voltmeter/calibrated, say: "%s"}
  - {when: supply/voltmeter/uncertainty, say: "%s"}
  - {when: supply/charged, say: %s}
  - {when: supply/*/current, say: "%s"}
  - {when: "*/voltage", say: as shown}
  - {when: supply/alarm-load, say: energise}
  - {when: "*/energise", say: "yes"}
  - {when: supply/path, say: "%s"}
  - {when: supply/cold-restart, say: restart}
  - {when: supply/mains-*/*, say: ""}
  - {when: supply/*-fault, say: at the controller}
  - {when: supply/battery-*, say: done}
  - {when: supply/mains-*, say: done}
  - {when: outputs/Chime/*/heard, say: heard, after: 1400 ms}
  - {when: outputs/Chime/*/ready, say: ready}
  - {when: outputs/Chime/*/not-heard, say: [again, as it is]}
  - {when: outputs/*/heard, say: as shown}
  - {when: outputs/*/seen, say: as shown}
  - {when: outputs/Sounder/level, say: "%s"}
  - {when: outputs/*/current, say: "%s"}
  - {when: outputs/*/*, say: ""}
  - {when: outputs/*, say: energise}
  - {when: energise/*, say: "yes"}
  - {when: hand-over/*, say: done}
  - {when: sign-off/technician, say: sign}
  - {when: sign-off/customer, say: %s}
  - {when: sign-off/customer/drawing, say: ""}
  - {when: sign-off/*, say: Ignace}
`
