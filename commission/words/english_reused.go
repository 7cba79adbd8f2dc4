package words

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// englishReused says what needs no argument about cables of an older system.
var englishReused = map[Phrase]string{
	judge.CautionCables: "An insulation test puts hundreds of volts on a cable: it hurts, and destroys controllers, " +
		"detectors and sounders that are connected. Disconnect both ends of every cable first, surge protectors too; " +
		"mains must not be present on any core, which a licensed person proves.",
	judge.PartCables:   "Cables of the older system",
	judge.PartTester:   "Instrument for cables",
	judge.LayNew:       "mend the cable or lay a new one, and measure it again",
	judge.LoopOfCable:  "its loop",
	judge.BetweenCores: "the insulation between its cores",
	judge.CoresToEarth: "that to earth",

	programme.ItemApart: "Runs apart from mains cables, as the local code asks",
	CablesHeading:       "Cables of the older system",
	CableColumn:         "Cable",
	SeenColumn:          "Cores, label, and what it probably was",
	CableLoopColumn:     "Loop",
	InsulationColumn:    "Insulation",
	ApartColumn:         "Apart from mains",
	CablesNote: "Measured before anything was connected. Loop: through two cores, the far end shorted or with its " +
		"resistor. What a cable probably was follows from cores and colours, which have no standard: it is no proof. " +
		"Whether it runs apart from mains is as the technician answered; local codes and licensed practice decide what " +
		"is enough.",

	record.LawIsolated: "a cable was measured before anybody said that nothing is connected to it, or with what",

	ask.TestVoltMatter:    "Voltage with which it tests insulation, d.c., if known",
	ask.TesterShareMatter: "Uncertainty of its readings (95 %), as a share, if known",
	ask.StageReasonMatter: "Why are the cables not measured?",
	ask.CableSeenAdvice: "Cores, their colours, and behind a slash what its label says: 4 red black green white / hall; " +
		"none leaves it out",
	ask.CableValuesAdvice: "Nothing connected at either end, no mains. The loop through two cores, the far end shorted, " +
		"worst pair first; insulation between cores; and to earth: 12.4 ohm >200 Mohm >200 Mohm. With its resistor " +
		"there: resistor 4.71k …; a loop may be open, and what was not measured none",
	ask.TestVoltAdvice: "Extra-low voltage circuits are tested with 250 V d.c. (IEC 60364-6); an ohmmeter is no " +
		"insulation test",
	ask.IsolatedChoice:     "done: nothing but cable is connected, and no mains is present",
	ask.StageLeftOutChoice: "leave all of them out, with one reason",
}

// ofReused says what is asked, told and found about cables of an older system.
func (l English) ofReused(p Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case programme.Name:
		text = l.cableStep(p)
	case ask.CableOf:
		text = l.Say(p.Step) + ": what is it?"
	case ask.CableValuesOf:
		text = l.Say(p.Step) + ": what does it measure?"
	case ask.CablePerhaps:
		text = l.perhaps(p.Guesses)
	case ask.CableShows:
		row := l.Computed(p.Row)
		text = row.About + ": " + orDash(row.Result)
		if row.Change != "" {
			text += "; " + row.Change
		}
	case CableLook:
		text = l.cableLook(p)
	case CableTester:
		text = l.cableTester(p)
	case judge.ReuseNotSaid:
		text = "the site file does not say whether cables of an older system are reused"
		if !p.All {
			text += ": " + l.zones(p.Zones)
		}
	case judge.CablesLeftOut:
		text = fmt.Sprintf("%d %s not measured before anything was connected", p.Cables,
			plural(p.Cables, "cable was", "cables were"))
	case judge.CableUnmeasured:
		var parts []string
		for _, part := range p.Of {
			parts = append(parts, l.Say(part))
		}
		text = "not measured: " + strings.Join(parts, ", ")
	case judge.TesterUncertain:
		text = "its test voltage was not stated: no insulation is proved"
		switch {
		case p.Volt && p.Share:
			text = "neither its test voltage nor its uncertainty was stated: no insulation is proved"
		case p.Share:
			text = "its uncertainty was not stated; a usual one counted"
		}
	default:
		switch p.(type) {
		case Heading, Column, Note, judge.Caution, judge.Part, judge.Remedy, judge.CablePart, programme.ItemCode, record.Law,
			ask.Matter, ask.Advice, ask.Choice:
			text = englishReused[p]
		}
	}
	return text, text != ""
}

func (l English) cableLook(p CableLook) string {
	text := l.labelCores(LabelCores{&p.Is})
	if p.Is.Label != "" {
		text += "; label " + quoted(p.Is.Label)
	}
	if len(p.Guesses) > 0 {
		text += "; " + l.Say(GuessWhat(p.Guesses[0])) + ", since " + l.Say(GuessWhy(p.Guesses[0]))
	}
	return text
}

func (l English) cableTester(p CableTester) string {
	text := "Measured with " + quoted(p.Name)
	if p.Volt > 0 {
		text += ", insulation with " + l.Number(p.Volt, AsNeeded) + " V d.c."
	}
	if p.Share > 0 {
		text += ", uncertainty " + l.Number(100*p.Share, AsNeeded) + " %"
	}
	if p.Calibrated != "" {
		text += ", calibrated until " + l.day(p.Calibrated)
	}
	return text
}

func (l English) zones(names []programme.ZoneName) string {
	var all []string
	for _, n := range names {
		all = append(all, l.Say(n))
	}
	return strings.Join(all, "; ")
}

// cableStep is what a step of the stage is called, "" for any other.
func (l English) cableStep(n programme.Name) string {
	switch {
	case n.Kind == programme.StepIsolated:
		return "Every reused cable is disconnected at both ends, and no mains is present"
	case n.Kind == programme.StepTester:
		return "The instrument that cables are measured with"
	case n.Zone != nil && n.Kind == programme.StepCable:
		return "Cable of " + l.Say(*n.Zone)
	case n.Zone != nil && n.Kind == programme.StepCheck && n.Item == programme.ItemApart:
		return "Cable of " + l.Say(*n.Zone) + ": " + lower(l.Say(n.Item))
	}
	return ""
}

// lower begins a text as in the middle of a sentence.
func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// perhaps is what a cable may be, with what to check before it is believed.
func (l English) perhaps(guesses []checks.Guess) string {
	var all []string
	for _, g := range guesses {
		all = append(all, fmt.Sprintf("%s (%s): %s", l.Say(GuessWhat(g)), l.Say(GuessWhy(g)), l.Say(GuessNext(g))))
	}
	return "What it may be: " + strings.Join(all, "; or ")
}

// aboutCable is what a row about a cable is called, "" for any other.
func (l English) aboutCable(r judge.Row) string {
	switch r := r.(type) {
	case judge.ContinuityRow:
		return fmt.Sprintf("Continuity of the cable of zone %d", r.Zone.Number)
	case judge.InsulationRow:
		return fmt.Sprintf("Insulation of the cable of zone %d", r.Zone.Number)
	}
	return ""
}

func (l English) cableFormula(r judge.Row) string {
	switch r := r.(type) {
	case judge.ContinuityRow:
		text := "R = 2·L·R′ within 20 %, the far end shorted"
		if r.WithIt {
			text = "R = R_end + 2·L·R′, cable within 20 %"
		}
		if r.Cable == 0 {
			text += "; cable not known: one of " + l.unknownRun() + " may add what it has"
		}
		return text
	case judge.InsulationRow:
		return "each at least its limit, less " + assumed(percent(r.Share), " %") + " of it"
	}
	return ""
}

// ofCableRow says a row about a cable; is tells whether it is one.
func (l English) ofCableRow(row *Row, c judge.Computed) (is bool) {
	switch r := c.Row.(type) {
	case judge.ContinuityRow:
		l.continuity(row, r, c.Ruling)
	case judge.InsulationRow:
		l.insulation(row, r, c.Ruling)
	default:
		return false
	}
	return true
}

func (l English) continuity(row *Row, r judge.ContinuityRow, v checks.Ruling) {
	row.Inputs = l.reading(r.Measured)
	if r.Uncertainty > 0 {
		row.Inputs += fmt.Sprintf(" ± %s Ω", l.Number(r.Uncertainty, 2))
	}
	if r.WithIt {
		row.Inputs += ", with resistor " + orDash(r.Resistor)
	}
	row.Limit = "as its length and conductor give"
	if r.Cable > 0 {
		row.Inputs += fmt.Sprintf(", %s of %s: %s Ω", l.run(r.Length), l.conductor(r.Conductor), l.Number(r.Cable, 1))
	}
	switch {
	case r.Open:
		row.Result, row.Change = "open", "look for a broken core, a bad joint, or a far end where nothing joins the cores"
	case r.Short:
		row.Result, row.Change = "shorted before its resistor", "look for a bridge or damaged insulation"
	case v == checks.Pass:
		row.Result = "continuous, as it should be"
	case v == checks.Fail:
		row.Result, row.Change = "reads otherwise than described",
			"look for a bad joint, a bridge, or a longer way than the site file has"
	case r.WithIt && r.Resistor != "":
		row.Result, row.Change = "continuous, with another resistance than described",
			"look for a resistor of the older system"
	default:
		row.Result = "continuous; what it should read is not known well enough"
	}
}

func (l English) insulation(row *Row, r judge.InsulationRow, v checks.Ruling) {
	volt := "test voltage not stated"
	if r.TestVolt > 0 {
		volt = l.Number(r.TestVolt, AsNeeded) + " V d.c."
	}
	var read []string
	for _, part := range []struct{ name, text string }{{"between cores", r.Between}, {"to earth", r.Earth}} {
		if part.text != "" {
			read = append(read, part.name+" "+l.reading(part.text))
		}
	}
	row.Inputs = strings.Join(append(read, volt), ", ")
	by := "IEC 60364-6, at 250 V d.c."
	if r.Limit.Declared() {
		by = l.Say(r.Limit)
	}
	row.Limit = "at least " + l.Number(r.Limit.SI/1e6, AsNeeded) + " MΩ, " + by
	worst := map[judge.CablePart]string{judge.BetweenCores: "between cores", judge.CoresToEarth: "to earth"}[r.Worst]
	switch {
	case v == checks.Pass:
		row.Result = "sound"
	case v == checks.Fail:
		row.Result, row.Change = "too low "+worst, "look for damp, damage or a forgotten connection"
	case r.TestVolt < checks.InsulationTestVolt():
		row.Result = "no insulation test"
		row.Change = "an ohmmeter, or less than 250 V, proves no insulation: test it with 250 V d.c., nothing connected"
	default:
		row.Result, row.Change = "not decided "+worst, "near its limit, or not held against the same by all editions"
	}
}
