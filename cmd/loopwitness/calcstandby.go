package main

import (
	"fmt"
	"math"
	"strings"

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
		"How long a new battery carries the standby load, and the capacity that standby and alarm require: Peukert's\n"+
			"law in its hour-rate form between the rated current and the 1 h rate, C/I below the rated current; faster\n"+
			"loads are refused, since no published table bears the law out there. No ageing or temperature factor is\n"+
			"applied unless it is asked for. With a temperature the battery passes by the most cautious factor that is\n"+
			"published, fails by the most favourable one, and is undecided between them. A lithium-ion pack is taken to\n"+
			"feed the load through a converter.",
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
	cmd.Flags().StringVar(&f.chemistry, "chemistry", string(checks.LeadAcid), strings.Join(checks.Chemistries, ", "))
	cmd.Flags().StringVar(&f.ageing, "ageing", "1", "factor for ageing, for example 1.25")
	cmd.Flags().StringVar(&f.temperature, "temperature", "", "lowest temperature of the battery, for its factors")
	cmd.Flags().StringVar(&f.packVoltage, "pack-voltage", "11.1V", "nominal voltage of a lithium-ion pack")
	cmd.Flags().StringVar(&f.efficiency, "efficiency", "90%", "of the converter behind a lithium-ion pack")
	cmd.Flags().StringVar(&f.supply, "supply", "12V", "voltage of the load behind the converter")
	return cmd
}

// standbyCase is the flags as numbers.
type standbyCase struct {
	battery              checks.Battery
	draws                []checks.Draw
	ageing               float64
	favourable, cautious float64 // for cold
}

// required is the capacity that the draws require: as Σ I·t, and at the battery's rate.
func (c standbyCase) required(cold float64) (plain, atRate float64, err error) {
	factors := checks.Factors{Ageing: c.ageing, Temperature: cold}
	if plain, err = checks.RequiredCapacity(c.draws, factors); err != nil {
		return 0, 0, err
	}
	atRate, err = checks.RequiredAtRate(c.draws, c.battery.RateHour, c.battery.Exponent, factors)
	return plain, atRate, err
}

func (f *standbyFlags) read(a *answer) (standbyCase, error) {
	var q quantities
	q.need("battery", f.battery)
	q.need("load", f.load)
	if (f.alarmLoad == "") != (f.alarmFor == "") {
		q.errs = append(q.errs, "--alarm-load and --alarm-for go together")
	}
	chemistry := q.chemistry("chemistry", f.chemistry)
	c := standbyCase{battery: checks.Battery{AmpereHour: q.read("battery", f.battery, checks.Capacity).SI,
		RateHour: q.read("hour-rating", f.hourRating, checks.Time).SI / 3600, Exponent: chemistry.UsualExponent()},
		ageing: q.share("ageing", f.ageing), favourable: 1, cautious: 1}
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
	if f.temperature != "" && chemistry.Known() {
		var err error
		celsius := q.read("temperature", f.temperature, checks.Temperature).SI
		c.favourable, c.cautious, err = checks.Pack{Chemistry: chemistry}.ColdFactors(celsius)
		q.check("temperature", err)
	}
	if chemistry == checks.LithiumIon {
		f.throughConverter(&q, a, &c)
	}
	if err := q.err(); err != nil {
		return c, err
	}
	return c, c.withinPublishedRates()
}

// withinPublishedRates refuses a load that empties the battery within an hour.
func (c standbyCase) withinPublishedRates() error {
	for i, d := range c.draws {
		slow, err := c.battery.BelowHourRate(d.Ampere)
		if err != nil {
			return err
		}
		if !slow {
			return fmt.Errorf("--%s: %s A would empty %s Ah within an hour. Published discharge tables bear Peukert's law out "+
				"down to the 1 h rate; beyond, it promises up to half too much. Take the maker's table for such a load",
				[]string{"load", "alarm-load"}[i], num(d.Ampere), num(c.battery.AmpereHour))
		}
	}
	return nil
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
	plain, atRate, err := c.required(c.cautious)
	if err != nil {
		return nil, err
	}
	least, leastAtRate, err := c.required(c.favourable)
	if err != nil {
		return nil, err
	}
	if f.exponent != "" { // a usual exponent is an assumption: it must not fail
		least = math.Max(least, leastAtRate)
	}
	most := math.Max(plain, atRate)
	a.set("autonomy_hour", autonomy)
	a.set("required_ampere_hour", plain)
	a.set("required_at_rate_ampere_hour", atRate)
	a.set("required_favourable_ampere_hour", least)
	a.values["verdict"] = nil
	sayAutonomy(a, c, autonomy)
	if f.standbyFor == "" && f.alarmFor == "" {
		a.say("verdict     none: give the required time with --standby-for")
		return a, nil
	}
	f.sayRequired(a, c, plain, atRate, least)
	sayStandbyVerdict(a, c.battery.AmpereHour, least, most)
	return a, nil
}

func (f *standbyFlags) sayRequired(a *answer, c standbyCase, plain, atRate, least float64) {
	var sum []string
	for _, d := range c.draws {
		sum = append(sum, fmt.Sprintf("%s A × %s h", num(d.Ampere), num(d.Hour)))
	}
	a.say("required    C = (%s) × ageing %s × temperature %s = %s Ah", strings.Join(sum, " + "), num(c.ageing),
		num(c.cautious), num(plain))
	a.say("at its rate the draws share the battery, each by its own time to empty it; with the factors = %s Ah (Peukert)",
		num(atRate))
	if f.temperature != "" {
		a.say("favourable  temperature %s by the best that makers publish = %s Ah", num(c.favourable), num(least))
	}
}

// sayStandbyVerdict holds what is fitted against the least and the most that sources ask for.
func sayStandbyVerdict(a *answer, fitted, least, most float64) {
	verdict, why := checks.Undecided, fmt.Sprintf("%s Ah by the favourable and %s Ah by the cautious values are required",
		num(least), num(most))
	switch {
	case fitted >= most:
		verdict, why = checks.Pass, fmt.Sprintf("%s Ah required, by the cautious values", num(most))
	case fitted < least:
		verdict, why = checks.Fail, fmt.Sprintf("%s Ah required, even by the favourable values", num(least))
	}
	a.values["verdict"] = string(verdict)
	a.say("verdict     %s: %s Ah fitted, %s", verdict, num(fitted), why)
}

func sayAutonomy(a *answer, c standbyCase, autonomy float64) {
	b, ampere := c.battery, c.draws[0].Ampere
	if rated := b.AmpereHour / b.RateHour; ampere < rated {
		a.say("autonomy    t = C/I = %s Ah/%s A = %s h, new and full (below the rated current of %s A, where Peukert's law\n"+
			"            would promise more than the battery holds)", num(b.AmpereHour), num(ampere), num(autonomy), num(rated))
		return
	}
	a.say("autonomy    t = H·(C/(I·H))^k = %s h × (%s Ah/(%s A × %s h))^%s = %s h, new and full",
		num(b.RateHour), num(b.AmpereHour), num(ampere), num(b.RateHour), num(b.Exponent), num(autonomy))
}
