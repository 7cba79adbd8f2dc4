package webpage

import (
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// chart is what one says, and its values as a table.
type chart struct {
	Says    string
	Summary string
	Areas   certificate.Pairs // names with their ranges
	Guides  []string
	Values  table
}

func (w writer) charts(all certificate.Charts) (out []chart) {
	for _, c := range all {
		out = append(out, w.chart(c))
	}
	return out
}

func (w writer) chart(c certificate.Chart) chart {
	of := w.say(words.WebValues{Of: c.Y.Name, Over: c.X.Name})
	out := chart{Says: c.Says, Summary: of}
	for _, a := range c.Areas {
		out.Areas = append(out.Areas, certificate.Pair{Label: joined(a.Name, c.X.Name),
			Value: w.say(words.WebSpan{From: a.From, To: a.To})})
	}
	within, named := false, false
	for _, l := range c.Lines {
		named = named || l.Name != ""
		for _, p := range l.Points {
			within = within || p.Within > 0
		}
	}
	t := certificate.Table{Columns: []certificate.Column{{Head: c.X.Name}, {Head: c.Y.Name}}}
	if named {
		t.Columns = append(t.Columns, certificate.Column{Head: w.say(words.WebLine)})
	}
	if within {
		t.Columns = append(t.Columns, certificate.Column{Head: w.say(words.WebWithin)})
	}
	for i, l := range c.Lines {
		for _, p := range l.Points {
			cells := []certificate.Cell{{Text: w.number(p.X)}, {Text: w.number(p.Y)}}
			if named {
				cells = append(cells, certificate.Cell{Text: nameOf(c.Lines, i)})
			}
			if within {
				cells = append(cells, certificate.Cell{Text: w.uncertainty(p.Within)})
			}
			t.Rows = append(t.Rows, certificate.Row{Cells: cells})
		}
	}
	for _, g := range c.Guides {
		out.Guides = append(out.Guides, joined(c.X.Name, c.Y.Name)+": "+joined(w.number(g.X), w.number(g.Y), g.Text))
	}
	out.Values = w.table(t, of)
	return out
}

func (w writer) uncertainty(v float64) string {
	if v == 0 {
		return none
	}
	return w.number(v)
}

// none stands where there is nothing.
const none = "–"

func joined(texts ...string) string {
	out := ""
	for _, t := range texts {
		if out != "" && t != "" {
			out += "; "
		}
		out += t
	}
	return out
}

// nameOf is the name of a line; one without is drawn like one with a name, which is then named once only.
func nameOf(all []certificate.Line, i int) string {
	l := all[i]
	if l.Name != "" {
		return l.Name
	}
	for _, other := range all {
		if other.Name != "" && other.Joined == l.Joined && other.Dash == l.Dash && other.Mark == l.Mark && other.Tone == l.Tone {
			return other.Name
		}
	}
	return none
}

// thenNow is one as a table of what was and what is.
func (w writer) thenNow(c certificate.ThenNow) chart {
	axis := func(name string) certificate.Column { return certificate.Column{Head: name, Unit: c.Axis.Name} }
	t := certificate.Table{Columns: []certificate.Column{{Head: w.say(words.WebMark)}, {Head: w.say(words.WebName)},
		axis(c.Then), axis(c.Now), {Head: w.say(words.WebChange)}}}
	for _, r := range c.Rows {
		changed := certificate.Cell{Text: r.Text}
		if r.Marked {
			changed.Tone = certificate.Warn
		}
		t.Rows = append(t.Rows, certificate.Row{Cells: []certificate.Cell{{Text: r.Mark}, {Text: r.Name},
			{Text: w.number(r.Then)}, {Text: w.number(r.Now)}, changed}})
	}
	of := w.say(words.WebValues{Of: joined(c.Then, c.Now), Over: c.Axis.Name})
	out := chart{Says: c.Says, Summary: of, Values: w.table(t, of)}
	if c.Limit != "" {
		out.Guides = []string{c.Limit + ": " + w.number(c.LimitAt)}
	}
	return out
}
