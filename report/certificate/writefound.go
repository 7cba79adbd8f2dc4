package certificate

import (
	"loopwitness/commission/words"
)

// found is what the site file does not say and was asked on the premises: what was found
// counts as if the file had it, what was not is a limitation.
func (w writer) found() Section {
	lines := w.a.Found()
	if len(lines) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.PartColumn, 62), w.column(words.KeyColumn, 62),
		w.column(words.ValueColumn, 24), w.column(words.HowColumn, 32)}}
	for _, l := range lines {
		part := Cell{Text: w.say(l.Name)}
		if len(l.Values) == 0 {
			t.Rows = append(t.Rows, Row{Cells: []Cell{part, missing, missing, missing},
				Remark: w.semicolons(remarked(l.Outcome.Remark())...)})
		}
		for _, v := range l.Values {
			value, how := missing, missing
			if v.Text != "" {
				value, how = Cell{Text: w.say(words.AsTyped(v.Text))}, Cell{Text: w.say(v.By), Tone: Quiet}
			}
			t.Rows = append(t.Rows, Row{Cells: []Cell{part, {Text: w.say(words.KeyOf(v.Key))}, value, how}})
			part = Cell{}
		}
	}
	return w.section(words.FoundHeading, t, w.quiet(words.FoundNote))
}
