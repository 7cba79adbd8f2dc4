package verify

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"loopwitness/report/certificate"
)

// Difference is a statement of the certificate that its record does not give.
type Difference struct {
	About  string `json:"about"`
	States string `json:"states"` // the certificate; "" if it states nothing
	Gives  string `json:"gives"`  // the record; "" if it gives nothing
}

func (d Difference) String() string {
	switch {
	case d.States == "":
		return fmt.Sprintf("%s: the record gives %q, the certificate states nothing", d.About, d.Gives)
	case d.Gives == "":
		return fmt.Sprintf("%s: the certificate states %q, the record gives nothing", d.About, d.States)
	}
	return fmt.Sprintf("%s: the certificate states %q, the record gives %q", d.About, d.States, d.Gives)
}

// short is how long a verdict, a count or a figure may be, in characters. What is
// longer is wording.
const short = 24

func isShort(text string) bool { return len([]rune(text)) <= short }

var figures = regexp.MustCompile(`\d+(?:[.,]\d+)?`)

// alikeOf says when two statements of the same thing agree. Within an edition they are
// the same. A later edition may word things differently, but not judge, count or
// measure differently.
func alikeOf(sameEdition bool, states, gives string) bool {
	if states == gives {
		return true
	}
	if sameEdition || isShort(states) || isShort(gives) {
		return false
	}
	return slices.Equal(figures.FindAllString(states, -1), figures.FindAllString(gives, -1))
}

// differencesOf compares what a certificate states with what its record gives. Of
// another edition, what only one of them states is no difference, but counted.
func differencesOf(states, gives []certificate.Stated, sameEdition bool) (out []Difference, compared, alone int) {
	given := map[string]string{}
	for _, s := range gives {
		given[s.Key] = s.Text
	}
	for _, s := range states {
		text, there := given[s.Key]
		delete(given, s.Key)
		switch {
		case !there && !sameEdition:
			alone++
			continue
		case !alikeOf(sameEdition, s.Text, text):
			out = append(out, Difference{s.Key, s.Text, text})
		}
		compared++
	}
	if !sameEdition {
		return out, compared, alone + len(given)
	}
	for _, s := range gives {
		if _, left := given[s.Key]; left {
			out = append(out, Difference{s.Key, "", s.Text})
			compared++
		}
	}
	return out, compared, 0
}

// packed is a text without what line breaks and columns change.
func packed(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == ':' {
			return -1
		}
		return r
	}, text)
}

// notOnPages are the short statements that do not stand on the pages. Those of one row
// of a table have to stand together there. For pages of another edition: those of
// the same are compared word by word.
func notOnPages(states []certificate.Stated, words [][]string) []Difference {
	var b strings.Builder
	for _, page := range words {
		for _, w := range page {
			b.WriteString(packed(w))
		}
	}
	text := b.String()
	var out []Difference
	for i := 0; i < len(states); {
		row := []string{packed(states[i].Text)}
		next := i + 1
		for next < len(states) && sameRow(states[i].Key, states[next].Key) {
			row = append(row, packed(states[next].Text))
			next++
		}
		if !stands(text, row) {
			out = append(out, Difference{About: about(states[i].Key), States: strings.Join(row, " ")})
		}
		i = next
	}
	return out
}

// about is what a key is about: all but its last part.
func about(key string) string {
	if i := strings.LastIndex(key, "/"); i > 0 {
		return key[:i]
	}
	return key
}

// sameRow tells whether two keys belong to one row of a table.
func sameRow(a, b string) bool {
	return strings.Count(a, "/") >= 2 && about(a) == about(b)
}

// stands tells whether the short texts of a row stand behind each other.
func stands(text string, row []string) bool {
	for len(row) > 0 && !isShort(row[0]) { // long names may be broken or cut
		row = row[1:]
	}
	for len(row) > 0 && !isShort(row[len(row)-1]) {
		row = row[:len(row)-1]
	}
	return strings.Contains(text, strings.Join(row, ""))
}
