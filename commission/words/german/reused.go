package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// germanReused says what needs no argument about cables of an older system.
var germanReused = map[words.Phrase]string{
	judge.CautionCables: "Eine Isolationsprüfung legt Hunderte Volt an ein Kabel: Das ist schmerzhaft und zerstört " +
		"Zentralen, Melder und Sirenen, die angeschlossen sind. Klemmen Sie zuerst beide Enden jedes Kabels ab, auch " +
		"Überspannungsschutzgeräte; an keiner Ader darf Netzspannung anliegen, was eine zugelassene Fachkraft nachweist.",
	judge.PartCables:   "Kabel der älteren Anlage",
	judge.PartTester:   "Messgerät für Kabel",
	judge.LayNew:       "Kabel reparieren oder neu verlegen und wieder messen",
	judge.LoopOfCable:  "die Schleife",
	judge.BetweenCores: "die Isolation zwischen den Adern",
	judge.CoresToEarth: "die Isolation gegen Erde",

	programme.ItemApart:    "Verläuft getrennt von Netzkabeln, wie die örtliche Vorschrift es verlangt",
	words.CablesHeading:    "Kabel der älteren Anlage",
	words.CableColumn:      "Kabel",
	words.SeenColumn:       "Adern, Etikett, und was es wohl war",
	words.CableLoopColumn:  "Schleife",
	words.InsulationColumn: "Isolation",
	words.ApartColumn:      "Getrennt vom Netz",
	words.CablesNote: "Gemessen, bevor etwas angeschlossen wurde. Schleife: über zwei Adern, das ferne Ende " +
		"kurzgeschlossen oder mit seinem Widerstand. Was ein Kabel wohl war, folgt aus Adern und Farben, für die es " +
		"keine Norm gibt: Das ist kein Nachweis. Ob es getrennt vom Netz verläuft, steht so da, wie der Techniker " +
		"geantwortet hat; örtliche Vorschriften und zugelassene Fachkräfte entscheiden, was genügt.",

	record.LawIsolated: "ein Kabel wurde gemessen, bevor jemand sagte, dass nichts daran angeschlossen ist, oder " +
		"womit gemessen wird",

	ask.TestVoltMatter:    "Gleichspannung, mit der es die Isolation prüft, falls bekannt",
	ask.TesterShareMatter: "Unsicherheit seiner Messwerte (95 %), als Anteil, falls bekannt",
	ask.StageReasonMatter: "Warum werden die Kabel nicht gemessen?",
	ask.CableSeenAdvice: "Adern, ihre Farben und nach einem Schrägstrich, was auf dem Etikett steht: 4 rot " +
		"schwarz grün weiß / Flur; keine lässt es aus",
	ask.CableValuesAdvice: "An keinem Ende etwas angeschlossen, kein Netz. Die Schleife über zwei Adern, das ferne Ende " +
		"kurzgeschlossen, schlechtestes Paar zuerst; Isolation zwischen Adern; und gegen Erde: 12,4 ohm >200 Mohm " +
		">200 Mohm. Mit dem Widerstand am Ende: widerstand 4,71k …; eine Schleife kann offen sein, nicht Gemessenes keine",
	ask.TestVoltAdvice: "Stromkreise mit Kleinspannung werden mit 250 V Gleichspannung geprüft (IEC 60364-6); ein " +
		"Ohmmeter ist keine Isolationsprüfung",
	ask.IsolatedChoice:     "erledigt: Nur Kabel, sonst ist nichts angeschlossen, und kein Netz liegt an",
	ask.StageLeftOutChoice: "alle auslassen, mit einem Grund",
}

// ofReused says what is asked, told and found about cables of an older system.
func (l Language) ofReused(p words.Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case programme.Name:
		text = l.cableStep(p)
	case ask.CableOf:
		text = l.Say(p.Step) + ": Was ist es?"
	case ask.CableValuesOf:
		text = l.Say(p.Step) + ": Was zeigt die Messung?"
	case ask.CablePerhaps:
		text = l.perhaps(p.Guesses)
	case ask.CableShows:
		row := l.Computed(p.Row)
		text = row.About + ": " + orDash(row.Result)
		if row.Change != "" {
			text += "; " + row.Change
		}
	case words.CableLook:
		text = l.cableLook(p)
	case words.CableTester:
		text = l.cableTester(p)
	case judge.ReuseNotSaid:
		text = "die Objektdatei sagt nicht, ob Kabel einer älteren Anlage weiterverwendet werden"
		if !p.All {
			text += ": " + l.zones(p.Zones)
		}
	case judge.CablesLeftOut:
		text = count(p.Cables, "Kabel wurde", "Kabel wurden") + " nicht gemessen, bevor etwas angeschlossen wurde"
	case judge.CableUnmeasured:
		var parts []string
		for _, part := range p.Of {
			parts = append(parts, l.Say(part))
		}
		text = "nicht gemessen: " + strings.Join(parts, ", ")
	case judge.TesterUncertain:
		text = "seine Prüfspannung wurde nicht angegeben: Keine Isolation ist nachgewiesen"
		switch {
		case p.Volt && p.Share:
			text = "weder Prüfspannung noch Unsicherheit wurden angegeben: Keine Isolation ist nachgewiesen"
		case p.Share:
			text = "seine Unsicherheit wurde nicht angegeben; eine übliche galt"
		}
	default:
		switch p.(type) {
		case words.Heading, words.Column, words.Note, judge.Caution, judge.Part, judge.Remedy, judge.CablePart, programme.ItemCode, record.Law,
			ask.Matter, ask.Advice, ask.Choice:
			text = germanReused[p]
		}
	}
	return text, text != ""
}

func (l Language) cableLook(p words.CableLook) string {
	text := l.labelCores(words.LabelCores{Seen: &p.Is})
	if p.Is.Label != "" {
		text += "; Etikett " + quoted(p.Is.Label)
	}
	if len(p.Guesses) > 0 {
		text += "; " + l.Say(words.GuessWhat(p.Guesses[0])) + ", denn: " + l.Say(words.GuessWhy(p.Guesses[0]))
	}
	return text
}

func (l Language) cableTester(p words.CableTester) string {
	text := "Gemessen mit " + quoted(p.Name)
	if p.Volt > 0 {
		text += ", Isolation mit " + l.Number(p.Volt, words.AsNeeded) + " V Gleichspannung"
	}
	if p.Share > 0 {
		text += ", Unsicherheit " + l.Number(100*p.Share, words.AsNeeded) + " %"
	}
	if p.Calibrated != "" {
		text += ", kalibriert bis " + l.day(p.Calibrated)
	}
	return text
}

func (l Language) zones(names []programme.ZoneName) string {
	var all []string
	for _, n := range names {
		all = append(all, l.Say(n))
	}
	return strings.Join(all, "; ")
}

// cableStep is what a step of the stage is called, "" for any other.
func (l Language) cableStep(n programme.Name) string {
	switch {
	case n.Kind == programme.StepIsolated:
		return "Jedes weiterverwendete Kabel ist an beiden Enden abgetrennt, und kein Netz liegt an"
	case n.Kind == programme.StepTester:
		return "Messgerät, mit dem die Kabel gemessen werden"
	case n.Zone != nil && n.Kind == programme.StepCable:
		return "Kabel der " + l.Say(*n.Zone)
	case n.Zone != nil && n.Kind == programme.StepCheck && n.Item == programme.ItemApart:
		return "Kabel der " + l.Say(*n.Zone) + ": " + l.Say(n.Item)
	}
	return ""
}

// perhaps is what a cable may be, with what to check before it is believed.
func (l Language) perhaps(guesses []checks.Guess) string {
	var all []string
	for _, g := range guesses {
		all = append(
			all,
			fmt.Sprintf("%s (%s): %s", l.Say(words.GuessWhat(g)), l.Say(words.GuessWhy(g)), l.Say(words.GuessNext(g))),
		)
	}
	return "Was es sein kann: " + strings.Join(all, "; oder ")
}

// aboutCable is what a row about a cable is called, "" for any other.
func (l Language) aboutCable(r judge.Row) string {
	switch r := r.(type) {
	case judge.ContinuityRow:
		return fmt.Sprintf("Durchgang des Kabels der Linie %d", r.Zone.Number)
	case judge.InsulationRow:
		return fmt.Sprintf("Isolation des Kabels der Linie %d", r.Zone.Number)
	}
	return ""
}

func (l Language) cableFormula(r judge.Row) string {
	switch r := r.(type) {
	case judge.ContinuityRow:
		text := "R = 2·L·R′ auf 20 % genau, fernes Ende kurzgeschlossen"
		if r.WithIt {
			text = "R = R_Ende + 2·L·R′, Kabel auf 20 % genau"
		}
		if r.Cable == 0 {
			text += "; Kabel nicht bekannt: der Widerstand von " + l.unknownRun() + " wird zugestanden"
		}
		return text
	case judge.InsulationRow:
		return "jeder Wert, abzüglich " + assumed(percent(r.Share), " %") + ", mindestens seine Grenze"
	}
	return ""
}

// ofCableRow says a row about a cable; is tells whether it is one.
func (l Language) ofCableRow(row *words.Row, c judge.Computed) (is bool) {
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

func (l Language) continuity(row *words.Row, r judge.ContinuityRow, v checks.Ruling) {
	row.Inputs = l.reading(r.Measured)
	if r.Uncertainty > 0 {
		row.Inputs += fmt.Sprintf(" ± %s Ω", l.Number(r.Uncertainty, 2))
	}
	if r.WithIt {
		row.Inputs += ", mit Widerstand " + orDash(l.quantity(r.Resistor))
	}
	row.Limit = "wie Länge und Leiter es ergeben"
	if r.Cable > 0 {
		row.Inputs += fmt.Sprintf(", %s mit %s: %s Ω", l.run(r.Length), l.conductor(r.Conductor), l.Number(r.Cable, 1))
	}
	switch {
	case r.Open:
		row.Result, row.Change = "offen", "nach gebrochener Ader, schlechter Verbindung oder nicht verbundenem fernem "+
			"Ende suchen"
	case r.Short:
		row.Result, row.Change = "vor dem Widerstand kurzgeschlossen", "nach Brücke oder beschädigter Isolation suchen"
	case v == checks.Pass:
		row.Result = "durchgängig, wie es sein soll"
	case v == checks.Fail:
		row.Result, row.Change = "anderer Wert als beschrieben",
			"nach schlechter Verbindung, Brücke oder längerem Weg als in der Objektdatei suchen"
	case r.WithIt && r.Resistor != "":
		row.Result, row.Change = "durchgängig, mit anderem Widerstand als beschrieben",
			"nach einem Widerstand der älteren Anlage suchen"
	default:
		row.Result = "durchgängig; welcher Wert zu erwarten ist, ist nicht genau genug bekannt"
	}
}

func (l Language) insulation(row *words.Row, r judge.InsulationRow, v checks.Ruling) {
	volt := "Prüfspannung nicht angegeben"
	if r.TestVolt > 0 {
		volt = l.Number(r.TestVolt, words.AsNeeded) + " V Gleichspannung"
	}
	var read []string
	for _, part := range []struct{ name, text string }{{"zwischen Adern", r.Between}, {"gegen Erde", r.Earth}} {
		if part.text != "" {
			read = append(read, part.name+" "+l.quantity(part.text))
		}
	}
	row.Inputs = strings.Join(append(read, volt), ", ")
	by := "IEC 60364-6, bei 250 V Gleichspannung"
	if r.Limit.Declared() {
		by = l.Say(r.Limit)
	}
	row.Limit = "mindestens " + l.Number(r.Limit.SI/1e6, words.AsNeeded) + " MΩ, " + by
	worst := map[judge.CablePart]string{judge.BetweenCores: "zwischen Adern", judge.CoresToEarth: "gegen Erde"}[r.Worst]
	switch {
	case v == checks.Pass:
		row.Result = "gut"
	case v == checks.Fail:
		row.Result, row.Change = "zu niedrig "+worst, "nach Feuchte, Schaden oder vergessenem Anschluss suchen"
	case r.TestVolt < checks.InsulationTestVolt():
		row.Result = "keine Isolationsprüfung"
		row.Change = "ein Ohmmeter oder weniger als 250 V weist keine Isolation nach: mit 250 V Gleichspannung prüfen, " +
			"nichts angeschlossen"
	default:
		row.Result, row.Change = "nicht entschieden "+worst, "nahe an der Grenze, oder nicht alle Ausgaben der Norm "+
			"verlangen dasselbe"
	}
}
