package judge

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The small journals of testdata/journals, told by hand: each shows verdicts that the
// demonstration's visit does not. See testdata/README.md.

const journals = "../../testdata/journals"

var renew = flag.Bool("renew", false, "write the small journals of testdata/journals again")

// The kept journals are those told here. With -renew they are written: once a version has
// been released, kept journals stay as they are, and a new story gets a new file.
func TestKeptJournals(t *testing.T) {
	for name, tell := range map[string]func(*story){
		"detectors": tellDetectors, "supply": tellSupply, "computed": tellComputed, "refused": tellRefused,
		"unfinished": tellUnfinished, "retest": tellRetest, "satisfactory": tellSatisfactory, "inline": tellInline,
		"reported": tellReported, "roamed": tellRoamed, "keys": tellKeys,
	} {
		t.Run(name, func(t *testing.T) {
			s := written(t)
			tell(s)
			assert.Empty(t, s.record.Breaches(), "it could have been written")
			want, path := s.bytes(), filepath.Join(journals, name+".jsonl")
			if *renew {
				require.NoError(t, os.WriteFile(path, want, 0o644))
			}
			kept, err := os.ReadFile(path)
			require.NoError(t, err, "write it with -renew")
			assert.Equal(t, string(want), string(kept), "read the difference, then write it with -renew")
		})
	}
}

// ownList is a company's own checklist, which keeps the journals small.
var ownList = programme.Checklist{
	Inspection: []programme.Item{{ID: "ladder", Text: "The ladder was footed."},
		{ID: "labels", Text: "Cables are labelled."}, {ID: "lids", Text: "Lids are shut."}},
	HandOver: []programme.Item{{ID: "codes", Text: "Codes were changed."}},
}

const head = `reference: H-1
premises: {name: Bench, address: Clay Lane}
cables: {reused: "no"}
installer: {company: Bellbird}
controller: {description: controller, current: 100 mA}
`

var listening = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7}

func is(address string, state signal.State) signal.Signal {
	return signal.Signal{Address: address, State: state}
}

// trial is one cue, what is heard, and its end after quiet.
func (s *story) trial(step string, half record.Half, by record.End, heard ...any) {
	s.t.Helper()
	s.tell(record.Cue{Step: step, Half: half})
	s.tell(heard...)
	s.tell(16*time.Second, record.Ended{Step: step, By: by})
}

// proves operates and restores a detector as it should be.
func (s *story) proves(step, address string) {
	s.t.Helper()
	s.attempt(step, address, fast, fast)
}

// signed puts the names under the visit.
func (s *story) signed(customer record.Signed) {
	s.t.Helper()
	s.faultsSeen()
	customer.Step, customer.Role = programme.IDCustomer, programme.Customer
	s.tell(record.Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "Ignace"}, customer)
}

// meter is what the supply is measured with.
func meter(name, calibrated string, uncertainty float64) record.Instrument {
	return record.Instrument{Step: programme.IDVoltmeter, Name: name, Calibrated: calibrated, Uncertainty: uncertainty}
}

func done(steps ...string) (out []any) {
	for _, step := range steps {
		out = append(out, record.Answer{Step: step, Result: record.Done})
	}
	return out
}

const detectorsSite = head + `supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [at once, at last]}
  - {number: 2, name: Silent, kind: window, wiring: normally closed, address: z2, detectors: [silent, given up]}
  - {number: 3, name: Late, kind: window, wiring: normally closed, address: z3, detectors: [late, late to rest]}
  - {number: 4, name: Crossed, kind: window, wiring: normally closed, address: z4, detectors: [crossed, both]}
  - {number: 5, name: Inverted, kind: window, wiring: normally open, address: z5, detectors: [inverted]}
  - {number: 6, name: Unsteady, kind: door, wiring: normally closed, address: z6, detectors: [unsteady]}
  - {number: 7, name: Edge, kind: window, wiring: one resistor, end_of_line: 5k6, address: z7, detectors: [edge]}
  - {number: 8, name: Left out, kind: flood, wiring: normally open, address: z8, detectors: [left out, then left]}
  - {number: 9, name: Motion, kind: motion, wiring: normally closed, address: z9, detectors: [still, restless]}
  - {number: 10, name: Smoke, kind: smoke, wiring: normally open, address: z10, detectors: [smoke]}
  - {number: 11, name: Covers, kind: tamper, wiring: normally closed, address: z11, detectors: [cover]}
  - {number: 12, name: Garbled, kind: window, wiring: normally closed, address: z12, detectors: [garbled]}
`

// tellDetectors shows every verdict of a trial, each half that it may rest on, and what
// limits a proof.
func tellDetectors(s *story) {
	s.open(detectorsSite, programme.Handover, ownList)
	s.tell(listening, signal.Connection{Up: true})
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.proves("walk/1.1", "z1")
	s.trial("walk/1.2", record.Operate, record.ByAgain)
	s.trial("walk/1.2", record.Operate, record.ByTime)
	s.tell(record.Note{Step: "walk/1.2", Text: "magnet moved"})
	s.proves("walk/1.2", "z1")
	s.trial("walk/2.1", record.Operate, record.ByTime)
	s.tell(record.Answer{Step: "walk/2.1", Result: record.AsItIs})
	s.trial("walk/2.2", record.Operate, record.BySilent)
	s.attempt("walk/3.1", "z3", 2500*time.Millisecond, fast)
	s.attempt("walk/3.2", "z3", fast, 6*time.Second)
	s.trial("walk/4.1", record.Operate, record.ByTime, fast, is("z5", signal.Active))
	s.tell(is("z5", signal.Restored))
	s.trial("walk/4.2", record.Operate, record.ByTime, fast, is("z4", signal.Active), is("z5", signal.Active))
	s.trial("walk/4.2", record.Restore, record.ByTime, fast, is("z4", signal.Restored), is("z5", signal.Restored))
	s.tell(is("z5", signal.Active))
	s.trial("walk/5.1", record.Operate, record.ByTime, fast, is("z5", signal.Restored))
	s.trial("walk/6.1", record.Operate, record.ByTime, fast, is("z6", signal.Active), fast, is("z6", signal.Restored),
		fast, is("z6", signal.Active))
	s.trial("walk/6.1", record.Restore, record.ByTime, fast, is("z6", signal.Restored))
	s.attempt("walk/7.1", "z7", 2020*time.Millisecond, fast)
	s.tell(record.Answer{Step: "walk/8.1", Result: record.LeftOut, Remark: "no water"})
	s.proves("walk/8.2", "z8")
	s.tell(record.Reopened{Step: "walk/8.2"},
		record.Answer{Step: "walk/8.2", Result: record.LeftOut, Remark: "no time"})
	s.trial("walk/9.1", record.Operate, record.ByTime, fast, is("z9", signal.Active))
	s.trial("walk/9.1", record.Restore, record.ByTime, 3*time.Second, is("z9", signal.Restored))
	s.trial("walk/9.2", record.Operate, record.ByTime, fast, is("z9", signal.Active))
	for range 4 {
		s.tell(time.Second, is("z9", signal.Restored), time.Second, is("z9", signal.Active))
	}
	s.trial("walk/9.2", record.Restore, record.ByTime, time.Second, is("z9", signal.Restored),
		time.Second, is("z9", signal.Active), 30*time.Second)
	s.trial("walk/10.1", record.Operate, record.ByTime, time.Second, is("z10", signal.Active))
	s.trial("walk/10.1", record.Restore, record.ByTime, time.Minute, is("z10", signal.Restored), time.Minute)
	s.trial("walk/11.1", record.Operate, record.ByTime, fast, is("z11", signal.Tamper))
	s.trial("walk/11.1", record.Restore, record.ByTime, fast, is("z11", signal.Restored))
	s.trial("walk/12.1", record.Operate, record.ByTime, fast,
		signal.Signal{Address: "z12", State: signal.NotUnderstood, Raw: "ajar"})
	s.tell(is("z99", signal.Active), signal.Signal{Address: "z98", State: signal.Active, Kept: "retained"},
		record.Answer{Step: programme.IDVoltmeter, Result: record.LeftOut, Remark: "its battery is flat"},
		record.Answer{Step: programme.IDMainsPresent, Result: record.LeftOut, Remark: "no voltmeter"})
}

const supplySite = `reference: H-2
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 100 mA}
supply:
  adapter: {rating: 2 A, voltage: 13.8 V}
  charger: {voltage: 13.8 V, current: 150 mA}
  recharge: {within: 24 h, to: 80 %, source: the insurer}
  battery: {chemistry: lead-acid, capacity: 7 Ah, fitted: 2019-11-20}
  standby: {for: 12 h, alarm_for: 15 min}
  hold: 10 min
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [a, b]}
  - number: 2
    name: Store
    kind: window
    wiring: two resistors
    end_of_line: 4k7
    contact_resistor: 4k7
    address: z2
    detectors: [c]
outputs:
  - {name: Sounder, kind: sounder, address: s, current: 300 mA, cut_off: 15 min}
  - {name: Inside, kind: sounder, address: i, current: 100 mA}
  - {name: Strobe, kind: strobe, address: f, current: 100 mA}
  - {name: Chime, kind: chime, current: 30 mA, follows: [1]}
limits: {standby_lower: 11.5 V, source: the insurer}
`

// typed is a reading as a technician types it.
func typed(t testing.TB, step string, quantity record.Quantity, in checks.Dimension, text string) record.Reading {
	t.Helper()
	q, err := in.Parse(text)
	require.NoError(t, err)
	return record.Reading{Step: step, Quantity: quantity, Value: q.SI, Unit: in.SI, AsTyped: text}
}

func milliampere(t testing.TB, step, text string) record.Reading {
	t.Helper()
	return typed(t, step, record.CurrentReading, checks.Current, text)
}

func volts(step string, v, uncertainty float64) record.Reading {
	return record.Reading{Step: step, Quantity: record.VoltageReading, Value: v, Uncertainty: uncertainty}
}

// tellSupply shows a battery that is charged too high, and one that fails on standby:
// readings outside their limit, too close to it, and void; a battery past its life; a
// charger that is too slow; outputs that fail, stick, and draw too much; a late restart.
func tellSupply(s *story) {
	s.open(supplySite, programme.Handover, ownList)
	s.tell(listening, meter("meter 7", "2025-01-01", 0.05))
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.tell(record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Value: 6, Unit: "ohm", AsTyped: "6 ohm"},
		record.Reading{Step: "walk/1.2", Quantity: record.LoopReading, Unit: "ohm", Open: true, AsTyped: "open"},
		record.Reading{Step: "walk/2.1", Quantity: record.LoopReading, Value: 9400, Unit: "ohm", AsTyped: "9k4"})
	s.proves("walk/1.1", "z1")
	s.tell(record.Answer{Step: programme.IDCharged, Result: record.Yes}, volts(programme.IDMainsPresent, 15.25, 0.05))
	s.mainsOff()
	s.tell(record.Answer{Step: programme.IDPath, Result: record.No, Remark: "router on mains"},
		volts("supply/standby-1", 12.61, 0.05))
	s.proves("supply/proof-1.1", "z1")
	s.tell(time.Minute, volts("supply/standby-2", 12.52, 0.05), 4*time.Minute, volts("supply/standby-3", 11.52, 0.05),
		5*time.Minute, volts("supply/standby-4", 11.25, 0.05), milliampere(s.t, programme.IDStandbyCurrent, "95 mA"))
	s.tell(switched("Sounder", true), switched("Inside", true), switched("Strobe", true), time.Minute,
		switched("Strobe", false), time.Second, volts(programme.IDAlarmLoad, 12.1, 0.05), switched("Inside", false),
		switched("Sounder", false),
		record.Answer{Step: programme.IDAlarmCurrent, Result: record.LeftOut, Remark: "no clamp"})
	s.tell(done(programme.IDMainsOn)...)
	s.tell(record.Answer{Step: programme.IDMainsBack, Result: record.LeftOut, Remark: "forgotten"})
	s.trial(programme.IDRestart, record.Operate, record.ByTime, 150*time.Second, is("z2", signal.Active))
	s.tell(
		record.Energised{Output: "Sounder", On: true, By: "controller"},
		9*time.Second,
		milliampere(s.t, "outputs/Sounder", "350 mA"),
		record.Reading{Step: "outputs/Sounder", Quantity: record.LevelReading, Value: 98, Unit: "dB", AsTyped: "98 dB",
			Distance: 3, Ambient: 60, MeterClass: 2},
		record.Energised{Output: "Sounder", On: true, By: "controller", Failed: "not connected"},
		record.Energised{Output: "Sounder", By: "controller"},
		record.Answer{Step: "outputs/Sounder", Result: record.Works},
		switched(
			"Inside",
			true,
		),
		record.Reading{Step: "outputs/Inside", Quantity: record.LevelReading, Value: 95, Unit: "dB", AsTyped: "95 dB",
			Distance: 1},
		switched("Inside", false),
		record.Answer{Step: "outputs/Inside", Result: record.Works},
		switched(
			"Strobe",
			true,
		),
		switched("Strobe", false),
		record.Answer{Step: "outputs/Strobe", Result: record.Fails, Remark: "dark"},
	)
	s.trial("outputs/Chime/zone-1", record.Operate, record.ByTime)
	s.trial("outputs/Chime/zone-1", record.Operate, record.ByTime, fast, is("z1", signal.Active))
	s.tell(record.Answer{Step: "outputs/Chime/zone-1", Result: record.AsItIs})
	for _, open := range s.record.OpenBefore(programme.StageSignOff) {
		s.tell(record.Answer{Step: open.Step().ID, Result: record.LeftOut, Remark: "no time"})
	}
	s.signed(record.Signed{Name: "Ottoline"})
}

const computedSite = `reference: H-3
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 400 mA, detector_output: 100 mA, alarm_output: 300 mA}
monitoring: {centre: Northmoor}
maintenance: {interval: 1 year}
supply:
  adapter: {rating: 300 mA, voltage: 13.8 V}
  battery: {chemistry: lithium-ion, capacity: 2 Ah, fitted: 2027-01-01}
  standby: {for: 12 h, alarm_for: 15 min}
  recharge: {within: 24 h}
  hold: 60 s
zones:
  - number: 1
    name: Hall
    kind: motion
    wiring: normally closed
    address: z1
    detectors:
      - {name: far, powered: {current: 60 mA, minimum: 10 V, cable_length: 400 m, conductor: 0.22 mm2}}
      - {name: near, powered: {current: 55 mA, minimum: 9 V, cable_length: 10 m, conductor: 0.22 mm2}}
      - {name: unknown, powered: {current: 15 mA}}
      - unpowered
outputs:
  - {name: Sounder, kind: sounder, address: s, current: 350 mA}
limits: {alarm_load_lower: 10.5 V, standby_lower: 11.5 V}
`

// tellComputed shows computations that fail, that cannot decide, and that lack a value,
// and a visit of which nothing was tried, and whose programme leaves the sounder out.
func tellComputed(s *story) {
	at, err := site.Read("site.yaml", []byte(computedSite))
	require.NoError(s.t, err)
	sounder := func(step programme.Step) bool { return step.ID == "outputs/Sounder" }
	s.opens(programme.Maintenance, computedSite, slices.DeleteFunc(programme.Of(at, ownList), sounder))
	s.tell(signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, UncertaintyNS: 25e7, ByHand: true},
		meter("meter", "", 0), volts(programme.IDMainsPresent, 13.6, 0))
}

const smallSite = head + `supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [a]}
  - {number: 2, name: Button, kind: hold-up, wiring: normally open, address: z2, detectors: [b]}
`

// tellRefused shows a customer who does not accept the list, and items of a checklist
// that were not so, not looked at, and no matter.
func tellRefused(s *story) {
	s.open(smallSite, programme.Handover, ownList)
	s.tell(listening)
	s.tell(done("inspection/ladder")...)
	s.tell(record.Answer{Step: "inspection/labels", Result: record.Defect, Remark: "none"},
		record.Answer{Step: "inspection/lids", Result: record.NotApplicable, Remark: "no lids"},
		record.Answer{Step: "hand-over/codes", Result: record.LeftOut, Remark: "no time"})
	s.proves("walk/1.1", "z1")
	s.proves("walk/2.1", "z2")
	s.tell(meter("meter", "", 0.1), volts(programme.IDMainsPresent, 13.5, 0.1))
	s.signed(record.Signed{Refused: true, Position: "wants labels"})
}

// tellUnfinished shows a practice visit that broke off: two runs with signals timed in
// two ways, an outage, a trial that was lost, signals that were lost, and mains that is
// still removed.
func tellUnfinished(s *story) {
	s.open(honestSite, programme.Handover, ownList)
	pretended := meter("pretended", "", 0.05)
	pretended.Simulated = true
	practised := signal.Listening{Way: signal.Simulated, TimedBy: signal.BySeed, UncertaintyNS: 5e7, Simulated: true}
	s.tell(practised, pretended, record.Cue{Step: "walk/1.1", Half: record.Operate},
		time.Second, signal.Connection{Why: signal.Broken, Detail: "EOF"}, 5*time.Second, signal.Connection{Up: true})
	s.proves("walk/1.1", "z1")
	s.mainsOff()
	s.tell(time.Second, volts("supply/standby-1", 12.4, 0.05), record.Paused{By: "technician"}, time.Hour,
		record.Resumed{}, listening,
		signal.Overrun{Lost: 12, LastedNS: 3e8}, time.Second)
	s.trial("walk/2.1", record.Operate, record.ByTime)
}

// tellRetest shows a visit that takes one detector again.
func tellRetest(s *story) {
	at, err := site.Read("site.yaml", []byte(detectorsSite))
	require.NoError(s.t, err)
	steps := programme.OfRetest(at, ownList, programme.Of(at, programme.Checklist{}), map[string]bool{"walk/3.1": true})
	s.opens(programme.Retest, detectorsSite, steps)
	s.tell(listening)
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.proves("walk/3.1", "z3")
	s.signed(record.Signed{Position: "was out"})
}

const satisfactorySite = `reference: H-4
premises: {name: Bench, address: Clay Lane}
cables: {reused: "no"}
installer: {company: Bellbird}
monitoring: {centre: none}
maintenance: {interval: 1 year}
controller: {description: controller, current: 100 mA, alarm_output: 500 mA}
supply:
  adapter: {rating: 2 A, voltage: 13.8 V}
  charger: {voltage: 12.5 V, current: 900 mA}
  recharge: {within: 24 h, to: 80 %, source: the insurer}
  battery:
    chemistry: lithium-ion
    cells: 3
    capacity: 9 Ah
    hour_rating: 20 h
    exponent: 1.05
    fitted: 2026-11-20
  standby: {for: 12 h, alarm_for: 15 min, ageing: 1.25, source: the insurer}
  loads: []
  temperature: 15 C
  hold: 10 min
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [a]}
outputs:
  - name: Sounder
    kind: sounder
    address: s
    current: 300 mA
    level: 100 dB
    level_at: 1 m
    frequency: 3 kHz
    cut_off: 15 min
setting: {exit_time: 30 s, entry_time: 30 s, sounder_within: 5 s}
limits:
  response: 2 s
  listen_for: 15 s
  restore: {door: 5 s}
  steady: 1 s
  standby_lower: 11 V
  alarm_load_lower: 10 V
  cold_restart: 120 s
  margin: 10 dB
  source: the insurer
`

// switched is the controller's switching of an output.
func switched(output string, on bool) record.Energised {
	return record.Energised{Output: output, On: on, By: record.SwitchedByController}
}

// sounds energises the sounder for readings, which stand between.
func sounds(by record.Switched, readings ...any) []any {
	facts := []any{record.Energised{Output: "Sounder", On: true, By: by}}
	return append(append(facts, readings...), record.Energised{Output: "Sounder", By: by})
}

// tellSatisfactory shows a visit without a finding and without a limitation.
func tellSatisfactory(s *story) {
	s.open(satisfactorySite, programme.Handover, ownList)
	s.tell(listening)
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.proves("walk/1.1", "z1")
	s.tell(meter("meter 7", "2027-01-01", 0.05), record.Answer{Step: programme.IDCharged, Result: record.Yes},
		volts(programme.IDMainsPresent, 12.5, 0.05))
	s.mainsOff()
	s.tell(record.Answer{Step: programme.IDPath, Result: record.Yes}, volts("supply/standby-1", 12.4, 0.05))
	s.proves("supply/proof-1.1", "z1")
	s.tell(time.Minute, volts("supply/standby-2", 12.39, 0.05), 4*time.Minute, volts("supply/standby-3", 12.35, 0.05),
		5*time.Minute, volts("supply/standby-4", 12.32, 0.05), milliampere(s.t, programme.IDStandbyCurrent, "96 mA"))
	s.tell(sounds(record.SwitchedByController, time.Second, volts(programme.IDAlarmLoad, 12.15, 0.05))...)
	s.tell(sounds(record.SwitchedByController, milliampere(s.t, programme.IDAlarmCurrent, "390 mA"))...)
	s.tell(done(programme.IDMainsOn)...)
	s.tell(volts(programme.IDMainsBack, 12.41, 0.05))
	s.trial(programme.IDRestart, record.Operate, record.ByTime, 40*time.Second, is("z1", signal.Restored))
	s.tell(sounds(record.SwitchedByController, loud("outputs/Sounder", 110, 1, 45, 1), 15*time.Minute,
		typed(s.t, "outputs/Sounder", record.CutOffReading, checks.Time, "15 min"))...)
	s.tell(record.Answer{Step: "outputs/Sounder", Result: record.Works})
	s.alarms()
	s.tell(volts(programme.IDCharging, 12.47, 0.05))
	s.signed(record.Signed{Name: "Ottoline"})
}

const inlineSite = `reference: H-5
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 100 mA}
supply:
  adapter: {rating: 20 VA, voltage: 16 V}
  battery: {chemistry: lithium-ion, form: inline, energy: 14 Wh, efficiency: 90 %, output: 12 V, fitted: 2026-11-20}
  standby: {for: 12 h, alarm_for: 15 min, ageing: 1.25}
  loads:
    - {name: Keypad, current: 20 mA, alarm_current: 60 mA}
  temperature: 5 C
  hold: 10 min
zones:
  - number: 1
    name: Hall
    kind: motion
    wiring: normally closed
    address: z1
    detectors:
      - {name: Eye, powered: {current: 15 mA, minimum: 11.5 V, cable_length: 30 m, conductor: 0.22 mm2}}
outputs: [{name: Sounder, kind: sounder, address: s, current: 300 mA}]
`

// tellInline shows a pack between adapter and controller at which the connection is lost
// when it takes over, that is too small, and a detector that gets too little from it.
func tellInline(s *story) {
	s.open(inlineSite, programme.Maintenance, ownList)
	s.tell(listening, signal.Connection{Up: true})
	s.tell(done("inspection/ladder", "inspection/labels", "inspection/lids", "hand-over/codes")...)
	s.proves("walk/1.1", "z1")
	s.tell(meter("meter 7", "2027-01-01", 0.05), record.Answer{Step: programme.IDCharged, Result: record.No},
		volts(programme.IDMainsPresent, 12.1, 0.05))
	s.mainsOff()
	s.tell(300*time.Millisecond, signal.Connection{Why: signal.Broken, Detail: "EOF"}, 20*time.Second,
		signal.Connection{Up: true}, record.Answer{Step: programme.IDPath, Result: record.Yes},
		volts("supply/standby-1", 12.05, 0.05))
	s.proves("supply/proof-1.1", "z1")
	s.tell(time.Minute, volts("supply/standby-2", 12.05, 0.05), 4*time.Minute, volts("supply/standby-3", 12.04, 0.05),
		5*time.Minute, volts("supply/standby-4", 12.04, 0.05), milliampere(s.t, programme.IDStandbyCurrent, "150 mA"))
	s.tell(sounds(record.SwitchedByController, volts(programme.IDAlarmLoad, 11.6, 0.05),
		milliampere(s.t, programme.IDAlarmCurrent, "450 mA"), volts(programme.IDFarVoltage, 11.3, 0.05))...)
	s.tell(done(programme.IDMainsOn)...)
	s.tell(volts(programme.IDMainsBack, 12.1, 0.05))
	s.trial(programme.IDRestart, record.Operate, record.ByTime, 40*time.Second, is("z1", signal.Active))
	s.tell(sounds(record.SwitchedByController)...)
	s.tell(record.Answer{Step: "outputs/Sounder", Result: record.Works})
	s.alarms()
	s.signed(record.Signed{Name: "Ottoline"})
}
