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
	record.LeftOut: {"–", faint}, record.Yes: {"✓", green}, record.No: {"✗", red},
}

// items are the lines of a list with what was answered. What is open is shown in full; where
// there is no room for all, what was answered takes one line.
func items(say Sayer, t ask.Items, l Look) []string {
	if t.Brief {
		return brief(say, t, l)
	}
	lines := listed(say, t, l, false)
	if l.Rows > 0 && len(lines) > l.Rows {
		lines = listed(say, t, l, true)
	}
	return lines
}

func listed(say Sayer, t ask.Items, l Look, tight bool) []string {
	widest := 0
	for _, i := range t.Of {
		widest = max(widest, screen.Width(i.Word))
	}
	before := widest + 5
	room := max(8, l.Columns-before)
	var lines []string
	for _, i := range t.Of {
		sign, known := itemSigns[i.Result]
		if !known {
			sign = painted{"?", ""}
		}
		for n, part := range screen.Wrap(itemText(say, i, room, tight), room) {
			head := strings.Repeat(" ", before)
			if n == 0 {
				head = fmt.Sprintf(" %"+strconv.Itoa(widest)+"s %s  ", i.Word, sign.in(l))
			}
			lines = append(lines, head+part)
		}
	}
	return lines
}

// itemText is a line with its answer, which is kept where the line is cut to the room.
func itemText(say Sayer, i ask.Item, room int, tight bool) string {
	text := screen.Clean(say.Say(i.Label))
	if i.Result == "" {
		return text
	}
	text, so := strings.TrimSuffix(text, "."), screen.Clean(say.Say(ItemSo{i.Result, i.Remark}))
	if tight {
		so = screen.Cut(so, room/2)
		text = screen.Cut(text, room-screen.Width(so)-2)
	}
	return text + ": " + so
}
