package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/site"
)

// guardNotice says what becomes of outputs if the program is gone.
func (l Language) guardNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.NobodyGuards:
		text := fmt.Sprintf("Fällt dieser Computer aus, während %s eingeschaltet ist, BLEIBT DER AUSGANG EIN: "+
			"Nichts anderes schaltet ihn aus", quoted(n.Output))
		if n.Why != nil {
			text += fmt.Sprintf(" (%v)", n.Why)
		}
		return text + "."
	case ask.ByHandOnly:
		return quoted(n.Output) + " bleibt eingeschaltet, bis Sie an der Zentrale ausschalten, was auch aus " +
			"diesem Computer wird."
	case ask.GuardLost:
		return fmt.Sprintf("Was %s beim Ausfall dieses Computers ausgeschaltet hätte, ist weg (%v). Der Ausgang "+
			"wird jetzt ausgeschaltet.",
			quoted(n.Output), n.Why)
	case ask.MayBeOnByHand:
		return "Vor der Unterbrechung wurde " + quoted(n.Output) + " von Hand eingeschaltet, und niemand hat " +
			"gesagt, dass der Ausgang aus ist."
	case ask.TriedFor:
		return fmt.Sprintf("%s lang wird versucht, %s auszuschalten; Strg+C (Ctrl-C) beendet das sofort, und der "+
			"Ausgang bleibt ein.",
			l.Duration(n.Most), quoted(n.Output))
	case ask.LeftOn:
		return l.leftOn(n)
	}
	return ""
}

// leftOn is the last word of a program that leaves something on.
func (l Language) leftOn(n ask.LeftOn) string {
	text := "NOCH EINGESCHALTET: " + n.Output
	if n.Late {
		text = "VIELLEICHT NOCH EINGESCHALTET: " + n.Output
	}
	if n.Location != "" {
		text += " (" + n.Location + ")"
	}
	switch {
	case n.Late:
		text += ". Der Befehl zum Einschalten wurde nicht bestätigt und wird vielleicht verspätet ausgeführt; " +
			"danach wurde mehrmals " +
			"ausgeschaltet. Sehen Sie nach; wenn der Ausgang an ist:"
	case n.Unsure:
		text += ", soweit dieses Programm weiß."
	case n.Within > 0:
		text += ". Der Ausgang sollte binnen " + l.Duration(n.Within) + " von anderer Stelle ausgeschaltet " +
			"werden. Wenn nicht:"
	default:
		text += ", und nichts schaltet den Ausgang von selbst aus."
	}
	if n.Kind == site.Sounder {
		text += " Tragen Sie Gehörschutz, halten Sie andere fern."
	}
	return text + " Schalten Sie an der Bedienung der Zentrale selbst aus; antwortet sie nicht, klemmen Sie den " +
		"Ausgang ab, oder klemmen Sie den Akku der Zentrale ab und ziehen Sie ihr Netzteil aus der Steckdose."
}

func (Language) guardMatter(p words.Phrase) string {
	if m, is := p.(ask.EnergiseUnguarded); is {
		return "Trotzdem einschalten, und dort bleiben, wo Sie von Hand ausschalten " +
			"können: " + strings.Join(m.Outputs, ", ") + "?"
	}
	return ""
}
