package verify

import (
	"slices"
	"strings"
)

// Verdict is the answer to one of the three questions about a file: is it as it was
// sealed, do its verdicts follow from its record, do its pages show them.
type Verdict string

// The verdicts. NotCompared: that nothing is known, neither good nor bad.
const (
	Holds       Verdict = "holds"
	Fails       Verdict = "fails"
	NotCompared Verdict = "not compared"
)

// Answer is a verdict, with why where it does not hold.
type Answer struct {
	Verdict     Verdict      `json:"verdict"`
	Why         string       `json:"why,omitempty"`
	Differences []Difference `json:"differences,omitempty"`
}

// What fails each of the questions.
var (
	breaksSealed  = []Kind{CutShort, Appended, Changed, BadSeal, OtherKey, Form, BadRecord, BadPicture}
	breaksFollows = []Kind{Implausible, Judgement}
	breaksShown   = []Kind{Statement, Pages}
)

// holds answers a question, unless a problem is found that says otherwise.
func (a *Answer) holds() { a.Verdict, a.Why = Holds, "" }

// settle lets what was found fail the questions that it concerns.
func (r *Report) settle() {
	r.Sealed.settle(r.Problems, breaksSealed)
	r.Follows.settle(r.Problems, breaksFollows)
	r.Shown.settle(r.Problems, breaksShown)
}

func (a *Answer) settle(found []Problem, breaks []Kind) {
	var why []string
	for _, p := range found {
		if slices.Contains(breaks, p.Kind) {
			why = append(why, p.Text)
		}
	}
	if len(why) > 0 {
		a.Verdict, a.Why = Fails, strings.Join(why, "; ")
	}
}
