package words

import (
	"fmt"
	"strings"
)

// ofDue says what is due.
func (l English) ofDue(p Phrase) (string, bool) {
	switch p := p.(type) {
	case DueVisit:
		return "Alarm system, next visit due: " + named(p.Premises) + " (" + named(p.Reference) + ")", true
	case DueMatter:
		return "Alarm system, to be put right: " + named(p.Premises) + ": " + l.Say(p.Of.Subject), true
	case DueBattery:
		return "Alarm system, standby battery at the end of its life: " + named(p.Premises), true
	case DueMeter:
		return "Calibration ends: " + named(p.Name), true
	case CountedFrom:
		return l.countedFrom(p), true
	case InHand:
		return l.inHand(p), true
	case GradesCounted:
		return gradesCounted(p), true
	}
	return "", false
}

func (l English) countedFrom(p CountedFrom) string {
	every := "no interval is agreed in the site file"
	switch {
	case p.Maintenance.None:
		every = "it is declared that no maintenance was agreed"
	case p.Maintenance.Interval.Given():
		every = named(p.Maintenance.Interval.Text)
	}
	switch {
	case p.Kind == "" && p.Maintenance.Interval.Given():
		return "every " + every + ", but no finished visit to the whole system is known"
	case p.Kind == "":
		return every
	case p.Maintenance.Interval.Given():
		return every + " after the " + l.Say(p.Kind) + " of " + l.Date(p.From)
	}
	return every + "; last " + l.Say(p.Kind) + " on " + l.Date(p.From)
}

func (l English) inHand(p InHand) string {
	var parts []string
	if p.Action != "" {
		parts = append(parts, l.Say(p.Action))
	}
	if !p.By.IsZero() {
		parts = append(parts, "by "+l.Date(p.By))
	}
	if p.Who != "" {
		parts = append(parts, named(p.Who))
	}
	if len(parts) == 0 {
		return "nothing is undertaken"
	}
	return "undertaken: " + strings.Join(parts, ", ")
}

func gradesCounted(p GradesCounted) string {
	var parts []string
	for _, of := range []struct {
		n         int
		one, many string
	}{{p.Dangers, "danger", "dangers"}, {p.Faults, "to do", "to do"}, {p.Advice, "piece of advice", "pieces of advice"}} {
		if of.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", of.n, plural(of.n, of.one, of.many)))
		}
	}
	if len(parts) == 0 {
		return "nothing is outstanding"
	}
	return "outstanding: " + strings.Join(parts, ", ")
}
