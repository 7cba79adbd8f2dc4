package judge

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// The same sites and visits are drawn in every run; a failure prints what was drawn.
func TestMain(m *testing.M) {
	for name, value := range map[string]string{"rapid.nofailfile": "true", "rapid.seed": "19"} {
		if err := flag.Set(name, value); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

// enough holds what many draws have to show; with -short there are few.
func enough(t *testing.T, so bool, what string) {
	t.Helper()
	if !testing.Short() {
		require.True(t, so, what)
	}
}

// often checks a property so many times.
func often(t *testing.T, times int, property func(*rapid.T)) {
	t.Helper()
	require.NoError(t, flag.Set("rapid.checks", fmt.Sprint(times)))
	rapid.Check(t, property)
}

// drawnSite is a site file of which each value lies to either side of what holds.
func drawnSite(t *rapid.T) string {
	number := func(label string, from, to int) int { return rapid.IntRange(from, to).Draw(t, label) }
	of := func(label string, texts ...string) string { return rapid.SampledFrom(texts).Draw(t, label) }
	pack := rapid.SampledFrom([]struct {
		chemistry string
		cells     int
		nominal   float64 // V a cell
	}{{"lead-acid", 6, 2}, {"lead-acid", 12, 2}, {"lithium-ion", 3, 3.7}, {"lithium-ion", 4, 3.7},
		{"lithium-iron-phosphate", 4, 3.2}}).Draw(t, "pack")
	size := fmt.Sprintf("capacity: %d mAh", number("capacity", 300, 9000))
	form := of("form", "direct", "direct", "converter", "inline")
	if form != "direct" && rapid.Bool().Draw(t, "energy given") {
		size = fmt.Sprintf("energy: %d Wh", number("energy", 2, 60))
	}
	return fmt.Sprintf(`
reference: G-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: none}
maintenance: {interval: 1 year}
controller: {description: controller, current: %d mA, detector_output: %d mA, alarm_output: %d mA}
supply:
  adapter: {rating: %s, voltage: %s}
  charger: {voltage: %d mV, current: %d mA}
  recharge: {within: %d h, to: 80 %%}
  battery:
    {chemistry: %s, cells: %d, voltage: %g V, form: %s, %s, hour_rating: %d h, exponent: 1.%d,
     efficiency: %d %%, output: 12 V}
  standby: {for: %d h, alarm_for: %d min, ageing: 1.%d}
  temperature: %d C
  loads: [{name: Keypad, current: %d mA, alarm_current: %d mA}]
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - number: 2
    name: Hall
    kind: motion
    wiring: normally closed
    address: z2
    detectors:
      - {name: Eye, powered: {current: %d mA, minimum: %d mV, cable_length: %d m, conductor: 0.22 mm2}}
outputs: [{name: Sounder, kind: sounder, current: %d mA}]
limits: {alarm_load_lower: %d mV}
`, number("controller", 20, 400), number("detector output", 10, 100), number("alarm output", 200, 600),
		of("rating", fmt.Sprintf("%d mA", number("direct", 50, 2000)), fmt.Sprintf("%d VA", number("apparent", 2, 40))),
		of("adapter", "13.65 V", "16 V", "12.5 V"), number("charger", 11000, 16500), number("charging", 50, 3000),
		number("within", 4, 72), pack.chemistry, pack.cells, pack.nominal*float64(pack.cells), form, size,
		of2(t, "rate", 10, 20, 100), number("exponent", 0, 9), number("efficiency", 70, 95), number("for", 1, 24),
		number("alarm for", 5, 60), number("ageing", 0, 5), number("temperature", -15, 50), number("keypad", 0, 60),
		number("keypad in alarm", 0, 90), number("eye", 5, 60), number("minimum", 8000, 11800), number("length", 5, 300),
		number("sounder", 100, 600), number("limit", 9600, 12000))
}

func of2(t *rapid.T, label string, of ...int) int { return rapid.SampledFrom(of).Draw(t, label) }

// keysIn are the paths to all keys of a file.
func keysIn(n *yaml.Node, at string) (all []string) {
	for i, child := range n.Content {
		switch {
		case n.Kind != yaml.MappingNode:
			all = append(all, keysIn(child, fmt.Sprint(at, "/", i))...)
		case i%2 == 1:
			path := at + "/" + n.Content[i-1].Value
			all = append(append(all, path), keysIn(child, path)...)
		}
	}
	return all
}

// without is a node without a key.
func without(n *yaml.Node, at, path string) {
	for i := 0; i < len(n.Content); i++ {
		switch {
		case n.Kind != yaml.MappingNode:
			without(n.Content[i], fmt.Sprint(at, "/", i), path)
		case i%2 == 0 && at+"/"+n.Content[i].Value == path:
			n.Content = slices.Delete(n.Content, i, i+2)
			return
		case i%2 == 1:
			without(n.Content[i], at+"/"+n.Content[i-1].Value, path)
		}
	}
}

// rowOf is which row one is: there are several of some kinds.
func rowOf(c Computed) string {
	switch r := c.Row.(type) {
	case OutputLimitRow:
		return r.Code() + string(r.Which)
	case DropRow:
		return r.Code() + string(r.Detector.Point)
	}
	return c.Row.Code()
}

// betterThan tells whether a row is judged better than another; one that lacks something is
// no better than undecided.
func betterThan(a, b Computed) bool {
	rank := func(c Computed) int {
		switch {
		case c.Danger:
			return 0
		case c.Ruling == checks.Fail:
			return 1
		case c.Ruling == checks.Pass:
			return 3
		}
		return 2
	}
	return rank(a) > rank(b)
}

func designOf(t *rapid.T, text string) map[string]Computed {
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err, text)
	rows := map[string]Computed{}
	for _, c := range Design(s) {
		rows[rowOf(c)] = c
	}
	return rows
}

// another are the keys without which another system is described, not the same one less
// well: what of it is a limitation is told by findUndescribed.
var another = []string{"outputs", "powered", "form", "zones", "supply", "battery"}

// Whoever deletes a key of the site file never turns into a pass what was none.
func TestNoKeyMakesAPassByItsAbsence(t *testing.T) {
	passes := 0
	often(t, 1000, func(t *rapid.T) {
		text := drawnSite(t)
		var whole yaml.Node
		require.NoError(t, yaml.Unmarshal([]byte(text), &whole))
		path := rapid.SampledFrom(keysIn(&whole, "")).Draw(t, "key")
		without(&whole, "", path)
		less, err := yaml.Marshal(&whole)
		require.NoError(t, err)
		if name := path[strings.LastIndexByte(path, '/')+1:]; slices.Contains(another, name) {
			return
		}
		s, err := site.Read("site.yaml", less)
		if err != nil {
			return // the key has to be there
		}
		before := designOf(t, text)
		for _, c := range Design(s) {
			was, there := before[rowOf(c)]
			if !there || c.Ruling != checks.Pass {
				continue
			}
			passes++
			// Cables are computed at 20 °C where no temperature is declared: their only gap.
			if was.Ruling != checks.Pass && !(rowOf(c) == "drop2.1" && strings.HasSuffix(path, "/temperature")) {
				t.Fatalf("%s is a pass without %s, and was %q: %+v\n%s", rowOf(c), path, was.Ruling, c, text)
			}
		}
	})
	enough(t, passes > 100, "something has to pass")
}

// worse are inputs, what makes each of them worse, and the rows that must not gain by it.
var worse = []struct {
	name string
	rows string
	make func(s *site.Site, by float64)
}{
	{"the controller draws more", "adapter standby energy",
		func(s *site.Site, by float64) { s.Controller.Current.SI *= by }},
	{"a detector draws more", "adapter standby energy output-limitdetectors drop2.1",
		func(s *site.Site, by float64) { s.Zones[1].Detectors[0].Power.Current.SI *= by }},
	{"the sounder draws more", "adapter standby energy output-limitalarm",
		func(s *site.Site, by float64) { s.Outputs[0].Current.SI *= by }},
	{"a load draws more", "adapter standby energy", func(s *site.Site, by float64) {
		s.Supply.Loads[0].Current.SI *= by
		s.Supply.Loads[0].Alarm.SI *= by
	}},
	{"less capacity", "standby energy", func(s *site.Site, by float64) { s.Supply.Battery.Capacity.SI /= by }},
	{"less energy", "energy", func(s *site.Site, by float64) { s.Supply.Battery.Energy.SI /= by }},
	{"a worse converter", "energy", func(s *site.Site, by float64) { s.Supply.Battery.Efficiency.SI /= by }},
	{"more hours", "standby energy", func(s *site.Site, by float64) { s.Supply.Standby.For.SI *= by }},
	{"a longer alarm", "standby energy", func(s *site.Site, by float64) { s.Supply.Standby.AlarmFor.SI *= by }},
	{"more ageing", "standby energy", func(s *site.Site, by float64) { s.Supply.Standby.Ageing.SI *= by }},
	{"colder", "standby energy", func(s *site.Site, by float64) { s.Supply.Temperature.SI -= 5 * by }},
	{"a longer cable", "drop2.1", func(s *site.Site, by float64) { s.Zones[1].Detectors[0].Power.CableLength.SI *= by }},
	{"a detector that needs more", "drop2.1",
		func(s *site.Site, by float64) { s.Zones[1].Detectors[0].Power.Minimum.SI *= by }},
	{"a weaker charger", "recharge", func(s *site.Site, by float64) { s.Supply.Charger.Current.SI /= by }},
	{"a stronger charger", "adapter charger", func(s *site.Site, by float64) { s.Supply.Charger.Current.SI *= by }},
	{"sooner", "recharge", func(s *site.Site, by float64) { s.Supply.Recharge.Within.SI /= by }},
	{"a smaller adapter", "adapter", func(s *site.Site, by float64) {
		s.Supply.Adapter.Rating.SI /= by
		s.Supply.Adapter.Apparent.SI /= by
	}},
	{"less from the outputs", "output-limitdetectors output-limitalarm", func(s *site.Site, by float64) {
		s.Controller.DetectorOutput.SI /= by
		s.Controller.AlarmOutput.SI /= by
	}},
}

// A worse input never improves a ruling.
func TestWorseInputsNeverImproveARuling(t *testing.T) {
	changed := map[string]bool{}
	often(t, 200, func(t *rapid.T) {
		text := drawnSite(t)
		before := designOf(t, text)
		by := rapid.Float64Range(1, 5).Draw(t, "by")
		for _, w := range worse {
			s, err := site.Read("site.yaml", []byte(text))
			require.NoError(t, err)
			w.make(s, by)
			for _, c := range Design(s) {
				was, there := before[rowOf(c)]
				if !there || !slices.Contains(strings.Fields(w.rows), rowOf(c)) || len(c.Missing)+len(was.Missing) > 0 {
					continue
				}
				if betterThan(c, was) {
					t.Fatalf("%s: %s was %q and is %q\n%s", w.name, rowOf(c), was.Ruling, c.Ruling, text)
				}
				changed[w.name] = changed[w.name] || betterThan(was, c)
			}
		}
	})
	for _, w := range worse {
		enough(t, changed[w.name], w.name+" changes nothing")
	}
}

// standing is what a visit comes to, better results higher.
func standing(a *Assessment) int {
	return slices.Index([]Overall{Unsatisfactory, WithLimitations, Satisfactory}, a.Result())
}

// readAt are readings on battery, by step, to a hundredth of a volt.
func readAt(centivolt map[string]int) map[string][]any {
	instead := map[string][]any{}
	for step, v := range centivolt {
		r := reads(step, float64(v)/100)
		r.AsTyped = fmt.Sprintf("%d.%02d V", v/100, v%100)
		instead[step] = []any{r}
		if step == programme.IDAlarmLoad {
			instead[step] = []any{record.Energised{Output: "Sounder", On: true, By: "hand"}, r,
				record.Energised{Output: "Sounder", By: "hand"}}
		}
		if step == "supply/standby-4" {
			instead[step] = append([]any{10 * time.Minute}, instead[step]...)
		}
	}
	return instead
}

// A lower voltage on battery never improves the result of a hand-over: each of them by
// itself, or all by the same.
func TestLowerVoltagesNeverImproveTheResult(t *testing.T) {
	steps := []string{"supply/standby-1", "supply/standby-2", "supply/standby-3", "supply/standby-4",
		programme.IDAlarmLoad}
	seen := map[int]bool{}
	often(t, 100, func(r *rapid.T) {
		volt := map[string]int{}
		for _, step := range steps {
			volt[step] = rapid.IntRange(1140, 1285).Draw(r, step)
		}
		var changes []string
		if rapid.Bool().Draw(r, "limits of ours") {
			changes = []string{"  standby_lower: 11.5 V\n", "", "  alarm_load_lower: 10.5 V\n", ""}
		}
		higher := begin(t, changes...).take(readAt(volt))
		down := rapid.IntRange(1, 300).Draw(r, "lower by")
		which := rapid.SampledFrom(append(steps, "all")).Draw(r, "which")
		for _, step := range steps {
			if which == step || which == "all" {
				volt[step] -= down
			}
		}
		lower := begin(t, changes...).take(readAt(volt))
		seen[standing(higher)], seen[standing(lower)] = true, true
		if standing(lower) > standing(higher) {
			r.Fatalf("%s by %d: %s, and was %s: %v", which, down, lower.Result(), higher.Result(), volt)
		}
	})
	enough(t, len(seen) == 3, "every result comes about")
}

// A longer response never improves the result, whoever set the limit.
func TestLongerResponsesNeverImproveTheResult(t *testing.T) {
	const two = "walk/2.1"
	seen := map[int]bool{}
	often(t, 100, func(r *rapid.T) {
		var changes []string
		if rapid.Bool().Draw(r, "limits of ours") {
			changes = []string{"  response: 2 s\n", "", "window: 5 s, ", ""}
		}
		took := func(label string) time.Duration {
			return time.Duration(rapid.IntRange(100, 14000).Draw(r, label)) * time.Millisecond
		}
		response, restore := took("response"), took("restore")
		visit := func(response, restore time.Duration) *Assessment {
			return begin(t, changes...).take(map[string][]any{
				two: append(attempt(two, "z2", response, restore), answer(two, record.AsItIs))})
		}
		quick := visit(response, restore)
		longer := time.Duration(rapid.IntRange(1, 20000).Draw(r, "longer")) * time.Millisecond
		slow := visit(response+longer, restore)
		if rapid.Bool().Draw(r, "of the restore") {
			slow = visit(response, restore+longer)
		}
		seen[standing(quick)], seen[standing(slow)] = true, true
		if standing(slow) > standing(quick) {
			r.Fatalf("%s and was %s: %s, %s, longer by %s", slow.Result(), quick.Result(), response, restore, longer)
		}
	})
	enough(t, len(seen) == 3, "every result comes about")
}
