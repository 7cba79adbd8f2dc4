package certificate

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// lookedAt is a line of what was looked at of the detectors of a kind, and its answers.
type lookedAt struct {
	kind   site.DetectorKind
	name   programme.Name
	stand  words.LooksStand
	is     words.Ruled // the gravest
	except []*words.LooksBut
	values []*words.LooksValue
}

// looks are one row a line, whatever many detectors there are: exceptions are written out.
func (w writer) looks() Section {
	t := Table{Columns: []Column{w.column(words.KindColumn, 22), w.column(words.ItemColumn, 132),
		w.column(words.ResultColumn, 26)}, Close: true}
	for _, l := range w.lookedAt() {
		var remarks []words.Phrase
		for _, v := range l.values {
			if len(v.At) == l.stand.All && l.stand.All > 1 {
				remarks = append(remarks, words.ValueTyped{Text: v.Text}) // at each of them
				continue
			}
			remarks = append(remarks, *v)
		}
		for _, e := range l.except {
			remarks = append(remarks, *e)
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: w.say(l.kind), Tone: Quiet}, {Text: w.say(l.name)},
			w.lookedAtCell(l)},
			Remark: w.semicolons(remarks...)})
	}
	if len(t.Rows) == 0 {
		return Section{}
	}
	return w.section(words.LooksHeading, t, w.quiet(words.LooksNote))
}

// lookedAtCell is at how many it was so, with the sign of the gravest answer.
func (w writer) lookedAtCell(l *lookedAt) Cell {
	c := w.ruled(l.is)
	c.Text = w.say(l.stand)
	return c
}

// graver orders answers from good to bad.
var graver = map[words.Verdict]int{words.Passed: 0, words.NoMatter: 1, words.Untested: 2, words.Failed: 3}

func (w writer) lookedAt() (all []*lookedAt) {
	type line struct {
		kind site.DetectorKind
		item programme.ItemCode
	}
	by := map[line]*lookedAt{}
	for _, o := range w.a.Looks() {
		step := o.Step()
		of := line{programme.KindAt(w.r.Site(), step.Point), step.Item}
		l := by[of]
		if l == nil {
			l = &lookedAt{kind: of.kind, name: programme.NameOf(w.r.Site(), step), is: words.Ruled{Is: words.Passed}}
			l.name.Detector = nil
			by[of] = l
			all = append(all, l)
		}
		l.take(o)
	}
	return all
}

// take counts what a line was answered with at a detector.
func (l *lookedAt) take(o *record.Outcome) {
	at, result := o.Step().Point, o.Result()
	if !o.Concluded() {
		result = ""
	}
	l.stand.All++
	if graver[answered(result).Is] > graver[l.is.Is] {
		l.is = answered(result)
	}
	if result == record.Done {
		l.stand.So++
		if o.BySignal() {
			l.stand.BySignal++
		}
		if o.Value() != "" {
			l.valued(o.Value(), at)
		}
	} else {
		l.but(result, o.Remark(), at)
	}
	for _, a := range o.Earlier() { // a defect does not vanish because it was put right
		if a.Result == record.Defect {
			l.but(a.Result, a.Remark, at)
		}
	}
}

func (l *lookedAt) but(result record.Result, remark string, at site.Point) {
	for _, e := range l.except {
		if e.Result == result && e.Remark == remark {
			e.At = append(e.At, at)
			return
		}
	}
	l.except = append(l.except, &words.LooksBut{Result: result, Remark: remark, At: []site.Point{at}})
}

func (l *lookedAt) valued(text string, at site.Point) {
	for _, v := range l.values {
		if v.Text == text {
			v.At = append(v.At, at)
			return
		}
	}
	l.values = append(l.values, &words.LooksValue{Text: text, At: []site.Point{at}})
}
