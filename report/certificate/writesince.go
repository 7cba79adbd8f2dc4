package certificate

import (
	"cmp"
	"math"
	"slices"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

const (
	visitsListed  = 6  // earlier visits, the latest
	allInTable    = 24 // compared times of detectors that are all tabled; of more, what changed
	changedListed = 60 // of those, the rest in a line of text
	chartedRows   = 16 // detectors in the chart of responses
	slopesDrawn   = 4
)

// since is what changed since earlier visits.
func (w writer) since() Section {
	s := w.a.Since()
	if s == nil || len(s.Visits) == 0 {
		return Section{}
	}
	latest := s.Visits[len(s.Visits)-1]
	blocks := []Block{w.visitsThen(s)}
	if more := s.Before + len(s.Visits) - visitsListed; more > 0 {
		blocks = append(blocks, w.quiet(words.SinceMore{Visits: more}))
	}
	if !slices.ContainsFunc(s.Lines, compared) {
		blocks = append(blocks, w.prose(words.NoneComparedNote))
	} else {
		blocks = append(blocks, w.detectorsSince(s.Lines)...)
		blocks = append(blocks, w.supplySince(s.Lines)...)
	}
	blocks = append(blocks, w.notCompared(s.Lines)...)
	blocks = append(blocks, w.chartsSince(s)...)
	if slices.ContainsFunc(s.Lines, compared) {
		blocks = append(blocks, w.quiet(words.SinceRule{Of: *s}))
	}
	if slices.ContainsFunc(s.Lines, func(l judge.SinceLine) bool { return compared(l) && timedSince(l) }) {
		blocks = append(blocks, w.quiet(words.ReactionNote))
	}
	return Section{Title: w.say(words.SinceHeading{Day: w.r.Local(latest.Begun)}), Blocks: blocks}
}

func compared(l judge.SinceLine) bool { return l.Then() != nil }

func timedSince(l judge.SinceLine) bool {
	return l.Of == judge.ResponseSince || l.Of == judge.RestoredSince
}

func (w writer) sinceColumn(label words.SinceLabel, width float64, right bool) Column {
	return Column{Head: w.say(label), Width: width, Right: right}
}

// visitsThen lists the latest earlier visits, the newest first, each with the beginning of
// its record's hash.
func (w writer) visitsThen(s *judge.Since) Table {
	t := Table{Columns: []Column{w.sinceColumn(words.DaySince, 30, false), w.sinceColumn(words.VisitSince, 66, false),
		w.sinceColumn(words.TechnicianSince, 30, false), w.sinceColumn(words.RecordSince, 54, false)}}
	for _, v := range slices.Backward(s.Visits[max(0, len(s.Visits)-visitsListed):]) {
		of := typed(v.Number)
		if slices.Contains(programme.VisitKinds, v.Kind) {
			of = append(of, v.Kind)
		}
		if v.Company != w.r.Site().Installer.Company {
			of = append(of, words.Named(v.Company))
		}
		row := Row{Cells: []Cell{{Text: w.o.Language.Date(w.r.Local(v.Begun))}, {Text: w.commas(of...)},
			{Text: w.say(words.Named(v.Technician))}, {Text: grouped(v.Journal[:min(32, len(v.Journal))]), Tone: Quiet}}}
		if v.Why != "" {
			row.Remark = w.say(words.SinceNot{Why: v.Why, Row: []words.SinceOf{}})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// flaggedFirst are lines that can be compared: what got worse, other changes, the rest.
func flaggedFirst(lines []judge.SinceLine) []judge.SinceLine {
	out := slices.DeleteFunc(slices.Clone(lines), func(l judge.SinceLine) bool { return !compared(l) })
	slices.SortStableFunc(out, func(a, b judge.SinceLine) int { return cmp.Compare(rankOf(a), rankOf(b)) })
	return out
}

func rankOf(l judge.SinceLine) int {
	switch {
	case l.Change.Worse():
		return 0
	case l.Change != judge.NoChange:
		return 1
	}
	return 2
}

func (w writer) detectorsSince(lines []judge.SinceLine) []Block {
	all := flaggedFirst(slices.DeleteFunc(slices.Clone(lines), func(l judge.SinceLine) bool { return l.Detector == nil }))
	if len(all) == 0 {
		return nil
	}
	t := Table{Columns: []Column{w.column(words.PointColumn, 13), w.column(words.DetectorColumn, 47),
		w.sinceColumn(words.MeasureSince, 21, false), w.sinceColumn(words.ThenSince, 20, true),
		w.sinceColumn(words.NowSince, 20, true), w.sinceColumn(words.DifferenceSince, 20, true),
		w.sinceColumn(words.WithinSince, 15, true),
		w.sinceColumn(words.ChangeSince, 24, false)}}
	var alike, more words.SinceAlike
	for _, l := range all {
		pair := words.SincePair{Point: l.Detector.Point, Of: l.Of, Then: l.Then().Value, Now: l.Now().Value}
		switch {
		case len(all) > allInTable && l.Change == judge.NoChange:
			alike.Of = append(alike.Of, pair)
		case len(t.Rows) == changedListed:
			more.Of = append(more.Of, pair)
		default:
			cells := []Cell{{Text: string(l.Detector.Point), Bold: true}, {Text: w.say(words.Named(l.Detector.Name))},
				{Text: w.say(l.Of), Tone: Quiet}}
			t.Rows = append(t.Rows, Row{Cells: append(cells, w.changeCells(l)...), Remark: w.laterRemark(l)})
		}
	}
	var blocks []Block
	if len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	if len(more.Of) > 0 {
		more.Changed = true
		blocks = append(blocks, w.prose(more))
	}
	if len(alike.Of) > 0 {
		slices.SortStableFunc(alike.Of, func(a, b words.SincePair) int {
			return cmp.Compare(w.placeOf(a.Point), w.placeOf(b.Point))
		})
		blocks = append(blocks, w.quiet(alike))
	}
	return blocks
}

// placeOf is where a point stands at the site.
func (w writer) placeOf(p site.Point) int {
	return slices.IndexFunc(w.a.Detectors(), func(d judge.DetectorLine) bool { return d.Name.Point == p })
}

// changeCells are then, now, difference, uncertainty and change.
func (w writer) changeCells(l judge.SinceLine) []Cell {
	value := func(v float64, signed bool) Cell {
		return Cell{Text: w.say(words.SinceValue{Of: l.Of, Value: v, Signed: signed, With: !signed})}
	}
	then, now := value(l.Then().Value, false), value(l.Now().Value, false)
	difference, within := missing, missing
	if l.Two != nil {
		printed, _ := words.SincePrinted(l)
		difference, within = value(printed, true), value(l.Two.Expanded, false)
		within.Text = w.say(words.SinceValue{Of: l.Of, Value: l.Two.Expanded})
	}
	change := Cell{Text: w.say(words.SinceChangeOf(l)), Tone: Quiet}
	switch {
	case l.Limiting:
		now.Bold, change.Tone, change.Bold = true, Warn, true
	case l.Change != judge.NoChange:
		change.Tone = Plain
	}
	return []Cell{then, now, difference, within, change}
}

// laterRemark says when then was, where a later visit is none to compare with.
func (w writer) laterRemark(l judge.SinceLine) string {
	if l.Latest == "" {
		return ""
	}
	return w.say(words.SinceLater{Why: l.Latest, Day: w.r.Local(l.Then().At)})
}

func (w writer) sinceOf(l judge.SinceLine) words.SinceOf {
	of := words.SinceOf{Of: l.Of, After: l.After}
	if o := w.r.Find(l.Step); l.Of == judge.MainsSince && o != nil {
		name := programme.NameOf(w.r.Site(), o.Step())
		of.Step = &name
	}
	return of
}

func (w writer) supplySince(lines []judge.SinceLine) []Block {
	t := Table{Columns: []Column{w.sinceColumn(words.MeasureSince, 81, false), w.sinceColumn(words.ThenSince, 20, true),
		w.sinceColumn(words.NowSince, 20, true), w.sinceColumn(words.DifferenceSince, 20, true),
		w.sinceColumn(words.WithinSince, 15, true), w.sinceColumn(words.ChangeSince, 24, false)}}
	for _, l := range flaggedFirst(lines) {
		if l.Detector == nil {
			cells := append([]Cell{{Text: w.say(w.sinceOf(l))}}, w.changeCells(l)...)
			t.Rows = append(t.Rows, Row{Cells: cells, Remark: w.laterRemark(l)})
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []Block{t}
}

// notCompared says for each reason what is not compared.
func (w writer) notCompared(lines []judge.SinceLine) (blocks []Block) {
	for _, why := range judge.Incomparables {
		not := words.SinceNot{Why: why}
		for _, l := range lines {
			switch {
			case l.Why != why:
			case l.Detector == nil:
				not.Row = append(not.Row, w.sinceOf(l))
			case !slices.Contains(not.Of, l.Detector.Point):
				not.Of = append(not.Of, l.Detector.Point)
			}
		}
		if len(not.Of)+len(not.Row) > 0 {
			blocks = append(blocks, w.quiet(not))
		}
	}
	return blocks
}

func (w writer) chartsSince(s *judge.Since) []Block {
	var blocks []Block
	if c := w.thenNow(s.Lines); len(c.Rows) > 0 {
		blocks = append(blocks, c)
	}
	var charts Charts
	if c, is := w.standbySince(s.Lines); is {
		charts = append(charts, c)
	}
	charts = append(charts, w.slopes(s)...)
	for i := 0; i < len(charts); i += 2 {
		blocks = append(blocks, charts[i:min(i+2, len(charts))])
	}
	return blocks
}

// thenNow shows responses in per cent of their limits: those that got worse, then those that
// changed most.
func (w writer) thenNow(lines []judge.SinceLine) ThenNow {
	var of []judge.SinceLine
	worse := 0
	for _, l := range lines {
		if l.Of == judge.ResponseSince && compared(l) && l.Limit != nil && l.Limit.SI > 0 {
			if of = append(of, l); l.Change.Worse() {
				worse++
			}
		}
	}
	all := len(of)
	moved := func(l judge.SinceLine) float64 { return math.Abs(l.Now().Value-l.Then().Value) / l.Limit.SI }
	slices.SortStableFunc(of, func(a, b judge.SinceLine) int {
		return cmp.Or(cmp.Compare(min(rankOf(a), 1), min(rankOf(b), 1)), cmp.Compare(moved(b), moved(a)))
	})
	of = of[:min(len(of), chartedRows)]
	most := 100.0
	t := ThenNow{LimitAt: 100, Limit: w.say(words.LimitMark), Then: w.say(words.ThenSince), Now: w.say(words.NowSince),
		Says: w.say(words.SinceThenNow{Shown: len(of), All: all, Worse: worse})}
	for _, l := range of {
		then, now := 100*l.Then().Value/l.Limit.SI, 100*l.Now().Value/l.Limit.SI
		most = max(most, then, now)
		text := w.say(words.SinceFromTo{Of: l.Of, Then: l.Then().Value, Now: l.Now().Value})
		t.Rows = append(t.Rows, ThenNowRow{Mark: string(l.Detector.Point), Name: w.say(words.Named(l.Detector.Name)),
			Then: then, Now: now, Text: text, Marked: l.Change.Worse()})
	}
	t.Axis = axisOver(w.say(words.ShareAxis), 0, min(most, 200), w.asNeeded)
	return t
}

func (w writer) asNeeded(v float64) string { return w.number(v, words.AsNeeded) }

// standbySince is the supply by minutes without mains, then and now: of the visit that most
// of them are compared with.
func (w writer) standbySince(lines []judge.SinceLine) (Chart, bool) {
	by := map[int64][]judge.SinceLine{}
	var day int64
	for _, l := range lines {
		if l.Of == judge.StandbySince && compared(l) {
			at := l.Then().At.UnixNano()
			by[at] = append(by[at], l)
			if len(by[at]) > len(by[day]) || len(by[at]) == len(by[day]) && at > day {
				day = at
			}
		}
	}
	of := by[day]
	if len(of) < 2 {
		return Chart{}, false
	}
	slices.SortStableFunc(of, func(a, b judge.SinceLine) int { return cmp.Compare(a.After, b.After) })
	then := Line{Name: w.o.Language.Date(w.r.Local(of[0].Then().At)), Mark: Ring, Joined: true, Dash: Dashed, Tone: Quiet}
	now := Line{Name: w.say(words.NowSince), Mark: Dot, Joined: true}
	low, high, fell := math.Inf(1), math.Inf(-1), words.FellNot
	for _, l := range of {
		for _, pt := range []judge.SinceWhen{*l.Then(), *l.Now()} {
			low, high = min(low, pt.Value-pt.Expanded), max(high, pt.Value+pt.Expanded)
		}
		then.Points = append(then.Points, ChartPoint{l.After / 60, l.Then().Value, l.Then().Expanded})
		now.Points = append(now.Points, ChartPoint{l.After / 60, l.Now().Value, l.Now().Expanded})
		fell = max(fell, words.FallOf(l))
	}
	c := Chart{Lines: []Line{then, now}}
	said := words.SinceStandby{Then: w.r.Local(of[0].Then().At), Fell: fell}
	to := of[len(of)-1].After / 60
	if limit := of[0].Limit; limit != nil {
		said.Limit = limit
		low, high = min(low, limit.SI), max(high, limit.SI)
		c.Lines = append(c.Lines, Line{Name: w.say(words.LimitMark), Joined: true, Dash: LongDashed, Tone: Bad,
			Points: []ChartPoint{{0, limit.SI, 0}, {to, limit.SI, 0}}})
	}
	c.X, c.Y = axisOver(w.say(words.MinutesAxis), 0, to, w.asNeeded), w.upright(words.VoltAxis, low, high)
	c.Says = w.say(said)
	return c, true
}

// slopes are drawn of what a trend was found for, of the supply only of its last voltage
// without mains, which is drawn in any case.
func (w writer) slopes(s *judge.Since) (charts []Chart) {
	var last *judge.SinceLine
	for i, l := range s.Lines {
		switch {
		case l.Trend == nil:
		case l.Of == judge.StandbySince && (last == nil || l.After > last.After):
			last = &s.Lines[i]
		case l.Detector != nil && (l.Change == judge.WorseByAll || l.Meets != nil) && len(charts) < slopesDrawn:
			charts = append(charts, w.slope(l, s.NextDue))
		}
	}
	if last != nil {
		charts = append(charts, w.slope(*last, s.NextDue))
	}
	return charts
}

func (w writer) slope(l judge.SinceLine, due time.Time) Chart {
	values := Line{Mark: Dot, Joined: true, Name: w.say(words.MeasuredMark)}
	low, high := math.Inf(1), math.Inf(-1)
	for _, pt := range l.Points {
		values.Points = append(values.Points, ChartPoint{yearOf(pt.At), pt.Value, pt.Expanded})
		low, high = min(low, pt.Value-pt.Expanded), max(high, pt.Value+pt.Expanded)
	}
	from, to := yearOf(l.Points[0].At), max(yearOf(due), yearOf(l.Now().At))
	end := l.Trend.Start + l.Trend.Slope*(to-from)
	slope := Line{Name: w.say(words.SlopeMark), Joined: true, Dash: Dotted, Tone: Quiet,
		Points: []ChartPoint{{from, l.Trend.Start, 0}, {to, end, 0}}}
	low, high = min(low, end), max(high, end)
	if l.Of.Unit() == "s" {
		low = max(low, 0)
	}
	c := Chart{Lines: []Line{values, slope}}
	if l.Limit != nil && l.Limit.SI > low-3*(high-low) && l.Limit.SI < high+3*(high-low) {
		low, high = min(low, l.Limit.SI), max(high, l.Limit.SI)
		c.Lines = append(c.Lines, Line{Name: w.say(words.LimitMark), Joined: true, Dash: LongDashed, Tone: Bad,
			Points: []ChartPoint{{from, l.Limit.SI, 0}, {to, l.Limit.SI, 0}}})
	}
	c.X, c.Y = w.years(from, to), w.upright(words.SinceAxis{Of: l.Of}, low, high)
	about := l.Detector
	c.Says = w.say(words.SinceSlope{Of: words.SinceOf{Of: l.Of, After: l.After}, About: about, Line: l})
	return c
}

// upright is an upright axis with some air, so that no line lies on its end.
func (w writer) upright(name words.Phrase, low, high float64) Axis {
	air := (high - low) / 20
	least := low - air
	if low >= 0 {
		least = max(least, 0)
	}
	return axisOver(w.say(name), least, high+air, w.asNeeded)
}

// yearOf is a day as a year with its part.
func yearOf(t time.Time) float64 {
	t = t.UTC()
	first := time.Date(t.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + t.Sub(first).Hours()/24/365.25
}

// years is an axis with a tick at the beginning of years, or of parts of one.
func (w writer) years(from, to float64) Axis {
	if to-from >= 1 {
		a := Axis{Name: w.say(words.VisitAxis), From: math.Floor(from), To: math.Ceil(to)}
		step := max(1, math.Ceil((a.To-a.From)/6))
		for v := a.From; v <= a.To && len(a.Ticks) < 10; v += step {
			a.Ticks = append(a.Ticks, Mark{At: v, Text: w.number(v, 0)})
		}
		return a
	}
	return axisOver(w.say(words.VisitAxis), from, to, func(v float64) string { return w.number(v, 2) })
}
