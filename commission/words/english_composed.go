package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/site"
)

// ofComposed says what holds other phrases, and kinds of what is fitted.
func (l English) ofComposed(p Phrase) (string, bool) {
	switch p := p.(type) {
	case Named:
		return named(string(p)), true
	case Remarked:
		return quoted(string(p)), true
	case AsTyped:
		return string(p), true
	case List:
		return l.list(p), true
	case Titled:
		return capital(l.Say(p.Of)), true
	case Instant:
		return l.Moment(p.At), true
	case Unit:
		return englishUnits[p], englishUnits[p] != ""
	case Quantity:
		return l.Number(p.Value, p.Decimals) + " " + l.Say(p.In), true
	case StillOpen:
		return fmt.Sprintf("%d of %d steps open; there is no verdict on the whole.", p.Open, p.All), true
	case OutOf:
		return fmt.Sprintf("%d of %d", p.N, p.All), true
	case site.DetectorKind:
		return englishKinds[p], englishKinds[p] != ""
	case site.OutputKind:
		return englishOutputs[p], englishOutputs[p] != ""
	}
	return "", false
}

var englishUnits = map[Unit]string{Second: "s", Volt: "V", Ohm: "Ω"}

var englishKinds = map[site.DetectorKind]string{
	"door":            "door",
	"window":          "window",
	"motion":          "motion",
	"glass-break":     "glass-break",
	"hold-up":         "hold-up",
	"tamper":          "tamper",
	"smoke":           "smoke",
	"carbon-monoxide": "carbon-monoxide",
	"flood":           "flood",
	"other":           "other",
}

func (l English) list(p List) string {
	parts := p.Parts(l)
	switch p.By {
	case Commas:
		return strings.Join(parts, ", ")
	case Sentences:
		return strings.Join(parts, " ")
	case And:
		if last := len(parts) - 1; last > 0 {
			return strings.Join(parts[:last], ", ") + " and " + parts[last]
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
