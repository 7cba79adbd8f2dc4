package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// cables are those of an older system that were measured; what was left out stands there, too.
func (w writer) cables() Section {
	all := w.a.Cables()
	if len(all) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.CableColumn, 32), w.column(words.SeenColumn, 56),
		w.column(words.CableLoopColumn, 33), w.column(words.InsulationColumn, 38), w.column(words.ApartColumn, 21)}}
	for _, l := range all {
		t.Rows = append(t.Rows, w.cable(l))
	}
	blocks := []Block{t}
	if m := w.r.Tester(); m != nil {
		blocks = append(blocks, w.prose(words.CableTester{Name: m.Name, Calibrated: m.Calibrated, Volt: m.Volt,
			Share: m.Share}))
	}
	return w.section(words.CablesHeading, append(blocks, w.quiet(words.CablesNote))...)
}

func (w writer) cable(l judge.CableLine) Row {
	r := Row{Cells: []Cell{{Text: w.say(programme.NameOfZone(l.Zone))}, missing, missing, missing, missing}}
	remark := remarked(l.Outcome.Notes()...)
	switch {
	case l.Tested != nil:
		r.Cells[1].Text = w.say(words.CableLook{Is: l.Tested.Is, Guesses: l.Guesses})
		r.Cells[1].Tone = Plain
		r.Cells[2] = w.measured(l.Continuity, l.Tested.Values.Loop != nil)
		r.Cells[3] = w.measured(l.Insulation, l.Insulation != nil)
	default:
		r.Cells[1] = w.ruled(answered(record.LeftOut))
		if reason, with := w.r.LeftWith(l.Outcome.Step()); !with {
			remark = append(remark, remarked(l.Outcome.Remark())...)
		} else {
			remark = append(remark, remarked(reason)...)
		}
	}
	if l.Apart != nil {
		r.Cells[4] = w.ruled(answered(l.Apart.Result()))
		if _, with := w.r.LeftWith(l.Apart.Step()); !with {
			remark = append(remark, remarked(l.Apart.Remark())...)
		}
		remark = append(remark, earlierAnswers(l.Apart)...)
	}
	r.Remark = w.semicolons(remark...)
	return r
}

// measured is a value with what it shows.
func (w writer) measured(c *judge.Computed, taken bool) Cell {
	if c == nil || !taken {
		return missing
	}
	text := ""
	switch row := c.Row.(type) {
	case judge.ContinuityRow:
		text = w.say(words.Measured(row.Measured))
	case judge.InsulationRow:
		text = w.commas(measured(row.Between, row.Earth)...)
		if row.Between == row.Earth {
			text = w.say(words.Measured(row.Between))
		}
	}
	verdict := w.decided(c.Ruling)
	verdict.Value = text
	return verdict
}
