// Package languages knows every language in which a visit is guided and a certificate written.
package languages

import (
	"loopwitness/commission/record"
	"loopwitness/commission/site"
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

// OfSite is the language of a site's visits and papers, in its units.
func OfSite(s *site.Site) words.Language { return inUnits(s.Language, s) }

// OfVisit is the language of a visit, in the units of its site.
func OfVisit(r *record.Record) words.Language { return inUnits(r.Language(), r.Site()) }

// inUnits is a language in the units of a site; the first for a tag without a catalogue, of
// which the reader of site files lets none pass.
func inUnits(tag string, s *site.Site) words.Language {
	l, known := ByTag(tag)
	if !known {
		l = All()[0]
	}
	return l.In(s.Units)
}
