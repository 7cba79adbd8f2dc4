package words

import (
	"regexp"
	"strings"
	"unicode"

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

// quoted is a text that somebody typed, as one line between quotation marks; its own
// cannot close them.
func quoted(text string) string {
	if text == "" {
		return ""
	}
	return "“" + strings.NewReplacer("“", "‟", "”", "‟").Replace(screen.Clean(text)) + "”"
}

// quotedOrNone is quoted, also where nothing was typed.
func quotedOrNone(text string) string {
	if text == "" {
		return "“”"
	}
	return quoted(text)
}

// allQuoted are several.
func allQuoted(texts []string) string {
	var all []string
	for _, text := range texts {
		all = append(all, quoted(text))
	}
	return strings.Join(all, "; ")
}

// namedIn is a name as it stands in a sentence: as it is where it cannot be taken for a
// part of ours, else quoted.
func namedIn(text string, ours map[string]bool) string {
	ordinary := !strings.ContainsFunc(ratio.ReplaceAllString(text, ""), structural) && screen.Clean(text) == text
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		ordinary = ordinary && !ours[word]
	}
	if ordinary {
		return text
	}
	return quoted(text)
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
