package main

import (
	"fmt"
	"go/token"
	"strings"
)

// fate is what became of a mutant.
type fate string

// The fates. A mutant that no test reaches was not run.
const (
	untried    fate = ""
	killed     fate = "killed"
	killedLate fate = "killed by the time limit"
	survived   fate = "survived"
	unreached  fate = "not reached"
)

// mutant is one change of the sources of a target.
type mutant struct {
	id                int // selects it at run time
	target            *target
	position          token.Position
	file              string // relative to the module
	function          string // or the variable or constant that is declared
	original, changed string
	ordinal           int    // among those of the same text in the function, from 1
	patch             *patch // set if it has to be built on its own
	out               string // why it is left out
	fate              fate
	reason            string // why it is allowed to survive
}

// patch is a mutant that cannot be selected at run time.
type patch struct {
	source     *source
	start, end int
	text       string
}

// key names a mutant for as long as its function and its text stay.
func (m *mutant) key() string {
	return fmt.Sprintf("%s %s: %s → %s #%d", m.file, m.function, m.original, m.changed, m.ordinal)
}

func (m *mutant) String() string {
	return fmt.Sprintf("%s:%d:%d %s: %s → %s  (%s)", m.file, m.position.Line, m.position.Column, m.function, m.original,
		m.changed, m.key())
}

// alive tells whether no test noticed it.
func (m *mutant) alive() bool { return m.fate == survived || m.fate == unreached }

// What a mutant's text shows of an expression, and of one operand, in runes.
const (
	longestText    = 90
	longestOperand = 40
)

// short puts a piece of source on one line and cuts it.
func short(text string, longest int) string {
	runes := []rune(strings.Join(strings.Fields(text), " "))
	if len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return string(runes)
}
