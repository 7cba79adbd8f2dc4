// Package screen makes text from outside fit for a terminal: nothing in a name
// may move the cursor, reverse the line, or push a column out of its place.
package screen

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/rivo/uniseg"

	"loopwitness/commission/kit/oneline"
)

// Clean makes every character of s that could disturb a terminal visible:
// controls as their pictures (U+2400 …), direction overrides and other
// invisible format characters as ¤, bytes that are no UTF-8 as U+FFFD. Joiners
// stay: emoji and several scripts need them.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError:
			return utf8.RuneError
		case r < 0x20:
			return 0x2400 + r
		case r == 0x7f:
			return 0x2421
		case r == '\u2068' || r == '\u2069': // isolates, which we put round names: a terminal shows the letters alone
			return -1
		case oneline.Unseen(r):
			return '¤'
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

// Width is how many columns a clean text takes.
func Width(s string) int { return uniseg.StringWidth(s) }

// Cut shortens a clean text to a number of columns, with … where it was cut. It
// never cuts a character that people see as one.
func Cut(s string, columns int) string {
	if Width(s) <= columns {
		return s
	}
	var b strings.Builder
	used := 0
	for g := uniseg.NewGraphemes(s); g.Next(); used += g.Width() {
		if used+g.Width() > columns-1 {
			break
		}
		b.WriteString(g.Str())
	}
	return b.String() + "…"
}

// Pad fills a clean text up to a number of columns.
func Pad(s string, columns int) string {
	return s + strings.Repeat(" ", max(0, columns-Width(s)))
}

// Wrap breaks a clean text between words into lines of at most that many
// columns; following lines begin with the indent of the first. A longer word
// is broken where it must be.
func Wrap(s string, columns int) []string {
	indent := s[:len(s)-len(strings.TrimLeft(s, " "))]
	room := max(8, columns-len(indent))
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) { // a no-break space does not break
		for Width(word) > room {
			if line != "" {
				lines, line = append(lines, indent+line), ""
			}
			head := strings.TrimSuffix(Cut(word+" ", room+1), "…")
			if head == "" || head == word {
				break
			}
			lines, word = append(lines, indent+head), word[len(head):]
		}
		switch {
		case line == "":
			line = word
		case Width(line)+1+Width(word) > room:
			lines, line = append(lines, indent+line), word
		default:
			line += " " + word
		}
	}
	return append(lines, indent+line)
}

// Table lays rows out in columns that are as wide as their widest cell, at
// most widest[i] where that is not zero, and together at most window columns
// wide unless that is zero: the widest columns give way. The first row is the
// head.
func Table(rows [][]string, widest []int, window int) []string {
	if len(rows) == 0 {
		return nil
	}
	width := widths(rows, widest)
	total := func() int {
		sum := 2 * (len(width) - 1)
		for _, w := range width {
			sum += w
		}
		return sum
	}
	for window > 0 && total() > window {
		at := slices.Index(width, slices.Max(width))
		if width[at] <= narrowest {
			break
		}
		width[at]--
	}
	var out []string
	for n, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			b.WriteString(Pad(Cut(Clean(cell), width[i]), width[i]) + "  ")
		}
		out = append(out, strings.TrimRight(b.String(), " "))
		if n == 0 {
			out = append(out, strings.Repeat("─", total()))
		}
	}
	return out
}

// narrowest is how far a column gives way.
const narrowest = 5

func widths(rows [][]string, widest []int) []int {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			w := Width(Clean(cell))
			if i < len(widest) && widest[i] > 0 {
				w = min(w, widest[i])
			}
			width[i] = max(width[i], w)
		}
	}
	return width
}
