package german

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// ofNext says when a system is looked at next.
func (l Language) ofNext(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.NextDue:
		return l.nextDue(p.Of), true
	case judge.NextNotSaid:
		return "in der Objektdatei steht nicht, wann die Anlage wieder geprüft wird (maintenance: interval, " +
			"oder interval: none)", true
	case words.Label:
		if p == words.NextLabel {
			return "Nächster Termin", true
		}
	}
	return "", false
}

func (l Language) nextDue(n judge.NextVisit) string {
	switch {
	case n.None:
		return "keiner vereinbart"
	case !n.Agreed:
		return "nicht vereinbart"
	case n.Due.IsZero():
		return l.interval(n.Interval) + " nach dem letzten Termin an der ganzen Anlage, der hier nicht bekannt ist"
	}
	return l.Date(n.Due) + ", " + l.interval(n.Interval) + " nach dem " + l.Date(n.From)
}
