package judge

import (
	"math"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// The assumptions where the site file says nothing: common practice, no source.
const (
	usualCelsius   = 20.0
	usualAgeing    = 1.25 // renewed at 80 % of its capacity, as in IEEE 485
	usualRateHour  = 20.0
	usualPackVolt  = 11.1 // three lithium-ion cells in series
	usualLoadVolt  = 12.0
	usualConverter = 0.9

	secondsAnHour = 3600
)

func celsiusOf(s *site.Site) float64 { return given(s.Supply.Temperature, 1, usualCelsius).Value }

// Design computes what a site file allows before anything is tried: current
// budget, standby, and the voltage at every powered detector.
func Design(s *site.Site) []Computed {
	loads, unknown := loadsOf(s)
	out := []Computed{budgetOf(s, loads, unknown), standbyOf(s, loads, unknown)}
	return append(out, dropsOf(s)...)
}

// loadsOf are what each part of the system draws, and the parts whose current the
// site file does not give, "" for the controller.
func loadsOf(s *site.Site) (loads []checks.Load, unknown []string) {
	if s.Controller.Current.Given() {
		loads = append(loads,
			checks.Load{Name: "controller", Standby: s.Controller.Current.SI, Alarm: s.Controller.Current.SI})
	} else {
		unknown = append(unknown, "")
	}
	s.Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			loads = append(loads,
				checks.Load{Name: string(p) + " " + d.Name, Standby: d.Power.Current.SI, Alarm: d.Power.Current.SI})
		}
	})
	for _, o := range s.Outputs {
		if o.Current.Given() {
			loads = append(loads, checks.Load{Name: o.Name, Alarm: o.Current.SI})
		} else {
			unknown = append(unknown, o.Name)
		}
	}
	return loads, unknown
}

func budgetOf(s *site.Site, loads []checks.Load, unknown []string) Computed {
	c := Computed{Row: AdapterRow{}}
	a, b := s.Supply.Adapter.Rating, s.Supply.Battery
	if !a.Given() {
		c.Missing = append(c.Missing, lack(LackRating)...)
	}
	if !b.Capacity.Given() && b.Chemistry != "none" {
		c.Missing = append(c.Missing, lack(LackCapacity)...)
	}
	if c.Missing = append(c.Missing, lacksCurrent(unknown)...); len(c.Missing) > 0 {
		return c
	}
	budget, err := checks.AddUp(loads, a.SI, b.Capacity.SI)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	row := AdapterRow{Standby: budget.Standby, Alarm: budget.Alarm, Recharge: budget.Recharge, Rating: a.Text,
		Headroom: math.Min(budget.AdapterHeadroom, budget.AlarmHeadroom)}
	c.Ruling = checks.Pass
	if row.Headroom < 0 {
		c.Ruling, row.Need = checks.Fail, math.Ceil((a.SI-row.Headroom)*10)/10
	}
	c.Row = row
	return c
}

func lacksCurrent(unknown []string) []Lack {
	if len(unknown) == 0 {
		return nil
	}
	return lack(LackCurrent, unknown...)
}

func standbyOf(s *site.Site, loads []checks.Load, unknown []string) Computed {
	c := Computed{Row: StandbyRow{}}
	b := s.Supply.Battery
	if b.Chemistry == "none" {
		c.Missing = lack(LackBattery)
		return c
	}
	for _, needed := range []struct {
		what  LackCode
		there bool
	}{{LackCapacity, b.Capacity.Given()}, {LackStandbyFor, s.Supply.Standby.For.Given()},
		{LackAlarmFor, s.Supply.Standby.AlarmFor.Given() || len(s.Outputs) == 0}} {
		if !needed.there {
			c.Missing = append(c.Missing, lack(needed.what)...)
		}
	}
	if c.Missing = append(c.Missing, lacksCurrent(unknown)...); len(c.Missing) > 0 {
		return c
	}
	row, err := requirement(s, loads)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	row.Declared = declaredOnly(s, loads)
	c.Row, c.Ruling = row, checks.Pass
	switch {
	case b.Capacity.SI < row.Required && b.Capacity.SI >= row.Declared:
		c.Ruling = checks.Undecided
	case b.Capacity.SI < row.Required:
		c.Ruling = checks.Fail
	}
	return c
}

// declaredOnly is the capacity required without the factors that nobody has
// declared: a verdict must not rest on our assumptions. It is for sites of which
// the requirement is known.
func declaredOnly(s *site.Site, loads []checks.Load) float64 {
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
	row, _ := requirement(&bare, loads)
	return row.Required
}

// requirement is the capacity that standby and alarm require, and what it follows from.
func requirement(s *site.Site, loads []checks.Load) (StandbyRow, error) {
	b, standby := s.Supply.Battery, s.Supply.Standby
	chemistry := checks.Chemistry(b.Chemistry)
	row := StandbyRow{For: standby.For.Text, AlarmFor: standby.AlarmFor.Text, Source: standby.Source,
		Fitted: b.Capacity.Text, Ageing: given(standby.Ageing, 1, usualAgeing),
		Temperature: given(s.Supply.Temperature, 1, usualCelsius), Cold: 1,
		Exponent: given(b.Exponent, 1, chemistry.UsualExponent()),
		Rate:     given(b.HourRating, secondsAnHour, usualRateHour)}
	battery := checks.Battery{AmpereHour: b.Capacity.SI, RateHour: row.Rate.Value, Exponent: row.Exponent.Value}
	budget, err := checks.AddUp(loads, 0, battery.AmpereHour)
	if err != nil {
		return row, err
	}
	row.Standby, row.Alarm = budget.Standby, budget.Alarm
	if chemistry == checks.LeadAcid {
		if row.Cold, err = checks.ColdFactor(row.Temperature.Value); err != nil {
			return row, err
		}
	}
	draws := []checks.Draw{{Ampere: budget.Standby, Hour: standby.For.SI / secondsAnHour},
		{Ampere: budget.Alarm, Hour: standby.AlarmFor.SI / secondsAnHour}}
	if chemistry == checks.LithiumIon {
		if row.Through, err = throughConverter(s, draws); err != nil {
			return row, err
		}
	}
	factors := checks.Factors{Ageing: row.Ageing.Value, Temperature: row.Cold}
	plain, err := checks.RequiredCapacity(draws, factors)
	if err != nil {
		return row, err
	}
	atRate, err := checks.RequiredAtRate(draws, battery.RateHour, battery.Exponent, factors)
	if err != nil {
		return row, err
	}
	row.Required = math.Max(plain, atRate)
	autonomy, err := battery.Autonomy(draws[0].Ampere)
	if !math.IsInf(autonomy, 1) {
		row.Autonomy = &autonomy
	}
	return row, err
}

// throughConverter turns the currents of the load into those that a lithium-ion
// pack gives through its converter, and says how.
func throughConverter(s *site.Site, draws []checks.Draw) (*Converter, error) {
	b, a := s.Supply.Battery, s.Supply.Adapter
	c := Converter{Pack: given(b.Voltage, 1, usualPackVolt).Value, Load: given(a.Voltage, 1, usualLoadVolt).Value,
		Efficiency: given(b.Efficiency, 1, usualConverter).Value}
	for i, d := range draws {
		ampere, err := checks.ThroughConverter(d.Ampere, c.Load, c.Pack, c.Efficiency)
		if err != nil {
			return nil, err
		}
		draws[i].Ampere = ampere
	}
	return &c, nil
}
