// Package languages knows every language in which a visit is guided and a certificate written.
package languages

import (
	"loopwitness/commission/words"
	"loopwitness/commission/words/german"
)

// All are the languages, the first of them where nothing is chosen.
func All() []words.Language { return []words.Language{words.English{}, german.Language{}} }

// ByTag is the language with a BCP 47 tag, if there is a catalogue of it.
func ByTag(tag string) (words.Language, bool) {
	for _, l := range All() {
		if l.Tag() == tag {
			return l, true
		}
	}
	return nil, false
}
