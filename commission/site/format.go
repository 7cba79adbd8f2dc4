package site

import (
	"bytes"
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"loopwitness/commission/kit/strictyaml"
)

// Format writes a site as a commented file that Read reads back to the same
// site. Limits are written out: with them in the file, the installer declares them.
func Format(s *Site) []byte {
	w := &writer{}
	w.line("# What is fitted at the premises. Quantities are written with their units:")
	w.line("# 18 m, 60 ft, 22 AWG, 0.22 mm2, 450 mA, 7 Ah, 4k7, 2 s, 15 min.")
	w.pair("", "reference", s.Reference)
	w.section(
		"premises",
		pairs{{"name", s.Premises.Name}, {"address", s.Premises.Address}, {"use", s.Premises.Use}, {"part", s.Premises.Part}},
	)
	w.section("customer", pairs{{"name", s.Customer.Name}, {"contact", s.Customer.Contact}})
	w.section(
		"installer",
		pairs{{"company", s.Installer.Company}, {"address", s.Installer.Address}, {"phone", s.Installer.Phone},
			{"licence", s.Installer.Licence}},
	)
	w.brand(s)
	w.comment("Printed as declared, never judged.")
	w.section(
		"declared",
		pairs{{"standard", s.Declared.Standard}, {"grade", s.Declared.Grade}, {"class", s.Declared.Class},
			{"departures", s.Declared.Departures}},
	)
	w.comment("A receiving centre, if signals reach one; mask the account.")
	centre := s.Monitoring.Centre
	if s.Monitoring.None {
		centre = None
	}
	w.section("monitoring",
		pairs{{"centre", centre}, {"account", s.Monitoring.Account}, {"path", s.Monitoring.Path}})
	w.paths(s.Monitoring)
	w.pair("", "insurer", s.Insurer)
	w.further(s.Further)
	w.language(s)
	w.printed(s.Printed)
	w.section("maintenance", pairs{{"interval", s.Maintenance.text()}, {"sample", s.Maintenance.Sample.Text},
		{"sample_source", s.Maintenance.SampleSource}})
	w.section(
		"controller",
		pairs{{"description", s.Controller.Description}, {"location", s.Controller.Location},
			{"software", s.Controller.Software}, {"connection", s.Controller.Connection},
			{"current", s.Controller.Current.Text}, {"detector_output", s.Controller.DetectorOutput.Text},
			{"alarm_output", s.Controller.AlarmOutput.Text}},
	)
	if s.CablesReused != Unsaid {
		w.comment("Whether the cables are those of an older system: they are measured before anything is connected.")
		w.section("cables", pairs{{reusedIn, string(s.CablesReused)}})
	}
	var agreed pairs
	for _, a := range s.Agreed {
		agreed = append(agreed, [2]string{a.Key, a.Text})
	}
	w.section("agreed", agreed)
	w.zones(s)
	w.outputs(s)
	w.setting(s.Setting)
	w.supply(s.Supply)
	w.limits(s)
	return w.b.Bytes()
}

type pairs [][2]string

type writer struct{ b bytes.Buffer }

func (w *writer) line(text string) { w.b.WriteString(text + "\n") }

func (w *writer) comment(text string) { w.line("\n# " + text) }

// pair writes a key and a quoted value; nothing for an empty one.
func (w *writer) pair(indent, key, value string) {
	if value != "" {
		w.line(indent + key + ": " + strictyaml.Quote(value))
	}
}

func (w *writer) section(key string, values pairs) {
	written := false
	for _, p := range values {
		if p[1] == "" {
			continue
		}
		if !written {
			w.line(key + ":")
			written = true
		}
		w.pair("  ", p[0], p[1])
	}
}

func (w *writer) zones(s *Site) {
	w.comment("Every detector of a zone is operated on its own in the walk-test.")
	w.line("# kind: " + strings.Join(Kinds, ", "))
	w.line("# wiring: " + strings.Join(Wirings, ", "))
	w.line("zones:")
	for i := range s.Zones {
		w.zone(&s.Zones[i])
	}
}

func (w *writer) zone(z *Zone) {
	w.line("  - number: " + strconv.Itoa(z.Number))
	for _, p := range (pairs{{"name", z.Name}, {"area", z.Area}, {"kind", string(z.Kind)}, {"wiring", string(z.Wiring)},
		{"end_of_line", z.EndOfLine.Text}, {"contact_resistor", z.ContactResistor.Text},
		{"fault_resistor", z.FaultResistor.Text}, {"tolerance", z.Tolerance.Text}, {"address", z.Address}}) {
		w.pair("    ", p[0], p[1])
	}
	if c := z.Cable; c != nil {
		w.line("    cable:")
		w.pair("      ", "length", c.Length.Text)
		w.pair("      ", "conductor", c.Conductor.Text)
		w.pair("      ", "type", c.Type)
		w.pair("      ", reusedIn, string(c.Reused))
	}
	w.line("    detectors:")
	for i := range z.Detectors {
		w.detector(&z.Detectors[i], z.Kind)
	}
}

func (w *writer) detector(d *Detector, kind DetectorKind) {
	w.line("      - name: " + strictyaml.Quote(d.Name))
	w.pair("        ", "location", d.Location)
	if d.Kind != kind && d.Kind != "" {
		w.pair("        ", "kind", string(d.Kind))
	}
	if d.Power == nil {
		return
	}
	w.line("        powered:")
	for _, p := range (pairs{{"current", d.Power.Current.Text}, {"minimum", d.Power.Minimum.Text},
		{"cable_length", d.Power.CableLength.Text}, {"conductor", d.Power.Conductor.Text},
		{"after", string(d.Power.After)}}) {
		w.pair("          ", p[0], p[1])
	}
}

func (w *writer) outputs(s *Site) {
	if len(s.Outputs) == 0 {
		return
	}
	w.comment("kind: sounder, strobe, chime. address: under which the controller energises it.")
	w.line("outputs:")
	for _, o := range s.Outputs {
		w.line("  - name: " + strictyaml.Quote(o.Name))
		for _, p := range (pairs{
			{"kind", string(o.Kind)},
			{"location", o.Location},
			{"address", o.Address},
			{"current", o.Current.Text},
			{"level", o.Level.Text},
			{"level_at", o.LevelAt.Text},
			{"frequency", o.Frequency.Text},
			{"cut_off", o.CutOff.Text},
		}) {
			w.pair("    ", p[0], p[1])
		}
		switch {
		case o.OwnBattery:
			w.line("    own_battery: yes")
		case o.OwnGiven:
			w.line("    own_battery: no")
		}
		if len(o.Follows) > 0 {
			w.line("    follows: [" + strings.Trim(strings.ReplaceAll(fmt.Sprint(o.Follows), " ", ", "), "[]") + "]")
		}
	}
}

func (w *writer) supply(s Supply) {
	w.line("\nsupply:")
	nested := func(key string, values pairs) {
		var inner writer
		inner.section(key, values)
		for l := range strings.Lines(inner.b.String()) {
			w.b.WriteString("  " + l)
		}
	}
	nested("adapter", pairs{{"rating", s.Adapter.Rating.Text + s.Adapter.Apparent.Text},
		{"voltage", s.Adapter.Voltage.Text}, {"location", s.Adapter.Location},
		{"fuse", s.Adapter.Fuse}, {"circuit", s.Adapter.Circuit}})
	nested("charger", pairs{{"voltage", s.Charger.Voltage.Text}, {"current", s.Charger.Current.Text}})
	w.line("  # chemistry: " + strings.Join(Chemistries, ", "))
	form, cells := "", ""
	if s.Battery.Form != Direct || s.Battery.FormGiven {
		form = string(s.Battery.Form)
	}
	if s.Battery.Cells > 0 {
		cells = strconv.Itoa(s.Battery.Cells)
	}
	nested(
		"battery",
		pairs{{"chemistry", s.Battery.Chemistry}, {"form", form}, {"cells", cells}, {"capacity", s.Battery.Capacity.Text},
			{"energy", s.Battery.Energy.Text}, {"hour_rating", s.Battery.HourRating.Text},
			{"exponent", s.Battery.Exponent.Text}, {"voltage", s.Battery.Voltage.Text},
			{"efficiency", s.Battery.Efficiency.Text}, {"output", s.Battery.Output.Text},
			{"resistance", s.Battery.Resistance.Text}, {"life", s.Battery.Life.Text},
			{"fitted", s.Battery.Fitted}, {"location", s.Battery.Location}},
	)
	nested("recharge", pairs{{"within", s.Recharge.Within.Text}, {"to", s.Recharge.To.Text},
		{"source", s.Recharge.Source}})
	w.line("  # What the installer requires of it, and by which rule.")
	nested(
		"standby",
		pairs{{"for", s.Standby.For.Text}, {"alarm_for", s.Standby.AlarmFor.Text}, {"ageing", s.Standby.Ageing.Text},
			{"source", s.Standby.Source}},
	)
	w.loads(s)
	if s.Temperature.Given() {
		w.line("  temperature: " + strictyaml.Quote(s.Temperature.Text))
	}
	if s.Hold > 0 {
		w.line(
			fmt.Sprintf("  hold: %s s  # how long mains stays removed in the test",
				strconv.FormatFloat(s.Hold.Seconds(), 'f', -1, 64)),
		)
	}
}

func (w *writer) loads(s Supply) {
	switch {
	case len(s.Loads) > 0:
		w.line("  loads:")
	case s.LoadsGiven:
		w.line("  loads: []")
	}
	for _, l := range s.Loads {
		w.line("    - name: " + strictyaml.Quote(l.Name))
		w.pair("      ", "current", l.Current.Text)
		w.pair("      ", "alarm_current", l.Alarm.Text)
	}
}

// limits writes those that somebody declared. Usual ones, of times those of the kinds that
// are fitted, stand beside them as comments: what nobody said is not the installer's own.
func (w *writer) limits(s *Site) {
	limits := s.Limits
	if len(limits.Response) == 0 {
		limits = defaultLimits()
	}
	l := &limits
	w.comment("What readings are held against. What stands here is declared by the installer; what is left out counts\n" +
		"# as common practice, and the certificate says so as a limitation. Of what you declare, take # and one\n" +
		"# space away.")
	var own, usual []string
	one := func(declared bool, text string) {
		if declared {
			own = append(own, "  "+text)
		} else {
			usual = append(usual, "#   "+text)
		}
	}
	for _, key := range under("limits") {
		if to := l.single()[key]; to != nil && to.By != "" {
			one(to.Declared(), fmt.Sprintf("%s: %s %s", key, strconv.FormatFloat(to.SI, 'f', -1, 64),
				keyAt("limits."+key).In.SI))
		}
	}
	if l.Source != "" {
		one(true, "source: "+strictyaml.Quote(l.Source))
	}
	kinds := map[DetectorKind]bool{}
	for _, z := range s.Zones {
		for i := range z.Detectors {
			kinds[cmp.Or(z.Detectors[i].Kind, z.Kind)] = true
		}
	}
	for _, each := range []struct {
		key string
		of  map[DetectorKind]Limit
	}{{"response", l.Response}, {"listen_for", l.ListenFor}, {"restore", l.Restore}} {
		var parts = map[bool][]string{}
		for _, kind := range Kinds {
			if limit := each.of[DetectorKind(kind)]; kinds[DetectorKind(kind)] {
				parts[limit.Declared()] = append(parts[limit.Declared()], fmt.Sprintf("%s: %v s", kind, limit.SI))
			}
		}
		for _, declared := range []bool{true, false} {
			if of := parts[declared]; len(of) > 0 {
				one(declared, each.key+": {"+strings.Join(of, ", ")+"}")
			}
		}
	}
	if len(own) == 0 {
		w.line("# limits:")
	} else {
		w.line("limits:")
	}
	for _, text := range append(own, usual...) {
		w.line(text)
	}
}
