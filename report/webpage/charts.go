package webpage

import (
	"math"

	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// chart is what one says, and its values as a table.
type chart struct {
	Says    string
	Summary string
	Notes   certificate.Pairs // what is marked in it, with where
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
		span := words.WebSpan{From: rounded(a.From, c.X), To: rounded(a.To, c.X)}
		out.Notes = append(out.Notes, certificate.Pair{Label: a.Name, Value: c.X.Name + ": " + w.say(span)})
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
			cells := []certificate.Cell{{Text: w.on(p.X, c.X)}, {Text: w.on(p.Y, c.Y)}}
			if named {
				cells = append(cells, certificate.Cell{Text: nameOf(c.Lines, i)})
			}
			if within {
				cells = append(cells, certificate.Cell{Text: w.uncertainty(p.Within, c.Y)})
			}
			t.Rows = append(t.Rows, certificate.Row{Cells: cells})
		}
	}
	for _, g := range c.Guides {
		out.Notes = append(out.Notes, certificate.Pair{Label: g.Text,
			Value: c.X.Name + ": " + w.on(g.X, c.X) + "; " + c.Y.Name + ": " + w.on(g.Y, c.Y)})
	}
	out.Values = w.table(t, of)
	return out
}

// rounded is a value to a thousandth of its axis, more than a reader of the drawing sees.
func rounded(v float64, of certificate.Axis) float64 {
	if !(of.To > of.From) {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10((of.To-of.From)/1000)))
	if step < 1 {
		return math.Round(v*math.Round(1/step)) / math.Round(1/step)
	}
	return math.Round(v)
}

func (w writer) on(v float64, of certificate.Axis) string { return w.number(rounded(v, of)) }

func (w writer) uncertainty(v float64, of certificate.Axis) string {
	if v == 0 {
		return none
	}
	return w.on(v, of)
}

// none stands where there is nothing.
const none = "–"

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
	on := func(v float64) certificate.Cell { return certificate.Cell{Text: w.on(v, c.Axis)} }
	axis := func(name string) certificate.Column { return certificate.Column{Head: name, Unit: c.Axis.Name} }
	t := certificate.Table{Columns: []certificate.Column{{Head: w.say(words.WebMark)}, {Head: w.say(words.WebName)},
		axis(c.Then), axis(c.Now), {Head: w.say(words.WebChange)}}}
	for _, r := range c.Rows {
		changed := certificate.Cell{Text: r.Text}
		if r.Marked {
			changed.Tone = certificate.Warn
		}
		t.Rows = append(t.Rows, certificate.Row{Cells: []certificate.Cell{{Text: r.Mark}, {Text: r.Name},
			on(r.Then), on(r.Now), changed}})
	}
	of := w.say(words.WebValues{Of: c.Then + "; " + c.Now, Over: c.Axis.Name})
	out := chart{Says: c.Says, Summary: of, Values: w.table(t, of)}
	if c.Limit != "" {
		out.Notes = certificate.Pairs{{Label: c.Limit, Value: w.on(c.LimitAt, c.Axis)}}
	}
	return out
}
