package certificate

import (
	"math"
	"slices"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// tried is one trial of a detector being operated, as a chart shows it.
type tried struct {
	point    site.Point
	name     string
	at       time.Time
	response float64 // s; NaN where no report of its own came
	limit    float64 // s
	verdict  record.Verdict
	slow     bool // its kind takes its own time: not among the response times
	last     bool // it is the one that counts
}

// trials are all that were timed or that nothing answered, in the order of the visit.
func (w writer) trials() []tried {
	var all []tried
	for _, d := range w.a.Detectors() {
		attempts := d.Outcome.Tried()
		for i, attempt := range attempts {
			j := attempt.Operate.Judge()
			if (j.NotTimed != "" || j.Limit == 0) && j.Verdict != record.Silent {
				continue
			}
			t := tried{
				point:    d.Name.Point,
				name:     w.say(words.BriefDetector(d.Name)),
				at:       attempt.Operate.At(),
				response: math.NaN(),
				limit:    w.r.Site().Limits.Response[d.Detector.Kind].SI,
				verdict:  j.Verdict,
				slow:     d.Detector.Kind.Trait().Slow,
				last:     i == len(attempts)-1,
			}
			if j.Answered() {
				t.response = j.Response.Seconds()
			}
			all = append(all, t)
		}
	}
	slices.SortStableFunc(all, func(a, b tried) int { return a.at.Compare(b.at) })
	return all
}

// responseCharts are the response times: how many detectors were reported within a time, and every
// trial in the order of the visit.
func (w writer) responseCharts() Charts {
	all := w.trials()
	charts := Charts{w.cumulative(all)}
	if len(all) > 1 {
		charts = append(charts, w.inOrder(all))
	}
	return charts
}

// limitsDrawn is how many limits are drawn by themselves: more would hide the curve.
const limitsDrawn = 3

// cumulative has a step for each detector of the summary: those whose kind is quick.
func (w writer) cumulative(all []tried) Chart {
	s := w.a.Summary()
	values := w.a.Responses()
	said := words.CumulativeSays{N: s.N, Half: s.P50, Slowest: s.Max}
	full := s.Max
	strokes := Line{Mark: Stroke, Tone: Quiet}
	var limits []float64
	for _, t := range all {
		switch {
		case t.slow && t.last:
			said.Slow++
		case t.last && math.IsNaN(t.response):
			said.Silent++
		}
		if t.slow || math.IsNaN(t.response) {
			continue
		}
		full = max(full, t.response)
		strokes.Points = append(strokes.Points, ChartPoint{X: t.response})
		if !slices.Contains(limits, t.limit) {
			limits = append(limits, t.limit)
		}
		if t.last && t.response == s.Max && said.Name == "" {
			said.Name = t.name
		}
	}
	said.Trials = len(strokes.Points)
	n := float64(len(values) + said.Silent) // the curve does not reach those that were never reported
	share := 100 * float64(len(values)) / n
	slices.Sort(limits)
	if len(limits) > limitsDrawn {
		limits = slices.Delete(limits, limitsDrawn-1, len(limits)-1)
	}
	full = max(full, limits[len(limits)-1]) * 1.05
	stairs := Line{Joined: true, Stairs: true, Points: []ChartPoint{{}}}
	for i, v := range values {
		stairs.Points = append(stairs.Points, ChartPoint{X: v, Y: 100 * float64(i+1) / n})
	}
	stairs.Points = append(stairs.Points, ChartPoint{X: full, Y: share})
	c := Chart{X: axisOver(w.say(words.ResponseAxis), 0, full, w.asNeeded),
		Y: axisOver(w.say(words.DetectorsAxis), 0, 100, w.asNeeded), Lines: []Line{stairs, strokes}}
	stairs.Points[len(stairs.Points)-1].X = c.X.To
	for i, limit := range limits {
		line := Line{Joined: true, Dash: LongDashed, Tone: Bad, Points: []ChartPoint{{limit, 0, 0}, {limit, 100, 0}}}
		if i == 0 {
			line.Name = w.say(words.LimitMark)
		}
		line.End = w.say(words.Quantity{Value: limit, Decimals: words.AsNeeded, In: words.Second})
		c.Lines = append(c.Lines, line)
		said.Limits = append(said.Limits, limit)
	}
	if len(values) > 1 {
		c.Guides = []Guide{{X: s.P50, Y: share / 2, Text: w.seconds(s.P50)}}
	}
	if s.Percentiles() {
		c.Guides = append(c.Guides, Guide{X: s.P90, Y: 0.9 * share, Text: w.seconds(s.P90)})
	}
	c.Says = w.say(said)
	return c
}

// inOrder has every trial at its minute of the visit, in per cent of its own limit. One that was never
// reported stands at the upper edge.
func (w writer) inOrder(all []tried) Chart {
	first := all[0].at
	good := Line{Name: w.say(words.InTimeMark), Mark: Dot}
	other := Line{Name: w.say(words.NotInTimeMark), Mark: Cross, Tone: Bad}
	said := words.OrderSays{Trials: len(all)}
	most := 110.0
	share := func(t tried) float64 { return 100 * t.response / t.limit }
	for _, t := range all {
		if math.IsNaN(t.response) {
			continue
		}
		if s := share(t); s > most {
			most = min(s*1.05, 300)
		}
		if s := share(t); t.verdict.Proves() && s > said.Nearest {
			said.Nearest, said.Name = s, t.name
		}
	}
	y := axisOver(w.say(words.ShareAxis), 0, most, w.asNeeded)
	if slices.ContainsFunc(all, func(t tried) bool { return math.IsNaN(t.response) }) {
		y.To += y.Ticks[1].At - y.Ticks[0].At // a row above all numbers
		y.Ticks = append(y.Ticks, Mark{At: y.To, Text: missing.Text})
	}
	for _, t := range all {
		pt := ChartPoint{X: t.at.Sub(first).Minutes(), Y: share(t)}
		switch {
		case math.IsNaN(t.response):
			pt.Y = y.To
			said.Silent = append(said.Silent, t.point)
			other.Points = append(other.Points, pt)
		case t.verdict.Proves():
			good.Points = append(good.Points, pt)
		default:
			said.Other = append(said.Other, t.point)
			other.Points = append(other.Points, pt)
		}
	}
	to := all[len(all)-1].at.Sub(first).Minutes()
	c := Chart{X: axisOver(w.say(words.VisitMinutesAxis), 0, max(to, 1), w.asNeeded), Y: y, Lines: []Line{good}}
	c.Lines = append(c.Lines, Line{Joined: true, Dash: LongDashed, Tone: Bad, Name: w.say(words.LimitMark),
		Points: []ChartPoint{{0, 100, 0}, {c.X.To, 100, 0}}})
	if len(other.Points) > 0 {
		c.Lines = append(c.Lines, other)
	}
	c.Says = w.say(said)
	return c
}

// supplyOverTime is every voltage that counts, with its uncertainty and its limits, over the minutes of the
// visit. Fewer than three readings need no picture.
func (w writer) supplyOverTime() (Chart, bool) {
	var of []judge.ReadingLine
	for _, l := range w.a.Readings() {
		if l.Taken && l.Void == "" {
			of = append(of, l)
		}
	}
	if len(of) < 3 {
		return Chart{}, false
	}
	slices.SortStableFunc(of, func(a, b judge.ReadingLine) int { return a.Reading.At.Compare(b.Reading.At) })
	first := of[0].Reading.At
	minute := func(t time.Time) float64 { return t.Sub(first).Minutes() }
	end := max(minute(of[len(of)-1].Reading.At), 1)
	plain := Line{Name: w.say(words.UnloadedMark), Mark: Ring}
	loaded := Line{Name: w.say(words.LoadedMark), Mark: Dot}
	said := words.SupplySays{}
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range of {
		pt := ChartPoint{minute(l.Reading.At), l.Reading.Value, l.Uncertainty}
		low, high = min(low, pt.Y-pt.Within), max(high, pt.Y+pt.Within)
		if l.Reading.Loaded {
			loaded.Points = append(loaded.Points, pt)
		} else {
			plain.Points = append(plain.Points, pt)
		}
		said.Uncertainty = max(said.Uncertainty, l.Uncertainty)
		if l.Reading.WhileOff && (said.Lowest == 0 || pt.Y < said.Lowest) {
			said.Lowest, said.Loaded = pt.Y, l.Reading.Loaded
		}
	}
	c := Chart{X: axisOver(w.say(words.VisitMinutesAxis), 0, end, w.asNeeded)}
	for _, hold := range w.r.Holds() {
		to := hold.To
		if to.IsZero() {
			to = of[len(of)-1].Reading.At
		}
		if area := (Area{max(minute(hold.From), 0), min(minute(to), c.X.To), w.say(words.MainsOffArea)}); area.To > area.From {
			c.Areas = append(c.Areas, area)
			said.Off += hold.Watched
		}
	}
	for i, line := range limitLines(of, minute, c.X.To) {
		if i == 0 {
			line.Name = w.say(words.LimitMark)
		}
		line.End = w.say(words.Quantity{Value: line.Points[0].Y, Decimals: words.AsNeeded, In: words.Volt})
		for _, pt := range line.Points {
			low, high = min(low, pt.Y), max(high, pt.Y)
		}
		c.Lines = append(c.Lines, line)
	}
	c.Lines = append(c.Lines, plain)
	if len(loaded.Points) > 0 {
		c.Lines = append(c.Lines, loaded)
	}
	c.Y = w.upright(words.VoltAxis, low, high)
	said.Drawn = said.Uncertainty/(c.Y.To-c.Y.From)*chartHeight > ringRadius
	c.Says = w.say(said)
	return c, true
}

// limitLines join readings that follow each other and are held against the same limit: each line reaches a
// little beyond its readings.
func limitLines(of []judge.ReadingLine, minute func(time.Time) float64, end float64) (lines []Line) {
	beyond := end / 60
	for _, side := range []func(judge.Range) float64{
		func(r judge.Range) float64 { return r.Lower.SI },
		func(r judge.Range) float64 {
			if r.Upper == nil {
				return 0
			}
			return r.Upper.SI
		},
	} {
		last := 0.0
		for _, l := range of {
			v, x := side(l.Limit), minute(l.Reading.At)
			switch {
			case v == 0:
			case v == last:
				points := lines[len(lines)-1].Points
				points[1].X = min(x+beyond, end)
			default:
				lines = append(lines, Line{Joined: true, Dash: LongDashed, Tone: Bad,
					Points: []ChartPoint{{max(x-beyond, 0), v, 0}, {min(x+beyond, end), v, 0}}})
			}
			last = v
		}
	}
	return lines
}
