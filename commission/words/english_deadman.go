package words

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/site"
)

// guardNotice says what becomes of outputs if the program is gone.
func (l English) guardNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.NobodyGuards:
		text := fmt.Sprintf("If this computer fails while %s is on, IT STAYS ON: nothing else would switch it off", n.Output)
		if n.Why != nil {
			text += fmt.Sprintf(" (%v)", n.Why)
		}
		return text + "."
	case ask.ByHandOnly:
		return n.Output + " stays on until you switch it off at the controller, whatever becomes of this computer."
	case ask.GuardLost:
		return fmt.Sprintf("What would have switched %s off if this computer fails is gone (%v). It is switched off now.",
			n.Output, n.Why)
	case ask.MayBeOnByHand:
		return "Before the break " + n.Output + " was switched on by hand, and nobody said that it is off."
	case ask.TriedFor:
		return fmt.Sprintf("It is tried for %s to switch %s off; Ctrl-C ends that at once, with it on.",
			checks.FormatDuration(n.Most), n.Output)
	case ask.LeftOn:
		return l.leftOn(n)
	}
	return ""
}

// leftOn is the last word of a program that leaves something on.
func (English) leftOn(n ask.LeftOn) string {
	text := "STILL ON: " + n.Output
	if n.Late {
		text = "PERHAPS STILL ON: " + n.Output
	}
	if n.Location != "" {
		text += " (" + n.Location + ")"
	}
	switch {
	case n.Late:
		text += ". The command on was not confirmed and may be carried out late; after it the output was told off " +
			"several times. Look; " +
			"if it is on:"
	case n.Unsure:
		text += ", as far as this program knows."
	case n.Within > 0:
		text += ". It should be switched off from elsewhere within " + checks.FormatDuration(n.Within) + ". If it is not:"
	default:
		text += ", and nothing will switch it off by itself."
	}
	if n.Kind == site.Sounder {
		text += " Wear hearing protection, keep others away."
	}
	return text + " Switch it off at the controller's own interface; if it does not answer, disconnect the output, or " +
		"the controller's battery and its adapter at the outlet."
}

func (English) guardMatter(p Phrase) string {
	if m, is := p.(ask.EnergiseUnguarded); is {
		return "Energise " + strings.Join(m.Outputs, ", ") + " all the same, and stay where you can switch it off by hand?"
	}
	return ""
}
