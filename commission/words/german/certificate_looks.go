package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strconv"
	"strings"

	"loopwitness/commission/site"
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
		text := l.Say(ruled) + " bei " + runsOf(p.At)
		if p.Remark != "" {
			text += ": " + quoted(p.Remark)
		}
		return text, true
	case words.LooksValue:
		return quoted(p.Text) + " bei " + runsOf(p.At), true
	}
	return "", false
}

// runsOf are points, neighbours in the same zone as the first and last of three or more.
func runsOf(at []site.Point) string {
	var short []string
	for from := 0; from < len(at); {
		to := from + 1
		for to < len(at) && follows(at[to-1], at[to]) {
			to++
		}
		if to-from > 2 {
			short = append(short, string(at[from])+"–"+string(at[to-1]))
			from = to
			continue
		}
		for ; from < to; from++ {
			short = append(short, string(at[from]))
		}
	}
	return strings.Join(short, ", ")
}

// follows tells whether a point is the next after another in its zone.
func follows(p, next site.Point) bool {
	zone, place, _ := strings.Cut(string(p), ".")
	n, err := strconv.Atoi(place)
	return err == nil && string(next) == zone+"."+strconv.Itoa(n+1)
}
