package words

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/bidi"

	"loopwitness/commission/kit/screen"
)

// Named is a name, a place or a value that somebody typed and that stands among words of
// ours: it is quoted where it could be taken for one of them.
type Named string

// Remarked is a remark, a reason or a note that somebody typed: it is quoted always.
type Remarked string

// Code names the form.
func (Named) Code() string    { return "named" }
func (Remarked) Code() string { return "remarked" }

// Quotation is the marks between which a language puts what somebody typed.
type Quotation struct{ Open, Close string }

// What somebody typed stands between these where it holds text that is written from the right, so that it and what
// is said beside it do not mix (UAX #9).
const (
	FirstStrongIsolate = "\u2068"
	PopIsolate         = "\u2069"
)

// isolated is a text by itself, if it needs to be.
func isolated(text string) string {
	if !strings.ContainsFunc(text, func(r rune) bool {
		p, _ := bidi.LookupRune(r)
		return p.Class() == bidi.R || p.Class() == bidi.AL
	}) {
		return text
	}
	return FirstStrongIsolate + text + PopIsolate
}

// Of is a text that somebody typed, as one line between quotation marks; its own cannot
// close them.
func (q Quotation) Of(text string) string {
	if text == "" {
		return ""
	}
	return q.Open + isolated(strings.NewReplacer(q.Open, "‟", q.Close, "‟", "“", "‟", "”", "‟").
		Replace(screen.Clean(text))) + q.Close
}

// OrNone is Of, also where nothing was typed.
func (q Quotation) OrNone(text string) string {
	if text == "" {
		return q.Open + q.Close
	}
	return q.Of(text)
}

// All are several.
func (q Quotation) All(texts []string) string {
	var all []string
	for _, text := range texts {
		all = append(all, q.Of(text))
	}
	return strings.Join(all, "; ")
}

// Named is a name as it stands in a sentence: as it is where it cannot be taken for a
// part of ours, else quoted.
func (q Quotation) Named(text string, ours map[string]bool) string {
	ordinary := !strings.ContainsFunc(ratio.ReplaceAllString(text, ""), structural) && screen.Clean(text) == text
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		ordinary = ordinary && !ours[word]
	}
	if ordinary {
		return isolated(text)
	}
	return q.Of(text)
}

// ratio is a colon that ends nothing: ISO 7731:2003, 12:30.
var ratio = regexp.MustCompile(`\b:\d`)

// structural are the characters with which our sentences are built, and any that are
// neither of words nor of names and numbers.
func structural(r rune) bool {
	const ofNames = "-'’&/,.+…()#%°±·@×"
	return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsNumber(r) && !unicode.IsSpace(r) &&
		!unicode.Is(unicode.So, r) && !strings.ContainsRune(ofNames, r)
}
