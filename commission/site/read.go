package site

import (
	"fmt"
	"slices"
	"strings"

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
	yamlReader, fields, err := strictyaml.Parse(name, data, false, under("")...)
	if err != nil {
		return nil, err
	}
	top := section{fields, ""}
	r := &reader{Reader: yamlReader, site: &Site{Raw: slices.Clone(data), Limits: defaultLimits()}}
	r.language(top)
	r.whoAndWhere(top)
	r.brand(top)
	r.site.CablesReused = r.reused(r.section(top, "cables"))
	r.maintenance(top)
	r.zones(top)
	r.outputs(top)
	r.supply(top)
	r.limits(top)
	r.setting(top)
	r.site.index()
	r.chains()
	r.entryDetector()
	if err := r.Err(); err != nil {
		return nil, err
	}
	return r.site, nil
}

type reader struct {
	*strictyaml.Reader
	site      *Site
	detectors int
	after     []follower
	route     *yaml.Node // the detector of the entry route
}

// section is one mapping of the file, with its path in the table of keys.
type section struct {
	strictyaml.Fields
	path string
}

// at is the path of a key of the section.
func (f section) at(key string) string {
	if f.path == "" {
		return key
	}
	return f.path + "." + key
}

// need is Text for a key that must be there.
func (f section) need(key string) string { return f.Need(key, keyAt(f.at(key)).Need) }

// section opens the mapping under a key; item opens one of a list. what is how errors
// call it.
func (r *reader) section(f section, key string) section {
	path := f.at(key)
	return section{r.Fields(f.Node(key), key, under(path)...), path}
}

func (r *reader) item(n *yaml.Node, path, what string) section {
	return section{r.Fields(n, what, under(path)...), path}
}

// needed opens a mapping that must be there.
func (r *reader) needed(f section, key, of string) section {
	if !f.Has(key) {
		r.Problem(f.At(), fmt.Sprintf("the %s has no %q", of, key), key+": "+keyAt(f.at(key)).Need)
	}
	return r.section(f, key)
}

func (r *reader) whoAndWhere(top section) {
	s := r.site
	s.Reference, s.Insurer = top.need("reference"), top.Text("insurer")
	s.Further = further(top)
	r.printed(top)
	if f := r.needed(top, "premises", "file"); top.Has("premises") {
		s.Premises = Premises{f.need("name"), f.need("address"), f.Text("use"), f.Text("part")}
	}
	f := r.section(top, "customer")
	s.Customer = Person{f.Text("name"), f.Text("contact")}
	if f := r.needed(top, "installer", "file"); top.Has("installer") {
		s.Installer = Installer{f.need("company"), f.Text("address"), f.Text("phone"), f.Text("licence")}
	}
	f = r.section(top, "declared")
	s.Declared = Declared{f.Text("standard"), f.Text("grade"), f.Text("class"), f.Text("departures")}
	f = r.section(top, "monitoring")
	s.Monitoring = Monitoring{Centre: f.Text("centre"), Account: f.Text("account"), Path: f.Text("path")}
	r.paths(f)
	if s.Monitoring.Centre == None {
		s.Monitoring.Centre, s.Monitoring.None = "", true
	}
	r.agreed(r.section(top, "agreed"))
	if f := r.needed(top, "controller", "file"); top.Has("controller") {
		s.Controller = Controller{Description: f.need("description"), Location: f.Text("location"),
			Software: f.Text("software"), Connection: f.Text("connection"), Current: r.quantity(f, "current"),
			DetectorOutput: r.quantity(f, "detector_output"), AlarmOutput: r.quantity(f, "alarm_output")}
	}
}

// quantity reads a key that may be absent; a problem if it does not parse, or lies
// outside what its row in the table of keys allows.
func (r *reader) quantity(f section, key string) checks.Quantity {
	row, text := keyAt(f.at(key)), f.Text(key)
	if row.Need != "" {
		text = f.need(key)
	}
	if text == "" {
		return checks.Quantity{}
	}
	q, err := row.In.Parse(text)
	switch {
	case err != nil:
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s", key, reason(err)), "")
	case row.Above && q.SI <= 0:
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s is not above zero", key, q.Text), "")
	case row.Up != 0 && (q.SI < row.Low || q.SI > row.Up):
		r.Problem(f.Node(key), fmt.Sprintf("%q: %s lies outside its range", key, q.Text),
			fmt.Sprintf("from %g to %g%s", row.Low, row.Up, strings.TrimSuffix(" "+row.In.SI, " 1")))
	}
	return q
}

// conductor reads a conductor that may be absent.
func (r *reader) conductor(f section) checks.Conductor {
	text := f.Text("conductor")
	if text == "" {
		return checks.Conductor{}
	}
	c, err := checks.ParseConductor(text)
	if err != nil {
		r.Problem(f.Node("conductor"), fmt.Sprintf("%q: %s", "conductor", reason(err)), "")
	}
	return c
}

// reason is a quantity's refusal without the words that say it is one.
func reason(err error) string {
	return strings.TrimPrefix(err.Error(), checks.ErrQuantity.Error()+": ")
}
