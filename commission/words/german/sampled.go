package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/checks"
	"loopwitness/commission/ask"
)

// sampledChoice says what can be taken of what the controller measured of itself.
func (Language) sampledChoice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.AsSampledChoice:
		return "as sampled: " + p.Volt + " by the controller's own measurement"
	case ask.Choice:
		if p == ask.MeasuredChoice {
			return "measured by hand now"
		}
	}
	return ""
}

func (l Language) sampledNotice(n ask.Notice) string {
	if n, is := n.(ask.TakenAsSampled); is {
		return fmt.Sprintf("%s: %s by the controller's own measurement, %s after mains was removed, while you were elsewhere",
			l.Say(n.Step), n.Volt, checks.FormatDuration(n.After))
	}
	return ""
}
