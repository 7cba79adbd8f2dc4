package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

// englishRefused tells of calls that are turned away, and of those of which a part is.
func englishRefused(n ask.CallsRefused) string {
	var all []string
	for _, of := range []struct {
		n    int
		what string
	}{{n.Secrets, "with a wrong token or secret"}, {n.Paths, "to paths that no rule is about"},
		{n.Hosts, "meant for another host"}, {n.Methods, "made with another method than POST or PUT"},
		{n.Practice, "of a practice controller"}, {n.Bodies, "whose body could not be taken"},
		{n.Strangers, "of addresses that no zone has"}} {
		if of.n > 0 {
			all = append(all, fmt.Sprintf("%d %s", of.n, of.what))
		}
	}
	var sentences []string
	if what := strings.Join(all, ", "); what != "" && n.InAll {
		sentences = append(sentences, "Calls that were turned away, in all: "+what+".")
	} else if what != "" {
		sentences = append(sentences, "Calls are turned away ("+what+"). They do not count; in the end you are told "+
			"how many they were.")
	}
	if n.Parts > 0 {
		sentences = append(sentences, fmt.Sprintf("Calls with an item that no rule knows, the rest of which counts: "+
			"%d.", n.Parts))
	}
	if !n.InAll {
		sentences = append(sentences, "`loopwitness listen` shows why.")
	}
	return strings.Join(sentences, " ")
}
