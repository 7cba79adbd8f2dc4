package german

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

// germanRefused tells of calls that are turned away, and of those of which a part is.
func germanRefused(n ask.CallsRefused) string {
	var all []string
	for _, of := range []struct {
		n    int
		what string
	}{{n.Secrets, "mit falschem Token oder Geheimnis"}, {n.Paths, "an Pfade, von denen keine Regel handelt"},
		{n.Hosts, "für einen anderen Rechner"}, {n.Methods, "mit einer anderen Methode als POST oder PUT"},
		{n.Practice, "einer Übungszentrale"}, {n.Bodies, "mit unbrauchbarem Inhalt"},
		{n.Strangers, "mit Adressen, die keine Linie hat"}} {
		if of.n > 0 {
			all = append(all, fmt.Sprintf("%d %s", of.n, of.what))
		}
	}
	var sentences []string
	if what := strings.Join(all, ", "); what != "" && n.InAll {
		sentences = append(sentences, "Aufrufe, die abgewiesen wurden, insgesamt: "+what+".")
	} else if what != "" {
		sentences = append(sentences, "Aufrufe werden abgewiesen ("+what+"). Sie zählen nicht; am Ende erfahren "+
			"Sie, wie viele es waren.")
	}
	if n.Parts > 0 {
		sentences = append(sentences, fmt.Sprintf("Aufrufe mit einem Teil, den keine Regel kennt, während der Rest "+
			"zählt: %d.", n.Parts))
	}
	if !n.InAll {
		sentences = append(sentences, "„loopwitness listen“ zeigt, warum.")
	}
	return strings.Join(sentences, " ")
}
