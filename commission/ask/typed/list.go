package typed

import (
	"fmt"
	"strconv"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
)

// ItemSo is what a line of a list was answered with, and what was remarked.
type ItemSo struct {
	Result record.Result
	Remark string
}

// Code names the phrase.
func (ItemSo) Code() string { return "list/so" }

// List is what a question shows before it in lines of its own, none wider than the window:
// the lines of a list, or a board. It is nil for other questions.
func List(say Sayer, q ask.Question, l Look) []string {
	switch t := q.Takes.(type) {
	case ask.Items:
		return items(say, t, l)
	case ask.Points:
		return Board(say, t.Board, l)
	}
	return nil
}

var itemSigns = map[record.Result]painted{
	"": {"○", yellow}, record.Done: {"✓", green}, record.NotApplicable: {"–", faint}, record.Defect: {"✗", red},
	record.LeftOut: {"–", faint},
}

// items are the lines of a list with what was answered; a line that is answered as it
// should be has a sign and no words.
func items(say Sayer, t ask.Items, l Look) []string {
	widest := 0
	for _, i := range t.Of {
		widest = max(widest, screen.Width(i.Word))
	}
	before := widest + 5
	var lines []string
	for _, i := range t.Of {
		text := say.Say(i.Label)
		if i.Result != "" {
			text = fmt.Sprintf("%s: %s", strings.TrimSuffix(text, "."), say.Say(ItemSo{i.Result, i.Remark}))
		}
		sign, known := itemSigns[i.Result]
		if !known {
			sign = painted{"?", ""}
		}
		for n, part := range screen.Wrap(screen.Clean(text), max(8, l.Columns-before)) {
			head := strings.Repeat(" ", before)
			if n == 0 {
				head = fmt.Sprintf(" %"+strconv.Itoa(widest)+"s %s  ", i.Word, sign.in(l))
			}
			lines = append(lines, head+part)
		}
	}
	return lines
}
