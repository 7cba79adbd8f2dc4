package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type standbyFlags struct {
	battery, hourRating, exponent, load, standbyFor, alarmLoad, alarmFor, chemistry string
	ageing, temperature, packVoltage, efficiency, supply                            string
}

func newCalcStandby(s streams) *cobra.Command {
	f := &standbyFlags{}
	cmd := calculator(
		s,
		"standby",
		"Whether a battery lasts, and how large it must be",
		"How long a new battery carries the standby load (Peukert, hour-rate form), and the capacity that standby\n"+
			"and alarm require. No ageing or temperature factor is applied unless it is asked for. A lithium-ion pack\n"+
			"is taken to feed the load through a converter.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().StringVar(&f.battery, "battery", "", "rated capacity, for example 7Ah")
	cmd.Flags().StringVar(&f.hourRating, "hour-rating", "20h", "discharge time that the capacity is stated for")
	cmd.Flags().
		StringVar(&f.exponent, "exponent", "", "Peukert's exponent, 1 to 2; a usual one of the chemistry without it")
	cmd.Flags().StringVar(&f.load, "load", "", "standby load, for example 250mA")
	cmd.Flags().StringVar(&f.standbyFor, "standby-for", "", "required standby, for example 12h")
	cmd.Flags().StringVar(&f.alarmLoad, "alarm-load", "", "load in alarm")
	cmd.Flags().StringVar(&f.alarmFor, "alarm-for", "", "required alarm at the end of standby, for example 15m")
	cmd.Flags().StringVar(&f.chemistry, "chemistry", string(checks.LeadAcid), "lead-acid or lithium-ion")
	cmd.Flags().StringVar(&f.ageing, "ageing", "1", "factor for ageing, for example 1.25")
	cmd.Flags().StringVar(&f.temperature, "temperature", "", "lowest temperature of a lead-acid battery, for its factor")
	cmd.Flags().StringVar(&f.packVoltage, "pack-voltage", "11.1V", "nominal voltage of a lithium-ion pack")
	cmd.Flags().StringVar(&f.efficiency, "efficiency", "90%", "of the converter behind a lithium-ion pack")
	cmd.Flags().StringVar(&f.supply, "supply", "12V", "voltage of the load behind the converter")
	return cmd
}

// standbyCase is the flags as numbers.
type standbyCase struct {
	battery checks.Battery
	draws   []checks.Draw
	factors checks.Factors
}

func (f *standbyFlags) read(a *answer) (standbyCase, error) {
	var q quantities
	q.need("battery", f.battery)
	q.need("load", f.load)
	if f.temperature != "" && f.chemistry == string(checks.LithiumIon) {
		q.errs = append(q.errs, "--temperature: its factor is known for lead-acid only")
	}
	if (f.alarmLoad == "") != (f.alarmFor == "") {
		q.errs = append(q.errs, "--alarm-load and --alarm-for go together")
	}
	chemistry := checks.Chemistry(f.chemistry)
	if !slices.Contains([]checks.Chemistry{checks.LeadAcid, checks.LithiumIon}, chemistry) {
		q.errs = append(q.errs, "--chemistry: one of lead-acid, lithium-ion")
	}
	c := standbyCase{battery: checks.Battery{AmpereHour: q.read("battery", f.battery, checks.Capacity).SI,
		RateHour: q.read("hour-rating", f.hourRating, checks.Time).SI / 3600, Exponent: chemistry.UsualExponent()},
		factors: checks.Factors{Ageing: q.share("ageing", f.ageing), Temperature: 1}}
	if f.exponent != "" {
		c.battery.Exponent = q.share("exponent", f.exponent)
	}
	c.draws = []checks.Draw{
		{Ampere: q.read("load", f.load, checks.Current).SI, Hour: q.read("standby-for", f.standbyFor, checks.Time).SI / 3600},
	}
	if f.alarmLoad != "" {
		c.draws = append(
			c.draws,
			checks.Draw{Ampere: q.read("alarm-load", f.alarmLoad, checks.Current).SI,
				Hour: q.read("alarm-for", f.alarmFor, checks.Time).SI / 3600},
		)
	}
	if f.temperature != "" {
		factor, err := checks.ColdFactor(q.read("temperature", f.temperature, checks.Temperature).SI)
		q.check("temperature", err)
		c.factors.Temperature = factor
	}
	if chemistry == checks.LithiumIon {
		f.throughConverter(&q, a, &c)
	}
	return c, q.err()
}

// throughConverter turns the currents of the load into those of the pack.
func (f *standbyFlags) throughConverter(q *quantities, a *answer, c *standbyCase) {
	supply, pack := q.read("supply", f.supply, checks.Voltage).SI, q.read("pack-voltage", f.packVoltage, checks.Voltage).SI
	efficiency := q.share("efficiency", f.efficiency)
	for i, d := range c.draws {
		ampere, err := checks.ThroughConverter(d.Ampere, supply, pack, efficiency)
		q.check("pack-voltage, --efficiency, --supply", err)
		a.say("converter   I = %s A × %s V / (%s V × %s) = %s A from the pack", num(d.Ampere), num(supply), num(pack),
			num(efficiency), num(ampere))
		c.draws[i].Ampere = ampere
	}
}

func (f *standbyFlags) compute() (*answer, error) {
	a := newAnswer()
	c, err := f.read(a)
	if err != nil {
		return nil, err
	}
	autonomy, err := c.battery.Autonomy(c.draws[0].Ampere)
	if err != nil {
		return nil, err
	}
	required, err := checks.RequiredCapacity(c.draws, c.factors)
	if err != nil {
		return nil, err
	}
	atRate, err := checks.RequiredAtRate(c.draws, c.battery.RateHour, c.battery.Exponent, c.factors)
	if err != nil {
		return nil, err
	}
	a.set("autonomy_hour", autonomy)
	a.set("required_ampere_hour", required)
	a.set("required_at_rate_ampere_hour", atRate)
	if f.standbyFor == "" && f.alarmFor == "" {
		f.sayAutonomy(a, c, autonomy)
		a.values["verdict"] = nil
		a.say("verdict     none: give the required time with --standby-for")
		return a, nil
	}
	verdict := checks.Pass
	if c.battery.AmpereHour < max(required, atRate) {
		verdict = checks.Fail
	}
	a.values["verdict"] = string(verdict)
	f.sayAutonomy(a, c, autonomy)
	sum := ""
	for i, d := range c.draws {
		if i > 0 {
			sum += " + "
		}
		sum += fmt.Sprintf("%s A × %s h", num(d.Ampere), num(d.Hour))
	}
	a.say("required    C = (%s) × ageing %s × temperature %s = %s Ah", sum, num(c.factors.Ageing),
		num(c.factors.Temperature), num(required))
	a.say("at its rate C = H·(Σ t·I^k/H)^(1/k), times the factors = %s Ah (Peukert)", num(atRate))
	a.say("verdict     %s: %s Ah fitted, %s Ah required", verdict, num(c.battery.AmpereHour), num(max(required, atRate)))
	return a, nil
}

func (f *standbyFlags) sayAutonomy(a *answer, c standbyCase, autonomy float64) {
	a.say("autonomy    t = H·(C/(I·H))^k = %s h × (%s Ah/(%s A × %s h))^%s = %s h, new and full",
		num(c.battery.RateHour), num(c.battery.AmpereHour), num(c.draws[0].Ampere), num(c.battery.RateHour),
		num(c.battery.Exponent), num(autonomy))
}
