package german

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// ofPageOne says what stands on page one, and every verdict.
func (l Language) ofPageOne(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{l.ofVerdicts, frontFixed, l.frontFacts, l.frontLooks} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	i, is := p.(words.DueInterval)
	return "", is && (i.Of.None || !i.Of.Agreed)
}

var germanRuled = map[words.Verdict]string{
	words.Passed: "bestanden", words.PassedUntimed: "gemeldet", words.Failed: "nicht bestanden",
	words.Undecided: "unentschieden", words.Untested: "nicht geprüft", words.Informative: "Angabe",
	words.NoMatter: "entfällt",
}

var germanRuledReasons = map[words.Reason]string{
	words.BecauseLate: "zu spät", words.BecauseSilent: "stumm", words.Crossed: "vertauscht", words.Inverted: "verkehrt",
	words.Unsteady: "unruhig", words.Dangerous: "Gefahr", words.StillToDo: "offen", words.NotValid: "ungültig",
	words.NotCleared: "bleibt stehen", words.NotSeen: "nicht gesehen", words.Unsure: "unsicher",
	words.OutsideUsual: "jenseits einer üblichen Grenze", words.RestsOnOurs: "beruht auf einer Annahme",
	words.AnswerLacks: "eine Angabe fehlt",
}

var germanMeanings = map[words.Verdict]string{
	words.Passed: "bestanden: wie es sein soll", words.PassedUntimed: "gemeldet, ohne Zeit",
	words.Failed:    "nicht bestanden: nicht, wie es sein soll",
	words.Undecided: "unentschieden: aus dem genannten Grund nicht zu sagen",
	words.Untested:  "nicht geprüft", words.Informative: "Angabe: an nichts gemessen",
}

func (l Language) ofVerdicts(p words.Phrase) string {
	switch p := p.(type) {
	case words.Verdict:
		return germanRuled[p]
	case words.Reason:
		return germanRuledReasons[p]
	case words.Ruled:
		text := germanRuled[p.Is]
		if p.Because != "" {
			text += ": " + germanRuledReasons[p.Because]
		}
		return text
	case words.VerdictMeans:
		return germanMeanings[words.Verdict(p)]
	case words.VerdictsNote:
		return "Bestanden: wie es sein soll, nach dem, was bei diesem Termin betätigt, abgelesen, berechnet oder " +
			"geantwortet wurde. Gemeldet: Der Melder wurde gemeldet und zurückgestellt, wie schnell, wurde nicht gemessen. " +
			"Nicht bestanden: nicht, wie es sein soll, mit dem Grund. Unentschieden: zu nah an der Grenze, jenseits einer nur " +
			"üblichen, oder beruht auf einer Annahme. Nicht geprüft: Es wurde nichts gezeigt. Angabe: an nichts gemessen. Entfällt: gibt es hier " +
			"nicht. Die Aufzeichnung hat für jedes ihre eigenen Kennwörter."
	}
	return ""
}

func frontFixed(p words.Phrase) string {
	switch p := p.(type) {
	case words.Heading:
		return germanFrontHeadings[p]
	case words.FrontLabel:
		return germanFrontLabels[p]
	case words.FrontNote:
		return germanFrontNotes[p]
	case words.FrontFigure:
		return germanFrontFigures[p]
	}
	return ""
}

var germanFrontHeadings = map[words.Heading]string{
	words.SummaryHeading:       "Kurzfassung einer Prüfbescheinigung",
	words.FrontListHeading:     "Was zu tun bleibt und was das Ergebnis einschränkt",
	words.FrontAlarmHeading:    "Ein Alarm, vom ersten Signal bis zur Ruhe",
	words.FrontSupplyHeading:   "Versorgung und Ausgänge",
	words.FrontPremisesHeading: "Objekt und Anlage",
}

var germanFrontLabels = map[words.FrontLabel]string{
	words.TestedBy: "geprüft von", words.TestedFor: "für", words.SealedBy: "signiert von",
	words.OnTest: "Anlage auf Test", words.NextDueOn: "nächster Termin fällig", words.Address: "Anschrift",
	words.FrontWhat: "Was ist, und was zu tun ist", words.FrontPart: "Teil", words.FrontWho: "Wer, bis wann",
}

var germanFrontNotes = map[words.FrontNote]string{
	words.NobodySigned:   "noch niemand hat unterschrieben",
	words.NoLicence:      "keine Zulassung angegeben",
	words.NotSealed:      "niemandem",
	words.NotSealedMeans: "nicht signiert: Nichts zeigt, wer es gemacht hat",
	words.ThrowAwayKey:   "niemandem",
	words.ThrowAwayMeans: "ein Wegwerfschlüssel: Er beweist nichts über den, der es gemacht hat",
	words.NotOnTest:      "nicht angegeben",
	words.NothingLeft:    "Es wurde kein Mangel gefunden, und nichts schränkt das Ergebnis ein.",
	words.NotToScale:     "Die Linie ist nicht maßstäblich: Was dicht beieinander liegt, ist auseinandergerückt.",
	words.CautionInShort: "Diese Seite sagt, was bei einem Termin angegeben, betätigt und gemessen wurde. Sie erklärt " +
		"keine Übereinstimmung mit einer Norm. Es entscheiden die örtlichen Vorschriften, die zuständige Behörde, die " +
		"Bedingungen des Versicherers und wer zugelassen ist.",
	words.NeverCame:      "nie",
	words.OutputsInShort: "Ausgänge",
	words.StandbyInShort: "Notbetrieb, berechnet",
	words.MainsInShort:   "Netz vorhanden",
	words.WithLoad:       "mit allen Ausgängen",
	words.NothingAgreed:  "noch nichts vereinbart",
}

var germanFrontFigures = map[words.FrontFigure]string{
	words.PassedFigure: "Melder bestanden", words.ReportedFigure: "gemeldet, ohne Zeit",
	words.UntestedFigure: "nicht geprüft oder nicht gemessen",
}

// frontFacts says who says so, and what else has room in a box.
func (l Language) frontFacts(p words.Phrase) string {
	switch p := p.(type) {
	case words.OnTestTimes:
		switch {
		case p.To == "":
			return "ab " + named(p.From)
		case p.From == "":
			return "bis " + named(p.To)
		}
		return named(p.From) + " bis " + named(p.To)
	case words.KeyBegins:
		return "Schlüssel " + p.Digits + " …"
	case words.DueOn:
		switch {
		case p.Of.None:
			return "keiner vereinbart"
		case !p.Of.Agreed:
			return "nicht vereinbart"
		case p.Of.Due.IsZero():
			return "nicht bekannt"
		}
		return l.Date(p.Of.Due)
	case words.DueInterval:
		switch {
		case p.Of.None || !p.Of.Agreed:
			return ""
		case p.Of.Due.IsZero():
			return l.interval(p.Of.Interval) + " nach dem letzten Termin an der ganzen Anlage"
		}
		return l.interval(p.Of.Interval) + " nach dem " + l.Date(p.Of.From)
	case words.TakenOn:
		return l.takenOn(p.Of)
	case words.SummaryOf:
		text := "Diese Seite ist die Kurzfassung der vollständigen Prüfbescheinigung, Revision %d, derselben Aufzeichnung, " +
			"die auch hier beiliegt. Die vollständige enthält jeden Melder, jeden Messwert und jede Antwort; zu erfragen " +
			"bei: %s."
		return fmt.Sprintf(text, p.Revision, orElse(named(p.Company), "wer dies gemacht hat"))
	case words.MoreOutstanding:
		return l.moreOutstanding(p)
	}
	return ""
}

func orElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func (l Language) takenOn(u *record.Undertaken) string {
	if u == nil {
		return germanFrontNotes[words.NothingAgreed]
	}
	var parts []string
	if u.Who != "" {
		parts = append(parts, named(u.Who))
	}
	if u.By != "" {
		parts = append(parts, "bis "+l.day(u.By))
	}
	if u.Action != "" {
		parts = append(parts, l.Say(u.Action))
	}
	return orElse(strings.Join(parts, ", "), germanFrontNotes[words.NothingAgreed])
}

func (l Language) moreOutstanding(p words.MoreOutstanding) string {
	var parts []string
	add := func(g words.Graded, one, many string) {
		if all := g.Dangers + g.Faults + g.Advice; all > 0 {
			parts = append(parts, count(all, one, many)+" ("+gravities(g)+")")
		}
	}
	add(p.Findings, "Mangel", "Mängel")
	add(p.Limitations, "Einschränkung", "Einschränkungen")
	where := "auf der nächsten Seite"
	if p.Summary {
		where = "in der vollständigen Prüfbescheinigung"
	}
	return "Dazu " + strings.Join(parts, " und ") + ": siehe die Liste " + where + "."
}

// gravities counts by how grave.
func gravities(g words.Graded) string {
	var parts []string
	add := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, count(n, one, many))
		}
	}
	add(g.Dangers, "Gefahr", "Gefahren")
	add(g.Faults, "offen", "offen")
	add(g.Advice, "Hinweis", "Hinweise")
	return strings.Join(parts, ", ")
}

// frontLooks says the supply in one look, and the alarm.
func (l Language) frontLooks(p words.Phrase) string {
	switch p := p.(type) {
	case words.VoltsWithin:
		text := l.Number(p.Volt, 2)
		if p.Within > 0 {
			text += " ± " + l.Number(p.Within, 2)
		}
		return text + " V"
	case words.WithoutMains:
		if p.After < time.Second {
			return "Netz eben weg"
		}
		return l.Duration(p.After) + " ohne Netz"
	case words.StandbyNeeds:
		unit := " Ah"
		if p.InWattHours {
			unit = " Wh"
		}
		fitted := l.quantity(p.Fitted)
		if fitted == "" {
			fitted = l.Number(p.Of, 1) + unit
		}
		return l.Number(p.Need, 1) + unit + " von " + fitted
	case words.StandbyFor:
		text := named(l.quantity(p.Standby))
		if p.Alarm != "" {
			text += ", dann " + named(l.quantity(p.Alarm)) + " Alarm"
		}
		return text
	case words.AlarmInShort:
		text := count(p.Instants, "Zeitpunkt", "Zeitpunkte") + " eines Alarms, gezählt ab der Auslösung"
		if p.Never > 0 {
			text += fmt.Sprintf("; %d weitere blieben aus", p.Never)
		}
		if p.More > 0 {
			text += fmt.Sprintf("; die %d späteren stehen in der Tabelle des Alarms", p.More)
		}
		return text + "."
	case words.AlarmInstant:
		return l.alarmInShort(p.Of)
	}
	return ""
}

func (l Language) alarmInShort(row judge.AlarmEvent) string {
	switch {
	case row.Never:
		return "nie"
	case row.NotTimed != "" || row.What == judge.Received && row.Uncertainty == 0:
		return "ohne Zeit"
	}
	return signed(l, row.Since) + " s"
}
