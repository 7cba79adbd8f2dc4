package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/commission/ask"
)

// sampledChoice says what can be taken of what the controller measured of itself.
func (l Language) sampledChoice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.AsSampledChoice:
		return "wie erfasst: " + l.quantity(p.Volt) + " nach eigener Messung der Zentrale"
	case ask.Choice:
		if p == ask.MeasuredChoice {
			return "jetzt von Hand gemessen"
		}
	}
	return ""
}

func (l Language) sampledNotice(n ask.Notice) string {
	if n, is := n.(ask.TakenAsSampled); is {
		return fmt.Sprintf("%s: %s nach eigener Messung der Zentrale, %s nach dem Trennen des Netzes, während Sie anderswo "+
			"waren",
			l.Say(n.Step), l.quantity(n.Volt), l.Duration(n.After))
	}
	return ""
}
