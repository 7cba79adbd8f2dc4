package listen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"loopwitness/checks"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/site"
)

func (r *reader) simulated(f section) simulated.Options {
	var o simulated.Options
	if text := f.Text("seed"); text != "" {
		seed, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			r.Problem(f.Node("seed"), "seed is no whole number", "")
		}
		o.Seed = seed
	}
	for _, item := range f.List("faults") {
		o.Faults = append(o.Faults, r.fault(item))
	}
	o.Delays, o.Outputs = r.delays(f.Node("delays")), r.simulatedOutputs(f.Node("outputs"))
	o.Supply.Charger = r.word(f.Node("charger"), "charger", simulated.ChargerWords)
	if n := f.Node("charger"); n != nil && o.Supply.Charger == "" {
		o.Supply.Charge = r.charger(n)
	}
	o.Supply.Battery = r.word(f.Node("battery"), "battery", simulated.BatteryWords)
	if n := f.Node("battery"); n != nil && o.Supply.Battery == "" {
		o.Supply.Pack, o.Supply.Empty = r.pack(n)
	}
	o.Told = r.faultsTold(f)
	return o
}

// word is a state in a word, "" where the node holds keys instead.
func (r *reader) word(n *yaml.Node, what string, known []string) simulated.Word {
	if n == nil || n.Kind != yaml.ScalarNode {
		return ""
	}
	text := r.Scalar(n, what)
	if !slices.Contains(known, text) {
		r.Problem(n, "that state of the "+what+" is not known", "one of: "+strings.Join(known, ", ")+", or numbers")
		return simulated.Good
	}
	return simulated.Word(text)
}

func (r *reader) charger(n *yaml.Node) simulated.Charger {
	f := r.item(n, "simulated.charger", "charger")
	return simulated.Charger{Voltage: r.above(f, "voltage", checks.Voltage),
		Current: r.above(f, "current", checks.Current)}
}

func (r *reader) pack(n *yaml.Node) (b simulated.Battery, empty bool) {
	f := r.item(n, "simulated.battery", "battery")
	b = simulated.Battery{Chemistry: f.Text("chemistry"), Cells: r.count(f, "cells"),
		Capacity: r.above(f, "capacity", checks.Capacity), Resistance: r.above(f, "resistance", checks.Resistance),
		Output: r.above(f, "output", checks.Voltage)}
	if b.Chemistry != "" && !slices.Contains(simulated.Chemistries, b.Chemistry) {
		r.Problem(f.Node("chemistry"), "that chemistry is not known", "one of: "+strings.Join(simulated.Chemistries, ", "))
	}
	charge := r.quantity(f.Node("charge"), "charge", checks.Ratio)
	if charge.SI > 1 {
		r.Problem(f.Node("charge"), "a battery is never charged above 100 %", "")
	}
	b.Charge = charge.SI
	return b, charge.Given() && charge.SI == 0
}

// quantity reads a value; absent it is the zero one.
func (r *reader) quantity(n *yaml.Node, key string, in checks.Dimension) checks.Quantity {
	if n == nil {
		return checks.Quantity{}
	}
	q, err := in.Parse(r.Scalar(n, key))
	if err != nil {
		r.Problem(n, key+" is not "+in.Name, "for example "+in.Examples)
	}
	return q
}

// above reads a value in its SI unit that must lie above zero; absent it is zero.
func (r *reader) above(f section, key string, in checks.Dimension) float64 {
	q := r.quantity(f.Node(key), key, in)
	if q.Given() && q.SI <= 0 {
		r.Problem(f.Node(key), key+" is not above zero", "")
	}
	return q.SI
}

// count reads a whole number from 1; absent it is zero.
func (r *reader) count(f section, key string) int {
	text := f.Text(key)
	n, err := strconv.Atoi(text)
	if text != "" && (err != nil || n < 1) {
		r.Problem(f.Node(key), key+" is no whole number from 1", "")
	}
	return n
}

// delays reads how long what stands under an address takes to report.
func (r *reader) delays(n *yaml.Node) map[string]time.Duration {
	if n == nil {
		return nil
	}
	var addresses []string
	for i := range r.site.Zones {
		addresses = append(addresses, r.site.Zones[i].Address)
	}
	f := r.Fields(n, "delays", addresses...)
	delays := map[string]time.Duration{}
	for _, a := range addresses {
		if q := r.quantity(f.Node(a), "the delay", checks.Time); q.Given() {
			delays[a] = q.Duration()
		}
	}
	return delays
}

// simulatedOutputs reads what is wrong with outputs, by name.
func (r *reader) simulatedOutputs(n *yaml.Node) map[string]simulated.OutputFault {
	if n == nil {
		return nil
	}
	var names []string
	for i := range r.site.Outputs {
		names = append(names, r.site.Outputs[i].Name)
	}
	f := r.Fields(n, "outputs", names...)
	outputs := map[string]simulated.OutputFault{}
	for _, name := range names {
		if !f.Has(name) {
			continue
		}
		o := r.item(f.Node(name), "simulated.outputs.NAME", "output")
		if text := o.Text("silent"); text != "" && text != "yes" && text != "no" {
			r.Problem(o.Node("silent"), "silent is neither yes nor no", "silent: yes")
		}
		cutOff := checks.Quantity{SI: r.above(o, "cut_off", checks.Time)}
		outputs[name] = simulated.OutputFault{Silent: o.Text("silent") == "yes", CutOff: cutOff.Duration()}
	}
	return outputs
}

func (r *reader) fault(item *yaml.Node) simulated.Fault {
	f := r.item(item, "simulated.faults[]", "fault")
	fault := simulated.Fault{
		Kind: simulated.FaultKind(f.Need("fault", "one of: "+strings.Join(simulated.FaultKinds, ", ")))}
	if fault.Kind.OfController() {
		for _, key := range []string{"at", "with", "trials"} {
			if f.Has(key) {
				r.Problem(f.Node(key), fmt.Sprintf("%q is a fault of the controller and has no %q", fault.Kind, key), "remove it")
			}
		}
		return fault
	}
	fault.At = site.Point(f.need("at"))
	if _, _, err := r.site.Find(fault.At); err != nil && fault.At != "" {
		r.Problem(f.Node("at"), err.Error(), "a detector of the site file, for example 3.2")
	}
	if fault.Kind != "" && !slices.Contains(simulated.FaultKinds, string(fault.Kind)) {
		r.Problem(f.Node("fault"), "that fault is not known", "one of: "+strings.Join(simulated.FaultKinds, ", "))
	}
	fault.With, fault.Trials = r.count(f, "with"), r.count(f, "trials")
	if fault.Kind == simulated.Swapped && r.site.Zone(fault.With) == nil {
		r.Problem(f.Where("with"), "a swapped zone needs the zone that answers instead", "with: the number of a zone")
	}
	return fault
}
