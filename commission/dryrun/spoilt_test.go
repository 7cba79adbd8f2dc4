package dryrun

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"loopwitness/commission/programme"
)

// spoilt is one thing that is wrong with a visit: lines of site.yaml.set and of
// controller.yaml.set, answers that come first, as in the cases of testdata/visits.
type spoilt struct {
	site, controller, answers string
	kind                      programme.VisitKind
}

// spoils are things that may be wrong, each by itself. Not each shows at every site: a pack
// behind a converter is not charged too high.
var spoils = []spoilt{
	{site: "supply.adapter.rating: 20 mA"},
	{site: "supply.adapter.rating: 2 VA"},
	{site: "supply.charger.voltage: 16 V"},
	{site: "supply.charger.voltage: 12.9 V"},
	{site: "supply.charger.current: 5 mA"},
	{site: "supply.charger.current: 90 A"},
	{site: "supply.battery.capacity: 0.2 Ah"},
	{site: "supply.battery.energy: 1 Wh"},
	{site: "supply.battery.efficiency: 10 %\nsupply.standby.for: 60 h"},
	{site: "supply.battery.cells: 2"},
	{site: "supply.battery.cells: 7"},
	{site: "supply.battery.fitted: 2010-01-01"},
	{site: "supply.battery.fitted: 2027-01-01"},
	{site: "supply.recharge.within: 1 h"},
	{site: "supply.recharge.to: 100 %\nsupply.recharge.within: 9 h"},
	{site: "supply.standby.for: 2000 h"},
	{site: "supply.standby.alarm_for: 400 h"},
	{site: "supply.standby.ageing: 3\nsupply.standby.for: 48 h"},
	{site: "supply.battery.exponent: 2\nsupply.standby.alarm_for: 50 h"},
	{site: "supply.battery.hour_rating: 1 h\nsupply.standby.alarm_for: 30 h"},
	{site: "supply.temperature: -10 C"},
	{site: "supply.temperature: -40 C"},
	{site: "supply.hold: 1 s"},
	{site: "controller.current: 1 mA"},
	{site: "controller.detector_output: 1 mA"},
	{site: "controller.alarm_output: 1 mA"},
	{site: "zones.3.detectors.1.powered.minimum: 11.9 V"},
	{site: "zones.3.detectors.1.powered.cable_length: 9000 m"},
	{site: "zones.3.detectors.1.powered.conductor: 0.001 mm2"},
	{site: "zones.4.detectors.1.powered.current: 900 mA\nzones.4.detectors.1.powered.cable_length: 200 m"},
	{site: "outputs.Sounder.current: 4 A"},
	{site: "outputs.Sounder.level: 120 dB"},
	{site: "outputs.Sounder.level_at: 3 m"},
	{site: "outputs.Sounder.frequency: 20 kHz"},
	{site: "outputs.Sounder.cut_off: 1 min"},
	{site: "outputs.Sounder.cut_off: 15 min"},
	{site: "limits.response.door: 100 ms"},
	{site: "limits.response.motion: 100 ms"},
	{site: "limits.restore.window: 100 ms"},
	{site: "limits.mains_lower: 15 V\nlimits.mains_upper: 16 V"},
	{site: "limits.standby_lower: 15 V"},
	{site: "limits.alarm_load_lower: 15 V"},
	{site: "limits.cold_restart: 2 s"},
	{site: "limits.margin: 99 dB"},
	{site: "monitoring: {account: none}"},
	{site: "maintenance: {}"},
	{site: "supply.battery.resistance: 1 mohm", kind: programme.Maintenance},
	{kind: programme.Maintenance},
	{controller: "simulated.charger: dead"},
	{controller: "simulated.charger: dead\nsimulated.battery: {charge: 60 %}"},
	{controller: "simulated.charger: too high"},
	{controller: "simulated.battery: weak"},
	{controller: "simulated.battery: {charge: 30 %}"},
	{controller: "simulated.battery: {output: 10 V}"},
	{controller: "simulated.battery: {resistance: 5 ohm}"},
	{controller: "simulated.delays: {z1: 9 s}"},
	{controller: "simulated.delays: {z3: 60 s}"},
	{controller: `simulated.faults.+: {at: "2.1", fault: silent}`},
	{controller: `simulated.faults.+: {at: "2.1", fault: swapped, with: 1}`},
	{controller: `simulated.faults.+: {at: "2.1", fault: chatter}`},
	{controller: `simulated.faults.+: {at: "2.1", fault: inverted}`},
	{controller: `simulated.faults.+: {at: "3.1", fault: slow}`},
	{controller: "simulated.faults.+: {fault: restarts on battery}"},
	{controller: "simulated.faults.+: {fault: drops connection}"},
	{controller: "simulated.outputs: {Sounder: {silent: yes}}"},
	{controller: "simulated.outputs: {Strobe: {silent: yes}}"},
	{controller: "simulated.outputs: {Chime: {silent: yes}}"},
	{answers: `{when: supply/voltmeter, say: none}`},
	{answers: `{when: supply/voltmeter/uncertainty, say: ""}`},
	{answers: `{when: supply/voltmeter/uncertainty, say: 3 V}`},
	{answers: `{when: supply/voltmeter/calibrated, say: "2020-01-01"}`},
	{answers: `{when: supply/path, say: "no"}`},
	{answers: `{when: supply/path, say: not tested}`},
	{answers: `{when: supply/mains-off, say: not tested}`},
	{answers: `{when: supply/standby-4/voltage, say: 10.9 V}`},
	{answers: `{when: supply/alarm-load/voltage, say: 7 V}`},
	{answers: `{when: supply/far-voltage/voltage, say: 5 V}`},
	{answers: `{when: supply/mains-present/voltage, say: 16 V}`},
	{answers: `{when: supply/mains-present/voltage, say: 11 V}`},
	{answers: `{when: supply/charging/voltage, say: 16 V}`},
	{answers: `{when: supply/standby-current/current, say: 3 A}`},
	{answers: `{when: supply/alarm-current/current, say: 9 A}`},
	{answers: `{when: supply/cold-restart, say: not tested}`},
	{answers: `{when: walk/1.1/ohms, say: 900 ohm}`},
	{answers: `{when: walk/2.2/ready, say: skip}`},
	{answers: `{when: inspection/mains, say: defect}`},
	{answers: `{when: hand-over/*, say: [done, not tested, done]}`},
	{answers: `{when: outputs/Sounder/level, say: 62 dB(A) at 1 m ± 0.1 m over 60 dB class 2}`},
	{answers: `{when: outputs/Sounder/level, say: 110 dB(A) at 1 m ± 0.1 m class 2}`},
	{answers: `{when: outputs/Sounder/level, say: 110 dB(A) at 3 m ± 0.1 m over 50 dB class 2}`},
	{answers: `{when: outputs/Sounder/level, say: 110 dB(A) at 1 m over 50 dB}`},
	{answers: `{when: outputs/Sounder/level, say: ""}`},
	{answers: `{when: outputs/Sounder/current, say: 4 A}`},
	{answers: `{when: outputs/*/until-stopped, say: "no"}`},
	{answers: `{when: outputs/*/stopped, say: stopped, after: 1 min}`},
	{answers: `{when: outputs/Sounder, say: not tested}`},
	{answers: `{when: sign-off/customer, say: absent}`},
	{answers: `{when: sign-off/customer, say: refuses}`},
}

// in is a visit with what is wrong.
func (s spoilt) in(t require.TestingT, v Visit) Visit {
	var err error
	v.Site, err = set(v.Site, s.site)
	require.NoError(t, err)
	v.Controller, err = set(v.Controller, s.controller)
	require.NoError(t, err)
	if s.answers != "" {
		v.Answers = first(t, v.Answers, s.answers)
	}
	if s.kind != "" {
		v.Kind = s.kind
	}
	return v
}

func set(file []byte, lines string) (_ []byte, err error) {
	for _, line := range linesOf([]byte(lines)) {
		path, value, _ := strings.Cut(line, ": ")
		if file, err = SetKey(file, path, value); err != nil {
			return nil, err
		}
	}
	return file, nil
}

// first puts an answer before all others.
func first(t require.TestingT, answers []byte, entry string) []byte {
	all, err := answersBefore([]byte("- "+entry), answers)
	require.NoError(t, err)
	return all
}

// Everything holds in what DrawGood draws.
func TestGoodVisits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := DrawGood(t)
		a, err := v.Run(t.Context())
		require.NoError(t, err, "%s", v.Site)
		assert.True(t, Clean(Codes(a)), "%v\n%s", Codes(a), v.Site)
	})
}

// Each thing that is spoilt shows at some site; else properties that rest on it would show
// nothing.
func TestWhatIsSpoiltShows(t *testing.T) {
	for _, s := range spoils {
		shows := false
		for seed := 0; seed < 12 && !shows; seed++ {
			a, _ := s.in(t, rapid.Custom(DrawGood).Example(seed)).Run(t.Context())
			shows = a == nil || !Clean(Codes(a))
		}
		assert.True(t, shows, "%+v", s)
	}
}
