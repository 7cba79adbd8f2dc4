package certificate

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

var checkCells = map[record.Result]Cell{
	record.Done:          {Text: "done", Tone: Good, Bold: true},
	record.NotApplicable: {Text: "n. a.", Tone: Quiet, Bold: true},
	record.Defect:        {Text: "defect", Tone: Bad, Bold: true},
	record.LeftOut:       {Text: "not checked", Tone: Warn, Bold: true},
}

func (w writer) checklist() Section {
	if len(w.a.Checklist()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Stage", Width: 22}, {Head: "Looked at or handed over", Width: 137}, {Head: "Result", Width: 21}}}
	for _, s := range w.a.Checklist() {
		cell, known := checkCells[s.Result()]
		if !known {
			cell = Cell{Text: "open", Tone: Warn, Bold: true}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: string(s.Step().Stage), Tone: Quiet}, {Text: english.Say(programme.NameOf(w.r.Site(), s.Step()))}, cell}, Remark: joined("; ", s.Remark(), earlierAnswers(s))})
	}
	return Section{"Checklist", []Block{t, Prose{Text: "Inspected and asked, not measured. n. a.: not applicable, for the reason given.", Quiet: true}}}
}

// earlierAnswers are those that the last one has replaced: a defect does not
// vanish because it was put right.
func earlierAnswers(s *record.Outcome) string {
	var all []string
	for _, a := range s.Earlier() {
		all = append(all, joined(", ", string(a.Result), a.Remark))
	}
	return labelled("before:", strings.Join(all, "; "))
}

func (w writer) cautions() Section {
	var items Items
	for i, c := range w.a.Cautions() {
		items = append(items, Item{Mark: fmt.Sprint(i + 1), Text: english.Say(c)})
	}
	return Section{"Cautions, and who decides", []Block{items, Prose{Text: english.Say(judge.Deferral)}}}
}
