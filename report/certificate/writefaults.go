package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// faults is what the controller reports of its own supply, nothing where that was no part of
// the visit.
func (w writer) faults() []Block {
	if len(w.a.Faults()) == 0 {
		return nil
	}
	t := Table{Columns: []Column{w.column(words.FaultColumn, 27), w.column(words.ReportedColumn, 47),
		w.column(words.ClearedColumn, 47), w.column(words.LimitColumn, 28), w.column(words.ResultColumn, 31)}}
	for _, l := range w.a.Faults() {
		t.Rows = append(t.Rows, w.faultRow(l))
	}
	return []Block{t, w.quiet(words.FaultsNote)}
}

func (w writer) faultRow(l judge.FaultLine) Row {
	limit := missing
	if l.Limit.Declared() {
		limit = Cell{Text: w.say(words.LimitCell(l.Limit)), Tone: Quiet}
	}
	reported, cleared := missing, missing
	switch l.Outcome.Result() {
	case record.AtController, record.AtCentre, record.NotCleared, record.NotSeen:
		reported = Cell{Text: w.say(l.Outcome.Result())}
	case record.LeftOut:
	default:
		if l.Signal != nil && l.Signal.Told {
			reported, cleared = w.noticed(l, true), w.noticed(l, false)
		}
	}
	return Row{Cells: []Cell{{Text: w.say(l.Aspect)}, reported, cleared, limit, w.ruled(ofFault(l))},
		Remark: w.semicolons(remarked(append(l.Outcome.Notes(), l.Outcome.Remark())...)...)}
}

// noticed is when a fault, or its end, was reported.
func (w writer) noticed(l judge.FaultLine, present bool) Cell {
	n := l.Signal.Reported
	if !present {
		n = l.Signal.Cleared
	}
	if n == nil && !l.Outcome.Concluded() {
		return missing // it may come yet
	}
	said := words.FaultNoticed{Aspect: l.Aspect, Present: present, Never: n == nil}
	if n != nil {
		said.After, said.AtMost, said.Early, said.Kept = n.After, n.AtMost, n.Early, n.Kept
	}
	return Cell{Text: w.say(said)}
}
