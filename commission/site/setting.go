package site

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/kit/strictyaml"
)

// Setting is how the system is set, entered and unset, and what has to follow an intrusion.
type Setting struct {
	Exit, Entry checks.Quantity // the longest times; not given: nothing is held against them
	// SounderWithin is the longest time from the signal of the detector that raises the alarm
	// to the sounder.
	SounderWithin checks.Quantity
	Confirmed     bool  // an alarm takes a second detector
	Route         Point // the detector that the entry route begins with, "" where the file does not say
}

// Path is a way on which alarms reach the receiving centre. Within is the longest that a
// message may take; not given: nothing is held against it.
type Path struct {
	Name   string
	Within checks.Quantity
}

// SignalledBy are the paths to the receiving centre: those that the file lists, or the one
// that it has as text, perhaps without a name; none where nobody receives alarms.
func (m Monitoring) SignalledBy() []Path {
	switch {
	case m.Centre == "":
		return nil
	case len(m.Paths) > 0:
		return m.Paths
	}
	return []Path{{Name: m.Path}}
}

// RaisesAlarm tells whether an alarm of the site does anything that can be heard of.
func (s *Site) RaisesAlarm() bool { return s.Sounder() != nil || s.Monitoring.Centre != "" }

var keysOfSetting = []Key{
	{Path: "setting", Takes: asKeys, Means: "how the system is set, entered and unset"},
	{Path: "setting.exit_time", In: checks.Time, Above: true, Example: "30 s",
		Means:   "the longest time from the beginning of setting until it is set",
		Changes: "held against the time in the trial of a whole alarm; without it a limitation"},
	{Path: "setting.entry_time", In: checks.Time, Above: true, Example: "30 s",
		Means:   "the longest time from entering until the alarm",
		Changes: "held against the time in the trial of a whole alarm; without it a limitation"},
	{Path: "setting.sounder_within", In: checks.Time, Above: true, Example: "5 s",
		Means:   "the longest time from the signal of an intrusion to the sounder",
		Changes: "held against the time in the trial of a whole alarm; without it a limitation"},
	{Path: "setting.confirmed", Words: []string{"yes", "no"}, Default: "no", Example: "yes",
		Means: "whether an alarm takes a second detector", Changes: "a second detector is operated, too"},
	{Path: "setting.entry_detector", Takes: "detector", Example: `"1.1"`,
		Means:   "the detector that the entry route begins with",
		Changes: "its signal is the beginning of the entry; without it, a key"},
}

func (r *reader) setting(top section) {
	f := r.section(top, "setting")
	r.site.Setting = Setting{Exit: r.quantity(f, "exit_time"), Entry: r.quantity(f, "entry_time"),
		SounderWithin: r.quantity(f, "sounder_within"), Confirmed: r.mayBeOneOf(f, "confirmed", "no") == "yes",
		Route: Point(f.Text("entry_detector"))}
	r.route = f.Node("entry_detector")
}

// entryDetector holds the detector of the entry route against the site, once all are known.
func (r *reader) entryDetector() {
	p := r.site.Setting.Route
	if _, _, err := r.site.Find(p); err != nil && p != "" {
		r.Problem(r.route, fmt.Sprintf("%q: %s", "entry_detector", err),
			"its zone and its place on it, for example 1.1")
	}
}

// paths reads the signalling paths.
func (r *reader) paths(f section) {
	names := map[string]int{}
	for _, item := range f.List("paths") {
		p := r.item(item, "monitoring.paths[]", "path")
		path := Path{p.need("name"), r.quantity(p, "within")}
		unique(r, p, "name", names, path.Name, path.Name != "", "path")
		r.site.Monitoring.Paths = append(r.site.Monitoring.Paths, path)
	}
}

func (w *writer) paths(m Monitoring) {
	if len(m.Paths) == 0 {
		return
	}
	if m.Centre == "" && !m.None && m.Account == "" && m.Path == "" {
		w.line("monitoring:")
	}
	w.line("  paths:")
	for _, p := range m.Paths {
		parts := []string{"name: " + strictyaml.Quote(p.Name)}
		if p.Within.Given() {
			parts = append(parts, "within: "+strictyaml.Quote(p.Within.Text))
		}
		w.line("    - {" + strings.Join(parts, ", ") + "}")
	}
}

func (w *writer) setting(s Setting) {
	confirmed := ""
	if s.Confirmed {
		confirmed = "yes"
	}
	w.section("setting", pairs{{"exit_time", s.Exit.Text}, {"entry_time", s.Entry.Text},
		{"sounder_within", s.SounderWithin.Text}, {"confirmed", confirmed}, {"entry_detector", string(s.Route)}})
}
