package certificate

import (
	"strings"

	"golang.org/x/text/unicode/bidi"

	"loopwitness/commission/words"
)

// A page is drawn from the left, character by character: lines that hold right-to-left text are put into the
// order in which they are seen, by the rules of the Unicode Bidirectional Algorithm (UAX #9). The library splits a
// text into runs; the order of runs (rule L2) it leaves to us. What somebody typed stands between isolates
// (words.Quotation), so that it and what we say beside it do not mix.

// inOrderSeen are the lines of a paragraph in the order in which they are seen, without isolates. The direction of
// the paragraph is that of its first letter outside of isolates (rule P2); a text that goes on in the next line is
// isolated there, too.
func inOrderSeen(paragraph string, lines []string) []string {
	if !strings.ContainsFunc(paragraph, rightToLeft) {
		for i, l := range lines {
			lines[i] = withoutIsolates(l)
		}
		return lines
	}
	fromRight := beginsRight(outside(paragraph))
	open, openRight := false, false
	for i, l := range lines {
		var pieces []string
		add := func(text string, right bool) {
			if text != "" {
				pieces = append(pieces, visual(text, right))
			}
		}
		for l != "" {
			if open {
				inside, rest, closed := strings.Cut(l, words.PopIsolate)
				add(inside, openRight)
				open, l = !closed, rest
				continue
			}
			before, rest, opens := strings.Cut(l, words.FirstStrongIsolate)
			add(before, fromRight)
			if open, l = opens, rest; opens {
				whole, _, _ := strings.Cut(rest+strings.Join(lines[i+1:], " "), words.PopIsolate)
				openRight = beginsRight(whole)
			}
		}
		if fromRight { // an isolate counts as one character of its surroundings
			for a, b := 0, len(pieces)-1; a < b; a, b = a+1, b-1 {
				pieces[a], pieces[b] = pieces[b], pieces[a]
			}
		}
		lines[i] = strings.Join(pieces, "")
	}
	return lines
}

func rightToLeft(r rune) bool {
	const hebrew = 0x590 // the first block that is read from the right
	if r < hebrew {
		return false
	}
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.R || p.Class() == bidi.AL
}

// beginsRight tells whether the first letter is written from the right.
func beginsRight(s string) bool {
	for _, r := range s {
		switch p, _ := bidi.LookupRune(r); p.Class() {
		case bidi.R, bidi.AL:
			return true
		case bidi.L:
			return false
		}
	}
	return false
}

// outside is what stands outside of isolates.
func outside(s string) string {
	var b strings.Builder
	for s != "" {
		before, rest, _ := strings.Cut(s, words.FirstStrongIsolate)
		b.WriteString(before)
		_, s, _ = strings.Cut(rest, words.PopIsolate)
	}
	return b.String()
}

func withoutIsolates(s string) string { return isolates.Replace(s) }

var isolates = strings.NewReplacer(words.FirstStrongIsolate, "", words.PopIsolate, "")

// visual is a piece of a line, without isolates, as it is seen in a text of that direction.
func visual(s string, fromRight bool) string {
	if !fromRight && !strings.ContainsFunc(s, rightToLeft) {
		return s
	}
	mark := "\u200e"
	if fromRight {
		mark = "\u200f"
	}
	var p bidi.Paragraph
	if _, err := p.SetString(mark + s); err != nil {
		return s
	}
	order, err := p.Order()
	if err != nil {
		return s
	}
	var out strings.Builder
	var block []string // pieces of levels 1 and 2, in the order in which they are read
	flush := func() {
		for i := len(block) - 1; i >= 0; i-- {
			out.WriteString(block[i])
		}
		block = nil
	}
	for i := range order.NumRuns() {
		run := order.Run(i)
		text := run.String()
		switch {
		case run.Direction() == bidi.RightToLeft:
			block = append(block, bidi.ReverseString(text))
		case fromRight:
			block = append(block, text)
		case len(block) > 0: // a number behind right-to-left text belongs to it (rules W2 to W7)
			number := leadingNumber(text)
			if number != "" {
				block = append(block, number)
			}
			if text = text[len(number):]; text != "" {
				flush()
				out.WriteString(text)
			}
		default:
			out.WriteString(text)
		}
	}
	flush()
	return strings.ReplaceAll(out.String(), mark, "")
}

// leadingNumber is the number that a text begins with: European digits, with the separators and the signs that
// belong to them.
func leadingNumber(s string) string {
	class := func(at int) (bidi.Class, int) {
		if at >= len(s) {
			return bidi.ON, 0
		}
		p, size := bidi.LookupString(s[at:])
		return p.Class(), size
	}
	end := 0
	for at := 0; ; {
		c, size := class(at)
		if size == 0 {
			break
		}
		next, _ := class(at + size)
		switch {
		case c == bidi.EN, c == bidi.ET, c == bidi.NSM && end == at:
			end = at + size
		case (c == bidi.CS || c == bidi.ES) && end == at && at > 0 && next == bidi.EN:
		default:
			return s[:end]
		}
		at += size
	}
	return s[:end]
}
