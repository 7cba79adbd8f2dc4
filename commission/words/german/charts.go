package german

import (
	"fmt"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
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
	switch {
	case len(p.Limits) > 1:
		text += ". Gestrichelt: die Grenzen, jede für ihre Melderarten"
	case len(p.Limits) == 1:
		text += ". Gestrichelt: die Grenze"
	}
	if p.Trials > p.N {
		text += fmt.Sprintf(". Striche unten: alle %d Versuche, auch die früheren", p.Trials)
	}
	text += "."
	if p.Silent > 0 {
		more := "Ein weiterer Melder wurde"
		if p.Silent > 1 {
			more = fmt.Sprintf("%d weitere Melder wurden", p.Silent)
		}
		text += " Die Kurve endet unter 100 %: " + more + " nicht als aktiv gemeldet."
	}
	if p.Slow > 0 {
		text += fmt.Sprintf(" Nicht darunter: %d Melder von Arten, die ihre eigene Zeit brauchen.", p.Slow)
	}
	return text
}

func (l Language) orderSays(p words.OrderSays) string {
	text := fmt.Sprintf("%s in der Reihenfolge des Termins, jeder in Prozent seiner eigenen Grenze.", tries(p.Trials))
	if p.Name != "" {
		text += fmt.Sprintf(" Rechtzeitig und der Grenze am nächsten: %s, %s %%.", p.Name, l.Number(p.Nearest, 0))
	}
	if len(p.Other) > 0 {
		text += " Kreuze, nicht rechtzeitig oder unentschieden: " + fewPoints(p.Other) + "."
	}
	if len(p.Silent) > 0 {
		text += " Kreuze am oberen Rand, nicht als aktiv gemeldet: " + fewPoints(p.Silent) + "."
	}
	if len(p.Other)+len(p.Silent) == 0 {
		return text + " Keiner war zu spät."
	}
	return text + " Was aus jedem wurde, steht in der Liste der Melder."
}

// fewPoints names some points, each once, and counts the rest.
func fewPoints(all []site.Point) string {
	names, more := words.Few(all)
	if more > 0 {
		return fmt.Sprintf("%s und %d weitere", names, more)
	}
	return names
}

func (l Language) supplySays(p words.SupplySays) string {
	text := "Jede Marke ist eine Ablesung"
	switch {
	case p.Drawn:
		text += fmt.Sprintf(", ihr senkrechter Strich die Unsicherheit: höchstens ± %s V", l.Number(p.Uncertainty, 2))
	case p.Uncertainty > 0:
		text += fmt.Sprintf(", höchstens ± %s V", l.Number(p.Uncertainty, 2))
	}
	text += "."
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
