package certificate

import (
	"math"
	"slices"
	"strconv"
)

// Charts stand beside each other, two at most. Nothing is told by colour alone: lines differ
// by their dashes, marks by their shape, and Says tells beside each what it shows.
type Charts []Chart

// Chart is values over an axis. Its texts are drawn as they are.
type Chart struct {
	X, Y   Axis
	Areas  []Area
	Lines  []Line
	Guides []Guide
	Says   string
}

// Area is a time that is shaded over the whole height, with its name above.
type Area struct {
	From, To float64
	Name     string
}

// Guide helps to read a value: thin lines from a point to both axes, with a text beside it.
type Guide struct {
	X, Y float64
	Text string
}

// Axis is a range of values with its name, in which the unit stands.
type Axis struct {
	Name     string
	From, To float64
	Ticks    []Mark // rising, their Text beside them
}

// Line is a run of values. Within is the uncertainty of each, drawn as an upright stroke.
type Line struct {
	Name   string
	Points []ChartPoint
	Mark   MarkShape
	End    string // a text at its last point
	Joined bool   // with lines
	Stairs bool   // joined level first, then upright
	Dash   Dash
	Tone   Tone
}

// ChartPoint is one of them.
type ChartPoint struct{ X, Y, Within float64 }

// MarkShape is what stands at each value of a line.
type MarkShape int

// The shapes.
const (
	NoMark MarkShape = iota
	Ring
	Dot
	Cross
	Stroke // a short upright one, of which many may stand close together
)

// Dash tells lines apart.
type Dash int

// The kinds of lines.
const (
	Solid Dash = iota
	Dashed
	Dotted
	LongDashed // of limits
)

// ThenNow shows a value then and now in each row, on one axis on which each row's limit is
// LimitAt.
type ThenNow struct {
	Axis    Axis
	LimitAt float64
	Limit   string // its name
	Then    string
	Now     string
	Rows    []ThenNowRow
	Says    string
}

// ThenNowRow is one row. Texts are drawn as they are. One that is Marked has a bar under its
// value now.
type ThenNowRow struct {
	Mark, Name string
	Then, Now  float64
	Text       string
	Marked     bool
}

func (Charts) block()  {}
func (ThenNow) block() {}

const (
	chartLeft   = 11.0
	chartHeight = 34.0
	chartBelow  = 10.4
	chartInset  = 2.0 // of the first and the last value from the ends of the axis
	aboveCharts = 4.0
	markRadius  = 0.75
	ringRadius  = 1.25 // seen around a dot at the same place
)

func layCharts(c Charts) flow {
	const space = 8.0
	width := body
	if len(c) > 1 {
		width = (body - space) / 2
	}
	f := flow{before: aboveCharts}
	for i := 0; i < len(c); i += 2 {
		pair := c[i:min(i+2, len(c))]
		top, below := 0.0, 0.0
		for _, each := range pair {
			top, below = max(top, chartTop(each, width)), max(below, says(each.Says, width))
		}
		p := newPart(top + chartHeight + chartBelow + below + 2)
		for j, each := range pair {
			drawChart(p, each, float64(j)*(width+space), width, top)
		}
		f.parts = append(f.parts, p)
	}
	return f
}

// says is the height of the sentence under a chart.
func says(text string, width float64) float64 {
	return float64(len(typeset(text, sizeSmall, false, width))) * lineHeight(sizeSmall)
}

// keyBelow tells that the lines are named below the name of the upright axis: beside it there is no room.
func keyBelow(c Chart, width float64) bool {
	return keyWidth(c.Lines) > width-one(c.Y.Name, sizeSmall, false, width).width-4
}

// chartTop is where the plot begins.
func chartTop(c Chart, width float64) float64 {
	lines := 1.0
	if keyBelow(c, width) {
		lines = 2
	}
	return lines*lineHeight(sizeSmall) + 4.4
}

func drawChart(p *part, c Chart, left, width, top float64) {
	x0, x1 := left+chartLeft, left+width-3
	y0, y1 := top+chartHeight, top
	at := func(pt ChartPoint) place {
		return place{x0 + chartInset + (x1-x0-2*chartInset)*share(pt.X, c.X), y0 + (y1-y0)*share(pt.Y, c.Y)}
	}
	p.text(one(c.Y.Name, sizeSmall, false, width), left, 0, sizeSmall, grey)
	key := 0.0
	if keyBelow(c, width) {
		key = lineHeight(sizeSmall)
	}
	drawKey(p, c.Lines, left, left+width, key)
	for _, a := range c.Areas {
		drawArea(p, a, at(ChartPoint{X: a.From}).x, at(ChartPoint{X: a.To}).x, y1, y0)
	}
	for _, m := range c.Y.Ticks {
		y := at(ChartPoint{X: c.X.From, Y: m.At}).y
		p.fill(x0, y-0.05, x1-x0, 0.1, hair)
		p.right(one(m.Text, sizeSmall, false, chartLeft), x0-1.4, y-lineHeight(sizeSmall)/2, sizeSmall, grey)
	}
	p.fill(x0, y0, x1-x0, 0.25, grey)
	for _, m := range c.X.Ticks {
		x := at(ChartPoint{X: m.At, Y: c.Y.From}).x
		p.fill(x-0.1, y0, 0.2, 1.1, grey)
		l := one(m.Text, sizeSmall, false, 20)
		p.text(l, min(max(x-l.width/2, left), left+width-l.width), y0+1.3, sizeSmall, grey)
	}
	name := one(c.X.Name, sizeSmall, false, width)
	p.text(name, x0+(x1-x0-name.width)/2, y0+5.8, sizeSmall, grey)
	for _, l := range c.Lines {
		drawLine(p, l, at)
		drawEnd(p, l, at, x1)
	}
	drawGuides(p, c, at)
	p.lines(typeset(c.Says, sizeSmall, false, width), left, y0+chartBelow, sizeSmall, ink)
}

func share(v float64, a Axis) float64 { return math.Min(1, math.Max(0, (v-a.From)/(a.To-a.From))) }

func drawArea(p *part, a Area, from, to, top, bottom float64) {
	p.fill(from, top, to-from, bottom-top, areaShade)
	if name := one(a.Name, sizeSmall, false, max(to-from-1, 0)); name.width <= to-from-1 {
		p.text(name, (from+to-name.width)/2, top+0.3, sizeSmall, ink)
	}
}

// drawEnd sets the text of a line above its last point, or beside a short one.
func drawEnd(p *part, l Line, at func(ChartPoint) place, right float64) {
	if l.End == "" || len(l.Points) == 0 {
		return
	}
	from, to := at(l.Points[0]), at(l.Points[len(l.Points)-1])
	text := one(l.End, sizeSmall, false, 30)
	x, y := to.x-text.width, to.y-lineHeight(sizeSmall)-0.2
	if from.x == to.x {
		x = min(to.x-text.width/2, right-text.width)
	} else if x < from.x {
		x = to.x + 0.8
		y = to.y - lineHeight(sizeSmall)/2
	}
	p.text(text, x, y, sizeSmall, toneInk[l.Tone])
}

// drawGuides sets each text to the right of its point, or to the left where there is no room.
func drawGuides(p *part, c Chart, at func(ChartPoint) place) {
	right := at(ChartPoint{X: c.X.To}).x
	for _, g := range c.Guides {
		pt := at(ChartPoint{X: g.X, Y: g.Y})
		foot, side := at(ChartPoint{X: g.X, Y: c.Y.From}), at(ChartPoint{X: c.X.From, Y: g.Y})
		p.path([]place{side, pt, foot}, 0.5, ink, Dotted)
		l := one(g.Text, sizeSmall, false, right-side.x)
		x := pt.x + 1.2
		if x+l.width > right {
			x = max(side.x, pt.x-1.2-l.width)
		}
		p.fill(x-0.4, pt.y+0.5, l.width+0.8, lineHeight(sizeSmall), white)
		p.text(l, x, pt.y+0.5, sizeSmall, ink)
	}
}

func drawLine(p *part, l Line, at func(ChartPoint) place) {
	var points, path []place
	for _, pt := range l.Points {
		to := at(pt)
		if n := len(points); n > 0 && near(points[n-1], to) && pt.Within == 0 && l.Mark != Cross {
			continue // it could not be told from the one before
		}
		if n := len(points); n > 0 && l.Stairs {
			path = append(path, place{to.x, points[n-1].y})
		}
		points, path = append(points, to), append(path, to)
		if pt.Within > 0 {
			up, down := at(ChartPoint{X: pt.X, Y: pt.Y + pt.Within}), at(ChartPoint{X: pt.X, Y: pt.Y - pt.Within})
			p.path([]place{up, down}, 0.5, toneInk[l.Tone], Solid)
		}
	}
	if l.Joined {
		p.path(path, 0.9, toneInk[l.Tone], l.Dash)
	}
	for _, pt := range points {
		drawMark(p, l, pt)
	}
}

// near tells that two places are less than a tenth of a millimetre apart, on paper one.
func near(a, b place) bool { return math.Abs(a.x-b.x) < 0.1 && math.Abs(a.y-b.y) < 0.1 }

func drawMark(p *part, l Line, at place) {
	switch c := toneInk[l.Tone]; l.Mark {
	case NoMark:
	case Ring, Dot:
		r := markRadius
		if l.Mark == Ring {
			r = ringRadius
		}
		p.round(at.x, at.y, r, c, l.Mark == Dot)
	case Cross:
		p.path([]place{{at.x - 1.1, at.y - 1.1}, {at.x + 1.1, at.y + 1.1}}, 1.1, c, Solid)
		p.path([]place{{at.x - 1.1, at.y + 1.1}, {at.x + 1.1, at.y - 1.1}}, 1.1, c, Solid)
	case Stroke:
		p.path([]place{{at.x, at.y}, {at.x, at.y - 1.8}}, 0.5, c, Solid)
	}
}

const (
	keyPiece = 7.0 // of a line, before its name
	keyMark  = 2.6 // of a mark alone
	keySpace = 4.0
)

func (l Line) keyPiece() float64 {
	if l.Joined {
		return keyPiece
	}
	return keyMark
}

// keyWidth is what drawKey takes.
func keyWidth(lines []Line) (width float64) {
	for _, l := range lines {
		if l.Name != "" {
			width += l.keyPiece() + 1 + one(l.Name, sizeSmall, false, 60).width + keySpace
		}
	}
	return width
}

// drawKey names the lines above a chart, each behind a piece of it, ending at right.
func drawKey(p *part, lines []Line, left, right, top float64) {
	x := right
	for _, l := range slices.Backward(lines) {
		if l.Name == "" {
			continue
		}
		name := one(l.Name, sizeSmall, false, 60)
		piece := l.keyPiece()
		if x -= name.width; x-piece-1 < left {
			return
		}
		p.text(name, x, top, sizeSmall, ink)
		x -= piece + 1
		y := top + lineHeight(sizeSmall)/2
		if l.Joined {
			p.path([]place{{x, y}, {x + piece, y}}, 0.9, toneInk[l.Tone], l.Dash)
		}
		if mark := (place{x + piece/2, y}); l.Mark == Stroke {
			drawMark(p, l, place{mark.x, y + 0.9})
		} else {
			drawMark(p, l, mark)
		}
		x -= keySpace
	}
}

func layThenNow(t ThenNow) flow {
	const row, head, below = 4.4, 6.0, chartBelow
	const mark, name, text = 10.0, 56.0, 34.0
	if len(t.Rows) == 0 {
		return flow{}
	}
	x0, x1 := mark+name, body-text
	height := head + row*float64(len(t.Rows))
	p := newPart(height + below + says(t.Says, body) + 1)
	at := func(v float64) float64 { return x0 + (x1-x0)*share(v, t.Axis) }
	drawKey(p, []Line{{Name: t.Then, Mark: Ring}, {Name: t.Now, Mark: Dot},
		{Name: t.Limit, Joined: true, Dash: LongDashed, Tone: Bad}}, 0, body, 0)
	for _, m := range t.Axis.Ticks {
		x := at(m.At)
		p.fill(x-0.05, head, 0.1, height-head, hair)
		p.fill(x-0.1, height, 0.2, 1.1, grey)
		l := one(m.Text, sizeSmall, false, 20)
		p.text(l, x-l.width/2, height+1.3, sizeSmall, grey)
	}
	p.fill(x0, height, x1-x0, 0.25, grey)
	axis := one(t.Axis.Name, sizeSmall, false, x1-x0)
	p.text(axis, x0+(x1-x0-axis.width)/2, height+5.8, sizeSmall, grey)
	p.path([]place{{at(t.LimitAt), head - 1}, {at(t.LimitAt), height}}, 0.9, toneInk[Bad], LongDashed)
	for i, r := range t.Rows {
		y := head + row*(float64(i)+0.5)
		top := y - lineHeight(sizeSmall)/2
		point := one(r.Mark, sizeSmall, true, mark-1)
		p.text(point, 0, top, sizeSmall, ink)
		if r.Marked {
			p.fill(0, y+1.6, max(point.width, 4), 0.5, toneInk[Warn])
		}
		p.text(one(r.Name, sizeSmall, false, name-3), mark, top, sizeSmall, ink)
		p.path([]place{{at(r.Then), y}, {at(r.Now), y}}, 0.9, toneInk[Quiet], Solid)
		p.round(at(r.Then), y, ringRadius, ink, false)
		p.round(at(r.Now), y, markRadius, ink, true)
		p.right(one(r.Text, sizeSmall, r.Marked, text-2), body, top, sizeSmall, ink)
	}
	p.lines(typeset(t.Says, sizeSmall, false, body), 0, height+below, sizeSmall, ink)
	return flow{parts: []*part{p}, before: aboveCharts}
}

// axisOver is an axis that holds a range, with round ticks and some air.
func axisOver(name string, from, to float64, text func(float64) string) Axis {
	if !(to > from) {
		from, to = from-0.5, to+0.5
	}
	step := roundStep((to - from) / 5)
	a := Axis{Name: name, From: step * math.Floor(from/step), To: step * math.Ceil(to/step)}
	for n := range 40 {
		v := a.From + float64(n)*step
		if v > a.To+step/2 {
			break
		}
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'f', 9, 64), 64)
		a.Ticks = append(a.Ticks, Mark{At: v, Text: text(v)})
	}
	return a
}

// roundStep is the next 1, 2 or 5 times a power of ten.
func roundStep(least float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, times := range []float64{1, 2, 5} {
		if times*power >= least*(1-1e-9) {
			return times * power
		}
	}
	return 10 * power
}
