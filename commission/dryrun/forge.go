package dryrun

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// Forgery is one way in which somebody may write a journal that contradicts itself: an
// honest one with a few changes, numbered and chained anew.
type Forgery struct {
	Name string
	// Law tells it, by a limitation or by a refusal.
	Law record.Law
	// Forge changes an honest journal. It panics where that has not what it changes.
	Forge func(*Forged)
}

// Forgeries are all that we have thought of.
var Forgeries = slices.Concat(timeForgeries, readingForgeries, touchForgeries, cableForgeries, earlierForgeries,
	faultForgeries, alarmForgeries, foundForgeries, logoForgeries, earForgeries)

// Forged is a journal in the hands of somebody who changes it.
type Forged struct{ Entries []journal.Entry }

// Of are the places of the entries of a kind, from 0.
func (f *Forged) Of(kind string) (at []int) {
	for i, e := range f.Entries {
		if e.Kind == kind {
			at = append(at, i)
		}
	}
	return at
}

// Where are the places of the entries of a kind whose body has a value under a key.
func (f *Forged) Where(kind, key string, value any) (at []int) {
	for _, i := range f.Of(kind) {
		if got, has := f.body(i)[key]; has && fmt.Sprint(got) == fmt.Sprint(value) {
			at = append(at, i)
		}
	}
	return at
}

func (f *Forged) body(i int) (body map[string]any) {
	if err := json.Unmarshal(f.Entries[i].Body, &body); err != nil {
		panic(err)
	}
	return body
}

// Put puts a fact into the place of an entry's.
func (f *Forged) Put(i int, fact record.Fact) {
	f.Entries[i].Kind, f.Entries[i].Body = fact.Kind(), encoded(fact)
}

func encoded(fact record.Fact) json.RawMessage {
	w := journal.On(&memory{})
	e, err := w.Append(Morning, fact.Kind(), fact)
	if err != nil {
		panic(err)
	}
	return e.Body
}

// Edit changes an entry's fact.
func Edit[F record.Fact](f *Forged, i int, change func(*F)) {
	fact, err := record.FactOf(f.Entries[i])
	if err != nil {
		panic(err)
	}
	is := fact.(F)
	change(&is)
	f.Put(i, is)
}

// Remove takes entries out, by their places as they stand.
func (f *Forged) Remove(at ...int) {
	for _, i := range slices.Backward(slices.Sorted(slices.Values(at))) {
		f.Entries = slices.Delete(f.Entries, i, i+1)
	}
}

// Insert puts a fact before an entry, so long after the entry that stands before it.
func (f *Forged) Insert(i int, after time.Duration, fact record.Fact) {
	e := f.Entries[i-1]
	e.At, e.Elapsed, e.Kind, e.Body = e.At.Add(after), e.Elapsed+after, fact.Kind(), encoded(fact)
	f.Entries = slices.Insert(f.Entries, i, e)
}

// Shift moves entries from a place on in time, by both clocks.
func (f *Forged) Shift(from int, by time.Duration) {
	for i := from; i < len(f.Entries); i++ {
		f.Entries[i].At, f.Entries[i].Elapsed = f.Entries[i].At.Add(by), f.Entries[i].Elapsed+by
	}
}

// Bytes is the journal, numbered and chained anew.
func (f *Forged) Bytes() ([]byte, error) { return journal.Encode(f.Entries) }

// Journal runs the visit as Run does, and is the journal that it wrote.
func (v Visit) Journal(ctx context.Context) ([]byte, error) {
	var kept memory
	_, err := v.run(ctx, &kept)
	return kept.Bytes(), err
}
