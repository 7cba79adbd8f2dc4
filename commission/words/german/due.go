package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strconv"
	"strings"

	"loopwitness/commission/site"
)

// ofDue says what is due.
func (l Language) ofDue(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.DueVisit:
		return "Alarmanlage, nächster Termin fällig: " + named(p.Premises) + " (" + named(p.Reference) + ")", true
	case words.DueMatter:
		return "Alarmanlage, zu beheben: " + named(p.Premises) + ": " + l.Say(p.Of.Subject), true
	case words.DueBattery:
		return "Alarmanlage, Akku am Ende seiner Lebensdauer: " + named(p.Premises), true
	case words.DueMeter:
		return "Kalibrierung läuft ab: " + named(p.Name), true
	case words.CountedFrom:
		return l.countedFrom(p), true
	case words.InHand:
		return l.inHand(p), true
	case words.GradesCounted:
		return gradesCounted(p), true
	}
	return "", false
}

func (l Language) countedFrom(p words.CountedFrom) string {
	every := "in der Objektdatei ist kein Abstand vereinbart"
	switch {
	case p.Maintenance.None:
		every = "nach der Objektdatei ist keine Wartung vereinbart"
	case p.Maintenance.Interval.Given():
		every = "Abstand " + l.interval(p.Maintenance.Interval)
	}
	switch {
	case p.Kind == "" && p.Maintenance.Interval.Given():
		return every + ", doch kein abgeschlossener Termin an der ganzen Anlage ist bekannt"
	case p.Kind == "":
		return every
	case p.Maintenance.Interval.Given():
		return every + " ab: " + l.Say(p.Kind) + " vom " + l.Date(p.From)
	}
	return every + "; zuletzt: " + l.Say(p.Kind) + " vom " + l.Date(p.From)
}

func (l Language) inHand(p words.InHand) string {
	var parts []string
	if p.Action != "" {
		parts = append(parts, l.Say(p.Action))
	}
	if !p.By.IsZero() {
		parts = append(parts, "bis "+l.Date(p.By))
	}
	if p.Who != "" {
		parts = append(parts, named(p.Who))
	}
	if len(parts) == 0 {
		return "nichts zugesagt"
	}
	return "zugesagt: " + strings.Join(parts, ", ")
}

func gradesCounted(p words.GradesCounted) string {
	var parts []string
	for _, of := range []struct {
		n         int
		one, many string
	}{{p.Dangers, "Gefahr", "Gefahren"}, {p.Faults, "offen", "offen"}, {p.Advice, "Hinweis", "Hinweise"}} {
		if of.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", of.n, plural(of.n, of.one, of.many)))
		}
	}
	if len(parts) == 0 {
		return "nichts ausstehend"
	}
	return "ausstehend: " + strings.Join(parts, ", ")
}

var germanSpans = map[string][2]string{
	"d": {"Tag", "Tage"}, "day": {"Tag", "Tage"},
	"week": {"Woche", "Wochen"}, "month": {"Monat", "Monate"}, "year": {"Jahr", "Jahre"},
}

// interval is a time by the calendar, in German where it was written as a number of such; else as typed.
func (Language) interval(i site.Interval) string {
	number, of, _ := strings.Cut(i.Text, " ")
	name := germanSpans[strings.TrimSuffix(strings.TrimSpace(of), "s")]
	if n, err := strconv.Atoi(number); err == nil && name[0] != "" {
		return count(n, name[0], name[1])
	}
	return named(i.Text)
}
