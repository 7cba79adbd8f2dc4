package record

import (
	"fmt"
	"slices"

	"loopwitness/commission/journal"
)

// Law names something that holds of every record that a visit writes.
type Law string

// Code names the law.
func (l Law) Code() string { return "law/" + string(l) }

// Consequence is what comes of breaking a law.
type Consequence string

const (
	// Refused: no visit can write it, and the record is not read.
	Refused Consequence = "refused"
	// Limits: the record is read, and a limitation names the law and the entries.
	Limits Consequence = "limits"
)

// rule is a law, what comes of breaking it, and how that is seen. A rule sees each entry
// before it is taken, or the record as it stands at its end.
type rule struct {
	law         Law
	consequence Consequence
	// entry tells whether an entry breaks the law, with what it says, before it is taken.
	entry func(r *Record, e journal.Entry, f Fact) bool
	// end are the entries that break the law of the record as a whole.
	end func(r *Record) []int
}

// lawbook is every law.
var lawbook = slices.Concat(
	clockLaws,
	timeLaws,
	outputLaws,
	signalLaws,
	trialLaws,
	textLaws,
	readingLaws,
	answerLaws,
	nameLaws,
	programmeLaws,
	cableLaws,
	faultLaws,
	alarmLaws,
	logoLaws,
)

// Laws are all of them, in the order of the book, with what comes of breaking each.
func Laws() (names []Law, consequences []Consequence) {
	for _, l := range lawbook {
		names, consequences = append(names, l.law), append(consequences, l.consequence)
	}
	return names, consequences
}

// Refusal says that an entry breaks a law that no visit can break. It is ErrNoSense.
type Refusal struct {
	Law  Law
	What string // is the matter with it, "" for what the law's name says
}

func (r *Refusal) Error() string {
	if r.What == "" {
		return fmt.Sprintf("%v: %s", ErrNoSense, r.Law)
	}
	return fmt.Sprintf("%v: %s", ErrNoSense, r.What)
}

// Unwrap is ErrNoSense.
func (*Refusal) Unwrap() error { return ErrNoSense }

// refuse is the refusal of what breaks a law, with what is the matter with it.
func refuse(law Law, why error) error { return &Refusal{law, why.Error()} }

// mostOfBreach is how many entries are named of each law that is broken.
const mostOfBreach = 8

// Breach is a law that a record breaks: the first of the entries that do so, rising, and
// how many there are.
type Breach struct {
	Law     Law
	Entries []int
	All     int
}

// breaches are those seen so far, by law.
type breaches map[Law]Breach

func (b breaches) add(law Law, entries ...int) {
	one := b[law]
	one.Law = law
	for _, n := range entries {
		if one.All++; len(one.Entries) < mostOfBreach {
			one.Entries = append(one.Entries, n)
		}
	}
	b[law] = one
}

// examine holds an entry against the laws, before it is taken: those that it breaks and that
// do not refuse it.
func (r *Record) examine(e journal.Entry, f Fact) (broken []Law, err error) {
	for _, l := range lawbook {
		switch {
		case l.entry == nil || !l.entry(r, e, f):
		case l.consequence == Refused:
			return nil, &Refusal{Law: l.law}
		default:
			broken = append(broken, l.law)
		}
	}
	return broken, nil
}

// Breaches are the laws that the record breaks, in the order of the book.
func (r *Record) Breaches() (all []Breach) {
	for _, l := range lawbook {
		found := r.broken
		if l.end != nil {
			found = breaches{}
			if entries := slices.Sorted(slices.Values(l.end(r))); len(entries) > 0 {
				found.add(l.law, entries...)
			}
		}
		if b, is := found[l.law]; is {
			b.Entries = slices.Clone(b.Entries)
			all = append(all, b)
		}
	}
	return all
}
