package german

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

// germanRefused tells of calls that are not for this visit.
func germanRefused(n ask.CallsRefused) string {
	var all []string
	for _, of := range []struct {
		n    int
		what string
	}{{n.Secrets, "mit falschem Token oder Geheimnis"}, {n.Paths, "an Pfade, von denen keine Regel handelt"},
		{n.Hosts, "für einen anderen Rechner"}, {n.Bodies, "mit ganz oder teilweise unbrauchbarem Inhalt"}, {n.Strangers, "mit Adressen, die keine Linie hat"}} {
		if of.n > 0 {
			all = append(all, fmt.Sprintf("%d %s", of.n, of.what))
		}
	}
	what := strings.Join(all, ", ")
	if n.InAll {
		return "Aufrufe, die abgewiesen wurden, insgesamt: " + what + "."
	}
	return "Aufrufe werden abgewiesen (" + what + "). Sie zählen nicht; am Ende erfahren Sie, wie viele es waren, " +
		"und „loopwitness listen“ zeigt, warum."
}
