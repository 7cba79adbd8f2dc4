package german

import (
	"loopwitness/commission/words"

	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

var germanMeasures = map[judge.Measure]string{
	judge.ResponseSince: "Ansprechzeit", judge.RestoredSince: "Rückstellung", judge.LoopSince: "Schleife",
	judge.MainsSince: "Versorgung, Netz vorhanden", judge.StandbySince: "Versorgung ohne Netz",
	judge.LoadedSince:   "Versorgung ohne Netz, alle Ausgänge ein",
	judge.InternalSince: "Widerstand der Versorgung im Notbetrieb",
}

var germanIncomparables = map[judge.Incomparable]string{
	judge.PracticeThen: "einer der beiden Termine war Übung",
	judge.LaterThen:    "er wurde später begonnen als dieser",
	judge.RenamedThen:  "dort war ein anderer Melder: Name oder Art waren anders",
	judge.TimedThen: "damals wurde die Zeit anders genommen: mit anderem Mittel oder ab einer anderen Art von " +
		"Aufforderung",
	judge.InstrumentThen: "damals wurde mit einem anderen Messgerät gemessen",
	judge.BatteryThen:    "der Akku wurde erneuert",
	judge.BatteryUnsaid: "ob es derselbe Akku ist, ist nicht bekannt: Einer der beiden Termine sagt nicht, wann er " +
		"eingebaut wurde",
	judge.MinuteThen:      "es wurde zu einer anderen Minute ohne Netz abgelesen",
	judge.UncertaintyThen: "die Unsicherheit ist nicht angegeben",
	judge.NotThen:         "es wurde damals nicht gemessen",
	judge.NotNow:          "diesmal wurde keine Zeit genommen",
}

var germanSinceLabels = map[words.SinceLabel]string{
	words.VisitSince: "Termin", words.DaySince: "Begonnen", words.TechnicianSince: "Techniker",
	words.RecordSince:   "Aufzeichnung beginnt mit",
	words.ComparedSince: "Verglichen", words.MeasureSince: "Gemessen", words.ThenSince: "Damals", words.NowSince: "Jetzt",
	words.DifferenceSince: "Differenz",
	words.WithinSince:     "±", words.ChangeSince: "Änderung", words.ShareAxis: "Ansprechzeit / % der Grenze",
	words.MinutesAxis: "Netz weg / min",
	words.VoltAxis:    "Versorgung / V", words.VisitAxis: "Termin begonnen / Jahr", words.LimitMark: "Grenze",
	words.SlopeMark:    "Steigung",
	words.MeasuredMark: "je Termin",
}

var germanSinceNotes = map[words.SinceNote]string{
	words.ReactionNote: "Wer einen Melder betätigt, steckt in seinen Zeiten; jemand anderes reagiert vielleicht " +
		"anders, und kein Melder antwortet zweimal gleich. Der Vergleich rechnet dafür bei jedem Termin mit einem " +
		"Zehntel der Grenze, die für die Art üblich ist, mindestens ± 0,2 s; und bei der Spannung eines Akkus mit ± 0,1 " +
		"V für Temperatur und Ladung.",
	words.NoneComparedNote: "Nichts aus den früheren Terminen ist mit diesem vergleichbar.",
}

// ofSince says what changed since earlier visits.
func (l Language) ofSince(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Measure:
		return germanMeasures[p], germanMeasures[p] != ""
	case judge.Incomparable:
		return germanIncomparables[p], germanIncomparables[p] != ""
	case judge.Change:
		return changed(judge.MainsSince, p), true
	case judge.GotWorse:
		return l.gotWorse(p), true
	case words.SinceHeading:
		return "Seit dem letzten Termin, " + l.Date(p.Day), true
	case words.SinceLabel:
		return germanSinceLabels[p], germanSinceLabels[p] != ""
	case words.SinceNote:
		return germanSinceNotes[p], germanSinceNotes[p] != ""
	case words.SinceRule:
		return l.sinceRule(p.Of), true
	case words.SinceMore:
		return "Davor " + count(p.Visits, "weiterer Termin", "weitere Termine") + ".", true
	case words.SinceOf:
		return l.sinceOf(p), true
	case words.SinceChange:
		if p.MayBeChance {
			return "kann Zufall sein", true
		}
		return changed(p.Of, p.Change), true
	case words.SinceValue:
		return l.sinceValue(p), true
	case words.SinceAlike:
		return l.sinceAlike(p), true
	case words.SinceNot:
		return l.sinceNot(p), true
	case words.SinceLater:
		return "verglichen mit dem Termin vom " + l.Date(p.Day) + "; später: " + l.Say(p.Why), true
	case words.SinceThenNow:
		return sinceThenNow(p), true
	case words.SinceStandby:
		return l.sinceStandby(p), true
	case words.SinceFromTo:
		return l.Number(p.Then, decimalsOf(p.Of, p.Then)) + " → " + l.valued(p.Of, p.Now), true
	case words.SinceAxis:
		return germanMeasures[p.Of] + " / " + germanMeasureUnits[p.Of.Unit()], true
	case words.SinceSlope:
		return l.sinceSlope(p), true
	}
	return "", false
}

// changed is a change in a word or two.
func changed(of judge.Measure, c judge.Change) string {
	timed := of == judge.ResponseSince || of == judge.RestoredSince
	words := map[judge.Change][2]string{
		judge.NoChange: {"keine erkennbar", "keine erkennbar"}, judge.GotBetter: {"schneller", "besser"},
		judge.GotOther:    {"geändert", "geändert"},
		judge.WorseByStep: {"langsamer", "schlechter"}, judge.WorseByAll: {"langsamer, Trend", "schlechter, Trend"},
	}[c]
	if timed {
		return words[0]
	}
	return words[1]
}

func (l Language) sinceOf(p words.SinceOf) string {
	switch {
	case p.Of == judge.StandbySince:
		return l.Say(words.VoltageOff{After: spanOf(p.After)})
	case p.Step != nil:
		return l.Say(*p.Step)
	}
	return l.Say(words.Titled{Of: p.Of})
}

// spanOf is so many seconds.
func spanOf(v float64) time.Duration {
	return time.Duration(v * float64(time.Second)).Round(time.Second)
}

// decimalsOf are those that a value of a measure is shown with.
func decimalsOf(of judge.Measure, v float64) int {
	switch {
	case of == judge.InternalSince:
		return 2
	case of == judge.LoopSince && math.Abs(v) >= 100:
		return 0
	case of == judge.LoopSince:
		return 1
	}
	return 2
}

var germanMeasureUnits = map[string]string{"s": "s", "V": "V", "ohm": "Ω"}

func (l Language) sinceValue(p words.SinceValue) string {
	text := l.Number(p.Value, decimalsOf(p.Of, p.Value))
	if p.Signed && p.Value > 0 {
		text = "+" + text
	}
	if p.With {
		text += " " + germanMeasureUnits[p.Of.Unit()]
	}
	return text
}

func (l Language) valued(of judge.Measure, v float64) string {
	return l.sinceValue(words.SinceValue{Of: of, Value: v, With: true})
}

// sinceRule says by what it was judged.
func (l Language) sinceRule(s judge.Since) string {
	text := fmt.Sprintf("Damals und jetzt werden mit beiden Unsicherheiten (k = 2) verglichen, als wären diese "+
		"unabhängig. Vergleiche, die zusammen betrachtet werden: %d. Schlechter oder besser "+
		"geworden ist, was sich um mehr als seine Unsicherheit geändert hat und nach Holm bei 5 %% in dieser Richtung "+
		"signifikant ist; was größer als seine Unsicherheit ist und das nicht ist, kann Zufall sein. Unterschiede sind die "+
		"der gedruckten Werte. Was schlechter wurde, schränkt "+
		"das Ergebnis ein; ein Melder, der langsamer wurde, nur dann, wenn die Hälfte der Zeit verbraucht ist, die er "+
		"bis zu seiner Grenze hatte, oder wenn eine Steigung die Grenze vor dem nächsten Termin erreicht.", s.Compared)
	if s.Trends == 0 {
		most := 0
		for _, line := range s.Lines {
			most = max(most, len(line.Points))
		}
		if most == checks.FewestForTrend-1 {
			text += " Drei Termine zeigen keinen Trend, und keiner wird behauptet."
		}
		return text + " „Keine erkennbar“ heißt nicht, dass sich nichts geändert hat."
	}
	return text + fmt.Sprintf(" Ab vier Terminen zeigt der Test nach Mann und Kendall einen Trend zum Schlechteren, "+
		"einseitig bei je 5 %% (exakt bis zehn Termine), mit der Steigung nach Theil und Sen zu den wahren Tagen; "+
		"einer der Versorgungsspannung schränkt nur ein, wenn er eine angegebene Grenze binnen zehn Jahren erreicht. "+
		"Zahl der "+
		"Tests %d, davon durch Zufall zu erwarten %s. Als Tag des nächsten Termins gilt der %s%s. „Keine erkennbar“ heißt "+
		"nicht, dass sich nichts geändert hat.", s.Trends, l.Number(s.ByChance, 1), l.Date(s.NextDue), byDefault(s.NextAssumed))
}

func byDefault(assumed bool) string {
	if assumed {
		return ", ein Jahr nach diesem: Niemand hat ihn angegeben"
	}
	return ""
}

// gotWorse says what got worse. All of it is about one detector or the supply.
func (l Language) gotWorse(p judge.GotWorse) string {
	var text string
	if named, more := words.WorstOf(p.Of); more > 0 {
		text = l.worsened(named) + fmt.Sprintf("; und %d weitere der Versorgung, alle im Vergleich der Termine", more)
	} else {
		var parts []string
		for _, w := range p.Of {
			parts = append(parts, l.worsened(w))
		}
		text = strings.Join(parts, "; ")
	}
	if p.Holds {
		text += ". Noch eingehalten"
	}
	return text
}

// alsoWorse says shortly how what a finding is about got worse since earlier visits.
func (l Language) alsoWorse(all []judge.Worsened) string {
	text := ""
	for _, w := range all {
		text += "; schlechter als am " + l.Date(w.At)
		if w.Of != judge.InternalSince { // whose first value stands in its limit
			text += " (" + l.valued(w.Of, w.Then) + ")"
		}
		if w.By == judge.WorseByStep {
			text += " um mehr als beide Unsicherheiten"
		} else {
			text += ", ein Trend über " + count(w.Visits, "Termin", "Termine")
		}
	}
	return text
}

func (l Language) worsened(w judge.Worsened) string {
	about := l.Say(w.Of)
	switch {
	case w.Of == judge.StandbySince && spanOf(w.After) < time.Second:
		about = "Versorgung, Netz eben weg"
	case w.Of == judge.StandbySince:
		about += " seit " + l.Duration(spanOf(w.After))
	}
	text := fmt.Sprintf("%s %s am %s, jetzt %s", about, l.valued(w.Of, w.Then), l.Date(w.At), l.valued(w.Of, w.Now))
	switch w.By {
	case judge.WorseByStep:
		text += fmt.Sprintf(": mehr als die Unsicherheit beider (%s)", l.valued(w.Of, w.Expanded))
	default:
		text += ": ein Trend über " + count(w.Visits, "Termin", "Termine")
	}
	if w.Meets != nil && w.Limit != nil {
		text += fmt.Sprintf(
			"; bei %s je Jahr ist die Grenze von %s etwa im %s erreicht, vor dem nächsten Termin",
			l.slope(w.Of, w.Slope),
			l.valued(w.Of, w.Limit.SI),
			l.month(*w.Meets),
		)
	}
	return text
}

func (l Language) slope(of judge.Measure, v float64) string {
	text := l.Number(math.Round(v*1000)/1000, words.AsNeeded)
	if v > 0 {
		text = "+" + text
	}
	return text + " " + germanMeasureUnits[of.Unit()]
}

func (Language) month(t time.Time) string {
	return fmt.Sprintf("%s %d", months[t.Month()-time.January], t.Year())
}

// mostAlike are the pairs that are listed one by one: more would be a page of figures in which nobody finds anything.
const mostAlike = 150

// sinceAlike lists detectors shortly: 1.1 0.62 → 0.61.
func (l Language) sinceAlike(p words.SinceAlike) string {
	if !p.Changed && !p.Chance && len(p.Of) > mostAlike {
		detectors := map[string]bool{}
		for _, pair := range p.Of {
			detectors[string(pair.Point)] = true
		}
		return fmt.Sprintf("Kein Unterschied ist erkennbar bei %d weiteren Zeiten von %s. Was sie damals waren, "+
			"steht auf den Prüfbescheinigungen der früheren Termine.", len(p.Of), count(len(detectors), "Melder", "Meldern"))
	}
	text := ""
	for i, pair := range p.Of {
		name := string(pair.Point)
		if pair.Of == judge.RestoredSince {
			name += " zurückgestellt"
			if i > 0 && p.Of[i-1].Point == pair.Point {
				name = "zurückgestellt"
			}
		}
		if i > 0 {
			text += map[bool]string{true: ", ", false: "; "}[name == "zurückgestellt"]
		}
		text += fmt.Sprintf("%s %s → %s", name, l.Number(pair.Then, 2), l.Number(pair.Now, 2))
	}
	if p.Chance {
		return "Größer als seine Unsicherheit, was bei so vielen Vergleichen Zufall sein kann (damals → jetzt, in s): " +
			text + "."
	}
	if p.Changed {
		return "Weitere Änderungen (damals → jetzt, in s): " + text + "."
	}
	return "Bei diesen ist kein Unterschied erkennbar (damals → jetzt, in s): " + text + "."
}

func (l Language) sinceNot(p words.SinceNot) string {
	var about []string
	for _, row := range p.Row {
		about = append(about, l.Say(row))
	}
	if len(p.Of)+len(p.Row) == 0 {
		return "Nicht verglichen: " + l.Say(p.Why) + "."
	}
	if len(p.Of) > 0 {
		about = append([]string{points(p.Of)}, about...)
	}
	return "Nicht verglichen: " + strings.Join(about, "; ") + ": " + l.Say(p.Why) + "."
}

func sinceThenNow(p words.SinceThenNow) string {
	text := "Jede Zeile ist ein Melder: Der Ring ist seine Ansprechzeit damals, der Punkt die jetzt, beide in Prozent " +
		"seiner eigenen Grenze, der gestrichelten Linie."
	if p.Shown < p.All {
		text += fmt.Sprintf(" Von %d werden diese %d gezeigt: die schlechter gewordenen, dann die am meisten "+
			"geänderten.", p.All, p.Shown)
	}
	if p.Worse == 0 {
		return text + " Keiner wurde um mehr langsamer, als sicher ist."
	}
	return text + " " + count(p.Worse, "Melder wurde", "Melder wurden") + " langsamer, gekennzeichnet mit einem " +
		"Strich unter dem Punkt."
}

func (l Language) sinceStandby(p words.SinceStandby) string {
	text := "Versorgungsspannung zu denselben Minuten ohne Netz: Ringe und gestrichelte Linie am " + l.Date(p.Then) +
		", Punkte und volle Linie jetzt; die senkrechten Striche sind die Unsicherheit."
	if p.Limit != nil {
		text += " Die Linie „Grenze“ ist " + l.valued(judge.StandbySince, p.Limit.SI) + " (" + l.Say(*p.Limit) + ")."
	}
	switch p.Fell {
	case words.FellShown:
		return text + " Sie liegt tiefer als damals."
	case words.FellByTrend:
		return text + " Sie fällt im Trend über mehrere Termine; zwischen diesen beiden wird kein Abfall behauptet."
	case words.FellPerhaps:
		return text + " Ein Abfall, der größer als seine Unsicherheit ist, kann bei so vielen Vergleichen Zufall sein."
	}
	return text + " Kein Abfall ist erkennbar, der größer als die Unsicherheit ist."
}

func (l Language) sinceSlope(p words.SinceSlope) string {
	about := l.Say(p.Of)
	if p.About != nil {
		about = briefly(*p.About) + ", " + l.Say(p.Of.Of)
	}
	t := p.Line.Trend
	if t == nil {
		return about + ": zu wenige Termine für eine Steigung."
	}
	text := fmt.Sprintf("%s: %s je Jahr (Theil–Sen, %s", about, l.slope(p.Of.Of, t.Slope), count(t.N, "Termin", "Termine"))
	if t.Low != nil && t.High != nil {
		text += fmt.Sprintf("; 95 %%: %s bis %s", l.slope(p.Of.Of, *t.Low), l.slope(p.Of.Of, *t.High))
	} else {
		text += "; zu wenige für ein Intervall"
	}
	how := "angenähert"
	if t.Exact {
		how = "exakt"
	}
	text += fmt.Sprintf("); Wahrscheinlichkeit durch Zufall %s, %s.", l.Number(t.OneSided, 4), how)
	if p.Line.Meets != nil && p.Line.Limit != nil {
		text += fmt.Sprintf(" Bei dieser Steigung ist die Grenze von %s etwa im %s erreicht.",
			l.valued(p.Of.Of, p.Line.Limit.SI), l.month(*p.Line.Meets))
	}
	return text
}
