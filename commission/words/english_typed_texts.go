package words

import "strings"

// englishVerdicts are words that say what came of a visit: a name that has one is quoted.
var englishVerdicts = wordSet(`satisfactory unsatisfactory result proved proven unproved verdict pass passed passes fail
	failed fails tested untested approved accepted certified certificate conforms conform complies compliant compliance
	verified intact finding findings limitation limitations danger fault advice undecided confirmed reported
	info`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(words) {
		set[word] = true
	}
	return set
}

// named is a name among words of ours.
func named(text string) string { return englishQuotes.Named(text, englishVerdicts) }

// englishQuotes is how English quotes.
var englishQuotes = Quotation{Open: "“", Close: "”"}

func quoted(text string) string { return englishQuotes.Of(text) }
