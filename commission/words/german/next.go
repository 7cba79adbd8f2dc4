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
		return "the site file does not say when the system is looked at next (maintenance: interval, or interval: none)", true
	case words.Label:
		if p == words.NextLabel {
			return "Next visit due", true
		}
	}
	return "", false
}

func (l Language) nextDue(n judge.NextVisit) string {
	switch {
	case n.None:
		return "none was agreed"
	case !n.Agreed:
		return "not agreed"
	case n.Due.IsZero():
		return named(n.Interval.Text) + " after the last visit to the whole system, which is not known here"
	}
	return l.Date(n.Due) + ", " + named(n.Interval.Text) + " after " + l.Date(n.From)
}
