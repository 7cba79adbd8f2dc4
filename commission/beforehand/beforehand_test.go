package beforehand

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

var today = time.Date(2026, time.November, 26, 12, 0, 0, 0, time.UTC)

const (
	siteHead = "reference: K\npremises: {name: a, address: b}\ninstaller: {company: c}\ncontroller: {description: d}\n"
	twoZones = `zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [a]}
  - {number: 9, name: Till, kind: hold-up, wiring: normally open, address: z9, detectors: [b]}
`
	noBattery = "supply: {battery: {chemistry: none}}\n"
	mqttHead  = "listen: mqtt\nmqtt:\n  broker: tcp://h\n"
	allZones  = "  signals: [{topic: s/+/state, address: \"z{1}\", active: x, restored: y}]\n"
)

// remarked is what is remarked on a job: severity, place, and what is said.
func remarked(t *testing.T, siteText, controller string) []string {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(siteText))
	require.NoError(t, err)
	j := Job{Site: s, Listen: listen.Keyboard}
	if controller != "" {
		j.Controller = []byte(controller)
		j.Listen, err = listen.Read("controller.yaml", j.Controller, s)
		require.NoError(t, err)
	}
	told := []string{}
	for _, r := range Of(j, today) {
		assert.NotEmpty(t, r.Do, r.What)
		told = append(told, fmt.Sprintf("%s %s:%d:%d: %s", r.Severity, r.File, r.Line, r.Column, r.What))
	}
	return told
}

func TestMaps(t *testing.T) {
	signals := func(rules ...string) string { return mqttHead + "  signals: [{" + strings.Join(rules, "}, {") + "}]\n" }
	const siren = "outputs: [{name: Siren, kind: sounder, address: s}]\n"
	for name, tc := range map[string]struct {
		outputs, controller string
		told                []string
	}{
		"all is well":                  {"", mqttHead + allZones, nil},
		"keys of a person need no map": {siren, "", nil},
		"practice needs no map":        {siren, "listen: simulated\n", nil},
		"an output by hand":            {"outputs: [{name: Siren, kind: sounder}]\n", mqttHead + allZones, nil},
		"an output with its command": {siren,
			mqttHead + allZones + "  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 0}]\n", nil},
		"a zone that nothing reaches": {"", signals("topic: a, address: z1, active: x, restored: y"),
			[]string{"ERROR site.yaml:7:76: no signal of controller.yaml can reach zone 9"}},
		"a level that no address holds": {"", signals(`topic: +/s/+, address: "z{2}", active: x, restored: y`),
			[]string{"WARNING controller.yaml:4:21: topics that differ in their + number 1 report the same address"}},
		"levels that are all held": {"outputs: []\n",
			signals(`topic: +/+, address: "z{1}{2}", active: x, restored: y`), nil},
		"a signal for nothing": {"",
			signals(`topic: s/+, address: "z{1}", active: x, restored: y`,
				`topic: t/+, address: "zone{1}", active: x, restored: y`),
			[]string{"ERROR controller.yaml:4:90: this signal reaches no zone of the site"}},
		"a signal twice": {"",
			signals(`topic: s/+, address: "z{1}", active: x, restored: y`,
				`topic: s/+, address: "z{1}", active: v, restored: w`),
			[]string{"ERROR controller.yaml:4:76: signals 1 and 2 have the same topic and address"}},
		"a signal twice, with other values": {"",
			signals(`topic: s/+, address: "z{1}", active: x, restored: y`,
				`topic: s/+, address: "z{1}", value: /cover, active: v, restored: w`),
			[]string{"WARNING controller.yaml:4:76: signals 1 and 2 have the same topic and address"}},
		"an address from two topics": {"",
			signals(`topic: s/+, address: "z{1}", active: x, restored: y`, "topic: d, address: z1, active: v, restored: w"), nil},
		"an output without a command": {siren, mqttHead + allZones,
			[]string{`WARNING site.yaml:8:49: output "Siren" has an address, but controller.yaml has no command for it`}},
		"a command that never ends": {siren,
			mqttHead + allZones + "  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 1}]\n",
			[]string{"DANGER controller.yaml:5:52: the command that switches this output off is the one that switches it on: " +
				"it would not fall silent"}},
		"two commands of an output": {siren, mqttHead + allZones +
			"  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 0}, {address: s, topic: e, \"on\": 1, \"off\": 0}]\n",
			[]string{"ERROR controller.yaml:5:66: this output has a command already"}},
		"two outputs of a command": {
			"outputs: [{name: Siren, kind: sounder, address: s}, {name: Lamp, kind: strobe, address: l}]\n",
			mqttHead + allZones +
				"  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 0}, {address: l, topic: c, \"on\": 1, \"off\": 0}]\n",
			[]string{"WARNING controller.yaml:5:76: outputs 1 and 2 have the same command: whoever switches one switches both"}},
		"two outputs of an address": {
			"outputs: [{name: Siren, kind: sounder, address: s}, {name: Lamp, kind: strobe, address: s}]\n",
			mqttHead + allZones + "  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 0}]\n",
			[]string{`WARNING site.yaml:8:89: outputs "Siren" and "Lamp" have the same address: whoever switches one switches both`}},
		"a command that comes back": {siren,
			mqttHead + allZones + "  outputs: [{address: s, topic: s/9/state, \"on\": 1, \"off\": 0}]\n",
			[]string{"ERROR controller.yaml:5:33: the program's own commands would come back as reports of a zone"}},
		"a presence that never goes": {"", mqttHead + allZones + "  presence: {topic: p, here: up, away: up}\n",
			[]string{"ERROR controller.yaml:5:40: here and away are the same payload: its absence would never be known"}},
		"a presence that hides a zone": {"",
			signals("topic: p, address: z1, active: x, restored: y", "topic: q, address: z9, active: x, restored: y") +
				"  presence: {topic: p, here: up, away: down}\n",
			[]string{"ERROR controller.yaml:4:21: this is the topic of presence: nothing that comes there is taken as a report"}},
	} {
		if tc.told == nil {
			tc.told = []string{}
		}
		assert.Equal(t, tc.told, remarked(t, siteHead+twoZones+tc.outputs+noBattery, tc.controller), name)
	}
}

// Zones beyond twenty are counted.
func TestManyZonesThatNothingReaches(t *testing.T) {
	text := siteHead + noBattery + "zones:\n"
	for i := range 30 {
		text += fmt.Sprintf("- {number: %d, name: a, kind: door, wiring: normally closed, address: z%d, detectors: [a]}\n",
			i+1, i+1)
	}
	told := remarked(t, text, mqttHead+"  signals: [{topic: a, address: z4, active: x, restored: y}]\n")
	assert.Equal(
		t,
		[]string{"ERROR site.yaml:7:70: no signal of controller.yaml can reach zone 1, 2, 3, 5, 6, 7, 8, 9, 10, " +
			"11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21 and 9 more"},
		told,
	)
}

// What is said of a supply. The limits themselves, with their sources, are held in checks.
func TestSupplies(t *testing.T) {
	const aged = "the battery was fitted 7.0 years ago; its service life is "
	for name, tc := range map[string]struct{ supply, told string }{
		"nothing is known": {"battery: {chemistry: lead-acid}", ""},
		"fitted seven years ago": {"battery: {chemistry: lead-acid, fitted: 2019-11-20}",
			"WARNING site.yaml:8:50: " + aged + "4.0 years, as is usual"},
		"fitted four years ago, less a day": {"battery: {chemistry: lead-acid, fitted: 2022-11-27}", ""},
		"fitted seven years ago, for ten":   {"battery: {chemistry: lead-acid, fitted: 2019-11-20, life: 3653 d}", ""},
		"fitted seven years ago, for three": {"battery: {chemistry: lithium-ion, fitted: 2019-11-20, life: 1096 d}",
			"WARNING site.yaml:8:52: " + aged + "3.0 years, as this file has it"},
		"fitted tomorrow": {"battery: {chemistry: lead-acid, fitted: 2026-11-27}", ""},
		"fitted the day after": {"battery: {chemistry: lead-acid, fitted: 2026-11-28}",
			"WARNING site.yaml:8:50: the battery was fitted after today"},
		"an adapter on lithium": {"adapter: {voltage: 13.8 V}, battery: {chemistry: lithium-ion}",
			"DANGER site.yaml:8:29: with nothing between, 13.8 V is 4.60 V a cell of this lithium-ion battery: " + whyNot["above every charge limit"]},
		"an adapter with a charger before lithium": {
			"adapter: {voltage: 13.8 V}, charger: {voltage: 12.6 V}, battery: {chemistry: lithium-ion}", ""},
		"an adapter of alternating current": {
			"adapter: {rating: 40 VA, voltage: 18 V}, battery: {chemistry: lithium-ion}", ""},
		"a pack with its own charger":   {"adapter: {voltage: 13.8 V}, battery: {chemistry: lithium-ion, form: inline}", ""},
		"an adapter before a converter": {"adapter: {voltage: 13.8 V}, battery: {chemistry: lithium-ion, form: converter}", ""},
		"a charger too high": {"charger: {voltage: 13.8 V}, battery: {chemistry: lithium-ion}",
			"DANGER site.yaml:8:29: 13.8 V is 4.60 V a cell of this lithium-ion battery: " + whyNot["above every charge limit"]},
		"a charger too high for four cells": {"charger: {voltage: 13.8 V}, battery: {chemistry: lithium-ion, cells: 4}", "WARNING"},
		"a charger too low": {"charger: {voltage: 12 V}, battery: {chemistry: lead-acid}",
			"WARNING site.yaml:8:29: 12 V is 2.00 V a cell of this lead-acid battery: " + whyNot["below every float"]},
		"a charger that fits": {"charger: {voltage: 13.65 V}, battery: {chemistry: lead-acid}", ""},
		"lithium in the frost": {
			"charger: {voltage: 12.6 V}, battery: {chemistry: lithium-ion}, temperature: -5 C", "DANGER"},
		"an adapter on lead-acid": {"adapter: {voltage: 18 V}, battery: {chemistry: lead-acid}", "WARNING"},
		"no battery":              {"adapter: {voltage: 18 V}, battery: {chemistry: none}", ""},
	} {
		told := remarked(t, siteHead+twoZones+"supply: {"+tc.supply+"}\n", "")
		if tc.told == "" {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			assert.True(t, strings.HasPrefix(told[0], tc.told), "%s: %s", name, told[0])
		}
	}
}

// A charger that fits a battery of another number of cells, where nobody declares how many
// there are, is a danger until somebody does.
func TestChargersOfCellsThatNobodyDeclares(t *testing.T) {
	const says = "if it has 12 cells, write them as supply: battery: cells"
	for supply, want := range map[string]bool{
		"charger: {voltage: 27.3 V}, battery: {chemistry: lead-acid}":           true,
		"charger: {voltage: 27.3 V}, battery: {chemistry: lead-acid, cells: 6}": false,
		"charger: {voltage: 18 V}, battery: {chemistry: lead-acid}":             false,
	} {
		s, err := site.Read("site.yaml", []byte(siteHead+twoZones+"supply: {"+supply+"}\n"))
		require.NoError(t, err)
		told := Of(Job{Site: s, Listen: listen.Keyboard}, today)
		require.Len(t, told, 1, supply)
		assert.Equal(t, Danger, told[0].Severity, supply)
		assert.Equal(t, want, strings.Contains(told[0].Do, says), told[0].Do)
	}
}

// The gravest comes first, and every reason of a danger or fault has words.
func TestOrder(t *testing.T) {
	told := remarked(t, siteHead+twoZones+"outputs: [{name: Siren, kind: sounder, address: s}]\n"+
		"supply: {charger: {voltage: 13.8 V}, battery: {chemistry: lithium-ion}}\n",
		mqttHead+"  signals: [{topic: a, address: z1, active: x, restored: y}]\n")
	require.Len(t, told, 3)
	for i, severity := range []string{"DANGER", "ERROR", "WARNING"} {
		assert.True(t, strings.HasPrefix(told[i], severity), told[i])
	}
	assert.True(t, Grave([]Remark{{Severity: Perhaps}, {Severity: Cannot}}))
	assert.True(t, Grave([]Remark{{Severity: Danger}}))
	assert.False(t, Grave([]Remark{{Severity: Perhaps}}))
	assert.False(t, Grave(nil))
}
