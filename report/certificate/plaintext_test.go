package certificate

import (
	"fmt"
	"strings"
)

// PlainText is the whole content as text, in the order of the pages.
func (d Document) PlainText() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("%s | %s", d.Installer, d.Number)
	for _, n := range d.Notices {
		line("! %s", n)
	}
	for _, text := range d.Dangers {
		line("!! %s", text)
	}
	line("%s\n%s", d.Title, d.Subtitle)
	line("%s: %s", d.Banner.Word, d.Banner.Sentence)
	for _, f := range d.Banner.Figures {
		line("  %s %s", f.Value, f.Label)
	}
	if d.Front != nil {
		for _, s := range (Document{Front: d.Front}).Stated() {
			line("  %s: %s", s.Key, s.Text)
		}
	}
	for _, s := range d.Sections {
		line("\n# %s", s.Title)
		for _, block := range s.Blocks {
			writeBlock(line, block)
		}
	}
	return b.String()
}

func writeBlock(line func(string, ...any), block Block) {
	switch b := block.(type) {
	case Prose:
		line("%s", b.Text)
	case Pairs:
		for _, p := range b {
			line("%s: %s", p.Label, p.Value)
		}
	case Items:
		for _, i := range b {
			line("%s: %s", joined(" ", i.Mark, i.Grade, i.About), joined(" | ", i.Text, i.Then))
		}
	case Table:
		writeTable(line, b)
	case Signatures:
		for _, s := range b {
			drawn := ""
			if s.Drawing != nil {
				drawn = ", drawn signature"
			}
			line("[%s] %s (%s)%s", s.Role, joined(": ", s.Instead, s.Name), s.Detail, drawn)
		}
	case Pictures:
		for _, p := range b {
			line("picture %s: %s", p.Title, p.Text)
		}
	case Charts:
		for _, c := range b {
			line("chart: %s over %s, %d lines: %s", c.Y.Name, c.X.Name, len(c.Lines), c.Says)
		}
	case ThenNow:
		for _, r := range b.Rows {
			line("  %s | %s | %s", r.Mark, r.Name, r.Text)
		}
		line("then and now: %s", b.Says)
	case Code:
		line("code: %q", b.Content)
		writeBlock(line, b.Beside)
	}
}

func writeTable(line func(string, ...any), t Table) {
	var head []string
	for _, c := range t.Columns {
		name := c.Head
		if c.Unit != "" {
			name += " / " + c.Unit
		}
		head = append(head, name)
	}
	line("%s", strings.Join(head, " | "))
	for _, row := range t.Rows {
		if row.Head != "" {
			line("  %s", row.Head)
		}
		var cells []string
		for _, c := range row.Cells {
			text := c.Says()
			if c.Bar != nil {
				text = fmt.Sprintf("bar %.3g of %.3g", c.Bar.Value, c.Bar.Limit)
			}
			cells = append(cells, text)
		}
		line("%s", strings.Join(cells, " | "))
		if row.Remark != "" {
			line("    %s", row.Remark)
		}
	}
}
