package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/site"
)

// ofComposed says what holds other phrases, and kinds of what is fitted.
func (l Language) ofComposed(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.Named:
		return named(string(p)), true
	case words.Remarked:
		return quoted(string(p)), true
	case words.AsTyped:
		return string(p), true
	case words.List:
		return l.list(p), true
	case words.Titled:
		return capital(l.Say(p.Of)), true
	case words.Instant:
		return l.Moment(p.At), true
	case words.Unit:
		return germanUnits[p], germanUnits[p] != ""
	case words.Quantity:
		return l.Number(p.Value, p.Decimals) + " " + l.Say(p.In), true
	case words.StillOpen:
		return fmt.Sprintf("%d von %d Schritten offen; ein Ergebnis für das Ganze gibt es noch "+
			"nicht.", p.Open, p.All), true
	case words.OutOf:
		return fmt.Sprintf("%d von %d", p.N, p.All), true
	case site.DetectorKind:
		return germanKinds[p], germanKinds[p] != ""
	case site.OutputKind:
		return germanOutputs[p], germanOutputs[p] != ""
	}
	return "", false
}

var germanUnits = map[words.Unit]string{words.Second: "s", words.Volt: "V", words.Ohm: "Ω"}

var germanKinds = map[site.DetectorKind]string{
	"door":            "Tür",
	"window":          "Fenster",
	"motion":          "Bewegung",
	"glass-break":     "Glasbruch",
	"hold-up":         "Überfall",
	"tamper":          "Sabotage",
	"smoke":           "Rauch",
	"carbon-monoxide": "Kohlenmonoxid",
	"flood":           "Wasser",
	"other":           "sonstige",
}

func (l Language) list(p words.List) string {
	parts := p.Parts(l)
	switch p.By {
	case words.Commas:
		return strings.Join(parts, ", ")
	case words.Sentences:
		return strings.Join(parts, " ")
	case words.And:
		if last := len(parts) - 1; last > 0 {
			return strings.Join(parts[:last], ", ") + " und " + parts[last]
		}
	}
	return strings.Join(parts, "; ")
}

// count is a number with the thing that it counts.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
