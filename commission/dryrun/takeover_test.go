package dryrun

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// known is the take-over of which the file says everything.
func known(t *testing.T) Visit {
	t.Helper()
	data, err := os.ReadFile("../../testdata/visits/take-over-of-what-is-known.txtar")
	require.NoError(t, err)
	c, err := ReadCase(txtar.Parse(data), "../../testdata/visits/base")
	require.NoError(t, err)
	return c.Visit
}

// toFind are keys that nobody can assume, with the answers that give them as the file had it.
var toFind = []struct{ path, step, values string }{
	{"controller.current", "found/controller", "/current|120 mA"},
	{"controller.detector_output", "found/controller", "/detector_output|500 mA"},
	{"controller.alarm_output", "found/controller", "/alarm_output|1 A"},
	{"supply.adapter.rating", "found/adapter", "/rating-in|direct /rating|2 A"},
	{"supply.adapter.voltage", "found/adapter", "/voltage|15 V"},
	{"supply.charger.voltage", "found/charger", "/voltage|13.65 V"},
	{"supply.charger.current", "found/charger", "/current|500 mA"},
	{"supply.battery.cells", "found/battery", "/cells|6"},
	{"supply.battery.capacity", "found/battery", "/capacity|7 Ah"},
	{"supply.battery.fitted", "found/battery", "/fitted|2026-11-20"},
	{"zones.3.cable", "found/cable/3", "/length|20 m /conductor|22 AWG"},
	{"zones.3.cable.length", "found/cable/3", "/length|20 m"},
	{"zones.3.cable.conductor", "found/cable/3", "/conductor|22 AWG"},
	{"zones.3.detectors.1.powered.minimum", "found/powered/3.1", "/minimum|9.5 V"},
	{"zones.3.detectors.1.powered.cable_length", "found/powered/3.1", "/cable_length|12 m"},
	{"zones.3.detectors.1.powered.conductor", "found/powered/3.1", "/conductor|22 AWG"},
	{"zones.3.detectors.1.powered", "found/powered/3.1",
		"/current|15_mA /minimum|9.5_V /cable_length|12_m /conductor|22_AWG"},
	{"outputs.Sounder.current", "found/output/Sounder", "/current|300 mA"},
	{"outputs.Strobe.own_battery", "found/output/Strobe", "/own_battery|no"},
}

// answering are the answers to a step: how, then each value.
func answering(t *testing.T, v Visit, step, how, values string) Visit {
	t.Helper()
	lines := "- {when: " + step + ", say: " + how + "}\n"
	for _, part := range strings.Split(values, " /") {
		name, value, has := strings.Cut(strings.TrimPrefix(part, "/"), "|")
		if has {
			lines += "- {when: " + step + "/" + name + ", say: \"" + strings.ReplaceAll(value, "_", " ") + "\"}\n"
		}
	}
	var err error
	v.Answers, err = answersBefore([]byte(lines), v.Answers)
	require.NoError(t, err)
	return v
}

// Whatever is missing is asked for. Found, it counts as if the file had it; where it cannot be
// known, that is a limitation by name, and nothing is taken in its place.
func TestTakeOverAssumesNothing(t *testing.T) {
	whole := known(t)
	a, err := whole.Run(t.Context())
	require.NoError(t, err)
	asDeclared := verdictsOf(a)
	for _, k := range toFind {
		t.Run(k.path, func(t *testing.T) {
			t.Parallel()
			v := whole
			var err error
			v.Site, err = without(whole.Site, k.path)
			require.NoError(t, err)

			found, err := answering(t, v, k.step, "plate", k.values).Run(t.Context())
			require.NoError(t, err)
			assert.Empty(t, codesOf(found, "not-known"), "it was found")
			assert.Equal(t, asDeclared, verdictsOf(found), "it counts as if the file had it")
			assert.Len(t, found.Found(), 1)

			not, err := answering(t, v, k.step, "cannot be known", "/reason|no plate").Run(t.Context())
			require.NoError(t, err)
			assert.Equal(t, []string{k.step}, codesOf(not, "not-known"))

			blank := answering(t, v, k.step, "measured", emptied(k.values))
			nothing, err := blank.Run(t.Context())
			require.NoError(t, err)
			assert.Equal(t, []string{k.step}, codesOf(nothing, "not-known"), "left empty")
		})
	}
}

// verdictsOf are what came of each computation: the figures beside them vary with the building.
func verdictsOf(a *judge.Assessment) (all []string) {
	for _, c := range a.Computed() {
		all = append(all, c.Row.Code()+" "+string(c.Ruling)+" "+strings.Join(c.Assumed, ","))
	}
	return all
}

// emptied leaves all values empty; words are answered with not known.
func emptied(values string) string {
	var out []string
	for _, part := range strings.Split(values, " /") {
		name, _, _ := strings.Cut(strings.TrimPrefix(part, "/"), "|")
		value := ""
		if name == "own_battery" || name == "rating-in" {
			value = "not known"
		}
		out = append(out, name+"|"+value)
	}
	return "/" + strings.Join(out, " /")
}

// without is a site file without a key.
func without(data []byte, path string) ([]byte, error) { return DeleteKey(data, path) }

// codesOf are the steps of the limitations of a code.
func codesOf(a *judge.Assessment, code string) (steps []string) {
	for _, f := range a.Limitations() {
		if f.What.Code() == code {
			steps = append(steps, f.Step)
		}
	}
	return steps
}

// A key whose default is ours decides nothing in a take-over: without it something is a
// limitation that names it.
func TestTakeOverDecidesByNoDefault(t *testing.T) {
	whole := known(t)
	for path, key := range map[string]string{
		"supply.temperature": "supply.temperature", "supply.battery.form": "supply.battery.form",
		"supply.battery.exponent": "supply.battery.exponent", "supply.battery.hour_rating": "supply.battery.hour_rating",
		"supply.battery.life": "supply.battery.life", "supply.standby.ageing": "supply.standby.ageing",
		"supply.recharge.to": "supply.recharge.to", "supply.loads": "supply.loads",
	} {
		v := whole
		var err error
		v.Site, err = without(whole.Site, path)
		require.NoError(t, err)
		a, err := v.Run(t.Context())
		require.NoError(t, err)
		named := slices.ContainsFunc(a.Limitations(), func(f judge.Finding) bool {
			return strings.Contains(string(f.Said()), key)
		})
		assert.True(t, named, "nothing names %s", key)
		for _, f := range a.Findings() {
			assert.Failf(t, "a default made a finding", "%s: %s", path, f.Said())
		}
	}
}

// How a circuit is wired is not known: its loop has to be read, and then what it means is known
// once the wiring is.
func TestUnknownWiringIsMeasured(t *testing.T) {
	whole := known(t)
	v := whole
	var err error
	for _, key := range []string{"zones.1.end_of_line", "zones.1.contact_resistor"} {
		v.Site, err = without(v.Site, key)
		require.NoError(t, err)
	}
	v.Site, err = SetKey(v.Site, "zones.1.wiring", "not known")
	require.NoError(t, err)
	a, err := answering(t, v, "found/wiring/1", "measured",
		"/ohms|4.7_kohm /wiring|two_resistors /end_of_line|4k7 /contact_resistor|4k7").Run(t.Context())
	require.NoError(t, err)
	assert.Empty(t, codesOf(a, "not-known"))
	loop := slices.IndexFunc(a.Computed(), func(c judge.Computed) bool { return c.Row.Code() == "loop" })
	require.GreaterOrEqual(t, loop, 0)
	assert.EqualValues(t, "pass", a.Judged().Computed[loop].Verdict)
	assert.Equal(t, site.TwoResistors, a.Record().Site().Zone(1).Wiring)
	assert.Equal(t, site.WiringUnknown, a.Record().SiteFile().Zone(1).Wiring)

	not, err := answering(t, v, "found/wiring/1", "measured", "/ohms| /reason|cable not found").Run(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{"found/wiring/1"}, codesOf(not, "not-known"))

	// At a hand-over nobody is asked, and that it is not known limits it all the same.
	v.Kind = programme.Handover
	other, err := v.Run(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{""}, codesOf(other, "not-known"))
	assert.Equal(t, record.Proved, other.Detectors()[0].Verdict)
}
