package ask

import (
	"context"

	"loopwitness/checks"
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

// What can be. All *common practice, no source*: wide enough that an honest reading is
// hardly ever doubted, and narrow enough for a lost decimal point or a wrong unit.
var (
	PlausibleSupply = Plausible{3, 16, SupplyDoubt, true}      // V; 1.29 V is a slip, 0 V a dead battery
	PlausibleDrawn  = Plausible{0.001, 5, DrawnDoubt, false}   // A
	PlausibleLoop   = Plausible{0, 10e6, LoopDoubt, false}     // ohm
	plausibleLevel  = Plausible{40, 130, LevelDoubt, false}    // dB
	plausibleFrom   = Plausible{0.1, 30, DistanceDoubt, false} // m
)

// MostOfNominal is beyond what any battery is charged to, as a part of its nominal
// voltage: 2.45 V of 2 V a cell, 4.2 V of 3.7 V, 3.65 V of 3.2 V (from memory).
const MostOfNominal = 1.4

// Has tells whether a value can well be.
func (p Plausible) Has(si float64) bool { return si >= p.Lower && si <= p.Upper || p.Dead && si == 0 }

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
		level, err := ParseLevel(a.Text)
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
