package words

import "loopwitness/checks"

// What a guess about a cable says: what it probably is, why, and what to check next.
type (
	GuessWhat checks.Guess
	GuessWhy  checks.Guess
	GuessNext checks.Guess
)

// Code names it.
func (g GuessWhat) Code() string { return "guess/" + string(g.What) }
func (g GuessWhy) Code() string  { return "guess/why/" + string(g.Why) }
func (g GuessNext) Code() string { return "guess/next/" + string(g.Next) }
