package main

import (
	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/screen"
)

func (s streams) table(rows [][]string) error { return s.wideTable(rows, 34) }

// wideTable prints a table whose columns are at most that wide.
func (s streams) wideTable(rows [][]string, widest int) error {
	limits := make([]int, len(rows[0]))
	for i := range limits {
		limits[i] = widest
	}
	for _, l := range screen.Table(rows, limits, terminal.Columns(s.out)) {
		s.say("%s", l)
	}
	return nil
}

// wrapped prints a text from outside, made fit for a screen.
func (s streams) wrapped(text string) {
	for _, l := range screen.Wrap(screen.Clean(text), s.width()) {
		s.say("%s", l)
	}
}

// width is how long a printed line may be.
func (s streams) width() int {
	const widest = 100
	if w := terminal.Columns(s.out); w > 0 {
		return max(30, min(widest, w-1))
	}
	return widest
}
