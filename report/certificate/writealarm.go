package certificate

import (
	"slices"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// alarm is one alarm from end to end, as a line of time: what happened, when, by whom it was
// seen, and what it was held against.
func (w writer) alarm() Section {
	lines := w.a.Alarm()
	if len(lines) == 0 {
		return Section{}
	}
	if !slices.ContainsFunc(lines, func(l judge.AlarmLine) bool { return len(l.Rows) > 0 }) {
		return w.section(words.AlarmHeading, w.prose(words.NoAlarmNote))
	}
	t := Table{Columns: []Column{w.column(words.HappenedColumn, 54), w.column(words.WhenColumn, 38),
		w.column(words.WitnessColumn, 33), w.column(words.LimitColumn, 37), w.column(words.VerdictColumn, 18)}}
	for _, l := range lines {
		head := w.say(programme.NameOf(w.r.Site(), l.Outcome.Step()))
		if len(l.Rows) == 0 {
			t.Rows = append(t.Rows, Row{Head: head, Cells: []Cell{{}, {}, {}, {}, w.ruled(answered(l.Result))},
				Remark: w.semicolons(remarked(l.Outcome.Remark())...)})
			continue
		}
		for i, row := range l.Rows {
			cells := w.alarmRow(row)
			if i == 0 {
				cells.Head = head
			}
			var more []words.Phrase
			if row.What == judge.Received && !row.Never {
				more = append(more, words.AlarmReceipt{Row: row})
			}
			if i == len(l.Rows)-1 {
				more = append(more, alarmRemark(l)...)
			}
			cells.Remark = w.semicolons(more...)
			t.Rows = append(t.Rows, cells)
		}
	}
	return w.section(words.AlarmHeading, t, w.quiet(words.AlarmNote))
}

func (w writer) alarmRow(row judge.AlarmEvent) Row {
	verdict, limit := missing, Cell{}
	if row.Ruling != "" {
		verdict = w.decided(row.Ruling)
	}
	if row.Limit != "" {
		limit = Cell{Text: w.say(words.AlarmLimit{Row: row}), Tone: Quiet}
	}
	if row.Never {
		verdict = w.ruled(words.Ruled{Is: words.Failed})
	}
	return Row{Cells: []Cell{{Text: w.say(row)}, {Text: w.say(words.AlarmSince{At: w.r.Local(row.At), Row: row})},
		{Text: w.say(row.By), Tone: Quiet}, limit, verdict}}
}

// alarmRemark is how often it was begun, and what was remarked.
func alarmRemark(l judge.AlarmLine) []words.Phrase {
	var parts []words.Phrase
	if l.Attempts > 1 && l.Outcome.Step().Kind != programme.StepReceipt {
		parts = append(parts, words.AlarmTried{Attempts: l.Attempts})
	}
	if l.Result == record.LeftOut {
		parts = append(parts, l.Result)
	}
	return append(parts, remarked(l.Outcome.Remark())...)
}
