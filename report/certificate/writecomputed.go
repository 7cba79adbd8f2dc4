package certificate

import (
	"fmt"

	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

func (w writer) computed() Section {
	if len(w.a.Computed()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Computed", Width: 54}, {Head: "Result", Width: 60}, {Head: "Limit", Width: 46}, {Head: "Verdict", Width: 20}}}
	for _, c := range w.a.Computed() {
		cell, judged := decided[c.Verdict]
		if !judged {
			cell = Cell{Text: "–", Tone: Quiet}
		}
		row := english.Computed(c)
		if row.Missing != "" {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: row.About}, {Text: row.Missing, Tone: Quiet}, {}, cell}})
			continue
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: row.About}, {Text: row.Result}, {Text: row.Limit, Tone: Quiet}, cell},
			Remark: joined("; ", row.Inputs, row.Formula, labelled("to change:", row.Change))})
	}
	return Section{"Computed", []Block{t, w.loops(), Prose{Text: "From the site file as declared and the readings of this visit. Where the site file says nothing: copper and battery at 20 °C, ageing 1.25, capacity stated for 20 h, Peukert exponent 1.15 (lead-acid) or 1.05 (lithium-ion), a pack of 11.1 V through a converter of 90 %; common practice. Loops: Kirchhoff, seen from the controller's terminals, resistors within 5 %, cable left out.", Quiet: true}}}
}

// loops is what an ohmmeter should read on each zone, for whoever comes next.
func (w writer) loops() Table {
	t := Table{Columns: []Column{{Head: "Expected loop, not measured", Width: 54}, {Head: "Normal", Unit: "Ω", Width: 26, Right: true}, {Head: "One active", Unit: "Ω", Width: 26, Right: true},
		{Head: "Shorted", Unit: "Ω", Width: 16, Right: true}, {Head: "Cut", Unit: "Ω", Width: 14, Right: true}, {Head: "Not told apart by a reading", Width: 44}}}
	for i := range w.r.Site().Zones {
		z := &w.r.Site().Zones[i]
		loop, err := judge.ExpectedLoop(z)
		if err != nil {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprintf("%d %s", z.Number, z.Name)}, {}, {}, {}, {}, {Text: err.Error(), Tone: Quiet}}})
			continue
		}
		cells := words.LoopCells(english, loop)
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprintf("%d %s", z.Number, z.Name)}, {Text: cells[0]}, {Text: cells[1]}, {Text: cells[2]}, {Text: cells[3]}, {Text: cells[4], Tone: Quiet}}})
	}
	return t
}
