package site

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// Format writes a site as a commented file that Read reads back to the same
// site. Limits are left to their defaults and shown as comments.
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
	w.comment("Printed as declared, never judged.")
	w.section(
		"declared",
		pairs{{"standard", s.Declared.Standard}, {"grade", s.Declared.Grade}, {"class", s.Declared.Class},
			{"departures", s.Declared.Departures}},
	)
	w.comment("A receiving centre, if signals reach one; mask the account.")
	w.section("monitoring",
		pairs{{"centre", s.Monitoring.Centre}, {"account", s.Monitoring.Account}, {"path", s.Monitoring.Path}})
	w.pair("", "insurer", s.Insurer)
	w.section(
		"controller",
		pairs{{"description", s.Controller.Description}, {"location", s.Controller.Location},
			{"software", s.Controller.Software}, {"connection", s.Controller.Connection},
			{"current", s.Controller.Current.Text}},
	)
	w.zones(s)
	w.outputs(s)
	w.supply(s.Supply)
	w.limits()
	return w.b.Bytes()
}

type pairs [][2]string

type writer struct{ b bytes.Buffer }

func (w *writer) line(text string) { w.b.WriteString(text + "\n") }

func (w *writer) comment(text string) { w.line("\n# " + text) }

// pair writes a key and a quoted value; nothing for an empty one.
func (w *writer) pair(indent, key, value string) {
	if value != "" {
		w.line(indent + key + ": " + quote(value))
	}
}

// quote writes a text in double quotes: what JSON escapes, YAML reads alike.
func quote(s string) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(s) // a string always encodes
	return strings.TrimSpace(b.String())
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
	for _, z := range s.Zones {
		w.line("  - number: " + strconv.Itoa(z.Number))
		for _, p := range (pairs{{"name", z.Name}, {"area", z.Area}, {"kind", string(z.Kind)}, {"wiring", string(z.Wiring)},
			{"end_of_line", z.EndOfLine.Text}, {"contact_resistor", z.ContactResistor.Text}, {"address", z.Address}}) {
			w.pair("    ", p[0], p[1])
		}
		w.line("    detectors:")
		for _, d := range z.Detectors {
			w.line("      - name: " + quote(d.Name))
			w.pair("        ", "location", d.Location)
			if d.Power == nil {
				continue
			}
			w.line("        powered:")
			for _, p := range (pairs{{"current", d.Power.Current.Text}, {"minimum", d.Power.Minimum.Text},
				{"cable_length", d.Power.CableLength.Text}, {"conductor", d.Power.Conductor.Text}}) {
				w.pair("          ", p[0], p[1])
			}
		}
	}
}

func (w *writer) outputs(s *Site) {
	if len(s.Outputs) == 0 {
		return
	}
	w.comment("kind: sounder, strobe, chime. address: under which the controller energises it.")
	w.line("outputs:")
	for _, o := range s.Outputs {
		w.line("  - name: " + quote(o.Name))
		for _, p := range (pairs{
			{"kind", string(o.Kind)},
			{"location", o.Location},
			{"address", o.Address},
			{"current", o.Current.Text},
			{"cut_off", o.CutOff.Text},
		}) {
			w.pair("    ", p[0], p[1])
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
	nested("adapter",
		pairs{{"rating", s.Adapter.Rating.Text}, {"voltage", s.Adapter.Voltage.Text}, {"location", s.Adapter.Location}})
	w.line("  # chemistry: lead-acid, lithium-ion, none")
	nested(
		"battery",
		pairs{{"chemistry", s.Battery.Chemistry}, {"capacity", s.Battery.Capacity.Text},
			{"hour_rating", s.Battery.HourRating.Text}, {"exponent", s.Battery.Exponent.Text},
			{"voltage", s.Battery.Voltage.Text}, {"efficiency", s.Battery.Efficiency.Text},
			{"fitted", s.Battery.Fitted}, {"location", s.Battery.Location}},
	)
	w.line("  # What the installer requires of it, and by which rule.")
	nested(
		"standby",
		pairs{{"for", s.Standby.For.Text}, {"alarm_for", s.Standby.AlarmFor.Text}, {"ageing", s.Standby.Ageing.Text},
			{"source", s.Standby.Source}},
	)
	if s.Temperature.Given() {
		w.line("  temperature: " + quote(s.Temperature.Text))
	}
	if s.Hold > 0 {
		w.line(
			fmt.Sprintf("  hold: %s s  # how long mains stays removed in the test",
				strconv.FormatFloat(s.Hold.Seconds(), 'f', -1, 64)),
		)
	}
}

func (w *writer) limits() {
	l := defaultLimits()
	w.comment("Limits that readings are held against; these are the defaults (common practice).")
	w.line("# limits:")
	w.line("#   source: the document that sets them")
	for _, row := range limitKeys(&l) {
		w.line(fmt.Sprintf("#   %s: %v %s", row.Key, row.To.SI, row.In.SI))
	}
	w.line("#   restore: {door: 5 s, motion: 30 s}")
}
