package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/site"
)

// zones asks for the zones: how they are wired once, and of each its name, its kind and
// its detectors. What is left out is taken as it usually is, and shown by review.
func (q *interview) zones() {
	usual := q.wiring(nil)
	for number := 1; q.err == nil; number++ {
		id := "new/zone-" + strconv.Itoa(number)
		name := q.zoneName(id, number)
		if name == "" {
			return
		}
		z := usual
		z.Number, z.Name, z.Address = number, name, "z"+strconv.Itoa(number)
		z.Kind = site.DetectorKind(q.choice(id+"/kind", "What are its detectors?", site.Kinds...))
		z.Detectors = q.detectors(id+"/detectors", &z, true)
		q.site.Zones = append(q.site.Zones, z)
	}
}

// zoneName asks for the name of a zone, "" where the one before was the last.
func (q *interview) zoneName(id string, number int) string {
	if number == 1 {
		return q.text(id+"/name", "Zone 1: its name", "what the zone protects")
	}
	return q.optional(id+"/name", fmt.Sprintf("Zone %d: its name, nothing if there are no more zones", number), "")
}

// wiring asks how zones are wired, as a zone that has no more than that. It is offered
// first as it is at the zone before, nil for none, and then its resistors, too.
func (q *interview) wiring(before *site.Zone) site.Zone {
	words := slices.Clone(site.Wirings)
	if before != nil {
		words = append([]string{string(before.Wiring)},
			slices.DeleteFunc(words, func(w string) bool { return w == string(before.Wiring) })...)
	}
	return q.wired(q.prefix+"/wiring", "How are the zones wired, as a rule? One that is not can be changed in the end",
		words, before)
}

// wired asks how a zone is wired, and for the resistors that it has so.
func (q *interview) wired(id, text string, words []string, before *site.Zone) site.Zone {
	z := site.Zone{Wiring: site.Wiring(q.choice(id, text, words...))}
	if before != nil && before.Wiring == z.Wiring {
		z.EndOfLine, z.ContactResistor, z.FaultResistor = before.EndOfLine, before.ContactResistor, before.FaultResistor
		return z
	}
	for _, key := range z.Wiring.Resistors() {
		to, what := &z.EndOfLine, "End-of-line resistor"
		switch key {
		case "contact_resistor":
			to, what = &z.ContactResistor, "Resistor at the contact"
		case "fault_resistor":
			to, what = &z.FaultResistor, "Resistor across the fault or tamper contact"
		}
		*to = q.quantity(id+"/"+strings.ReplaceAll(key, "_", "-"), what, checks.Resistance, false)
	}
	return z
}

// mostOnAZone bounds the detectors of a zone that are given by their number.
const mostOnAZone = 99

// detectors asks for those of a zone: how many, or which. One may be left out that has the
// name of its zone.
func (q *interview) detectors(id string, z *site.Zone, mayBeOne bool) []site.Detector {
	question := helped(id, "Its detectors: how many, or their names, separated by commas",
		"every window of a zone is a detector of its own; a place stands in brackets: Left (north wall)", ask.Line{})
	if question.Optional = mayBeOne; mayBeOne {
		question.Help = ask.Verbatim("every window of a zone is a detector of its own; nothing for one; a place stands in " +
			"brackets: Left (north wall)")
	}
	text := q.valid(question, func(text string) error {
		if n, err := strconv.Atoi(text); err == nil && (n < 1 || n > mostOnAZone) {
			return fmt.Errorf("a zone has from 1 to %d detectors", mostOnAZone)
		}
		if text != "" && len(namedDetectors(text)) == 0 {
			return errors.New("no name stands there")
		}
		return nil
	})
	all := namedDetectors(text)
	if n, err := strconv.Atoi(text); err == nil {
		all = numberedDetectors(z.Name, n)
	}
	if len(all) == 0 {
		all = []site.Detector{{Name: z.Name}}
	}
	for i := range all {
		all[i].Kind, all[i].Power = z.Kind, commonPower(z.Detectors)
		for _, was := range z.Detectors { // what is known of it stays
			if was.Name == all[i].Name {
				all[i].Kind, all[i].Power = was.Kind, was.Power
			}
		}
	}
	return all
}

// numberedDetectors are some that have the name of their zone.
func numberedDetectors(zone string, n int) []site.Detector {
	if n == 1 {
		return nil
	}
	var all []site.Detector
	for i := range n {
		all = append(all, site.Detector{Name: zone + " " + strconv.Itoa(i+1)})
	}
	return all
}

// commonPower is what all the detectors of a zone take alike, nil where they do not.
func commonPower(all []site.Detector) *site.Power {
	if len(all) == 0 || all[0].Power == nil {
		return nil
	}
	common := *all[0].Power
	for _, d := range all {
		if d.Power == nil || *d.Power != common {
			return nil
		}
	}
	return &common
}

// namedDetectors are detectors in a line, each with its place in brackets, if that is given.
func namedDetectors(text string) []site.Detector {
	var all []site.Detector
	for _, name := range strings.Split(text, ",") {
		d := site.Detector{Name: strings.TrimSpace(name)}
		if before, place, has := strings.Cut(d.Name, "("); has && strings.HasSuffix(place, ")") {
			d.Name, d.Location = strings.TrimSpace(before), strings.TrimSpace(strings.TrimSuffix(place, ")"))
		}
		if d.Name != "" {
			all = append(all, d)
		}
	}
	return all
}

// valid asks until an answer passes a check; why one does not stands beside the question
// then.
func (q *interview) valid(question ask.Question, check func(string) error) string {
	for {
		text := q.ask(question)
		if q.err != nil {
			return ""
		}
		err := check(text)
		if err == nil {
			return text
		}
		question.Help = ask.Verbatim(err.Error())
	}
}

// powers asks what the detectors draw of each kind that always takes power: of all of one
// kind alike, and of none that has a current already.
func (q *interview) powers(further map[int][]site.Detector) {
	for _, kind := range site.Kinds {
		var of []*site.Detector
		collect := func(all []site.Detector) {
			for i := range all {
				if d := &all[i]; string(d.Kind) == kind && d.Kind.Trait().Powered && d.Power == nil {
					of = append(of, d)
				}
			}
		}
		for i := range q.site.Zones {
			collect(q.site.Zones[i].Detectors)
		}
		for number := range further {
			collect(further[number])
		}
		if len(of) == 0 {
			continue
		}
		current := q.quantity(q.prefix+"/current-"+kind, "Current of each detector, if known: "+kind, checks.Current, true)
		for _, d := range of {
			if current.Given() {
				d.Power = &site.Power{Current: current}
			}
		}
	}
}

// review shows the zones as they would be written, and lets them be changed. It tells
// whether to walk on through the site instead, where that is offered.
func (q *interview) review(about []ask.Phrase, walk bool) (on bool) {
	for n := 1; q.err == nil; n++ {
		id := fmt.Sprintf("%s/review-%d", q.prefix, n)
		options := []ask.Option{{Word: "write", Label: ask.Verbatim("it is right so")}}
		if len(q.site.Zones) > 0 {
			options = append(options, ask.Option{Word: "change", Label: ask.Verbatim("change a zone")})
		}
		if walk {
			options = append(options, ask.Option{Word: "walk", Label: ask.Verbatim("open more things")})
		}
		options = append(options, ask.Option{Word: wayBack, Label: ask.Verbatim("back to the question before")})
		question := helped(id, "This is what is taken of the zones", "", ask.OneOf{Options: options})
		question.About = append(zoneLines(q.site.Zones), about...)
		switch q.ask(question) {
		case "change":
			q.change(id)
		case "walk":
			return true
		default:
			return false
		}
	}
	return false
}

// zoneLines are the zones, with all that was taken of them.
func zoneLines(zones []site.Zone) []ask.Phrase {
	var lines []ask.Phrase
	for i := range zones {
		z := &zones[i]
		text := fmt.Sprintf("%d %s: %s, %s", z.Number, typedName(z.Name), z.Kind, z.Wiring)
		for _, r := range []checks.Quantity{z.EndOfLine, z.ContactResistor, z.FaultResistor} {
			if r.Given() {
				text += " " + r.Text
			}
		}
		lines = append(lines, ask.Verbatim(text+fmt.Sprintf(", address %s: %s", typedName(z.Address),
			detectorNames(z.Detectors, z.Kind))))
	}
	return lines
}

// detectorNames are the detectors of a zone in a line.
func detectorNames(all []site.Detector, of site.DetectorKind) string {
	var parts []string
	for _, d := range all {
		text := typedName(d.Name)
		if d.Location != "" {
			text += " (" + typedName(d.Location) + ")"
		}
		if d.Kind != of {
			text += ", " + string(d.Kind)
		}
		if d.Power != nil {
			text += ", " + d.Power.Current.Text
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}

// change asks for a zone, for one thing of it, and for what that is to be.
func (q *interview) change(id string) {
	var numbers []string
	for _, z := range q.site.Zones {
		numbers = append(numbers, strconv.Itoa(z.Number))
	}
	number := numbers[0]
	if len(numbers) > 1 {
		number = q.ask(helped(id+"/zone", "Which zone, by its number?", "", ask.Names{Of: numbers}))
	}
	at := slices.Index(numbers, number)
	if q.err != nil || at < 0 {
		return
	}
	z := &q.site.Zones[at]
	what := q.choice(id+"/what", "What of zone "+number+"?", "name", "number", "kind", "wiring", "address", "detectors",
		"power", "leave it out")
	if q.err != nil {
		return
	}
	switch what {
	case "name":
		q.rename(id, z)
	case "number":
		q.renumber(id, z)
	case "kind":
		q.otherKind(id, z)
	case "wiring":
		w := q.wired(id+"/wiring", "How is it wired?", site.Wirings, nil)
		z.Wiring, z.EndOfLine, z.ContactResistor, z.FaultResistor = w.Wiring, w.EndOfLine, w.ContactResistor,
			w.FaultResistor
	case "address":
		q.readdress(id, z)
	case "detectors":
		z.Detectors = q.detectors(id+"/detectors", z, false)
	case "power":
		q.power(id, z)
	case "leave it out":
		q.followed(z.Number, 0)
		q.site.Zones = slices.Delete(q.site.Zones, at, at+1)
	}
}

// rename gives a zone another name, and its only detector, where that has the name of the
// zone.
func (q *interview) rename(id string, z *site.Zone) {
	name := q.text(id+"/name", "Its name", "")
	if len(z.Detectors) == 1 && z.Detectors[0].Name == z.Name {
		z.Detectors[0].Name = name
	}
	z.Name = name
}

func (q *interview) renumber(id string, z *site.Zone) {
	const highest = 9999
	text := q.valid(helped(id+"/number", "Its number", "", ask.Line{}), func(text string) error {
		n, err := strconv.Atoi(text)
		switch other := q.site.Zone(n); {
		case err != nil || n < 1 || n > highest:
			return fmt.Errorf("a whole number from 1 to %d", highest)
		case other != nil && other != z, q.taken.Zone(n) != nil:
			return fmt.Errorf("zone %d is another one", n)
		}
		return nil
	})
	if n, err := strconv.Atoi(text); err == nil {
		q.followed(z.Number, n)
		z.Number = n
	}
}

// followed lets chimes follow a zone by its new number, 0 for no longer.
func (q *interview) followed(was, now int) {
	for i := range q.site.Outputs {
		o := &q.site.Outputs[i]
		o.Follows = slices.DeleteFunc(slices.Clone(o.Follows), func(n int) bool { return n == was && now == 0 })
		if at := slices.Index(o.Follows, was); at >= 0 {
			o.Follows[at] = now
		}
	}
}

func (q *interview) readdress(id string, z *site.Zone) {
	text := q.valid(helped(id+"/address", "Address under which the controller reports it", "", ask.Line{}),
		func(text string) error {
			if other := cmp.Or(q.site.ZoneAt(text), q.taken.ZoneAt(text)); other != nil && other != z {
				return fmt.Errorf("that is the address of zone %d", other.Number)
			}
			return nil
		})
	if q.err == nil {
		z.Address = text
	}
}

func (q *interview) otherKind(id string, z *site.Zone) {
	kind := site.DetectorKind(q.choice(id+"/kind", "What are its detectors?", site.Kinds...))
	for i := range z.Detectors {
		if d := &z.Detectors[i]; d.Kind == z.Kind {
			d.Kind = kind
		}
	}
	z.Kind = kind
}

func (q *interview) power(id string, z *site.Zone) {
	p := site.Power{Current: q.quantity(id+"/current", "Current of each of its detectors, nothing where they take none",
		checks.Current, true)}
	if p.Current.Given() {
		p.Minimum = q.quantity(id+"/minimum", "Lowest supply voltage they work at", checks.Voltage, true)
		p.CableLength = q.quantity(id+"/cable-length", "Length of the cable of each", checks.Length, true)
		p.Conductor.Text = q.maybe(id+"/conductor", "Conductor of that cable", "", ask.Conductor{})
	}
	for i := range z.Detectors {
		z.Detectors[i].Power = nil
		if p.Current.Given() {
			each := p
			z.Detectors[i].Power = &each
		}
	}
}
