package certificate

import (
	"slices"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func (w writer) computed() Section {
	if len(w.a.Computed()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.ComputedColumn, 54), w.column(words.ResultColumn, 60),
		w.column(words.LimitColumn, 46), w.column(words.VerdictColumn, 20)}}
	told := map[string]bool{}
	for _, c := range w.a.Computed() {
		t.Rows = append(t.Rows, w.computedRow(c, told))
	}
	blocks := []Block{t, w.quiet(words.ComputedNote), w.loops(), w.quiet(words.LoopsNote)}
	return w.section(words.ComputedHeading, blocks...)
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

// loops is what an ohmmeter should read, for whoever comes next: zones that read alike
// share a row.
func (w writer) loops() Table {
	t := Table{Columns: []Column{w.column(words.ZonesColumn, 32), w.column(words.LoopColumn, 54),
		w.measures(words.NormalColumn, words.Ohm, 20), w.measures(words.ActiveColumn, words.Ohm, 20),
		w.measures(words.ShortedColumn, words.Ohm, 18), w.measures(words.CutColumn, words.Ohm, 12),
		w.column(words.AlikeColumn, 24)}}
	row := map[string]int{}
	var of []words.Zones
	for i := range w.r.Site().Zones {
		z := &w.r.Site().Zones[i]
		cells := w.loopCells(z)
		key := ""
		for _, c := range cells {
			key += c.Text + "\n"
		}
		at, there := row[key]
		if !there {
			at = len(of)
			row[key], of = at, append(of, nil)
			t.Rows = append(t.Rows, Row{Cells: append([]Cell{{}}, cells...)})
		}
		of[at] = append(of[at], z.Number)
	}
	for i := range of {
		slices.Sort(of[i])
		t.Rows[i].Cells[0].Text = w.say(of[i])
	}
	return t
}

// loopCells are those of a zone but its number.
func (w writer) loopCells(z *site.Zone) []Cell {
	wiring := Cell{Text: w.say(programme.HintOf(z))}
	if lacks := w.r.Site().Missing(site.Part{Group: site.GroupWiring, Zone: z.Number}); len(lacks) > 0 {
		return []Cell{wiring, missing, missing, missing, missing, missing} // the wiring tells what is not known
	}
	loop, err := judge.ExpectedLoop(w.r.Site(), z)
	if err != nil {
		refused := w.say(judge.Lack{What: judge.LackSense, Said: err.Error()})
		return []Cell{wiring, {}, {}, {}, {}, {Text: refused, Tone: Quiet}}
	}
	cells := []Cell{wiring}
	for _, text := range words.LoopCells(w.o.Language, loop) {
		cells = append(cells, Cell{Text: text})
	}
	cells[len(cells)-1].Tone = Quiet
	return cells
}
