// Package invented makes sites of any size up, with a building and a technician for each: for tests, and for showing
// what certificates look like. It is pure: the same numbers give the same texts.
package invented

import (
	"fmt"
	"math"
	"strings"
)

// Large is a site of so many zones and detectors in a pottery of many halls. Half of its zones have detectors that are
// fed, with all that is known of their cables, so that voltage drops and loops are computed.
type Large struct {
	Zones     int // 1 to 1000
	Detectors int // at least as many as zones
	// Spoilt has one detector that says nothing, one that is slow, one that was mended, one that was left out and one
	// look that was answered otherwise, so that what differs can be seen among what is alike. It takes 40 zones.
	Spoilt bool
}

// Files are the texts of site.yaml, controller.yaml and what a technician answers. The controller is simulated.
type Files struct{ Site, Controller, Answers []byte }

// fitted is a kind of detector with its zone's wiring.
type fitted struct {
	kind, name, wiring string
	milliampere        int // 0 for one that is not fed
}

// Every second kind is fed. Resistors are of common values.
var kinds = []fitted{
	{"door", "door contact", "two resistors, end_of_line: 4k7, contact_resistor: 4k7", 0},
	{"motion", "motion detector", "two resistors, end_of_line: 2k2, contact_resistor: 4k7", 15},
	{"window", "window contact", "normally closed", 0},
	{"motion", "motion detector", "one resistor, end_of_line: 2k2", 12},
	{"window", "window contact", "one resistor, end_of_line: 5k6", 0},
	{"glass-break", "glass-break detector", "normally closed", 20},
	{"door", "door contact", "three resistors, end_of_line: 2k2, contact_resistor: 4k7, fault_resistor: 10k", 0},
	{"smoke", "smoke detector", "normally open", 25},
	{"hold-up", "button", "parallel resistor, end_of_line: 4k7", 0},
	{"motion", "motion detector", "three resistors, end_of_line: 2k2, contact_resistor: 4k7, fault_resistor: 10k", 15},
}

var (
	rooms = []string{"Throwing studio", "Glaze store", "Gallery", "Packing room", "Kiln hall", "Drying room",
		"Clay store"}
	places = []string{"north wall", "by the stairs", "east wall", "over the door", "south wall", "beside the shelves"}
	wires  = []string{"22 AWG", "0.22 mm2", "0.5 mm2"}
)

// Files makes the texts.
func (l Large) Files() Files {
	var b strings.Builder
	b.WriteString(above)
	milliampere := 180 // the controller's own
	for zone := range l.Zones {
		k := kinds[zone%len(kinds)]
		hall := fmt.Sprintf("%s %d", rooms[zone/len(kinds)%len(rooms)], 1+zone/len(kinds)/len(rooms))
		metres := 6 + zone*37%83
		conductor := wires[zone%len(wires)]
		fmt.Fprintf(&b, "  - {number: %d, name: \"%s, %s\", area: %s, kind: %s, wiring: %s, address: z%d,\n"+
			"     cable: {length: %d m, conductor: %s}, detectors: [", 1+zone, hall, k.name, hall, k.kind, k.wiring, 1+zone,
			metres, conductor)
		for i := range l.Detectors*(zone+1)/l.Zones - l.Detectors*zone/l.Zones {
			if i > 0 {
				b.WriteString(", ")
			}
			fmt.Fprintf(&b, "{name: \"%s %c\", location: %s", strings.ToUpper(k.name[:1])+k.name[1:], 'A'+i%26,
				places[(zone+i)%len(places)])
			if k.milliampere > 0 {
				milliampere += k.milliampere
				fmt.Fprintf(&b, ", powered: {current: %d mA, minimum: 9.5 V, cable_length: %d m, conductor: %s}", k.milliampere,
					metres, conductor)
			}
			b.WriteString("}")
		}
		b.WriteString("]}\n")
	}
	const keypad, outputs = 35, 350 + 120 + 30
	milliampere += keypad
	ampere, alarm := float64(milliampere)/1000, float64(milliampere+outputs)/1000
	capacity := math.Ceil(2.5*(12*ampere+alarm)) + 2
	charge := capacity / 10
	fmt.Fprintf(&b, below, math.Ceil(alarm)+math.Ceil(ampere+charge), charge, capacity)
	f := Files{Site: fmt.Appendf(nil, "%s", strings.Replace(b.String(), "detector_output: 500 mA",
		fmt.Sprintf("detector_output: %.0f A", math.Ceil(ampere)+1), 1))}
	building, skip := "", ""
	if l.Spoilt {
		building, skip = spoilt, skipped
	}
	f.Controller = []byte("listen: simulated\nsimulated:\n  seed: 300\n  battery: good\n" +
		"  outputs: {Sounder: {cut_off: 15 min}}\n" + building)
	f.Answers = fmt.Appendf(nil, answers, skip, milliampere, milliampere+outputs)
	return f
}

const spoilt = `  delays: {z12: 7 s}
  faults:
    - {at: "23.1", fault: silent, trials: 1}
    - {at: "35.1", fault: silent}
`

const skipped = `  - {when: walk/23.1/not-proved, say: [note, again]}
  - {when: walk/23.1/note, say: joint behind the sink was broken; made anew with a crimped joint}
  - {when: walk/29.1/ready, say: skip}
  - {when: walk/29.1/reason, say: the office was locked and the key is with the owner}
  - {when: walk/*/not-proved, say: as it is}
`

const above = `# An invented pottery of many halls.
reference: KP-0300
premises: {name: Saltglaze Pottery Works, address: "7 Kiln Yard, Little Wenham", use: "workshops, gallery and stores",
  part: all halls}
customer: {name: Ottoline Marsh-Tanaka, contact: 0100 555 0142}
installer: {company: Bellbird Alarm Services, address: "12 Cooper's Row, Little Wenham", phone: 0100 555 0190,
  licence: BA-2217}
declared: {standard: "EN 50131-1, as declared by the installer", grade: "2", class: II, departures: none}
monitoring: {centre: Northmoor Receiving Centre, account: …4471, path: broadband,
  paths: [{name: broadband, within: 30 s}]}
insurer: Fenwick Mutual, policy …8830
design: proposal P-77 of 3 March, with its risk assessment
authority: none has to be informed
controls: keypad by the gate
interfaces: none
cables: {reused: "no"}
maintenance: {interval: 1 year}
agreed: {keyholders: "two keyholders, called before the police", log_book_place: controller cupboard,
  agreement: "one visit a year, one remote check",
  records: "by the installer for the life of the system, a copy with the customer", next_visit: a year after this one}
setting: {exit_time: 30 s, entry_time: 30 s, sounder_within: 5 s, entry_detector: "1.1"}
controller: {description: "network-connected controller with bus modules", location: packing room,
  software: firmware 4.2.1, connection: wired network, current: 180 mA, detector_output: 500 mA, alarm_output: 1 A}
zones:
`

// below takes the adapter in A, the charge in A, and the capacity in Ah.
const below = `outputs:
  - {name: Sounder, kind: sounder, location: "yard side, under the eaves", address: sounder, current: 350 mA,
     level: 105 dB, level_at: 1 m, frequency: 3 kHz, cut_off: 15 min}
  - {name: Strobe, kind: strobe, location: on the sounder, address: strobe, current: 120 mA}
  - {name: Chime, kind: chime, location: packing room, address: chime, current: 30 mA, follows: [1]}
supply:
  adapter: {rating: %.0f A, voltage: 15 V, location: packing room outlet, fuse: T 20 A,
    circuit: "230 V, own circuit, 10 A breaker"}
  charger: {voltage: 13.65 V, current: %.2f A}
  battery: {chemistry: lead-acid, cells: 6, capacity: %.0f Ah, hour_rating: 20 h, exponent: 1.15, fitted: 2026-11-20,
    location: controller cupboard}
  recharge: {within: 72 h, to: 80 %%, source: "EN 50131-6 type A, grade 2, as declared by the installer"}
  standby: {for: 12 h, alarm_for: 15 min, ageing: 1.25,
    source: "EN 50131-6 type A, grade 2, as declared by the installer"}
  loads: [{name: Keypad by the gate, current: 35 mA, alarm_current: 60 mA}]
  temperature: 10 C
  hold: 10 min
limits:
  source: agreed with the customer
  response: {door: 2 s, window: 2 s, motion: 5 s, glass-break: 5 s, hold-up: 2 s, smoke: 30 s}
  listen_for: {door: 15 s, window: 15 s, motion: 20 s, glass-break: 15 s, hold-up: 15 s, smoke: 60 s}
  restore: {door: 5 s, window: 5 s, motion: 30 s, glass-break: 30 s, hold-up: 30 s, smoke: 120 s}
  steady: 1 s
  standby_lower: 11.5 V
  alarm_load_lower: 10.5 V
  cold_restart: 120 s
  mains_fault: 5 min
  battery_fault: 5 min
`

// answers takes what a technician answers before all else, and the currents in mA, at rest and in an alarm.
const answers = `answers:
%s  - {when: list/outstanding, say: rest}
  - {when: list/inspection, say: rest}
  - {when: inspection/on-test/value, say: NRC-0417}
  - {when: inspection/*, say: done}
  - {when: list/walk-test/glass-break/tester, say: hand-held tone tester}
  - {when: list/walk-test/*, say: rest}
  - {when: supply/voltmeter, say: "multimeter, serial 0417"}
  - {when: supply/voltmeter/calibrated, say: "2027-03-01"}
  - {when: supply/voltmeter/uncertainty, say: 20 mV}
  - {when: supply/charged, say: "yes"}
  - {when: "*/really", say: "yes"}
  - {when: supply/standby-current/current, say: %d mA}
  - {when: supply/alarm-current/current, say: %d mA}
  - {when: "*/voltage", say: as shown}
  - {when: supply/alarm-load, say: energise}
  - {when: "*/energise", say: "yes"}
  - {when: supply/path, say: "yes"}
  - {when: supply/cold-restart/ready, say: ready}
  - {when: supply/cold-restart, say: restart}
  - {when: supply/*-fault, say: at the controller}
  - {when: supply/mains-*/*, say: ""}
  - {when: supply/battery-*, say: done}
  - {when: supply/mains-*, say: done}
  - {when: outputs/Sounder/heard, say: "yes"}
  - {when: outputs/Sounder/level, say: 109 dB(A) at 1 m ± 0.1 m over 52 dB class 2}
  - {when: outputs/Sounder/current, say: 340 mA}
  - {when: outputs/*/cut-off, say: ""}
  - {when: outputs/Sounder/until-stopped, say: "yes"}
  - {when: outputs/Sounder/stopped, say: stopped, after: 15 min}
  - {when: outputs/*/until-stopped, say: "no"}
  - {when: outputs/Strobe/seen, say: "yes"}
  - {when: outputs/Strobe/current, say: 115 mA}
  - {when: outputs/Chime/*/heard, say: heard, after: 1400 ms}
  - {when: outputs/Chime/*/ready, say: ready}
  - {when: outputs/*, say: energise}
  - {when: alarm, say: begin}
  - {when: alarm/intrusion/detector, say: "2.1"}
  - {when: alarm/*/clock, say: ready}
  - {when: alarm/*/clock-said, say: as shown}
  - {when: alarm/*/received, say: as shown}
  - {when: alarm/*/reference, say: NRC-4471-88}
  - {when: list/hand-over, say: rest}
  - {when: hand-over/*/value, say: as agreed with the owner}
  - {when: hand-over/*, say: done}
  - {when: sign-off/technician/name, say: Ignace Brûlé}
  - {when: sign-off/technician/licence, say: T-0881}
  - {when: sign-off/technician, say: sign}
  - {when: sign-off/customer/name, say: Ottoline Marsh-Tanaka}
  - {when: sign-off/customer/position, say: owner}
  - {when: sign-off/customer, say: accept}
`
