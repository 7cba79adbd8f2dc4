package words

import (
	"fmt"
)

const englishLooksNote = "As the technician answered, of every detector of the kind in this visit but those that are " +
	"named; “by signal”: the controller reported it in this visit, and nobody was asked."

// ofLooked says what was looked at, on the certificate.
func (l English) ofLooked(p Phrase) (string, bool) {
	switch p := p.(type) {
	case ValueTyped:
		return quoted(p.Text), true
	case LooksStand:
		text := fmt.Sprintf("%d of %d", p.So, p.All)
		if p.BySignal > 0 {
			text += fmt.Sprintf(", %d by signal", p.BySignal)
		}
		return text, true
	case LooksBut:
		ruled, _ := RuledAnswer(p.Result)
		text := l.Say(ruled) + " at " + Runs(p.At)
		if p.Remark != "" {
			text += ": " + quoted(p.Remark)
		}
		return text, true
	case LooksValue:
		return quoted(p.Text) + " at " + Runs(p.At), true
	}
	return "", false
}
