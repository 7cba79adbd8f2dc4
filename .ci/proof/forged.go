package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// forged holds journals that were written to deceive against the laws of records: each
// forgery, in each honest journal that has what it changes, has to be refused or limited by
// its law, and makes no result better. And no honest journal breaks a law.
type forged struct{}

func (forged) name() string { return "forged" }

// writtenFor is the journal that forgeries were written for.
const writtenFor = "pottery-handover"

func (forged) run(ctx context.Context, o options) (result, error) {
	kept, err := o.keptJournals()
	if err != nil {
		return result{}, err
	}
	visited, err := o.visitedJournals(ctx, o.of(0, 12))
	if err != nil {
		return result{}, err
	}
	t := newTally()
	breaches := 0
	for _, h := range slices.Concat(kept, visited) {
		came := lawful(h)
		if came != nil {
			breaches++
		}
		t.try(h.name+", as it is", came)
	}
	victims := append(kept, some(visited, o.of(24, 2))...)
	applied := map[string]bool{}
	err = each(ctx, len(victims)*len(dryrun.Forgeries), func(i int) error {
		h, f := victims[i/len(dryrun.Forgeries)], dryrun.Forgeries[i%len(dryrun.Forgeries)]
		applies, came := faces(t, h, f)
		if applies {
			t.mark(applied, f.Name)
			t.try(fmt.Sprintf("%s, in %s", f.Name, h.name), came)
		}
		return nil
	})
	for _, f := range dryrun.Forgeries {
		if !applied[f.Name] {
			t.try(f.Name, errors.New("it could be made of no journal"))
		}
	}
	t.note("%d forgeries in %d journals; %d honest visits, %d breaches", len(dryrun.Forgeries), len(victims),
		len(kept)+len(visited), breaches)
	return t.result(), err
}

// entriesOf are those of a journal's text.
func entriesOf(data []byte) ([]journal.Entry, error) {
	c, err := journal.Read(bytes.NewReader(data))
	return c.Entries, err
}

// lawful is an error that names the laws that an honest journal breaks.
func lawful(h honest) error {
	r, err := record.Fold(h.entries)
	if err != nil {
		return err
	}
	if laws := contradictions(judge.Assess(r)); len(laws) > 0 {
		return fmt.Errorf("an honest visit breaks laws: %v", laws)
	}
	return nil
}

// contradictions are the laws that limitations name.
func contradictions(a *judge.Assessment) (laws []record.Law) {
	for _, f := range a.Limitations() {
		if c, is := f.What.(judge.Contradicted); is {
			laws = append(laws, c.Law)
		}
	}
	return laws
}

// faces tells whether a forgery can be made of a journal, and what came of it.
func faces(t *tally, h honest, f dryrun.Forgery) (applies bool, came error) {
	all, made := forge(h, f)
	if !made {
		return false, nil
	}
	data, err := journal.Encode(all)
	if err != nil {
		return false, nil
	}
	return true, tells(t, h, f.Law, data)
}

// forge makes a forgery of a copy; not made where the journal has not what it changes, or
// has it changed already.
func forge(h honest, f dryrun.Forgery) (all []journal.Entry, made bool) {
	defer func() {
		if recover() != nil {
			made = false
		}
	}()
	forgery := &dryrun.Forged{Entries: slices.Clone(h.entries)}
	f.Forge(forgery)
	return forgery.Entries, !slices.EqualFunc(forgery.Entries, h.entries, sameEntry)
}

func sameEntry(a, b journal.Entry) bool {
	return a.Kind == b.Kind && a.Run == b.Run && a.Elapsed == b.Elapsed && a.At.Equal(b.At) &&
		bytes.Equal(a.Body, b.Body)
}

// tells is nil where a forged journal is refused or limited, by its law where it was written
// for that journal. Elsewhere a forgery may contradict nothing; then it must not show more
// than the honest journal does.
func tells(t *tally, h honest, law record.Law, data []byte) error {
	all, err := entriesOf(data)
	if err != nil {
		return nil
	}
	r, err := record.Fold(all)
	if err != nil {
		return nil
	}
	was, err := record.Fold(h.entries)
	if err != nil {
		return err
	}
	a, before := judge.Assess(r), judge.Assess(was)
	laws := contradictions(a)
	switch {
	case len(laws) > 0 && a.Result() == judge.Satisfactory:
		return unnoticed{fmt.Sprintf("satisfactory, though it breaks %v", laws)}
	case slices.Contains(laws, law), len(laws) > 0 && h.name != writtenFor:
		if greener(a.Result(), before.Result()) {
			t.count("told, with a better result than without", 1)
		}
		return nil
	case h.name == writtenFor:
		return unnoticed{fmt.Sprintf("%s, broken: %v, and not %s", a.Result(), laws, law)}
	}
	t.count("that contradict nothing there and show no more", 1)
	return showsNoMore(outcomeOf(was), outcomeOf(r))
}

// showsNoMore is unnoticed where something looks better than in the honest journal.
func showsNoMore(honest, forged outcome) error {
	var better []string
	for key, was := range honest {
		is, there := forged[key]
		class, _, _ := strings.Cut(key, " ")
		switch {
		case class == "finding" && !there:
			better = append(better, key+" is gone")
		case class == "verdict" && is != was && is == string(record.Proved):
			better = append(better, key+" was "+was)
		case class == resultKey && greener(judge.Overall(is), judge.Overall(was)):
			better = append(better, is+" was "+was)
		}
	}
	if len(better) == 0 {
		return nil
	}
	slices.Sort(better)
	return unnoticed{strings.Join(better, "; ")}
}

// results from the worst on.
var results = []judge.Overall{judge.NotFinished, judge.Unsatisfactory, judge.WithLimitations, judge.Satisfactory}

// greener tells whether a result is better than another.
func greener(a, than judge.Overall) bool {
	return slices.Index(results, a) > slices.Index(results, than)
}
