package typed

import (
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/runs"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
)

// mostInFull is how many items that are alike are listed each in a line of its own.
const mostInFull = 12

// brief are items that are alike: in full where they are few, else the exceptions in full and
// of the others their words, neighbours of a zone as the first and the last of them.
func brief(say Sayer, t ask.Items, l Look) []string {
	if len(t.Of) <= mostInFull && (l.Rows == 0 || len(t.Of) <= l.Rows) {
		return listed(say, t, l, true)
	}
	var odd ask.Items
	words := map[record.Result][]string{}
	for _, i := range t.Of {
		if i.Result == "" || i.Result == record.Done {
			words[i.Result] = append(words[i.Result], i.Word)
		} else {
			odd.Of = append(odd.Of, i)
		}
	}
	lines := listed(say, odd, l, true)
	for _, result := range []record.Result{"", record.Done} {
		if all := words[result]; len(all) > 0 {
			lines = append(lines, paragraph(itemSigns[result].in(l), runs.Short(all), l)...)
		}
	}
	if l.Rows > 1 && len(lines) > l.Rows {
		more := len(lines) - l.Rows + 1
		lines = append(lines[:l.Rows-1], indent+say.Say(MoreLines{N: more}))
	}
	return lines
}

func paragraph(sign string, words []string, l Look) (lines []string) {
	for n, part := range screen.Wrap(strings.Join(words, " "), max(8, l.Columns-4)) {
		head := "    "
		if n == 0 {
			head = " " + sign + "  "
		}
		lines = append(lines, head+part)
	}
	return lines
}
