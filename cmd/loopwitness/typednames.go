package main

import (
	"strings"

	"loopwitness/commission/words"
)

// typedName is a name that somebody typed, for a line or a table of ours: quoted where it
// could be taken for words of ours, and without runs of blanks, which could be taken for the
// space between columns.
func typedName(text string) string {
	return english.Say(words.Named(strings.Join(strings.Fields(text), " ")))
}
