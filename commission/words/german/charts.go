package german

import (
	"fmt"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/words"
)

var germanChartLabels = map[words.ChartLabel]string{
	words.ResponseAxis: "Ansprechzeit / s", words.DetectorsAxis: "Melder / %",
	words.VisitMinutesAxis: "Minuten nach dem ersten", words.InTimeMark: "rechtzeitig",
	words.NotInTimeMark: "nicht rechtzeitig", words.UnloadedMark: "ohne Last", words.LoadedMark: "mit Last",
	words.MainsOffArea: "Netz weg",
}

// ofCharts says what charts of this visit show.
func (l Language) ofCharts(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.ChartLabel:
		return germanChartLabels[p], germanChartLabels[p] != ""
	case words.BriefDetector:
		return briefly(programme.DetectorName(p)), true
	case words.CumulativeSays:
		return l.cumulativeSays(p), true
	case words.OrderSays:
		return l.orderSays(p), true
	case words.SupplySays:
		return l.supplySays(p), true
	}
	return "", false
}

func (l Language) cumulativeSays(p words.CumulativeSays) string {
	text := fmt.Sprintf("Jede Stufe ist ein Melder. Von %d wurde die Hälfte in %s s gemeldet, alle in %s s", p.N,
		l.Number(p.Half, 2), l.Number(p.Slowest, 2))
	if p.N == 1 {
		text = fmt.Sprintf("Der eine Melder mit gemessener Zeit wurde in %s s gemeldet", l.Number(p.Slowest, 2))
	}
	if p.Name != "" {
		text += ": " + p.Name
	}
	var limits []string
	for _, limit := range p.Limits {
		limits = append(limits, l.Number(limit, words.AsNeeded)+" s")
	}
	return text + ". Gestrichelt: Grenzen von " + strings.Join(limits, ", ") + ", jede für ihre Arten. Striche unten: " +
		tries(p.Trials) + ", auch frühere desselben Melders."
}

func (l Language) orderSays(p words.OrderSays) string {
	text := fmt.Sprintf("%s in der Reihenfolge des Termins, jeder in Prozent seiner eigenen Grenze.", tries(p.Trials))
	if p.Name != "" {
		text += fmt.Sprintf(" Rechtzeitig und der Grenze am nächsten: %s, %s %%.", p.Name, l.Number(p.Nearest, 0))
	}
	if p.Other > 0 {
		text += fmt.Sprintf(" Kreuze: %s nicht rechtzeitig oder unentschieden.", tries(p.Other))
	}
	if p.Silent > 0 {
		text += fmt.Sprintf(" Am oberen Rand: %s ohne jede Meldung.", tries(p.Silent))
	}
	if p.Other+p.Silent == 0 {
		text += " Keiner war zu spät."
	}
	return text
}

func (l Language) supplySays(p words.SupplySays) string {
	text := "Jede Marke ist eine Ablesung."
	if p.Uncertainty > 0 {
		text = fmt.Sprintf("Jede Marke ist eine Ablesung, ihr senkrechter Strich die Unsicherheit: höchstens ± %s V.",
			l.Number(p.Uncertainty, 2))
	}
	if p.Lowest > 0 {
		text += fmt.Sprintf(" Ohne Netz, insgesamt %s lang, war der niedrigste Wert %s V", l.Duration(p.Off),
			l.Number(p.Lowest, 2))
		if p.Loaded {
			text += ", mit Last"
		}
		text += "."
	}
	return text
}

// tries counts trials.
func tries(n int) string {
	if n == 1 {
		return "1 Versuch"
	}
	return fmt.Sprintf("%d Versuche", n)
}
