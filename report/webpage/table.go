package webpage

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// table is one as the page has it. Every row belongs to a group, which may have a head.
type table struct {
	Caption string
	Heads   []string // "" for a column without a name
	Wide    int      // number of columns
	Groups  []group
}

type group struct {
	Head string
	Rows []row
}

type row struct {
	Cells  []cell
	Remark string
}

// cell has the name of its column with it, which a narrow screen shows before it.
type cell struct {
	Of, Text string
	Class    string
	Mark     string // told from others by its shape
	First    bool   // it names the row
}

// longest is how many letters of a word keep together: a column is as wide as its longest word.
const longest = 24

// table writes bars as the limits that they are drawn against; their values stand in the column before.
func (w writer) table(t certificate.Table, caption string) table {
	out := table{Caption: caption, Wide: len(t.Columns)}
	for i, c := range t.Columns {
		head := c.Head
		if barred(t, i) {
			head = w.say(words.WebLimit)
			if i > 0 {
				c.Unit = t.Columns[i-1].Unit
			}
		}
		if head != "" && c.Unit != "" {
			head += "\u00a0/\u00a0" + c.Unit
		}
		out.Heads = append(out.Heads, head)
	}
	for i, r := range t.Rows {
		if i == 0 || r.Head != "" {
			out.Groups = append(out.Groups, group{Head: r.Head})
		}
		g := &out.Groups[len(out.Groups)-1]
		g.Rows = append(g.Rows, w.row(r, out.Heads))
	}
	return out
}

var parted = regexp.MustCompile(`(\d) ([\p{L}%]{1,3})($|[^\p{L}%])`)

// kept keeps a number and its unit on a line.
func kept(text string) string { return parted.ReplaceAllString(text, "${1}\u00a0${2}${3}") }

func barred(t certificate.Table, column int) bool {
	for _, r := range t.Rows {
		if column < len(r.Cells) && r.Cells[column].Bar != nil {
			return true
		}
	}
	return false
}

func (w writer) row(r certificate.Row, heads []string) row {
	out := row{Remark: r.Remark}
	for i, c := range r.Cells {
		in := cell{Text: kept(c.Text), Class: class(c.Tone), Mark: mark(c.Sign, c.Tone), First: i == 0}
		if c.Text == "" {
			in.Mark = ""
		}
		if slices.ContainsFunc(strings.Fields(c.Text), func(w string) bool { return utf8.RuneCountInString(w) > longest }) {
			in.Class = strings.TrimSpace(in.Class + " long")
		}
		if i < len(heads) {
			in.Of = heads[i]
		}
		if c.Bar != nil {
			in.Text, in.Class, in.Mark = w.number(c.Bar.Limit), "", ""
		}
		out.Cells = append(out.Cells, in)
	}
	return out
}
