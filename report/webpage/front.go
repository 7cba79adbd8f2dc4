package webpage

import (
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// front is page one as sections of the kinds that all others have. Every row stands: nothing has to fit a page.
func (w writer) front(f *certificate.Front) []certificate.Section {
	if f == nil {
		return nil
	}
	who := certificate.Section{Title: w.say(words.WebWho), Blocks: []certificate.Block{facts(f.Facts)}}
	for _, text := range []string{f.Summary, f.Caution} {
		if text != "" {
			who.Blocks = append(who.Blocks, certificate.Prose{Text: text})
		}
	}
	out := []certificate.Section{who, w.frontList(f.List)}
	if f.Alarm != nil {
		out = append(out, w.timeline(*f.Alarm))
	}
	if f.Supply.Title != "" {
		out = append(out, w.values(f.Supply))
	}
	if len(f.Premises.Pairs) > 0 {
		out = append(out, certificate.Section{Title: f.Premises.Title, Blocks: []certificate.Block{f.Premises.Pairs}})
	}
	if len(f.Legend) > 0 {
		out = append(out, certificate.Section{Title: w.say(words.WebLegend), Blocks: []certificate.Block{legend(f.Legend)}})
	}
	return out
}

func facts(all []certificate.Fact) (out certificate.Pairs) {
	for _, f := range all {
		out = append(out, certificate.Pair{Label: f.Label, Value: joined("; ", f.Value, f.Detail)})
	}
	return out
}

// frontList has a column more than the page: the mark and how grave it is.
func (w writer) frontList(l certificate.FrontList) certificate.Section {
	out := certificate.Section{Title: l.Title}
	t := certificate.Table{Columns: []certificate.Column{{Head: w.say(words.WebNo)}, {Head: w.say(words.WebGrade)},
		{Head: l.Heads[0]}, {Head: l.Heads[1]}, {Head: l.Heads[2]}}}
	rest := ""
	for _, r := range l.Rows {
		matter := r.Text
		if r.Then != "" {
			matter += "\n→ " + r.Then
		}
		t.Rows = append(t.Rows, certificate.Row{Cells: []certificate.Cell{{Text: r.Mark},
			{Text: r.Grade, Tone: r.Tone, Sign: r.Sign}, {Text: r.About}, {Text: matter}, {Text: r.Whom}}})
		rest = r.Rest
	}
	if len(t.Rows) > 0 {
		out.Blocks = append(out.Blocks, t)
	}
	if len(l.Rows) < l.All && rest != "" {
		out.Blocks = append(out.Blocks, certificate.Prose{Text: rest})
	}
	if l.None != "" {
		out.Blocks = append(out.Blocks, certificate.Prose{Text: l.None})
	}
	return out
}

// timeline needs no word on its scale: it has none.
func (w writer) timeline(l certificate.Timeline) certificate.Section {
	t := certificate.Table{Columns: []certificate.Column{{Head: w.say(words.WebWhat)}, {Head: w.say(words.WebWhen)}}}
	for _, in := range l.Instants {
		t.Rows = append(t.Rows, certificate.Row{Cells: []certificate.Cell{{Text: in.Text, Tone: in.Tone, Sign: in.Sign},
			{Text: in.When}}})
	}
	return certificate.Section{Title: l.Title, Blocks: []certificate.Block{t, certificate.Prose{Text: l.Says}}}
}

func (w writer) values(of certificate.FrontTable) certificate.Section {
	t := certificate.Table{Columns: []certificate.Column{{Head: w.say(words.WebWhat)}, {Head: w.say(words.WebValue)},
		{Head: w.say(words.WebVerdict)}}}
	for _, r := range of.Rows {
		t.Rows = append(t.Rows, certificate.Row{Cells: []certificate.Cell{{Text: r.Name}, {Text: joined(", ", r.Value, r.Detail)}, r.Verdict}})
	}
	if len(t.Rows) == 0 {
		return certificate.Section{Title: of.Title, Blocks: []certificate.Block{certificate.Prose{Text: none}}}
	}
	return certificate.Section{Title: of.Title, Blocks: []certificate.Block{t}}
}

// legend tells the signs by themselves: what each means stands beside it.
func legend(all []certificate.LegendEntry) (out certificate.Items) {
	for _, e := range all {
		out = append(out, certificate.Item{Sign: e.Sign, Tone: e.Tone, Text: e.Text})
	}
	return out
}

// joined puts two texts behind each other, where both are there with something between them.
func joined(between, a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}
