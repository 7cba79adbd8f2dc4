package words

import (
	"fmt"
	"strconv"
	"strings"

	"loopwitness/commission/site"
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
		text := l.Say(ruled) + " at " + runsOf(p.At)
		if p.Remark != "" {
			text += ": " + quoted(p.Remark)
		}
		return text, true
	case LooksValue:
		return quoted(p.Text) + " at " + runsOf(p.At), true
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
