package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/checks"
)

// ofCable says what a cable probably is, and where its resistance is taken from.
func (l Language) ofCable(p words.Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case checks.WireRule:
		text = germanWireRules[p]
	case words.GuessWhat:
		text = l.guessWhat(checks.Guess(p))
	case words.GuessWhy:
		text = l.guessWhy(checks.Guess(p))
	case words.GuessNext:
		text = germanGuessChecks[p.Next]
	}
	return text, text != ""
}

var germanWireRules = map[checks.WireRule]string{
	checks.RuleIEC60228:         "Höchstwert nach IEC 60228",
	checks.RuleIEC60228Flexible: "Höchstwert nach IEC 60228, flexibel",
	checks.RuleVDE0295:          "Höchstwert nach DIN VDE 0295",
	checks.RuleVDE0295Flexible:  "Höchstwert nach DIN VDE 0295, flexibel",
	checks.RuleArea:             "ρ/A, kein Wert einer Norm für diesen Querschnitt",
	checks.RuleGauge:            "ρ/A eines massiven AWG-Leiters (ASTM B258, IEC 60028)",
	checks.RuleGaugeStranded:    "ρ/A eines massiven AWG-Leiters (ASTM B258, IEC 60028), 2 % für Litze",
}

var germanGuesses = map[checks.GuessCode]string{
	checks.PerhapsMains:      "vielleicht ein Netzkabel",
	checks.OpenCircuit:       "ein offener Stromkreis",
	checks.ClosedLoop:        "eine geschlossene Kontaktschleife ohne Widerstand oder ein Kurzschluss",
	checks.SeveralResistors:  "ein Stromkreis mit mehreren Widerständen oder eine feuchte oder schlechte Verbindung",
	checks.SingleConductor:   "ein einzelner Leiter: Erde oder die Hälfte eines Stromkreises",
	checks.SupplyOrSounder:   "ein Aderpaar für Versorgung oder Sirene",
	checks.SounderOrSupply:   "ein Aderpaar für Sirene oder Versorgung",
	checks.ContactLoop:       "eine Kontaktschleife",
	checks.TwoContactLoops:   "zwei Kontaktschleifen",
	checks.DetectorAlarm:     "ein versorgter Melder: Aderpaar der Versorgung und Alarmschleife",
	checks.DetectorAlarmTamp: "ein versorgter Melder: Versorgung, Alarm- und Sabotageschleife",
	checks.SounderStrobe:     "eine Sirene mit Blitzleuchte und Sabotage",
	checks.TrunkToOthers:     "ein Sammelkabel zu einem Bedienteil, einer Verteilerdose oder mehreren Meldern",
}

func (l Language) guessWhat(g checks.Guess) string {
	switch g.What {
	case checks.EndOfLine:
		return "ein Stromkreis mit einem Abschlusswiderstand von " + l.ohms(g.Value)
	case checks.TwoInSeries:
		return "zwei Widerstände von " + l.ohms(g.Value) + " in Reihe, bei aktivem Kontakt"
	}
	return germanGuesses[g.What]
}

// ohms is a resistance with its unit.
func (l Language) ohms(value float64) string { return l.Number(value, words.AsNeeded) + " Ω" }

func (l Language) guessWhy(g checks.Guess) string {
	read := "gemessen: " + l.ohms(g.Ohm)
	switch g.Why {
	case checks.ByMainsColours:
		return "seine Farben sind für Netzspannung gebräuchlich"
	case checks.ReadsOpen:
		return "gemessen: offen"
	case checks.ReadsCable:
		return read + ", also nur Kabel und Kontakte"
	case checks.ReadsPreferred:
		return fmt.Sprintf("%s, höchstens %s %% neben einem Normwert", read, l.Number(100*g.Within, 1))
	case checks.ReadsTwice:
		return fmt.Sprintf("%s, höchstens %s %% neben dem Doppelten eines Normwerts", read, l.Number(100*g.Within, 1))
	case checks.ReadsNoPreferred:
		return l.ohms(g.Ohm) + " ist kein Normwert"
	case checks.ByRedAndBlack:
		return "zwei Adern, rot und schwarz"
	case checks.ByTwoPairs:
		return "zwei Aderpaare"
	case checks.BySixCores:
		return "sechs Adern sind üblich"
	}
	switch g.Cores {
	case 1:
		return "eine Ader"
	case 2:
		return "zwei Adern"
	}
	return fmt.Sprintf("%d Adern", g.Cores)
}

var germanGuessChecks = map[checks.GuessCheck]string{
	checks.TreatAsLive: "als unter Spannung stehend behandeln: Eine zugelassene Person muss die Spannungsfreiheit " +
		"feststellen, bevor es jemand berührt",
	checks.OperateAndRead: "Tür oder Fenster schließen oder den Melder betätigen und erneut messen: Ändert sich " +
		"der Wert, ist es ein Kontakt, sonst ein durchtrenntes oder unbenutztes Kabel",
	checks.OpenEachContact: "jeden Kontakt einzeln öffnen: Der Messwert muss auf offen gehen; tut er es nicht, " +
		"nach einer Brücke suchen",
	checks.OpenTheContact: "den Kontakt öffnen: offen heißt ein Widerstand, etwa das Doppelte heißt ein zweiter am " +
		"Kontakt",
	checks.BringToRest: "den Kontakt in Ruhe bringen: Der halbe Wert bestätigt es",
	checks.ReadBothWays: "in beiden Richtungen messen und noch einmal mit jedem Kontakt betätigt; ein Wert, der " +
		"wandert, ist ein Fehler",
	checks.MeasureRedBlack: "Spannung zwischen Rot und Schwarz und ihre Polarität messen, bevor etwas " +
		"angeschlossen wird",
	checks.FindSupplyPair: "das Aderpaar der Versorgung an seiner Spannung finden und seine Polarität feststellen, " +
		"bevor etwas angeschlossen wird",
	checks.TraceBothEnds:     "bis zu beiden Enden verfolgen",
	checks.ReadOpenAndClosed: "Widerstand bei offenem und bei geschlossenem Kontakt messen",
	checks.ReadEachPair:      "jedes Aderpaar bei offenem und bei geschlossenem Kontakt messen",
	checks.MeasureFirst:      "zuerst die Spannung messen",
	checks.OpenFarEnd:        "das ferne Ende öffnen und jedes Aderpaar beschriften, bevor etwas abgeklemmt wird",
}
