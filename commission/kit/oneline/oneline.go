// Package oneline is what a text can be that a person types in one line: at a question, in
// a file of the job, or behind a flag. Nothing in it breaks the line, moves a cursor,
// turns the direction of what follows, or stands there unseen.
package oneline

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Longest is how long a typed text may be, in bytes: a note of a page is shorter.
const Longest = 4000

// Unseen tells whether a character cannot be seen or disturbs what can: controls, line and
// paragraph separators, overrides of the direction and other format characters, fillers,
// and what everybody may give another look. Joiners are none: emoji and several scripts need them.
func Unseen(r rune) bool {
	joiner := r == '\u200c' || r == '\u200d'
	return !joiner && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co, unicode.Cs,
		unicode.Other_Default_Ignorable_Code_Point)
}

// Clean is a text as it is taken from a keyboard: white space is a blank, what cannot be
// seen is dropped, nor does a blank stand at either end.
func Clean(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) && Unseen(r):
			return ' '
		case Unseen(r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, string(utf8.RuneError))))
}

// ErrText says that a text is none that one line can hold.
var ErrText = errors.New("no line of text")

// Check tells why a text is none. Errors wrap ErrText.
func Check(text string) error {
	if len(text) > Longest {
		return fmt.Errorf("%w: it is longer than %d bytes", ErrText, Longest)
	}
	return CheckSeen(text)
}

// CheckSeen is Check for a text of any length.
func CheckSeen(text string) error {
	if !utf8.ValidString(text) {
		return fmt.Errorf("%w: it is not UTF-8", ErrText)
	}
	if i := strings.IndexFunc(text, Unseen); i >= 0 {
		r, _ := utf8.DecodeRuneInString(text[i:])
		return fmt.Errorf("%w: it holds a character that no line can show (U+%04X)", ErrText, r)
	}
	return nil
}

// Blank tells whether nothing of a text is seen: a name cannot be such.
func Blank(text string) bool {
	const brailleBlank = '\u2800'
	return !strings.ContainsFunc(text, func(r rune) bool {
		return unicode.IsGraphic(r) && !unicode.IsSpace(r) && !unicode.IsMark(r) && r != brailleBlank && !Unseen(r)
	})
}
