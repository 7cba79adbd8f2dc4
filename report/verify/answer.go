package verify

import (
	"slices"
	"strings"
)

// Reply is what is answered to one of the three questions about a file: is it as it was
// sealed, do its verdicts follow from its record, do its pages show them.
type Reply string

// The replies. NotCompared: that nothing is known, neither good nor bad.
const (
	Holds       Reply = "holds"
	Fails       Reply = "fails"
	NotCompared Reply = "not compared"
)

// Answer is a reply, with why where it does not hold.
type Answer struct {
	Reply       Reply        `json:"verdict"`
	Why         string       `json:"why,omitempty"`
	Differences []Difference `json:"differences,omitempty"`
	// Further counts differences that are not told one by one.
	Further int `json:"further_differences,omitempty"`
}

// What fails each of the questions.
var (
	breaksSealed  = []ProblemKind{CutShort, Appended, Changed, BadSeal, OtherKey, Form, BadRecord, BadPicture}
	breaksFollows = []ProblemKind{Implausible, Judgement}
	breaksShown   = []ProblemKind{Statement, Pages}
)

// holds answers a question, unless a problem is found that says otherwise.
func (a *Answer) holds() { a.Reply, a.Why = Holds, "" }

func (a *Answer) tell(d differing) { a.Differences, a.Further = d.told, d.further }

// settle lets what was found fail the questions that it concerns.
func (r *Report) settle() {
	r.Sealed.settle(r.Problems, breaksSealed)
	r.Follows.settle(r.Problems, breaksFollows)
	r.Shown.settle(r.Problems, breaksShown)
}

func (a *Answer) settle(found []Problem, breaks []ProblemKind) {
	var why []string
	for _, p := range found {
		if slices.Contains(breaks, p.Kind) {
			why = append(why, p.Text)
		}
	}
	if len(why) > 0 {
		a.Reply, a.Why = Fails, strings.Join(why, "; ")
	}
}
