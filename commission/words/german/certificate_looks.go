package german

import (
	"loopwitness/commission/words"

	"fmt"
)

const germanLooksNote = "Wie der Techniker antwortete, zu jedem Melder der Art bei diesem Termin außer den " +
	"genannten; „durch Signal“: Die Zentrale meldete es bei diesem Termin, und niemand wurde gefragt."

// ofLooked says what was looked at, on the certificate.
func (l Language) ofLooked(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.ValueTyped:
		return quoted(p.Text), true
	case words.LooksStand:
		text := fmt.Sprintf("%d von %d", p.So, p.All)
		if p.BySignal > 0 {
			text += fmt.Sprintf(", %d durch Signal", p.BySignal)
		}
		return text, true
	case words.LooksBut:
		ruled, _ := words.RuledAnswer(p.Result)
		text := l.Say(ruled) + " bei " + words.Runs(p.At)
		if p.Remark != "" {
			text += ": " + quoted(p.Remark)
		}
		return text, true
	case words.LooksValue:
		return quoted(p.Text) + " bei " + words.Runs(p.At), true
	}
	return "", false
}
