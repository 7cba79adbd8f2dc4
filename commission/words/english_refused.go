package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

// englishRefused tells of calls that are not for this visit.
func englishRefused(n ask.CallsRefused) string {
	var all []string
	for _, of := range []struct {
		n    int
		what string
	}{{n.Secrets, "with a wrong token or secret"}, {n.Paths, "to paths that no rule is about"},
		{n.Hosts, "meant for another host"}, {n.Bodies, "whose body could not be taken, or not all of it"}, {n.Strangers, "of addresses that no zone has"}} {
		if of.n > 0 {
			all = append(all, fmt.Sprintf("%d %s", of.n, of.what))
		}
	}
	what := strings.Join(all, ", ")
	if n.InAll {
		return "Calls that were turned away, in all: " + what + "."
	}
	return "Calls are turned away (" + what + "). They do not count; in the end you are told how many they were, and " +
		"`loopwitness listen` shows why."
}
