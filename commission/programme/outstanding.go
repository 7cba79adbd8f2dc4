package programme

import (
	"slices"
	"strings"
)

// StepOutstanding asks whether what an earlier visit left outstanding was put right since,
// where nothing that this visit takes anyway will show it.
const StepOutstanding StepKind = "outstanding"

// OutstandingID names the step that asks for a finding of an earlier visit, by the name of
// that visit and the finding's own.
func OutstandingID(visit, finding string) string { return "outstanding/" + visit + "/" + finding }

// OfOutstanding are the visit and the finding that such a step asks for.
func OfOutstanding(id string) (visit, finding string) {
	rest := strings.TrimPrefix(id, "outstanding/")
	i := strings.LastIndexByte(rest, '/')
	if i < 0 {
		return "", rest
	}
	return rest[:i], rest[i+1:]
}

// WithOutstanding are the steps with others that ask for what was outstanding in place of
// those that they have: they stand at the head of the inspection.
func WithOutstanding(steps, asked []Step) []Step {
	steps = slices.DeleteFunc(slices.Clone(steps), func(s Step) bool { return s.Kind == StepOutstanding })
	head := 0
	for head < len(steps) && slices.Index(Stages, steps[head].Stage) < slices.Index(Stages, StageInspection) {
		head++
	}
	return slices.Insert(steps, head, asked...)
}
