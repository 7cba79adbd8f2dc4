package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func (w writer) computed() Section {
	if len(w.a.Computed()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.ComputedColumn, 54), w.column(words.ResultColumn, 44),
		w.column(words.LimitColumn, 62), w.column(words.VerdictColumn, 20)}}
	told := map[string]bool{}
	groups := w.alikeDrops()
	shared := map[site.Point]bool{}
	for i, c := range w.a.Computed() {
		if r, is := c.Row.(judge.DropRow); is && shared[r.Detector.Point] {
			continue // in the row of those that are alike
		}
		of := groups[i]
		if of == nil {
			t.Rows = append(t.Rows, w.computedRow(c, told))
			continue
		}
		t.Rows = append(t.Rows, w.dropsRow(of, told))
		for _, c := range of {
			shared[c.Row.(judge.DropRow).Detector.Point] = true
		}
	}
	lead := Prose{Text: w.say(words.LoopColumn), Leads: true}
	loops, merged := w.loops()
	notes := []words.Phrase{words.LoopsNote}
	if merged {
		notes = []words.Phrase{words.LoopsShared, words.LoopsNote}
	}
	return w.section(words.ComputedHeading, t, w.quiet(words.ComputedNote), lead, loops,
		w.quiet(words.List{By: words.Sentences, Of: notes}))
}

// computedRow tells each formula once.
func (w writer) computedRow(c judge.Computed, told map[string]bool) Row {
	verdict := missing
	if c.Danger || c.Ruling != "" {
		verdict = w.ruled(ofRow(c))
		if c.Danger {
			verdict.Tone = Bad
		}
	}
	row := w.o.Language.Computed(c)
	if row.Missing != "" {
		return Row{Cells: []Cell{{Text: row.About}, {Text: row.Missing, Tone: Quiet}, {}, verdict}}
	}
	remark := []words.Phrase{words.AsTyped(row.Inputs)} // said already
	if !told[row.Formula] {
		told[row.Formula] = true
		remark = append(remark, words.AsTyped(row.Formula))
	}
	result := []words.Phrase{words.AsTyped(row.Result)}
	if beside, ofStandby := w.tried(c.Row); ofStandby {
		result = append(result, beside)
	}
	if row.Change != "" {
		remark = append(remark, words.ToChange{Text: row.Change})
	}
	return Row{Cells: []Cell{{Text: row.About}, {Text: w.semicolons(result...)}, {Text: row.Limit, Tone: Quiet}, verdict},
		Remark: w.semicolons(remark...)}
}

// tried sets the trial without mains beside the standby that is computed.
func (w writer) tried(r judge.Row) (words.ComputedTried, bool) {
	beside := words.ComputedTried{}
	switch r := r.(type) {
	case judge.StandbyRow:
		beside.Computed = r.For
	case judge.EnergyRow:
		beside.Computed = r.For
	default:
		return beside, false
	}
	for _, l := range w.a.Readings() {
		if l.Reading != nil && l.Reading.WhileOff && l.Void == "" {
			beside.Tried = max(beside.Tried, l.Reading.SinceOff)
		}
	}
	return beside, true
}
