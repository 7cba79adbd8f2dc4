package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/strictyaml"
)

func (r *reader) zones(top section) {
	items := top.List("zones")
	if len(items) == 0 {
		r.Problem(top.Where("zones"), "the site has no zones", "zones: with at least one zone and its detectors")
	}
	if len(items) > maxZones {
		r.Problem(items[maxZones], fmt.Sprintf("more than %d zones", maxZones), "split the site into several jobs")
		return
	}
	numbers, addresses := map[int]int{}, map[string]int{}
	for _, item := range items {
		f := r.item(item, "zones[]", "zone")
		z := r.zone(f)
		unique(r, f, "number", numbers, z.Number, z.Number > 0, "zone number")
		unique(r, f, "address", addresses, z.Address, z.Address != "", "address")
		r.site.Zones = append(r.site.Zones, z)
		if r.detectors += len(z.Detectors); r.detectors > maxDetectors {
			r.Problem(f.Where("detectors"), fmt.Sprintf("more than %d detectors", maxDetectors),
				"split the site into several jobs")
			return
		}
	}
}

// unique notes the line of a value and reports one that stood before.
func unique[T comparable](r *reader, f section, key string, seen map[T]int, value T, written bool,
	what string) {
	if !written {
		return
	}
	if line, twice := seen[value]; twice {
		r.Problem(f.Node(key), fmt.Sprintf("%s %v stands twice, first in line %d", what, value, line), "give each its own")
		return
	}
	seen[value] = f.Where(key).Line
}

func (r *reader) zone(f section) Zone {
	z := Zone{Name: f.need("name"), Area: f.Text("area"), Number: r.number(f, "number"),
		Kind: DetectorKind(r.oneOf(f, "kind")), Wiring: Wiring(r.oneOf(f, "wiring")), Address: f.need("address"),
		EndOfLine: r.quantity(f, "end_of_line"), ContactResistor: r.quantity(f, "contact_resistor"),
		FaultResistor: r.quantity(f, "fault_resistor"), Tolerance: r.quantity(f, "tolerance")}
	if f.Has("cable") {
		c := r.section(f, "cable")
		z.Cable = &Cable{r.quantity(c, "length"), r.conductor(c), c.Text("type"), r.reused(c)}
	}
	r.resistors(f, z)
	items := f.List("detectors")
	if len(items) == 0 {
		r.Problem(f.Where("detectors"), fmt.Sprintf("zone %s has no detectors", f.Text("number")),
			"detectors: "+keyAt("zones[].detectors").Need)
	}
	for i, item := range items {
		z.Detectors = append(z.Detectors, r.detector(item, z.Kind, PointOf(z.Number, i)))
	}
	return z
}

// resistors holds the values written against the wiring.
func (r *reader) resistors(f section, z Zone) {
	wants := z.Wiring.Resistors()
	for _, key := range []string{"end_of_line", "contact_resistor", "fault_resistor"} {
		switch wanted := slices.Contains(wants, key); {
		case wanted && !f.Has(key):
			r.Problem(f.Where("wiring"), fmt.Sprintf("wiring %q needs %q", z.Wiring, key), key+": its value, for example 4k7")
		case !wanted && f.Has(key) && z.Wiring != "":
			r.Problem(f.Node(key), fmt.Sprintf("wiring %q has no %q", z.Wiring, key),
				"remove it, or write the wiring that has it")
		}
	}
}

func (r *reader) detector(item *yaml.Node, kind DetectorKind, p Point) Detector {
	what := "detector " + string(p)
	if item.Kind == yaml.ScalarNode {
		name := r.Scalar(item, what)
		if name == "" || item.Tag == "!!null" {
			r.Problem(item, what+" has no name", "which device it is, so that it can be found")
		}
		return Detector{Name: name, Kind: kind}
	}
	f := r.item(item, "zones[].detectors[]", what)
	d := Detector{Name: f.need("name"), Location: f.Text("location"), Kind: kind}
	if f.Has("kind") {
		d.Kind = DetectorKind(r.oneOf(f, "kind"))
	}
	if f.Has("powered") {
		d.Power = r.power(f, what)
	}
	return d
}

func (r *reader) power(d section, what string) *Power {
	f := r.item(d.Node("powered"), d.at("powered"), "powered of "+what)
	p := &Power{Current: r.quantity(f, "current"), Minimum: r.quantity(f, "minimum"),
		CableLength: r.quantity(f, "cable_length"), Conductor: r.conductor(f), After: Point(f.Text("after"))}
	if p.After != "" {
		r.after = append(r.after, follower{f.Node("after"), strings.TrimPrefix(what, "detector "), p.After})
	}
	return p
}

// follower is a detector whose cable goes on from another one.
type follower struct {
	node  *yaml.Node
	point string
	after Point
}

// chains holds every detector that comes after another one against the site: that one
// is powered, and no chain leads back to itself.
func (r *reader) chains() {
	for _, f := range r.after {
		if !r.ends(f.after) {
			r.Problem(f.node, fmt.Sprintf("detector %s cannot come after %q on a cable", f.point, f.after),
				"the zone and place of a powered detector, for example \"5.1\", whose own cable begins at the "+
					"controller in the end")
		}
	}
}

// ends tells whether the cable of a powered detector leads to the controller.
func (r *reader) ends(p Point) bool {
	for range maxDetectors {
		_, d, err := r.site.Find(p)
		switch {
		case err != nil || d.Power == nil:
			return false
		case d.Power.After == "":
			return true
		}
		p = d.Power.After
	}
	return false
}

// number reads a whole number from 1; anything else is a problem and 0.
func (r *reader) number(f section, key string) int {
	hint := fmt.Sprintf("a whole number from 1 to %d", maxNumber)
	text := f.need(key)
	if text == "" {
		return 0
	}
	n, ok := wholeNumber(text)
	if !ok {
		r.Problem(f.Node(key), fmt.Sprintf("%q is no %s", text, key), hint)
	}
	return n
}

// wholeNumber takes plain digits without a leading zero, so that what is
// printed is what was typed.
func wholeNumber(text string) (int, bool) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > maxNumber || strconv.Itoa(n) != text {
		return 0, false
	}
	return n, true
}

// oneOf reads a key that must be there and takes the words of its row only.
func (r *reader) oneOf(f section, key string) string {
	words := keyAt(f.at(key)).Words
	return r.word(f, key, f.Need(key, "one of: "+strings.Join(words, ", ")), words)
}

// mayBeOneOf reads a key that may be absent.
func (r *reader) mayBeOneOf(f section, key, otherwise string) string {
	if !f.Has(key) {
		return otherwise
	}
	return r.word(f, key, f.Text(key), keyAt(f.at(key)).Words)
}

func (r *reader) word(f section, key, text string, words []string) string {
	if text == "" || slices.Contains(words, text) {
		return text
	}
	also := ""
	if near := strictyaml.Nearest(text, words); near != "" {
		also = fmt.Sprintf("; did you mean %q?", near)
	}
	r.Problem(f.Node(key), fmt.Sprintf("%q is no %s that is known%s", text, key, also),
		"one of: "+strings.Join(words, ", "))
	return ""
}

func (r *reader) outputs(top section) {
	names := map[string]int{}
	for _, item := range top.List("outputs") {
		f := r.item(item, "outputs[]", "output")
		o := Output{Name: f.need("name"), Location: f.Text("location"), Address: f.Text("address"),
			Kind: OutputKind(r.oneOf(f, "kind")), Current: r.quantity(f, "current"), CutOff: r.quantity(f, "cut_off"),
			OwnGiven:   f.Has("own_battery"),
			OwnBattery: r.mayBeOneOf(f, "own_battery", "no") == "yes", Level: r.quantity(f, "level"),
			LevelAt: r.quantity(f, "level_at"), Frequency: r.quantity(f, "frequency")}
		unique(r, f, "name", names, o.Name, o.Name != "", "output")
		if o.Level.Given() != o.LevelAt.Given() {
			r.Problem(f.At(), "a declared level needs its distance, and a distance its level",
				"level: 105 dB and level_at: 1 m")
		}
		o.Follows = r.follows(f, o.Kind)
		r.site.Outputs = append(r.site.Outputs, o)
	}
}

func (r *reader) follows(f section, kind OutputKind) []int {
	var zones []int
	items := f.List("follows")
	if len(items) > 0 && kind != Chime && kind != "" {
		r.Problem(f.Node("follows"), fmt.Sprintf("a %s follows no zones, only a chime does", kind), "remove it")
	}
	for _, item := range items {
		text := r.Scalar(item, "a followed zone")
		n, ok := wholeNumber(text)
		switch {
		case !ok:
			r.Problem(item, fmt.Sprintf("%q is no zone number", text), "the number of a zone of this file")
		case r.site.Zone(n) == nil:
			r.Problem(item, fmt.Sprintf("the chime follows zone %d, which does not exist", n), "zones: "+r.zoneNumbers())
		case slices.Contains(zones, n):
			r.Problem(item, fmt.Sprintf("zone %d is followed twice", n), "remove one")
		default:
			zones = append(zones, n)
		}
	}
	return zones
}

func (r *reader) zoneNumbers() string {
	var all []string
	for _, z := range r.site.Zones {
		if len(all) == 20 {
			return strings.Join(all, ", ") + " …"
		}
		all = append(all, strconv.Itoa(z.Number))
	}
	return strings.Join(all, ", ")
}
