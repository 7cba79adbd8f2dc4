package certificate

import (
	"strings"

	"loopwitness/commission/words"
)

// grouped sets digits in groups of four, so that they can be compared by eye.
func grouped(digits string) string {
	var groups []string
	for len(digits) > 4 {
		groups, digits = append(groups, digits[:4]), digits[4:]
	}
	return strings.Join(append(groups, digits), " ")
}

// inTwoLines sets a fingerprint so that neither line is longer than the other.
func inTwoLines(digits string) string {
	half := len(digits) / 2
	return grouped(digits[:half]) + "\n" + grouped(digits[half:])
}

// seal says who seals the file, and how it can be checked.
func (w writer) seal() Section {
	if w.o.Journal == "" {
		return Section{}
	}
	var p Pairs
	s := w.o.SealedBy
	content := w.documentNumber() + "\njournal sha256:" + w.o.Journal
	w.pair(&p, words.JournalLabel, inTwoLines(w.o.Journal))
	w.pair(&p, words.SignedByLabel, w.say(signedBy(s)))
	if s.Kind != Nobody {
		w.pair(&p, words.KeyLabel, inTwoLines(s.Fingerprint))
		content += "\nkey sha256:" + s.Fingerprint
	}
	w.pair(&p, words.AttachedLabel, w.say(words.Attached{Entries: w.r.Entries(), Photographs: len(w.a.Kept())}))
	section := w.section(words.CheckHeading, Code{Content: content, Beside: p}, w.steps(), w.quiet(words.TruthNote))
	section.Whole = true // a scanner finds the code beside what it is for
	return section
}

func signedBy(s Sealer) words.Phrase {
	switch s.Kind {
	case KeyHolder:
		return words.SignedBy{Name: s.Name}
	case ThrowAwayKey:
		return words.ThrowAwayNote
	}
	return words.NobodySealedNote
}

// steps are what somebody does who wants to check the certificate.
func (w writer) steps() Items {
	notes := []words.Note{words.ReaderNote, words.FollowNote, words.KeyNote, words.PaperNote}
	if w.o.SealedBy.Kind == Nobody {
		notes = []words.Note{words.FollowNote, words.PaperUnsignedNote}
	}
	var items Items
	for i, n := range notes {
		items = append(items, Item{Mark: w.count(i + 1), Text: w.say(n)})
	}
	return items
}
