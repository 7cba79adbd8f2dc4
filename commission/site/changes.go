package site

import (
	"maps"
	"reflect"
	"slices"

	"go.yaml.in/yaml/v3"

	"loopwitness/checks"
)

// Change is something that one site file has otherwise than an earlier one: a code with its
// arguments. What the files say stands as it was typed.
type Change struct {
	What ChangeCode `json:"what"`
	// Zone, Point and Name are what it is about; which of them are set depends on What. Of
	// what was removed they are those of the earlier file, else those of the later one.
	Zone  int    `json:"zone,omitempty"`
	Point Point  `json:"point,omitempty"`
	Name  string `json:"name,omitempty"`
	// Key is the key of the file whose value changed, "" where What says all of it.
	Key string `json:"key,omitempty"`
	// Before and Now are the values as typed, "" for none.
	Before string `json:"before,omitempty"`
	Now    string `json:"now,omitempty"`
}

// ChangeCode says what changed.
type ChangeCode string

// What may change.
const (
	CompanyChanged    ChangeCode = "company" // that answers for the system
	ControllerChanged ChangeCode = "controller"
	CentreChanged     ChangeCode = "centre"

	ZoneAdded   ChangeCode = "zone-added"
	ZoneRemoved ChangeCode = "zone-removed"
	ZoneRenamed ChangeCode = "zone-renamed"
	ZoneWired   ChangeCode = "zone-wired"   // otherwise: wiring, resistors or cable
	ZoneAddress ChangeCode = "zone-address" // under which it is reported

	DetectorAdded   ChangeCode = "detector-added"
	DetectorRemoved ChangeCode = "detector-removed"
	DetectorRenamed ChangeCode = "detector-renamed"
	DetectorMoved   ChangeCode = "detector-moved" // to another place of its zone
	DetectorKindOf  ChangeCode = "detector-kind"
	DetectorPower   ChangeCode = "detector-power" // what it takes, or its cable

	OutputAdded   ChangeCode = "output-added"
	OutputRemoved ChangeCode = "output-removed"
	OutputChanged ChangeCode = "output-changed"

	BatteryRenewed ChangeCode = "battery-renewed" // of another date
	BatteryChanged ChangeCode = "battery-changed" // another one by what it is
	AdapterChanged ChangeCode = "adapter-changed"
	SupplyChanged  ChangeCode = "supply-changed" // else
	LimitChanged   ChangeCode = "limit-changed"
)

// ChangeCodes are all of them.
var ChangeCodes = []ChangeCode{CompanyChanged, ControllerChanged, CentreChanged, ZoneAdded, ZoneRemoved, ZoneRenamed,
	ZoneWired, ZoneAddress, DetectorAdded, DetectorRemoved, DetectorRenamed, DetectorMoved, DetectorKindOf, DetectorPower,
	OutputAdded, OutputRemoved, OutputChanged, BatteryRenewed, BatteryChanged, AdapterChanged, SupplyChanged, LimitChanged}

// Code names the change.
func (c Change) Code() string { return "site-change/" + string(c.What) }

// Changes are what a site file has otherwise than an earlier one, of what is fitted, of who
// answers for it and of what readings are held against: zones by their numbers, detectors by
// their names, else by their places, outputs by their names. Where things are is left out. A
// value that one of the two files does not say is no change: a file that says less, as at a
// take-over, tells of nothing that was exchanged. Limits are those that count, whoever says them.
func Changes(before, after *Site) []Change {
	c := &changes{}
	c.text(CompanyChanged, "installer.company", before.Installer.Company, after.Installer.Company)
	c.text(ControllerChanged, "controller.description", before.Controller.Description, after.Controller.Description)
	c.text(ControllerChanged, "controller.software", before.Controller.Software, after.Controller.Software)
	c.text(CentreChanged, "monitoring.centre", before.Monitoring.Centre, after.Monitoring.Centre)
	c.text(CentreChanged, "monitoring.path", before.Monitoring.Path, after.Monitoring.Path)
	for i := range after.Zones {
		z := &after.Zones[i]
		if was := before.Zone(z.Number); was != nil {
			c.zone(was, z)
		} else {
			c.add(Change{What: ZoneAdded, Zone: z.Number, Name: z.Name})
			c.detectors(&Zone{Number: z.Number}, z)
		}
	}
	for i := range before.Zones {
		if z := &before.Zones[i]; after.Zone(z.Number) == nil {
			c.add(Change{What: ZoneRemoved, Zone: z.Number, Name: z.Name})
			c.detectors(z, &Zone{Number: z.Number})
		}
	}
	c.outputs(before, after)
	c.supply(&before.Supply, &after.Supply)
	c.limits(before, after)
	return c.all
}

type changes struct{ all []Change }

func (c *changes) add(one Change) { c.all = append(c.all, one) }

// differ tells whether both files say a value, and not the same.
func differ(before, now string) bool { return before != "" && now != "" && before != now }

func (c *changes) text(what ChangeCode, key, before, now string) {
	if differ(before, now) {
		c.add(Change{What: what, Key: key, Before: before, Now: now})
	}
}

func (c *changes) zone(was, now *Zone) {
	about := Change{Zone: now.Number, Name: now.Name}
	if was.Name != now.Name {
		about.What, about.Before, about.Now = ZoneRenamed, was.Name, now.Name
		c.add(about)
	}
	wired := func(key, before, after string) {
		if differ(before, after) {
			c.add(Change{What: ZoneWired, Zone: now.Number, Name: now.Name, Key: key, Before: before, Now: after})
		}
	}
	wired("wiring", wiringText(was.Wiring), wiringText(now.Wiring))
	wired("end_of_line", was.EndOfLine.Text, now.EndOfLine.Text)
	wired("contact_resistor", was.ContactResistor.Text, now.ContactResistor.Text)
	wired("fault_resistor", was.FaultResistor.Text, now.FaultResistor.Text)
	if a, b := was.Cable, now.Cable; a != nil && b != nil && (differ(a.Type, b.Type) ||
		differ(a.Length.Text, b.Length.Text) || differ(a.Conductor.Text, b.Conductor.Text)) {
		wired("cable", cableText(a), cableText(b))
	}
	if was.Address != now.Address {
		c.add(Change{What: ZoneAddress, Zone: now.Number, Name: now.Name, Before: was.Address, Now: now.Address})
	}
	c.detectors(was, now)
}

func wiringText(w Wiring) string {
	if w == WiringUnknown {
		return ""
	}
	return string(w)
}

func cableText(c *Cable) string {
	return both(c.Type, both(c.Length.Text, c.Conductor.Text))
}

// both are two texts that stand together, or the one that is there.
func both(a, b string) string {
	if a != "" && b != "" {
		return a + ", " + b
	}
	return a + b
}

// detectors pairs those of the same name, in the order of their places, then those of the
// same place that are left: these were renamed.
func (c *changes) detectors(was, now *Zone) {
	paired := map[int]int{} // places: now, then
	taken := map[int]bool{}
	pair := func(same func(then, now int) bool) {
		for n := range now.Detectors {
			if _, has := paired[n]; has {
				continue
			}
			for t := range was.Detectors {
				if !taken[t] && same(t, n) {
					paired[n], taken[t] = t, true
					break
				}
			}
		}
	}
	sameName := func(t, n int) bool { return was.Detectors[t].Name == now.Detectors[n].Name }
	pair(func(t, n int) bool { return t == n && sameName(t, n) })
	pair(sameName)
	pair(func(t, n int) bool { return t == n })
	for n := range now.Detectors {
		d, about := &now.Detectors[n], Change{Zone: now.Number, Point: PointOf(now.Number, n), Name: now.Detectors[n].Name}
		t, has := paired[n]
		if !has {
			about.What = DetectorAdded
			c.add(about)
			continue
		}
		c.detector(about, t != n, PointOf(was.Number, t), &was.Detectors[t], d)
	}
	for t := range was.Detectors {
		if !taken[t] {
			c.add(Change{What: DetectorRemoved, Zone: was.Number, Point: PointOf(was.Number, t), Name: was.Detectors[t].Name})
		}
	}
}

func (c *changes) detector(about Change, moved bool, then Point, was, now *Detector) {
	with := func(what ChangeCode, before, after string) {
		about.What, about.Before, about.Now = what, before, after
		c.add(about)
	}
	if was.Name != now.Name {
		with(DetectorRenamed, was.Name, now.Name)
	}
	if moved {
		with(DetectorMoved, string(then), string(about.Point))
	}
	if was.Kind != now.Kind {
		with(DetectorKindOf, string(was.Kind), string(now.Kind))
	}
	if a, b := was.Power, now.Power; a != nil && b != nil && (differ(a.Current.Text, b.Current.Text) ||
		differ(a.Minimum.Text, b.Minimum.Text) || differ(a.CableLength.Text, b.CableLength.Text) ||
		differ(a.Conductor.Text, b.Conductor.Text) ||
		a.CableLength.Given() && b.CableLength.Given() && a.After != b.After) {
		with(DetectorPower, powerText(was.Power), powerText(now.Power))
	}
}

func powerText(p *Power) string {
	return both(p.Current.Text, both(p.CableLength.Text, p.Conductor.Text))
}

func (c *changes) outputs(before, after *Site) {
	for i := range after.Outputs {
		o := &after.Outputs[i]
		was := before.Output(o.Name)
		if was == nil {
			c.add(Change{What: OutputAdded, Name: o.Name, Now: string(o.Kind)})
			continue
		}
		for _, v := range []struct{ key, before, now string }{
			{"kind", string(was.Kind), string(o.Kind)},
			{"current", was.Current.Text, o.Current.Text},
			{"level", both(was.Level.Text, was.LevelAt.Text), both(o.Level.Text, o.LevelAt.Text)},
			{"frequency", was.Frequency.Text, o.Frequency.Text},
			{"cut_off", was.CutOff.Text, o.CutOff.Text},
			{"address", was.Address, o.Address},
		} {
			if differ(v.before, v.now) {
				c.add(Change{What: OutputChanged, Name: o.Name, Key: v.key, Before: v.before, Now: v.now})
			}
		}
		if was.OwnGiven && o.OwnGiven && was.OwnBattery != o.OwnBattery ||
			len(was.Follows) > 0 && len(o.Follows) > 0 && !slices.Equal(was.Follows, o.Follows) {
			c.add(Change{What: OutputChanged, Name: o.Name})
		}
	}
	for i := range before.Outputs {
		if o := &before.Outputs[i]; after.Output(o.Name) == nil {
			c.add(Change{What: OutputRemoved, Name: o.Name, Before: string(o.Kind)})
		}
	}
}

func (c *changes) supply(was, now *Supply) {
	a, b := was.Battery, now.Battery
	c.text(BatteryRenewed, "supply.battery.fitted", a.Fitted, b.Fitted)
	c.text(BatteryChanged, "supply.battery.chemistry", a.Chemistry, b.Chemistry)
	if a.FormGiven && b.FormGiven {
		c.text(BatteryChanged, "supply.battery.form", string(a.Form), string(b.Form))
	}
	quantity := func(what ChangeCode, key string, before, after checks.Quantity) {
		c.text(what, key, before.Text, after.Text)
	}
	quantity(BatteryChanged, "supply.battery.capacity", a.Capacity, b.Capacity)
	quantity(BatteryChanged, "supply.battery.energy", a.Energy, b.Energy)
	quantity(BatteryChanged, "supply.battery.voltage", a.Voltage, b.Voltage)
	quantity(BatteryChanged, "supply.battery.output", a.Output, b.Output)
	quantity(AdapterChanged, "supply.adapter.rating", was.Adapter.Rating, now.Adapter.Rating)
	if a, b := was.Adapter, now.Adapter; a.Rating.Given() != b.Rating.Given() {
		// One gives direct current, the other alternating.
		c.text(AdapterChanged, "supply.adapter.rating", a.Rating.Text+a.Apparent.Text, b.Rating.Text+b.Apparent.Text)
	}
	quantity(AdapterChanged, "supply.adapter.apparent", was.Adapter.Apparent, now.Adapter.Apparent)
	quantity(AdapterChanged, "supply.adapter.voltage", was.Adapter.Voltage, now.Adapter.Voltage)
	quantity(SupplyChanged, "supply.charger.voltage", was.Charger.Voltage, now.Charger.Voltage)
	quantity(SupplyChanged, "supply.charger.current", was.Charger.Current, now.Charger.Current)
	quantity(SupplyChanged, "supply.standby.for", was.Standby.For, now.Standby.For)
	quantity(SupplyChanged, "supply.standby.alarm_for", was.Standby.AlarmFor, now.Standby.AlarmFor)
	if was.LoadsGiven && now.LoadsGiven && !reflect.DeepEqual(was.Loads, now.Loads) {
		c.add(Change{What: SupplyChanged, Key: "supply.loads"})
	}
	if was.Hold != now.Hold {
		c.text(SupplyChanged, "supply.hold", checks.FormatDuration(was.Hold), checks.FormatDuration(now.Hold))
	}
}

// limits compares the values that count, whoever says them.
func (c *changes) limits(before, after *Site) {
	from, to := before.document(), after.document()
	add := func(key string, was, now Limit) {
		if was.SI != now.SI || (was.By == "") != (now.By == "") {
			c.add(Change{What: LimitChanged, Key: "limits." + key, Before: limitText(from, key, was),
				Now: limitText(to, key, now)})
		}
	}
	was, now := before.Limits.single(), after.Limits.single()
	for _, key := range slices.Sorted(maps.Keys(was)) {
		add(key, *was[key], *now[key])
	}
	for _, of := range []struct {
		key      string
		was, now map[DetectorKind]Limit
	}{{"response", before.Limits.Response, after.Limits.Response},
		{"listen_for", before.Limits.ListenFor, after.Limits.ListenFor},
		{"restore", before.Limits.Restore, after.Limits.Restore}} {
		for _, kind := range Kinds {
			k := DetectorKind(kind)
			add(of.key+"."+kind, of.was[k], of.now[k])
		}
	}
}

// limitText is a limit as the file has it, or the number that counts without it.
func limitText(file *yaml.Node, key string, l Limit) string {
	text, written := writtenIn(file, "limits."+key)
	switch {
	case written:
		return text
	case l.By == "":
		return ""
	}
	return checks.FormatNumber(l.SI)
}
