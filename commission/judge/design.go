package judge

import (
	"fmt"
	"math"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// Computed is one computation with its inputs: what a certificate prints of it.
type Computed struct {
	About   string // what it concerns
	Step    string // of the visit whose readings it rests on, "" for the site file
	Inputs  string
	Formula string
	Result  string
	Limit   string         // what it was held against, and who says so; "" for none
	Verdict checks.Verdict // "" where nothing was held against a limit
	Missing string         // what is missing where it could not be computed
	Change  string         // what would put it right
}

// The assumptions where the site file says nothing: common practice, no source.
const (
	usualCelsius   = 20.0
	usualAgeing    = 1.25 // renewed at 80 % of its capacity, as in IEEE 485
	usualRateHour  = 20.0
	usualPackVolt  = 11.1 // three lithium-ion cells in series
	usualLoadVolt  = 12.0
	usualConverter = 0.9
)

func orElse(q interface {
	Given() bool
}, value, otherwise float64) float64 {
	if q.Given() {
		return value
	}
	return otherwise
}

func celsiusOf(s *site.Site) float64 {
	return orElse(s.Supply.Temperature, s.Supply.Temperature.SI, usualCelsius)
}

// Design computes what a site file allows before anything is tried: current
// budget, standby, and the voltage at every powered detector.
func Design(s *site.Site) []Computed {
	loads, unknown := Loads(s)
	out := []Computed{budgetOf(s, loads, unknown), standbyOf(s, loads, unknown)}
	return append(out, dropsOf(s)...)
}

// Loads are what each part of the system draws, and the parts whose current the
// site file does not give.
func Loads(s *site.Site) (loads []checks.Load, unknown []string) {
	if s.Controller.Current.Given() {
		loads = append(loads, checks.Load{Name: "controller", Standby: s.Controller.Current.SI, Alarm: s.Controller.Current.SI})
	} else {
		unknown = append(unknown, "controller")
	}
	s.Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			loads = append(loads, checks.Load{Name: string(p) + " " + d.Name, Standby: d.Power.Current.SI, Alarm: d.Power.Current.SI})
		}
	})
	for _, o := range s.Outputs {
		if !o.Current.Given() {
			unknown = append(unknown, o.Name)
			continue
		}
		loads = append(loads, checks.Load{Name: o.Name, Alarm: o.Current.SI})
	}
	return loads, unknown
}

func milli(ampere float64) string { return fmt.Sprintf("%.0f mA", ampere*1000) }

func missing(c Computed, what ...string) Computed {
	c.Missing = "not computed, the site file does not give: " + strings.Join(what, ", ")
	return c
}

func budgetOf(s *site.Site, loads []checks.Load, unknown []string) Computed {
	c := Computed{About: "Adapter", Formula: "headroom = rating − larger of (standby + recharge) and alarm load; recharge = C/10 per hour, common practice"}
	a, b := s.Supply.Adapter.Rating, s.Supply.Battery
	lacks := lacking(map[string]bool{"rating of the adapter": a.Given(), "capacity of the battery": b.Capacity.Given() || b.Chemistry == "none"})
	if len(unknown) > 0 {
		lacks = append(lacks, "current of "+strings.Join(unknown, " and "))
	}
	if len(lacks) > 0 {
		return missing(c, lacks...)
	}
	budget, err := checks.AddUp(loads, a.SI, b.Capacity.SI)
	if err != nil {
		return missing(c, err.Error())
	}
	headroom := math.Min(budget.AdapterHeadroom, budget.AlarmHeadroom)
	c.Inputs = fmt.Sprintf("standby %s, alarm %s, recharge %s, adapter %s", milli(budget.Standby), milli(budget.Alarm), milli(budget.Recharge), a.Text)
	c.Result, c.Limit = milli(headroom)+" of headroom", "not below 0"
	c.Verdict = checks.Pass
	if headroom < 0 {
		c.Verdict, c.Change = checks.Fail, fmt.Sprintf("fit an adapter of at least %.1f A", math.Ceil((a.SI-headroom)*10)/10)
	}
	return c
}

// lacking lists, in order, what is not there.
func lacking(there map[string]bool) []string {
	var out []string
	for _, what := range []string{"rating of the adapter", "capacity of the battery", "required standby", "alarm time after it (alarm_for)"} {
		if is, asked := there[what]; asked && !is {
			out = append(out, what)
		}
	}
	return out
}

func standbyOf(s *site.Site, loads []checks.Load, unknown []string) Computed {
	b := s.Supply.Battery
	c := Computed{About: "Standby battery", Formula: "C = Σ I·t × ageing × temperature, and by Peukert's law at its rate; the larger counts"}
	if b.Chemistry == "none" {
		c.Missing = "no standby battery is fitted"
		return c
	}
	lacks := lacking(map[string]bool{"capacity of the battery": b.Capacity.Given(), "required standby": s.Supply.Standby.For.Given(),
		"alarm time after it (alarm_for)": s.Supply.Standby.AlarmFor.Given() || len(s.Outputs) == 0})
	if len(unknown) > 0 {
		lacks = append(lacks, "current of "+strings.Join(unknown, " and "))
	}
	if len(lacks) > 0 {
		return missing(c, lacks...)
	}
	required, autonomy, inputs, err := requirement(s, loads)
	if err != nil {
		return missing(c, err.Error())
	}
	c.Inputs = fmt.Sprintf("%s; new and full it carries the standby load for %.1f h", inputs, autonomy)
	c.Result = fmt.Sprintf("%.2f Ah required, %s fitted", required, b.Capacity.Text)
	c.Limit = "the capacity fitted"
	if source := s.Supply.Standby.Source; source != "" {
		c.Limit += "; duration by: " + source
	}
	c.Verdict = checks.Pass
	declared, err := declaredOnly(s, loads)
	switch {
	case err != nil:
		return missing(c, err.Error())
	case b.Capacity.SI < required && b.Capacity.SI >= declared:
		c.Verdict = checks.Undecided
		c.Change = fmt.Sprintf("by what is declared alone %.2f Ah suffice; declare ageing and temperature, or fit at least %.1f Ah", declared, math.Ceil(required*10)/10)
	case b.Capacity.SI < required:
		c.Verdict, c.Change = checks.Fail, fmt.Sprintf("fit a battery of at least %.1f Ah, or draw less", math.Ceil(required*10)/10)
	}
	return c
}

// declaredOnly is the capacity required without the factors that nobody has
// declared: a verdict must not rest on our assumptions.
func declaredOnly(s *site.Site, loads []checks.Load) (float64, error) {
	bare := *s
	if !bare.Supply.Standby.Ageing.Given() {
		bare.Supply.Standby.Ageing = checks.Quantity{SI: 1, Text: "1"}
	}
	if !bare.Supply.Temperature.Given() {
		bare.Supply.Temperature = checks.Quantity{SI: 25, Text: "25 C"} // factor 1
	}
	if !bare.Supply.Battery.Exponent.Given() {
		bare.Supply.Battery.Exponent = checks.Quantity{SI: 1, Text: "1"}
	}
	required, _, _, err := requirement(&bare, loads)
	return required, err
}

// assumed marks a value that the site file does not give.
func assumed(q checks.Quantity) string {
	if q.Given() {
		return ""
	}
	return " assumed"
}

// requirement is the capacity in Ah that standby and alarm require, and the
// hours that the fitted battery carries the standby load when new.
func requirement(s *site.Site, loads []checks.Load) (required, autonomy float64, inputs string, err error) {
	b := s.Supply.Battery
	chemistry := checks.Chemistry(b.Chemistry)
	battery := checks.Battery{AmpereHour: b.Capacity.SI, RateHour: orElse(b.HourRating, b.HourRating.SI/3600, usualRateHour),
		Exponent: orElse(b.Exponent, b.Exponent.SI, chemistry.UsualExponent())}
	budget, err := checks.AddUp(loads, 0, battery.AmpereHour)
	if err != nil {
		return 0, 0, "", err
	}
	factors := checks.Factors{Ageing: orElse(s.Supply.Standby.Ageing, s.Supply.Standby.Ageing.SI, usualAgeing), Temperature: 1}
	if chemistry == checks.LeadAcid {
		if factors.Temperature, err = checks.ColdFactor(celsiusOf(s)); err != nil {
			return 0, 0, "", err
		}
	}
	standby := s.Supply.Standby
	draws := []checks.Draw{{Ampere: budget.Standby, Hour: standby.For.SI / 3600}, {Ampere: budget.Alarm, Hour: standby.AlarmFor.SI / 3600}}
	through := ""
	if chemistry == checks.LithiumIon {
		if through, err = throughConverter(s, draws); err != nil {
			return 0, 0, "", err
		}
	}
	plain, err := checks.RequiredCapacity(draws, factors)
	if err != nil {
		return 0, 0, "", err
	}
	atRate, err := checks.RequiredAtRate(draws, battery.RateHour, battery.Exponent, factors)
	if err != nil {
		return 0, 0, "", err
	}
	autonomy, err = battery.Autonomy(draws[0].Ampere)
	inputs = fmt.Sprintf("%s for %s, then %s for %s; ageing %g%s, temperature %g (%g °C%s), exponent %g%s, rate %g h%s", milli(budget.Standby), standby.For.Text,
		milli(budget.Alarm), orDash(standby.AlarmFor.Text), factors.Ageing, assumed(standby.Ageing), math.Round(factors.Temperature*1000)/1000, celsiusOf(s), assumed(s.Supply.Temperature),
		battery.Exponent, assumed(b.Exponent), battery.RateHour, assumed(b.HourRating)) + through
	return math.Max(plain, atRate), autonomy, inputs, err
}

// throughConverter turns the currents of the load into those that a lithium-ion
// pack gives through its converter, and says how.
func throughConverter(s *site.Site, draws []checks.Draw) (string, error) {
	b, a := s.Supply.Battery, s.Supply.Adapter
	load, pack := orElse(a.Voltage, a.Voltage.SI, usualLoadVolt), orElse(b.Voltage, b.Voltage.SI, usualPackVolt)
	efficiency := orElse(b.Efficiency, b.Efficiency.SI, usualConverter)
	for i, d := range draws {
		ampere, err := checks.ThroughConverter(d.Ampere, load, pack, efficiency)
		if err != nil {
			return "", err
		}
		draws[i].Ampere = ampere
	}
	return fmt.Sprintf("; pack of %g V through a converter to %g V, efficiency %g", pack, load, efficiency), nil
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

// dropsOf is the voltage at every powered detector on standby, each on a cable
// of its own.
func dropsOf(s *site.Site) []Computed {
	var out []Computed
	s.Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			out = append(out, dropOf(s, p, d))
		}
	})
	return out
}

func dropOf(s *site.Site, p site.Point, d *site.Detector) Computed {
	c := Computed{About: fmt.Sprintf("Voltage at %s %s", p, d.Name), Formula: "V = V_supply − 2·L·R′·I, from the lowest supply accepted on standby, on a cable of its own, flexible assumed"}
	var lacks []string
	for _, input := range []struct {
		what  string
		there bool
	}{{"minimum voltage", d.Power.Minimum.Given()}, {"cable length", d.Power.CableLength.Given()}, {"conductor", d.Power.Conductor.Text != ""}} {
		if !input.there {
			lacks = append(lacks, input.what)
		}
	}
	if len(lacks) > 0 {
		return missing(c, lacks...)
	}
	// Flexible is the worst make: alarm cable seldom says what it is.
	wire, err := d.Power.Conductor.Resistance(checks.Flexible, celsiusOf(s))
	if err != nil {
		return missing(c, err.Error())
	}
	run := checks.Run{LengthMetre: d.Power.CableLength.SI, OhmPerMetre: wire.OhmPerMetre, Ampere: d.Power.Current.SI, SupplyVolt: s.Limits.Standby.SI}
	far, err := run.FarEnd()
	if err != nil {
		return missing(c, err.Error())
	}
	c.Inputs = fmt.Sprintf("%s V, %s of %s (%s Ω, %s), %s", checks.FormatNumber(run.SupplyVolt), d.Power.CableLength.Text, d.Power.Conductor.Text,
		checks.FormatNumber(math.Round(run.LoopOhm()*100)/100), wire.Rule, d.Power.Current.Text)
	c.Result, c.Limit = fmt.Sprintf("%.2f V", far), "at least "+d.Power.Minimum.Text+", its minimum"
	c.Verdict = checks.Pass
	if far < d.Power.Minimum.SI {
		c.Verdict, c.Change = checks.Fail, dropChange(s, d, run)
	}
	return c
}

func dropChange(s *site.Site, d *site.Detector, run checks.Run) string {
	if d.Power.Minimum.SI >= run.SupplyVolt {
		return "no cable helps: the detector needs more than the lowest supply accepted on standby"
	}
	longest, err := run.Longest(d.Power.Minimum.SI)
	if err != nil {
		return ""
	}
	change := fmt.Sprintf("shorten the run to %.0f m", math.Floor(longest))
	if size, ok, err := checks.NextSize(d.Power.Conductor, checks.Flexible, celsiusOf(s), run, d.Power.Minimum.SI); err == nil && ok {
		change += ", or take " + size.Text
	}
	return change
}

// Circuit is the detection circuit of a zone with the tolerance of its
// resistors taken as 5 % (E24), and its cable left out.
func Circuit(z *site.Zone) checks.Circuit {
	kinds := map[site.Wiring]checks.CircuitKind{site.NormallyClosed: checks.NormallyClosed, site.NormallyOpen: checks.NormallyOpen,
		site.OneResistor: checks.OneResistor, site.TwoResistors: checks.TwoResistor}
	return checks.Circuit{Kind: kinds[z.Wiring], EndOhm: z.EndOfLine.SI, ContactOhm: z.ContactResistor.SI, Contacts: len(z.Detectors), Tolerance: 0.05}
}

// Loop is what an ohmmeter should read on a zone in each state, in Ω, and which
// states a reading cannot tell apart.
type Loop struct{ Normal, Active, Shorted, Cut, Overlaps, Change string }

// ExpectedLoop computes it for a zone.
func ExpectedLoop(z *site.Zone) (Loop, error) {
	circuit := Circuit(z)
	windows, err := circuit.Windows()
	if err != nil {
		return Loop{}, err
	}
	overlaps, err := circuit.Overlaps()
	if err != nil {
		return Loop{}, err
	}
	l := Loop{Normal: window(windows, checks.LoopNormal), Active: window(windows, checks.LoopActive), Shorted: window(windows, checks.LoopShorted), Cut: window(windows, checks.LoopCut)}
	var pairs []string
	for _, o := range overlaps {
		pairs = append(pairs, string(o.A.State)+" and "+string(o.B.State))
	}
	l.Overlaps = orDash(strings.Join(pairs, ", "))
	if len(pairs) > 0 {
		l.Change = "a resistor at the end of the line and one at each contact would tell all four states apart, if the controller can read them"
	}
	return l, nil
}

// window prints the range of the first window of a state.
func window(all []checks.Window, state checks.LoopState) string {
	for _, w := range all {
		switch {
		case w.State != state:
			continue
		case math.IsInf(w.Nominal, 1):
			return "open"
		case w.Low == w.Up:
			return checks.FormatNumber(w.Nominal)
		}
		return fmt.Sprintf("%.0f–%.0f", w.Low, w.Up)
	}
	return "–"
}
