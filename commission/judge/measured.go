package judge

import (
	"slices"
	"strings"

	"loopwitness/commission/site"
)

// measured computes what the readings of a visit allow.
func measured(a *Assessment) []Computed {
	return settleAll(slices.Concat(batteryOf(a), systemCurrentsOf(a), farOf(a), currentsOf(a), levelsOf(a),
		cutOffsOf(a), loopsOf(a), cablesOf(a), foundLoops(a)))
}

// reading is the line of a step, if it was taken.
func (a *Assessment) reading(step string) (ReadingLine, bool) {
	for _, l := range a.readings {
		if l.Outcome.Step().ID == step && l.Taken {
			return l, true
		}
	}
	return ReadingLine{}, false
}

// alarmOutputs are the names of all that an alarm energises.
func alarmOutputs(s *site.Site) string { return namesOf(s.AlarmOutputs()) }

func namesOf(outputs []*site.Output) string {
	var names []string
	for _, o := range outputs {
		names = append(names, o.Name)
	}
	return strings.Join(names, ", ")
}
