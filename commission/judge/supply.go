package judge

import (
	"math"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

const secondsAnHour = 3600

// usual takes the site file's value in a unit of so many SI units, or the usual one.
func usual(q checks.Quantity, unit float64, id string) Assumable {
	return given(q, unit, checks.Usual("usual/"+id))
}

func celsiusOf(s *site.Site) float64 { return usual(s.Supply.Temperature, 1, "temperature").Value }

// packOf is the battery of a site.
func packOf(s *site.Site) checks.Pack {
	return checks.Pack{Chemistry: checks.Chemistry(s.Supply.Battery.Chemistry), Cells: s.Supply.Battery.Cells}
}

// assume notes a key of the site file whose default counted.
func (c *Computed) assume(key string, given bool) {
	if !given && !slices.Contains(c.Assumed, key) {
		c.Assumed = append(c.Assumed, key)
	}
}

// lacks notes what is missing.
func (c *Computed) lacks(what LackCode, there bool) {
	if !there {
		c.Missing = append(c.Missing, lack(what)...)
	}
}

// Design computes what a site file allows before anything is tried: current budget,
// charger, standby, and the voltage at every powered detector.
func Design(s *site.Site) []Computed { return settleAll(design(s, currents{})) }

// currents are what the system was measured to draw, in A; zero for not measured.
type currents struct {
	Standby, Alarm float64
	AlarmLeast     float64 // less than Alarm where it is not known whether all outputs were in what was read
}

func design(s *site.Site, measured currents) []Computed {
	b := loadsOf(s, measured)
	out := append([]Computed{adapterOf(s, b)}, outputLimitsOf(s)...)
	if s.Supply.Battery.Seen() {
		out = append(out, chargerOf(s), rechargeOf(s), standbyOf(s, b))
	} else if s.Supply.HasBattery() {
		out = append(out, energyOf(s, b))
	}
	return append(out, dropsOf(s)...)
}

// settleAll lets a pass that rests on a default be undecided: nothing that is missing
// makes a page greener.
func settleAll(all []Computed) []Computed {
	for i := range all {
		if len(all[i].Assumed) > 0 && all[i].Ruling == checks.Pass {
			all[i].Ruling, all[i].Defaulted = checks.Undecided, true
		}
	}
	return all
}

// hollow takes the verdict from what holds for a sound, charged battery only, where this
// one is shown not to be.
func hollow(all []Computed) {
	unsound := slices.ContainsFunc(all, func(c Computed) bool {
		switch c.Row.(type) {
		case ChargerRow, ChargingRow, SagRow, InternalRow:
			return c.Ruling == checks.Fail
		}
		return false
	})
	for i := range all {
		switch all[i].Row.(type) {
		case StandbyRow, EnergyRow, RechargeRow:
			if unsound && all[i].Ruling == checks.Pass {
				all[i].Ruling, all[i].Hollow = "", true
			}
		}
	}
}

// burden is what the supply has to carry, and what is not known of it.
type burden struct {
	Standby, Alarm float64  // A
	AlarmLeast     float64  // A, that is surely needed
	Unknown        []string // parts whose current the file does not give, "" for the controller
	Measured       currents
	LoadsGiven     bool
}

// loadsOf adds up what each part of the system draws; what was measured takes the place
// of what was declared.
func loadsOf(s *site.Site, measured currents) burden {
	b := burden{Measured: measured, LoadsGiven: s.Supply.LoadsGiven}
	add := func(standby, alarm float64) { b.Standby, b.Alarm = b.Standby+standby, b.Alarm+alarm }
	if c := s.Controller.Current; c.Given() {
		add(c.SI, c.SI)
	} else {
		b.Unknown = append(b.Unknown, "")
	}
	s.Each(func(_ site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			add(d.Power.Current.SI, d.Power.Current.SI)
		}
	})
	for _, l := range s.Supply.Loads {
		add(l.Current.SI, l.Alarm.SI)
	}
	for _, o := range s.Outputs {
		switch {
		case !o.Current.Given():
			b.Unknown = append(b.Unknown, o.Name)
		case o.OwnBattery:
			add(o.Current.SI, o.Current.SI)
		default:
			add(0, o.Current.SI)
		}
	}
	if measured.Standby > 0 {
		b.Standby = measured.Standby
	}
	b.AlarmLeast = b.Alarm
	if measured.Alarm > 0 {
		b.Alarm, b.AlarmLeast = measured.Alarm, measured.AlarmLeast
	}
	return b
}

// loads are those of a burden, for as long as the site asks for.
func (b burden) loads(s *site.Site) Loads {
	return Loads{Standby: b.Standby, For: s.Supply.Standby.For.Text, Alarm: b.Alarm,
		AlarmFor: s.Supply.Standby.AlarmFor.Text, Measured: b.Measured.Standby > 0,
		AlarmMeasured: b.Measured.Alarm > 0, Added: b.AlarmLeast < b.Alarm}
}

// known notes what is not known of a burden: a current that was measured replaces those
// of all parts.
func (c *Computed) known(b burden) {
	if b.Measured.Standby > 0 && b.Measured.Alarm > 0 {
		return
	}
	if len(b.Unknown) > 0 {
		c.Missing = append(c.Missing, lack(LackCurrent, b.Unknown...)...)
	}
	c.assume("supply.loads", b.LoadsGiven)
}

// onlyCurrents tells that nothing is missing, or currents alone: what is known of a burden
// may be too much already.
func (c *Computed) onlyCurrents() bool {
	return !slices.ContainsFunc(c.Missing, func(l Lack) bool { return l.What != LackCurrent })
}

// unlessUnknown takes a ruling back on a burden of which a current is not known, but for a
// fail: what else there is would only add to it.
func (c *Computed) unlessUnknown(b burden, blank Row) {
	switch {
	case c.Ruling == checks.Fail:
		c.Missing = nil
	case len(c.Missing) > 0:
		c.Row, c.Ruling, c.Assumed = blank, "", nil
		c.assume("supply.loads", b.LoadsGiven)
	}
}

// adapterOf holds the load against the adapter. It fails where the adapter cannot carry
// the system at rest, or in alarm where no battery helps.
func adapterOf(s *site.Site, b burden) Computed {
	c := Computed{Row: AdapterRow{}}
	a, charger := s.Supply.Adapter, s.Supply.Charger.Current
	if !s.Supply.HasBattery() {
		charger = checks.Quantity{} // it charges nothing
	}
	c.lacks(LackRating, a.Rating.Given() || a.Apparent.Given())
	c.lacks(LackAdapterVoltage, !a.Apparent.Given() || a.Voltage.Given())
	if c.known(b); !c.onlyCurrents() {
		return c
	}
	row := AdapterRow{Standby: b.Standby, Alarm: b.Alarm, Charge: charger.SI, Rating: a.Rating.Text + a.Apparent.Text,
		Least: a.Rating.SI, Most: a.Rating.SI}
	if a.Apparent.Given() {
		var err error
		if row.Least, _, err = checks.RectifiedAmpere(a.Apparent.SI, a.Voltage.SI); err != nil {
			c.Missing = refused(err)
			return c
		}
		row.Most = math.Max(row.Least, a.Apparent.SI/checks.Usual("usual/output")) // no more watts than VA
	}
	row.Need = math.Max(row.Alarm, row.Standby+row.Charge)
	switch {
	case above(row.Standby, row.Most), !s.Supply.HasBattery() && above(b.AlarmLeast, row.Most):
		c.Ruling = checks.Fail
	case !above(row.Need, row.Least):
		c.Ruling = checks.Pass
		c.assume("supply.charger.current", charger.Given() || !s.Supply.HasBattery())
	default:
		c.Ruling = checks.Undecided
	}
	c.Row = row
	c.unlessUnknown(b, AdapterRow{})
	return c
}

// outputLimitsOf hold what the controller's own outputs have to give against the most
// that they do.
func outputLimitsOf(s *site.Site) []Computed {
	var detectors, alarm float64
	powered, sounds, unknown := false, false, []string(nil)
	s.Each(func(_ site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			powered, detectors = true, detectors+d.Power.Current.SI
		}
	})
	for _, o := range s.Outputs {
		if o.Kind == site.Chime {
			continue
		}
		sounds = true
		if !o.Current.Given() {
			unknown = append(unknown, o.Name)
		}
		if !o.OwnBattery {
			alarm += o.Current.SI
		}
	}
	var out []Computed
	if powered {
		out = append(out, outputLimit(DetectorOutput, detectors, s.Controller.DetectorOutput, nil))
	}
	if sounds {
		out = append(out, outputLimit(AlarmOutput, alarm, s.Controller.AlarmOutput, unknown))
	}
	return out
}

func outputLimit(which Terminal, load float64, most checks.Quantity, unknown []string) Computed {
	c := Computed{Row: OutputLimitRow{Which: which, Load: load, Most: most.Text}}
	c.lacks(which.lack(), most.Given())
	if most.Given() && above(load, most.SI) {
		c.Ruling = checks.Fail // what is not known would only add to it
		return c
	}
	if len(unknown) > 0 {
		c.Missing = append(c.Missing, lack(LackCurrent, unknown...)...)
	}
	if len(c.Missing) == 0 {
		c.Ruling = checks.Pass
	}
	return c
}

// chargingVolt is what the battery is charged with, as declared.
func chargingVolt(s *site.Site) (q checks.Quantity, ofAdapter bool) {
	if q = s.Supply.Charger.Voltage; q.Given() || s.Supply.Adapter.Apparent.Given() {
		return q, false
	}
	return s.Supply.Adapter.Voltage, true
}

// chargerOf holds the charger against the battery's cells, before anything is measured.
func chargerOf(s *site.Site) Computed {
	c := Computed{Row: ChargerRow{}}
	volt, ofAdapter := chargingVolt(s)
	c.lacks(LackChargerVoltage, volt.Given())
	c.lacks(LackChargerCurrent, s.Supply.Charger.Current.Given())
	c.lacks(LackCapacity, s.Supply.Battery.Capacity.Given())
	pack := packOf(s)
	cells, _ := pack.InSeries()
	if !volt.Given() {
		return c
	}
	// The lowest temperature forbids lithium to be charged; what a lead-acid battery is
	// charged with is stated for 20 to 25 °C.
	celsius, lithium := math.NaN(), pack.Chemistry != checks.LeadAcid
	if lithium && s.Supply.Temperature.Given() {
		celsius = s.Supply.Temperature.SI
	}
	j, err := pack.JudgeCharger(volt.SI, celsius)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	c.assume(cellsKey, s.Supply.Battery.Cells > 0)
	c.assume("supply.charger.voltage", !ofAdapter)
	c.assume("supply.temperature", s.Supply.Temperature.Given() || !lithium)
	row := ChargerRow{Chemistry: s.Supply.Battery.Chemistry, Cells: cells, Volt: volt.SI, OfAdapter: ofAdapter,
		Ampere: s.Supply.Charger.Current.SI}
	row.Charge = chargeOf(j)
	c.Ruling, c.Danger = rulingOf(j.Verdict)
	c.unlessCells(pack, func(o checks.Pack) bool { return failsCharged(o, volt.SI, 0, celsius, true) })
	if c.Danger && ofAdapter && !lithium { // a charging circuit lies between as a rule, and is fed with more
		c.Ruling, c.Danger = checks.Undecided, false
	}
	if c.Danger || c.Ruling == checks.Fail {
		c.Missing, c.Row = nil, row // what is known is enough
		return c
	}
	if len(c.Missing) > 0 {
		c.Ruling = ""
		return c
	}
	most, ruin := checks.MaximumChargeCurrent(pack.Chemistry, s.Supply.Battery.Capacity.SI)
	row.MostAmpere = most
	switch {
	case row.Ampere > ruin:
		c.Ruling, row.RuinAmpere = checks.Fail, ruin
	case row.Ampere > most:
		c.Ruling = checks.Undecided
	}
	c.Row = row
	return c
}

// rulingOf is a verdict on charging as a ruling.
func rulingOf(v checks.ChargeVerdict) (r checks.Ruling, danger bool) {
	switch v {
	case checks.ChargeDanger:
		return checks.Fail, true
	case checks.ChargeFault:
		return checks.Fail, false
	case checks.ChargeHolds:
		return checks.Pass, false
	}
	return checks.Undecided, false
}

// rechargeOf holds the time to recharge against the one that is declared.
func rechargeOf(s *site.Site) Computed {
	c := Computed{Row: RechargeRow{}}
	r, charger := s.Supply.Recharge, s.Supply.Charger.Current
	c.lacks(LackRecharge, r.Within.Given())
	c.lacks(LackCapacity, s.Supply.Battery.Capacity.Given())
	c.lacks(LackChargerCurrent, charger.Given())
	if len(c.Missing) > 0 {
		return c
	}
	to := usual(r.To, 1, "recharged")
	hours, err := checks.RechargeHours(s.Supply.Battery.Capacity.SI, to.Value, charger.SI, 0)
	if err != nil || math.IsInf(hours, 1) {
		c.Missing = refused(checks.ErrQuantity)
		return c
	}
	c.assume("supply.recharge.to", r.To.Given())
	c.Row = RechargeRow{Within: r.Within.Text, To: to, Capacity: s.Supply.Battery.Capacity.Text, Ampere: charger.SI,
		Hours: hours, Source: r.Source}
	c.Ruling = checks.Pass
	if above(hours, r.Within.SI/secondsAnHour) {
		c.Ruling = checks.Fail
	}
	return c
}

// needsOf notes what a computation of standby lacks.
func (c *Computed) needsOf(s *site.Site, b burden) {
	c.lacks(LackStandbyFor, s.Supply.Standby.For.Given())
	c.lacks(LackAlarmFor, s.Supply.Standby.AlarmFor.Given() || len(s.Outputs) == 0)
	c.known(b)
}

// standbyOf holds the capacity that standby and alarm require against the one fitted. It
// holds with the most cautious factors, fails only with the most favourable ones.
func standbyOf(s *site.Site, b burden) Computed {
	c := Computed{Row: StandbyRow{}}
	battery := s.Supply.Battery
	c.lacks(LackCapacity, battery.Capacity.Given())
	if c.needsOf(s, b); !c.onlyCurrents() {
		return c
	}
	row, err := requirement(s, b)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	c.assume("supply.standby.ageing", !row.Ageing.Assumed)
	c.assume("supply.temperature", !row.Temperature.Assumed)
	c.Row = row
	switch fitted := battery.Capacity.SI; {
	case above(row.Declared, fitted):
		c.Ruling = checks.Fail
	case above(row.Required, fitted):
		c.Ruling = checks.Undecided
	default:
		c.Ruling = checks.Pass
		holds := holdsAnyway(s, b, row)
		c.assume("supply.battery.exponent", !row.Exponent.Assumed || holds)
		c.assume("supply.battery.hour_rating", !row.Rate.Assumed || holds)
	}
	c.unlessUnknown(b, StandbyRow{})
	return c
}

// The worst values of factors that nobody declared: the largest exponent that a site file
// may declare, and the longest discharge that capacities are stated for.
const (
	worstExponent   = 2
	longestRateHour = 100
)

// holdsAnyway tells whether the capacity fitted holds with the worst values of the factors
// that nobody declared.
func holdsAnyway(s *site.Site, b burden, row StandbyRow) bool {
	bare := *s
	if row.Exponent.Assumed {
		bare.Supply.Battery.Exponent = checks.Quantity{SI: worstExponent, Text: "worst"}
	}
	if row.Rate.Assumed {
		bare.Supply.Battery.HourRating = checks.Quantity{SI: longestRateHour * secondsAnHour, Text: "worst"}
	}
	worst, err := requirement(&bare, b)
	return err == nil && !above(worst.Required, s.Supply.Battery.Capacity.SI)
}

// drawsOf are standby, then alarm, of so much.
func drawsOf(s *site.Site, b burden, alarm float64) []checks.Draw {
	return []checks.Draw{{Ampere: b.Standby, Hour: s.Supply.Standby.For.SI / secondsAnHour},
		{Ampere: alarm, Hour: s.Supply.Standby.AlarmFor.SI / secondsAnHour}}
}

// requirement is the capacity that standby and alarm require, and what it follows from:
// Required by the cautious factors, Declared by the favourable ones and by no factor
// that nobody has declared.
func requirement(s *site.Site, b burden) (StandbyRow, error) {
	battery, standby, pack := s.Supply.Battery, s.Supply.Standby, packOf(s)
	row := StandbyRow{Loads: b.loads(s), Source: standby.Source, Fitted: battery.Capacity.Text,
		Ageing:      usual(standby.Ageing, 1, "ageing"),
		Temperature: usual(s.Supply.Temperature, 1, "temperature"),
		Exponent:    given(battery.Exponent, 1, pack.Chemistry.UsualExponent()),
		Rate:        usual(battery.HourRating, secondsAnHour, "rate")}
	var err error
	if row.ColdLeast, row.Cold, err = pack.ColdFactors(row.Temperature.Value); err != nil {
		return row, err
	}
	row.Required, err = checks.RequiredAtRate(drawsOf(s, b, b.Alarm), row.Rate.Value, row.Exponent.Value,
		checks.Factors{Ageing: row.Ageing.Value, Temperature: row.Cold})
	if err != nil {
		return row, err
	}
	least := checks.Factors{Ageing: ifDeclared(row.Ageing), Temperature: row.ColdLeast}
	if row.Temperature.Assumed {
		least.Temperature = 1
	}
	exponent := ifDeclared(row.Exponent)
	row.Declared, err = checks.RequiredAtRate(drawsOf(s, b, b.AlarmLeast), row.Rate.Value, exponent, least)
	if err != nil {
		return row, err
	}
	autonomy, err := checks.Battery{AmpereHour: battery.Capacity.SI, RateHour: row.Rate.Value,
		Exponent: row.Exponent.Value}.Autonomy(b.Standby)
	if err == nil && !math.IsInf(autonomy, 1) {
		row.Autonomy = &autonomy
	}
	return row, err
}

// ifDeclared is a factor, or 1 where it is only ours.
func ifDeclared(a Assumable) float64 {
	if a.Assumed {
		return 1
	}
	return a.Value
}

// energyOf holds the energy of a pack behind a converter against what standby and alarm
// require of it.
func energyOf(s *site.Site, b burden) Computed {
	c := Computed{Row: EnergyRow{}}
	battery, standby, pack := s.Supply.Battery, s.Supply.Standby, packOf(s)
	wattHour := battery.Energy.SI
	if cells, err := pack.InSeries(); !battery.Energy.Given() && battery.Capacity.Given() && err == nil {
		nominal := given(battery.Voltage, 1, pack.Chemistry.NominalVolt(cells))
		wattHour = battery.Capacity.SI * nominal.Value
		if nominal.Assumed {
			c.assume(cellsKey, battery.Cells > 0)
		}
	}
	c.lacks(LackEnergy, wattHour > 0)
	if c.needsOf(s, b); !c.onlyCurrents() {
		return c
	}
	row := EnergyRow{Loads: b.loads(s), Source: standby.Source, Energy: wattHour,
		Output: usual(battery.Output, 1, "output"), Efficiency: usual(battery.Efficiency, 1, "efficiency"),
		Ageing: usual(standby.Ageing, 1, "ageing"), Temperature: usual(s.Supply.Temperature, 1, "temperature")}
	var err error
	if row.ColdLeast, row.Cold, err = pack.ColdFactors(row.Temperature.Value); err != nil {
		c.Missing = refused(err)
		return c
	}
	for _, d := range drawsOf(s, b, b.Alarm) {
		row.Required += d.Ampere * d.Hour * row.Output.Value
	}
	for _, d := range drawsOf(s, b, b.AlarmLeast) {
		row.Declared += d.Ampere * d.Hour * row.Output.Value
	}
	row.Required *= row.Ageing.Value * row.Cold / row.Efficiency.Value
	row.Declared *= ifDeclared(row.Ageing) / ifDeclared(row.Efficiency)
	if !row.Temperature.Assumed {
		row.Declared *= row.ColdLeast
	}
	if hours, err := checks.InlineAutonomy(wattHour, row.Efficiency.Value, b.Standby*row.Output.Value); err == nil &&
		!math.IsInf(hours, 1) {
		row.Autonomy = &hours
	}
	c.assume("supply.battery.output", !row.Output.Assumed)
	c.assume("supply.battery.efficiency", !row.Efficiency.Assumed)
	c.assume("supply.standby.ageing", !row.Ageing.Assumed)
	c.assume("supply.temperature", !row.Temperature.Assumed)
	c.Row = row
	switch {
	case above(row.Declared, wattHour):
		c.Ruling = checks.Fail
	case above(row.Required, wattHour):
		c.Ruling = checks.Undecided
	default:
		c.Ruling = checks.Pass
	}
	c.unlessUnknown(b, EnergyRow{})
	return c
}
