package ask

import (
	"context"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Plausible is the range, in SI units, in which a quantity can be. What lies outside is
// not refused: it is asked whether it is meant.
type Plausible struct {
	Lower, Upper float64
	Why          Doubt
	Dead         bool // 0 can be as well: nothing is there
}

// Doubt is why a value cannot well be.
type Doubt string

// The doubts.
const (
	SupplyDoubt   Doubt = "supply"   // of a supply of 12 V; a decimal point may be missing
	CellsDoubt    Doubt = "cells"    // more than the cells of the battery can bear
	DrawnDoubt    Doubt = "drawn"    // a current that no output and no system draws
	LevelDoubt    Doubt = "level"    // a level of no sounder
	DistanceDoubt Doubt = "distance" // nobody measures a sounder from there
	LoopDoubt     Doubt = "loop"     // of a loop that is not open
)

// Code names it.
func (d Doubt) Code() string { return "doubt/" + string(d) }

// What can be: see the ranges of the record, which knows whether a doubt was answered.
var (
	PlausibleSupply = plausible(record.SupplyRange, SupplyDoubt)
	PlausibleDrawn  = plausible(record.DrawnRange, DrawnDoubt)
	PlausibleLoop   = plausible(record.LoopRange, LoopDoubt)
	plausibleLevel  = plausible(record.LevelRange, LevelDoubt)
	plausibleFrom   = plausible(record.DistanceRange, DistanceDoubt)
)

func plausible(can record.Range, why Doubt) Plausible {
	return Plausible{can.Lower, can.Upper, why, can.Dead}
}

// PlausibleAt is what the supply's voltage can be at a site.
func PlausibleAt(s *site.Site) Plausible {
	can, ofCells := record.SupplyVolts(s)
	if ofCells {
		return plausible(can, CellsDoubt)
	}
	return plausible(can, SupplyDoubt)
}

// Has tells whether a value can well be.
func (p Plausible) Has(si float64) bool {
	return record.Range{Lower: p.Lower, Upper: p.Upper, Dead: p.Dead}.Has(si)
}

// Really asks whether a doubtful answer is meant. Lower and Upper say what can be, with
// the unit.
type Really struct {
	Text         string // as it was taken
	Why          Doubt
	Lower, Upper string
}

// Code names it.
func (Really) Code() string { return "matter/really" }

func (p Plausible) really(text, unit string) Phrase {
	return Really{Text: text, Why: p.Why, Lower: checks.FormatNumber(p.Lower) + " " + unit,
		Upper: checks.FormatNumber(p.Upper) + " " + unit}
}

// Doubted is what is asked about an answer that cannot well be, nil for nothing.
func (q Question) Doubted(a Answer) Phrase {
	switch t := q.Takes.(type) {
	case Quantity:
		value, err := t.In.Parse(a.Text)
		if q.Plausible != nil && err == nil && !q.Plausible.Has(value.SI) {
			doubted := *q.Plausible
			if doubted.Why == CellsDoubt && value.SI < doubted.Lower {
				doubted.Why = SupplyDoubt
			}
			return doubted.really(a.Text, t.In.SI)
		}
	case SoundLevel:
		level, err := checks.ParseLevel(a.Text)
		switch {
		case err != nil: // left out
		case !plausibleLevel.Has(level.Level):
			return plausibleLevel.really(a.Text, checks.SoundLevel.SI)
		case !plausibleFrom.Has(level.Distance):
			return plausibleFrom.really(a.Text, checks.Length.SI)
		}
	}
	return nil
}

// Surely asks a question, and asks once more about an answer that cannot well be: yes
// confirms it, no asks again. It never ends in a refusal.
func Surely(ctx context.Context, o Operator, q Question) (Answer, error) {
	for {
		answer, err := o.Ask(ctx, q)
		if err != nil {
			return answer, err
		}
		doubt := q.Doubted(answer)
		if doubt == nil {
			return answer, nil
		}
		meant, err := o.Ask(ctx, Question{ID: q.ID + "/really", What: doubt, Takes: YesNo{}})
		if err != nil {
			return Answer{}, err
		}
		if meant.Text == Yes {
			answer.Confirmed = true
			return answer, nil
		}
	}
}
