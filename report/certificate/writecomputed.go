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
	t := Table{Columns: []Column{w.column(words.ComputedColumn, 54), w.column(words.ResultColumn, 60),
		w.column(words.LimitColumn, 46), w.column(words.VerdictColumn, 20)}}
	for _, c := range w.a.Computed() {
		t.Rows = append(t.Rows, w.computedRow(c))
	}
	return w.section(words.ComputedHeading, t, w.loops(), w.quiet(words.ComputedNote))
}

func (w writer) computedRow(c judge.Computed) Row {
	verdict := missing
	if c.Ruling != "" {
		verdict = w.decided(c.Ruling)
	}
	row := w.o.Language.Computed(c)
	if row.Missing != "" {
		return Row{Cells: []Cell{{Text: row.About}, {Text: row.Missing, Tone: Quiet}, {}, verdict}}
	}
	remark := typed(row.Inputs, row.Formula)
	if row.Change != "" {
		remark = append(remark, words.ToChange{Text: row.Change})
	}
	return Row{Cells: []Cell{{Text: row.About}, {Text: row.Result}, {Text: row.Limit, Tone: Quiet}, verdict},
		Remark: w.semicolons(remark...)}
}

// loops is what an ohmmeter should read on each zone, for whoever comes next.
func (w writer) loops() Table {
	t := Table{Columns: []Column{w.column(words.LoopColumn, 54), w.measures(words.NormalColumn, words.Ohm, 26),
		w.measures(words.ActiveColumn, words.Ohm, 26), w.measures(words.ShortedColumn, words.Ohm, 16),
		w.measures(words.CutColumn, words.Ohm, 14), w.column(words.AlikeColumn, 44)}}
	for i := range w.r.Site().Zones {
		t.Rows = append(t.Rows, w.loopRow(&w.r.Site().Zones[i]))
	}
	return t
}

func (w writer) loopRow(z *site.Zone) Row {
	zone := w.zone(z)
	zone.Tone = Plain
	loop, err := judge.ExpectedLoop(w.r.Site(), z)
	if err != nil {
		refused := w.say(judge.Lack{What: judge.LackSense, Said: err.Error()})
		return Row{Cells: []Cell{zone, {}, {}, {}, {}, {Text: refused, Tone: Quiet}}}
	}
	cells := words.LoopCells(w.o.Language, loop)
	return Row{Cells: []Cell{zone, {Text: cells[0]}, {Text: cells[1]}, {Text: cells[2]}, {Text: cells[3]},
		{Text: cells[4], Tone: Quiet}}}
}
