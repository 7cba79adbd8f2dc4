package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// ofOutputs says the rows of sounders and strobes.
func (l Language) ofOutputs(row *words.Row, c judge.Computed) {
	switch r := c.Row.(type) {
	case judge.CurrentRow:
		l.current(row, r, c.Ruling)
	case judge.LevelRow:
		l.level(row, r, c.Ruling)
	case judge.MarginRow:
		l.margin(row, r, c.Ruling)
	case judge.CutOffRow:
		l.cutOff(row, r, c.Ruling)
	}
}

// aboutOutput names the row of an output, "" for any other.
func aboutOutput(r judge.Row) string {
	switch r := r.(type) {
	case judge.CurrentRow:
		return "Strom (" + r.Output + ")"
	case judge.LevelRow:
		return "Schallpegel (" + r.Output + ")"
	case judge.MarginRow:
		return "Pegel über Umgebung (" + r.Output + ")"
	case judge.CutOffRow:
		return "Abschaltzeit (" + r.Output + ")"
	}
	return ""
}

func outputFormula(r judge.Row) string {
	switch r := r.(type) {
	case judge.CurrentRow:
		return "gemessen gegen angegeben"
	case judge.LevelRow:
		return levelFormula(r)
	case judge.MarginRow:
		return "Pegel mit Sirene minus Pegel ohne sie; Grenzen des Messgeräts bei beiden nach IEC 61672-1:2013, k = 2"
	case judge.CutOffRow:
		return "beobachtet gegen angegeben: bis zu ein Zehntel mehr gilt als eingehalten, weniger als die Hälfte bleibt " +
			"unentschieden"
	}
	return ""
}

func levelFormula(r judge.LevelRow) string {
	text := "wie am Ort abgelesen: Räume reflektieren, darum wird auf keinen anderen Abstand umgerechnet. U = " +
		"2·√Σ(a/√3)² aus Grenze des Messgeräts (IEC 61672-1:2013), letzter Stelle und 20 lg((d ± u)/d); eine Wand kann " +
		"einen Dauerton um 6 dB senken"
	if r.Background > 0 {
		text += "; Hintergrund abgezogen nach ISO 3744:2010"
	}
	return text
}

func (l Language) current(row *words.Row, r judge.CurrentRow, v checks.Ruling) {
	row.Inputs, row.Result, row.Limit = "angegeben "+l.quantity(r.Declared), l.reading(r.Measured),
		"höchstens "+l.quantity(r.Declared)+", Objektdatei"
	if v != checks.Pass {
		row.Change = "Objektdatei berichtigen und prüfen, ob Netzteil und Akku noch genügen"
	}
}

func (l Language) level(row *words.Row, r judge.LevelRow, v checks.Ruling) {
	inputs := []string{l.reading(r.Measured), "Abstand ± " + l.within(r.Within)}
	if r.Class > 0 {
		frequency := l.quantity(r.Frequency)
		if frequency == "" {
			frequency = "2 kHz bis 4 kHz angenommen"
		}
		inputs = append(inputs, fmt.Sprintf("Klasse %d ± %s dB bei %s", r.Class, l.Number(r.Tolerance, 1), frequency))
	}
	if r.Background > 0 {
		inputs = append(inputs, l.Number(r.Background, 1)+" dB Hintergrund abgezogen")
	}
	row.Inputs = strings.Join(inputs, ", ")
	row.Result = fmt.Sprintf("%s dB%s in %s", l.Number(r.Level, 1), weighted(r.Weighting),
		words.Metres(l.Units, r.Distance, words.AsNeeded, l.Number))
	if r.UpperBound {
		row.Result = "höchstens " + row.Result + ", zu nahe am Umgebungspegel"
	}
	if r.Class == 0 {
		row.Result += ": nur, dass sie ertönte; ein Messgerät ohne Klasse zeigt keinen Pegel"
	} else {
		within := fmt.Sprintf("−%s +%s dB", l.Number(r.Down, 1), l.Number(r.Up, 1))
		if down, up := l.Number(r.Down, 1), l.Number(r.Up, 1); down == up {
			within = "± " + up + " dB"
		}
		row.Result += ", " + within
	}
	if r.Declared != "" {
		row.Limit = "mindestens " + l.quantity(r.Declared) + " in " + l.run(r.DeclaredAt) + ", Objektdatei"
	}
	switch {
	case v == checks.Fail:
		row.Change = "nach schwacher Versorgung, verdecktem Trichter oder anderer Sirene als in der Objektdatei suchen"
	case r.Elsewhere:
		row.Change = fmt.Sprintf(
			"in %s messen: Durch den Abstand allein fällt ein Pegel um 20 lg(d2/d1), in Räumen um weniger; um "+
				"wie viel, weiß niemand",
			l.run(r.DeclaredAt),
		)
	case v == checks.Undecided && r.Class == 0:
		row.Change = "mit einem Messgerät der Klasse 1 oder 2 messen"
	}
}

func weighted(weighting string) string {
	if weighting == "" {
		return ""
	}
	return "(" + weighting + ")"
}

func (l Language) margin(row *words.Row, r judge.MarginRow, v checks.Ruling) {
	row.Inputs, row.Result = l.reading(r.Measured), l.Number(r.Margin, 1)+" dB über dem Umgebungspegel am Ort der Ablesung"
	if r.Uncertainty > 0 {
		row.Result += " ± " + l.Number(r.Uncertainty, 1) + " dB"
	}
	row.Limit = "mindestens " + l.Number(r.Limit.SI, words.AsNeeded) + " dB, " + l.Say(r.Limit)
	switch v {
	case checks.Fail:
		row.Change = "lautere Sirene oder eine näher dort, wo sie zu hören sein muss"
	case checks.Undecided:
		row.Change = "für diesen Ort vereinbaren, wie weit sie darüber liegen soll, und angeben: limits, margin"
	}
}

func (l Language) cutOff(row *words.Row, r judge.CutOffRow, v checks.Ruling) {
	row.Inputs, row.Result = "bei diesem Termin beobachtet", "endete von selbst nach "+l.quantity(r.Observed)
	if r.Exceeded {
		row.Result = "endete nicht innerhalb von " + l.quantity(strings.TrimPrefix(r.Observed, "> "))
	}
	if r.Declared != "" {
		row.Limit = l.quantity(r.Declared) + ", Objektdatei"
	}
	switch {
	case v == checks.Fail:
		row.Change = "Sirenenzeit der Zentrale einstellen oder Objektdatei berichtigen"
	case v == checks.Undecided && r.Exceeded:
		row.Change = "beobachten, bis sie endet"
	case v == checks.Undecided && r.Declared != "":
		row.Change = "herausfinden, was sie so früh beendete, und noch einmal versuchen"
	}
}
