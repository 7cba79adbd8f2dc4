package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"loopwitness/checks"
	"loopwitness/commission/kit/strictyaml"
)

const (
	maxZones     = 2000
	maxDetectors = 5000
	maxNumber    = 9999
)

// Read reads a site file; name is how errors call it. All that is wrong with
// it is one *strictyaml.Problems, with the place of each.
func Read(name string, data []byte) (*Site, error) {
	yamlReader, top, err := strictyaml.Parse(name, data, false, "reference", "premises", "customer", "installer",
		"declared", "monitoring", "insurer", "controller", "zones", "outputs", "supply", "limits")
	if err != nil {
		return nil, err
	}
	r := &reader{Reader: yamlReader, site: &Site{Raw: slices.Clone(data), Limits: defaultLimits()}}
	r.whoAndWhere(top)
	r.zones(top)
	r.outputs(top)
	r.supply(top)
	r.limits(top)
	if err := r.Err(); err != nil {
		return nil, err
	}
	r.site.index()
	return r.site, nil
}

type reader struct {
	*strictyaml.Reader
	site      *Site
	detectors int
}

func (r *reader) whoAndWhere(top strictyaml.Fields) {
	s := r.site
	s.Reference = top.Need("reference", "a number of your own for this job, printed on every page")
	s.Insurer = top.Text("insurer")

	f := r.Fields(top.Node("premises"), "premises", "name", "address", "use", "part")
	if !top.Has("premises") {
		r.Problem(top.At(), `the file has no "premises"`, "premises: with name and address")
	} else {
		s.Premises = Premises{f.Need("name", "what the customer calls the place"), f.Need("address", "where it is"),
			f.Text("use"), f.Text("part")}
	}
	f = r.Fields(top.Node("customer"), "customer", "name", "contact")
	s.Customer = Person{f.Text("name"), f.Text("contact")}

	f = r.Fields(top.Node("installer"), "installer", "company", "address", "phone", "licence")
	if !top.Has("installer") {
		r.Problem(top.At(), `the file has no "installer"`, "installer: with company and, where the law asks for one, licence")
	} else {
		s.Installer = Installer{f.Need("company", "who answers for the installation"), f.Text("address"),
			f.Text("phone"), f.Text("licence")}
	}
	f = r.Fields(top.Node("declared"), "declared", "standard", "grade", "class", "departures")
	s.Declared = Declared{f.Text("standard"), f.Text("grade"), f.Text("class"), f.Text("departures")}
	f = r.Fields(top.Node("monitoring"), "monitoring", "centre", "account", "path")
	s.Monitoring = Monitoring{f.Text("centre"), f.Text("account"), f.Text("path")}

	f = r.Fields(top.Node("controller"), "controller", "description", "location", "software", "connection", "current")
	if !top.Has("controller") {
		r.Problem(top.At(), `the file has no "controller"`, "controller: with description and location")
		return
	}
	s.Controller = Controller{Description: f.Need("description", "what it is, in words"), Location: f.Text("location"),
		Software: f.Text("software"), Connection: f.Text("connection"), Current: r.quantity(f, "current", checks.Current)}
}

// quantity reads a key that may be absent; a problem if it does not parse.
func (r *reader) quantity(f strictyaml.Fields, key string, in checks.Dimension) checks.Quantity {
	text := f.Text(key)
	if text == "" {
		return checks.Quantity{}
	}
	q, err := in.Parse(text)
	if err != nil {
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s", key, reason(err)), "")
	}
	return q
}

// positive reads a quantity that must lie above zero.
func (r *reader) positive(f strictyaml.Fields, key string, in checks.Dimension) checks.Quantity {
	q := r.quantity(f, key, in)
	if q.Given() && q.SI <= 0 {
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s is not above zero", key, q.Text), "")
	}
	return q
}

// between reads a plain number between two bounds.
func (r *reader) between(f strictyaml.Fields, key string, low, high float64) checks.Quantity {
	q := r.quantity(f, key, checks.Ratio)
	if q.Given() && (q.SI < low || q.SI > high) {
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s lies outside its range", key, q.Text),
			fmt.Sprintf("from %g to %g", low, high))
	}
	return q
}

// reason is a quantity's refusal without the words that say it is one.
func reason(err error) string {
	return strings.TrimPrefix(err.Error(), checks.ErrQuantity.Error()+": ")
}

func (r *reader) zones(top strictyaml.Fields) {
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
		f := r.Fields(item, "zone", "number", "name", "area", "kind", "wiring", "end_of_line", "contact_resistor",
			"address", "detectors")
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
func unique[T comparable](r *reader, f strictyaml.Fields, key string, seen map[T]int, value T, written bool,
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

func (r *reader) zone(f strictyaml.Fields) Zone {
	z := Zone{Name: f.Need("name", "what the zone protects"), Area: f.Text("area"),
		Number:  r.number(f, "number"),
		Kind:    DetectorKind(r.oneOf(f, "kind", Kinds)),
		Wiring:  Wiring(r.oneOf(f, "wiring", Wirings)),
		Address: f.Need("address", "the name under which the controller reports this zone"),
	}
	z.EndOfLine = r.positive(f, "end_of_line", checks.Resistance)
	z.ContactResistor = r.positive(f, "contact_resistor", checks.Resistance)
	r.resistors(f, z)
	items := f.List("detectors")
	if len(items) == 0 {
		r.Problem(f.Where("detectors"), fmt.Sprintf("zone %s has no detectors", f.Text("number")),
			"detectors: with one item for each device on the zone")
	}
	for i, item := range items {
		z.Detectors = append(z.Detectors, r.detector(item, PointOf(z.Number, i)))
	}
	return z
}

// resistors holds the values written against the wiring.
func (r *reader) resistors(f strictyaml.Fields, z Zone) {
	wants := map[Wiring][]string{OneResistor: {"end_of_line"}, TwoResistors: {"end_of_line", "contact_resistor"}}[z.Wiring]
	for _, key := range []string{"end_of_line", "contact_resistor"} {
		switch wanted := slices.Contains(wants, key); {
		case wanted && !f.Has(key):
			r.Problem(f.Where("wiring"), fmt.Sprintf("wiring %q needs %q", z.Wiring, key), key+": its value, for example 4k7")
		case !wanted && f.Has(key) && z.Wiring != "":
			r.Problem(f.Node(key), fmt.Sprintf("wiring %q has no %q", z.Wiring, key),
				"remove it, or write the wiring that has it")
		}
	}
}

func (r *reader) detector(item *yaml.Node, p Point) Detector {
	what := "detector " + string(p)
	if item.Kind == yaml.ScalarNode {
		name := r.Scalar(item, what)
		if name == "" || item.Tag == "!!null" {
			r.Problem(item, what+" has no name", "which device it is, so that it can be found")
		}
		return Detector{Name: name}
	}
	f := r.Fields(item, what, "name", "location", "powered")
	d := Detector{Name: f.Need("name", "which device it is, so that it can be found"), Location: f.Text("location")}
	if f.Has("powered") {
		d.Power = r.power(f.Node("powered"), what)
	}
	return d
}

func (r *reader) power(n *yaml.Node, what string) *Power {
	f := r.Fields(n, "powered of "+what, "current", "minimum", "cable_length", "conductor")
	f.Need("current", "what it draws, for example 15 mA")
	p := &Power{Current: r.quantity(f, "current", checks.Current), Minimum: r.positive(f, "minimum", checks.Voltage),
		CableLength: r.quantity(f, "cable_length", checks.Length)}
	if text := f.Text("conductor"); text != "" {
		c, err := checks.ParseConductor(text)
		if err != nil {
			r.Problem(f.Node("conductor"), fmt.Sprintf("%q: %s", "conductor", reason(err)), "")
		}
		p.Conductor = c
	}
	return p
}

// number reads a whole number from 1; anything else is a problem and 0.
func (r *reader) number(f strictyaml.Fields, key string) int {
	hint := fmt.Sprintf("a whole number from 1 to %d", maxNumber)
	text := f.Need(key, hint)
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

func (r *reader) oneOf(f strictyaml.Fields, key string, words []string) string {
	hint := "one of: " + strings.Join(words, ", ")
	text := f.Need(key, hint)
	if text == "" || slices.Contains(words, text) {
		return text
	}
	also := ""
	if near := strictyaml.Nearest(text, words); near != "" {
		also = fmt.Sprintf("; did you mean %q?", near)
	}
	r.Problem(f.Node(key), fmt.Sprintf("%q is no %s that is known%s", text, key, also), hint)
	return ""
}

func (r *reader) outputs(top strictyaml.Fields) {
	names := map[string]int{}
	for _, item := range top.List("outputs") {
		f := r.Fields(item, "output", "name", "kind", "location", "address", "current", "cut_off", "follows")
		o := Output{Name: f.Need("name", "which device it is"), Location: f.Text("location"), Address: f.Text("address"),
			Kind:    OutputKind(r.oneOf(f, "kind", []string{string(Sounder), string(Strobe), string(Chime)})),
			Current: r.quantity(f, "current", checks.Current), CutOff: r.quantity(f, "cut_off", checks.Time)}
		unique(r, f, "name", names, o.Name, o.Name != "", "output")
		o.Follows = r.follows(f, o.Kind)
		r.site.Outputs = append(r.site.Outputs, o)
	}
}

func (r *reader) follows(f strictyaml.Fields, kind OutputKind) []int {
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

// Chemistries are those of batteries that a site file may name.
var Chemistries = []string{"lead-acid", "lithium-ion", "none"}

func (r *reader) supply(top strictyaml.Fields) {
	if !top.Has("supply") {
		r.Problem(top.At(), `the file has no "supply"`, "supply: with adapter and battery")
		return
	}
	s := &r.site.Supply
	f := r.Fields(top.Node("supply"), "supply", "adapter", "battery", "standby", "temperature", "hold", "readings_at")

	a := r.Fields(f.Node("adapter"), "adapter", "rating", "voltage", "location")
	s.Adapter = Adapter{r.positive(a, "rating", checks.Current), r.positive(a, "voltage", checks.Voltage),
		a.Text("location")}

	b := r.Fields(f.Node("battery"), "battery", "chemistry", "capacity", "hour_rating", "exponent", "voltage",
		"efficiency", "fitted", "location")
	if !f.Has("battery") {
		r.Problem(f.At(), `the supply has no "battery"`, "battery: with chemistry, or chemistry: none")
	} else {
		s.Battery = Battery{
			Chemistry:  r.oneOf(b, "chemistry", Chemistries),
			Capacity:   r.positive(b, "capacity", checks.Capacity),
			HourRating: r.positive(b, "hour_rating", checks.Time),
			Exponent:   r.between(b, "exponent", 1, 2),
			Voltage:    r.positive(b, "voltage", checks.Voltage),
			Efficiency: r.between(b, "efficiency", 0.1, 1),
			Fitted:     r.date(b, "fitted"),
			Location:   b.Text("location"),
		}
	}
	t := r.Fields(f.Node("standby"), "standby", "for", "alarm_for", "ageing", "source")
	s.Standby = Standby{r.quantity(t, "for", checks.Time), r.quantity(t, "alarm_for", checks.Time),
		r.between(t, "ageing", 1, 3), t.Text("source")}
	s.Temperature = r.quantity(f, "temperature", checks.Temperature)

	s.Hold = defaultHold
	if q := r.quantity(f, "hold", checks.Time); q.Given() {
		s.Hold = q.Duration()
	}
	s.Readings = r.readings(f, s.Hold)
}

func (r *reader) date(f strictyaml.Fields, key string) string {
	text := f.Text(key)
	if text == "" {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		r.Problem(f.Node(key), fmt.Sprintf("%q is no date", text), "year-month-day, for example 2026-11-20")
	}
	return text
}

func (r *reader) readings(f strictyaml.Fields, hold time.Duration) []time.Duration {
	items := f.List("readings_at")
	if len(items) == 0 {
		return readingsOver(hold)
	}
	var at []time.Duration
	for _, item := range items {
		q, err := checks.Time.Parse(r.Scalar(item, "a time of a reading"))
		switch {
		case err != nil:
			r.Problem(item, reason(err), "")
		case q.Duration() > hold:
			r.Problem(item,
				fmt.Sprintf("a reading at %s lies after the hold time of %s", q.Text, checks.FormatDuration(hold)),
				"lengthen hold, or read earlier")
		case len(at) > 0 && q.Duration() <= at[len(at)-1]:
			r.Problem(item, "the times of readings must rise", "")
		default:
			at = append(at, q.Duration())
		}
	}
	if len(at) > 0 && at[len(at)-1] < hold {
		at = append(at, hold)
	}
	return at
}

func (r *reader) limits(top strictyaml.Fields) {
	if !top.Has("limits") {
		return
	}
	l := &r.site.Limits
	known := []string{"restore", "source"}
	table := limitKeys(l)
	for _, row := range table {
		known = append(known, row.Key)
	}
	f := r.Fields(top.Node("limits"), "limits", known...)
	by, source := Named, f.Text("source")
	if source == "" {
		by = SiteFile
	}
	for _, row := range table {
		if q := r.quantity(f, row.Key, row.In); q.Given() {
			*row.To = Limit{q.SI, by, source}
		}
	}
	if f.Has("restore") {
		restore := r.Fields(f.Node("restore"), "restore", Kinds...)
		for _, kind := range Kinds {
			if q := r.quantity(restore, kind, checks.Time); q.Given() {
				l.Restore[DetectorKind(kind)] = Limit{q.SI, by, source}
			}
		}
	}
	for _, bound := range []struct {
		key       string
		value     float64
		low, high float64
	}{
		{"response", l.Response.SI, 0.1, 600},
		{"steady", l.Steady.SI, 0, 60},
		{"listen_for", l.ListenFor.SI, 1, 3600},
		{"cold_restart", l.ColdRestart.SI, 1, 86400},
	} {
		if bound.value < bound.low || bound.value > bound.high {
			r.Problem(f.Where(bound.key), fmt.Sprintf("%s lies outside its range", bound.key),
				fmt.Sprintf("from %g s to %g s", bound.low, bound.high))
		}
	}
	if l.ListenFor.SI < l.Response.SI {
		r.Problem(f.Where("listen_for"), "a detector would be called silent before its response limit has passed",
			"listen_for must not be shorter than response")
	}
	if l.MainsLower.SI > l.MainsUpper.SI {
		r.Problem(f.Where("mains_lower"), "mains_lower lies above mains_upper", "")
	}
}
