package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// checklist has a line to a row; at a large site, what was answered well without a remark shares one by its stage.
func (w writer) checklist() Section {
	if len(w.a.Checklist()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.StageColumn, 22), w.column(words.ItemColumn, 137),
		w.column(words.ResultColumn, 21)}, Close: true}
	compact := len(w.a.Detectors()) > veryManyRows
	good := map[programme.Stage]int{} // rows of what was answered well, if they are one
	for _, s := range w.a.Checklist() {
		stage := s.Step().Stage
		if stage == programme.StageCables {
			continue // beside its cable
		}
		row := Row{
			Cells: []Cell{{Text: w.say(stage), Tone: Quiet},
				{Text: joined(" ", w.say(programme.NameOf(w.r.Site(), s.Step())), w.semicolons(valueOf(s)...))},
				w.ruled(answered(s.Result()))},
			Remark: w.semicolons(append(remarked(s.Remark()), earlierAnswers(s)...)...)}
		if !compact || row.Remark != "" || answered(s.Result()).Is != words.Passed {
			t.Rows = append(t.Rows, row)
			continue
		}
		if at, begun := good[stage]; begun {
			text := &t.Rows[at].Cells[1].Text
			*text = w.semicolons(words.AsTyped(*text), words.AsTyped(row.Cells[1].Text))
			continue
		}
		good[stage] = len(t.Rows)
		t.Rows = append(t.Rows, row)
	}
	return w.section(words.ChecklistHeading, t, w.quiet(words.ChecklistNote))
}

// valueOf is what was typed beside a line.
func valueOf(s *record.Outcome) []words.Phrase {
	if s.Value() == "" {
		return nil
	}
	return []words.Phrase{words.ValueTyped{Text: s.Value()}}
}

// earlierAnswers are those that the last one has replaced: a defect does not
// vanish because it was put right.
func earlierAnswers(s *record.Outcome) []words.Phrase {
	var all []words.Phrase
	for _, a := range s.Earlier() {
		var was words.Phrase = a.Result
		if ruled, has := words.RuledAnswer(a.Result); has {
			was = ruled
		}
		all = append(all, words.List{By: words.Commas, Of: []words.Phrase{was, words.Remarked(a.Remark)}})
	}
	if len(all) == 0 {
		return nil
	}
	return []words.Phrase{words.Before{Answers: words.List{By: words.Semicolons, Of: all}}}
}

func (w writer) cautions() Section {
	var items Items
	for i, c := range w.a.Cautions() {
		items = append(items, Item{Mark: w.count(i + 1), Text: w.say(c)})
	}
	return w.section(words.CautionsHeading, items, w.prose(judge.Deferral))
}
