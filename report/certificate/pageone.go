package certificate

import (
	"math"
	"slices"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// Front is what stands on page one below the banner. It is laid out for one page, whatever it holds: texts are cut
// with … to the lines that they have, rows that have no room are counted.
type Front struct {
	Facts    []Fact // who says so, and when: five
	List     FrontList
	Alarm    *Timeline
	Supply   FrontTable
	Premises FrontPairs
	Legend   []LegendEntry
	Caution  string
	// Summary is said where the page stands alone.
	Summary string
}

// Fact is one thing in a box of its own.
type Fact struct{ Label, Value, Detail string }

// FrontList is what remains to be done, the gravest first. None is said where there is nothing.
type FrontList struct {
	Title string
	Heads [3]string // part, what is the matter, by whom
	Rows  []FrontRow
	All   int // how many there are; Rows are the first of them
	None  string
}

// FrontRow is one finding or limitation.
type FrontRow struct {
	Mark, Grade string
	Sign        Sign
	Tone        Tone
	About       string
	Text, Then  string
	Whom        string
	Rest        string // said below it where nothing behind it has room
}

// Timeline is instants of one alarm in their order, At in seconds from the first.
type Timeline struct {
	Title    string
	Instants []Instant
	Says     string
	OffScale string // said where what lies close together is set apart
}

// Instant is one of them. Text is what happened, When when it did.
type Instant struct {
	At         float64
	Text, When string
	Sign       Sign
	Tone       Tone
}

// FrontTable is a few values, each with what it shows.
type FrontTable struct {
	Title string
	Rows  []FrontValue
}

// FrontValue is one of them.
type FrontValue struct {
	Name, Value, Detail string
	Verdict             Cell
}

// FrontPairs are a few labelled texts.
type FrontPairs struct {
	Title string
	Pairs Pairs
}

// LegendEntry is a sign with what it means.
type LegendEntry struct {
	Sign Sign
	Tone Tone
	Text string
}

// Sizes of page one, in points: nothing that is to be read is smaller than sizeNote.
const (
	sizeFact   = 10.0
	sizeFigure = 17.0
	sizeNote   = 8.0
)

// frontRoom is the height of page one above its foot, in mm.
func (p Paper) frontRoom() float64 { return p.room() - 0.5 }

// plan is how much of what may give way is shown.
type plan struct {
	texts    int  // lines of a text about the premises
	premises int  // rows of it
	labels   int  // lines of what is named on the line of the alarm
	lines    int  // of what is the matter with something
	rows     int  // of the list
	brief    bool // values of the supply have no details
	tight    bool // dangers and facts have one line each, too
}

// narrower are plans in the order in which they are tried until the page has room: what stands whole behind gives way
// first, then how many findings are shown, which are counted, and last the length of texts.
func narrower(f *Front) (all []plan) {
	most := plan{texts: 5, premises: len(f.Premises.Pairs), labels: 3, lines: 3, rows: len(f.List.Rows)}
	next := func(change func(*plan)) {
		change(&most)
		all = append(all, most)
	}
	next(func(*plan) {})
	for most.texts > 2 {
		next(func(p *plan) { p.texts-- })
	}
	for most.premises > 3 {
		next(func(p *plan) { p.premises-- })
	}
	next(func(p *plan) { p.brief = true })
	for most.rows > 2 {
		next(func(p *plan) { p.rows-- })
	}
	for most.lines > 1 {
		next(func(p *plan) { p.lines-- })
	}
	for most.premises > 0 {
		next(func(p *plan) { p.premises-- })
	}
	for most.labels > 1 {
		next(func(p *plan) { p.labels-- })
	}
	next(func(p *plan) { p.tight = true })
	for most.rows > 1 {
		next(func(p *plan) { p.rows-- })
	}
	return all
}

// frontPage is page one, exactly as high as the page has room for, and which rows of its list it shows whole.
func frontPage(d Document) (page []*part, shown []bool) {
	f := d.Front
	tail := tailPart(f)
	// Most plans differ in one number: what does not depend on it is laid out once.
	heads, rows, alarms, columns := map[bool]*part{}, map[int][]*part{}, map[int]*part{}, map[plan]*part{}
	laid := func(p plan) []*part {
		head := once(heads, p.tight, func() *part { return stack(frontHead(d, p), factsPart(f.Facts, p)) })
		listed := once(rows, p.lines, func() []*part { return listRows(f.List, p) })
		all := []*part{head, listPart(f.List, listed[:p.rows], d.accent())}
		if f.Alarm != nil {
			all = append(all, once(alarms, p.labels, func() *part { return timelinePart(*f.Alarm, p, d.accent()) }))
		}
		pairs := plan{texts: p.texts, premises: p.premises, brief: p.brief}
		return append(all, once(columns, pairs, func() *part { return beside(f, pairs, d.accent()) }))
	}
	fits := func(all []*part) bool { return heights(all...)+tail.height <= d.Paper.frontRoom() }
	plans := narrower(f)
	of := plans[len(plans)-1]
	for _, p := range plans {
		if fits(laid(p)) {
			of = p
			break
		}
	}
	for _, more := range wider(plans[0]) { // one step may have made more room than it had to
		for p := more(of); p != of && fits(laid(p)); p = more(of) {
			of = p
		}
	}
	page = laid(of)
	if left := d.Paper.frontRoom() - heights(page...) - tail.height; left > 0 {
		page = append(page, newPart(math.Floor(left*64)/64))
	}
	for _, r := range f.List.Rows[:of.rows] {
		shown = append(shown, listRowOf(r, of.lines).whole)
	}
	return append(page, tail), shown
}

// wider are the steps back to all that there is, what matters most first; each leaves a plan as it is at its end.
func wider(all plan) []func(plan) plan {
	return []func(plan) plan{
		func(p plan) plan { p.lines = min(p.lines+1, all.lines); return p },
		func(p plan) plan { p.rows = min(p.rows+1, all.rows); return p },
		func(p plan) plan { p.premises = min(p.premises+1, all.premises); return p },
		func(p plan) plan { p.texts = min(p.texts+1, all.texts); return p },
		func(p plan) plan { p.brief = all.brief; return p },
	}
}

// once makes what is not there yet.
func once[K comparable, V any](there map[K]V, key K, makes func() V) V {
	v, has := there[key]
	if !has {
		v = makes()
		there[key] = v
	}
	return v
}

func heights(all ...*part) (sum float64) {
	for _, p := range all {
		sum += p.height
	}
	return sum
}

// clipped are at most so many lines of a text; one that is cut ends in ….
func clipped(text string, size float64, bold bool, width float64, most int) []line {
	all := typeset(text, size, bold, width)
	if len(all) <= most {
		return all
	}
	all = typesetAs(text, size, bold, width, false)[:most]
	last := all[most-1]
	runes := []rune(last.text)
	for cut := last.text + "…"; ; cut = string(runes) + "…" {
		if wide := last.face.measure(cut, size); wide <= width || len(runes) == 0 {
			all[most-1] = line{cut, wide, last.face}
			return all
		}
		runes = runes[:len(runes)-1]
	}
}

// inOneLine is one line in bold, smaller where it has no room, and cut only where it would be too small to read.
func inOneLine(text string, size, width float64) (line, float64) {
	for ; size > sizeNote; size -= 0.5 {
		if l := one(text, size, true, 1000); l.width <= width {
			return l, size
		}
	}
	return one(text, sizeNote, true, width), sizeNote
}

// frontHead has the dangers, who certifies, the title, the result and the figures.
func frontHead(d Document, of plan) *part {
	head := resultPart(d)
	if len(d.Dangers) > 0 {
		head = stack(frontDangers(d.Dangers, of), head)
	}
	return stack(titlePart(d), head)
}

// frontDangers stand before all else, in a full frame; each is in the list, too.
func frontDangers(all []string, of plan) *part {
	const most, gap = 3, 1.2
	each := 2
	if of.tight {
		each = 1
	}
	var texts [][]line
	height := 5.0
	for _, text := range all[:min(most, len(all))] {
		lines := clipped(text, sizeText+0.7, true, body-16, each)
		texts = append(texts, lines)
		height += float64(len(lines))*lineHeight(sizeText+0.7) + gap
	}
	p := newPart(height + 2.5)
	p.fill(0, 0, body, height, toneInk[Bad])
	y := 2.6
	for _, lines := range texts {
		p.sign(DangerSign, 4, y+0.5, 2.8, white)
		y = p.lines(lines, 10, y, sizeText+0.7, white) + gap
	}
	return p
}

// titlePart is the firm, the number, the title and what it is of.
func titlePart(d Document) *part {
	p := newPart(24.5)
	p.text(one(d.Installer, sizeText, true, 110), 0, 0, sizeText, d.accent())
	p.right(one(d.Number, sizeNote, false, 68), body, 0.3, sizeNote, grey)
	p.fill(0, 5.2, body, 0.5, d.accent())
	p.logo(d.Logo, body, 7.6)
	p.text(one(d.Title, sizeTitle-2, true, besideLogo(d.Logo)), 0, 7.2, sizeTitle-2, ink)
	p.text(one(d.Subtitle, sizeText+0.4, false, besideLogo(d.Logo)), 0, 17.2, sizeText+0.4, ink)
	return p
}

// resultPart is the banner: the result, and its numbers beside it. Its frame tells the tone by its line, too.
func resultPart(d Document) *part {
	const left, pad = 66.0, 4.0
	b := d.Banner
	word := clipped(b.Word, 14, true, left-pad-13, 3)
	sentence := clipped(b.Sentence, sizeNote+0.4, false, left-2*pad, 4)
	height := max(23, 3+float64(len(word))*lineHeight(14)+1+float64(len(sentence))*lineHeight(sizeNote+0.4)+3.5)
	at := figureColumns(b.Figures, body-left)
	labels := 0
	for i, f := range b.Figures {
		labels = max(labels, min(4, len(typeset(f.Label, sizeNote, false, at[i+1]-at[i]-4))))
	}
	height = max(height, 4+lineHeight(sizeFigure)+float64(labels)*lineHeight(sizeNote)+3)
	p := newPart(height + noticeHeight(d) + 2)
	tone := toneInk[b.Tone]
	p.fill(0, 0, left, height, tint[b.Tone])
	p.sign(b.Sign, pad, 4.2, 5.4, tone)
	y := p.lines(word, pad+9, 3.4, 14, tone)
	p.lines(sentence, pad, max(y, 11)+0.8, sizeNote+0.4, ink)
	frame(p, body, height, b)
	for i, f := range b.Figures {
		x, width := left+at[i], at[i+1]-at[i]
		p.fill(x, 3, 0.25, height-6, hair)
		value, size := inOneLine(f.Value, sizeFigure, width-3)
		p.text(value, x+2.5, 3.2+(lineHeight(sizeFigure)-lineHeight(size))/2, size, ink)
		p.lines(clipped(f.Label, sizeNote, false, width-4, 4), x+2.5, 4+lineHeight(sizeFigure), sizeNote, ink)
	}
	drawNotices(p, d, 0, height)
	return p
}

// figureColumns are where the columns of figures begin, and where the last ends: a wide number has more room,
// and so has a long word below one.
func figureColumns(all []Figure, width float64) []float64 {
	const air = 6.0
	need, extra := 0.0, make([]float64, len(all))
	for i, f := range all {
		extra[i] = max(one(f.Value, sizeFigure, true, width).width+air, width/(float64(len(all))+2.4))
		for _, word := range strings.Fields(f.Label) { // no word is parted
			extra[i] = max(extra[i], one(word, sizeNote, false, width).width+4.5)
		}
		for word := range strings.FieldsSeq(f.Label) {
			extra[i] = max(extra[i], one(word, sizeNote, false, width).width+4.5)
		}
		need += extra[i]
	}
	at := []float64{0}
	for i := range all {
		at = append(at, at[i]+extra[i]*width/need)
	}
	return at
}

// frame draws round the banner in the line of its result: one firm line for good, long dashes for limited, dots for
// not finished, two lines for bad.
func frame(p *part, width, height float64, of Banner) {
	c := toneInk[of.Tone]
	box := func(inset, thick float64, dash Dash) {
		l, t, r, b := inset, inset, width-inset, height-inset
		p.path([]place{{l, b}, {l, t}, {r, t}}, thick, c, dash)
		p.path([]place{{r, t}, {r, b}, {l, b}}, thick, c, dash)
	}
	switch {
	case of.Tone == Bad:
		box(0.3, 1.6, Solid)
		box(1.3, 0.7, Solid)
	case of.Sign == UntestedSign:
		box(0.3, 1.8, Dotted)
	case of.Tone == Warn:
		box(0.3, 1.5, LongDashed)
	default:
		box(0.3, 1.6, Solid)
	}
}

// factsPart sets facts beside each other in boxes.
func factsPart(all []Fact, of plan) *part {
	const inner = 3.0
	values, details := 2, 3
	if of.tight {
		values, details = 1, 1
	}
	width := body / float64(max(1, len(all)))
	type box struct {
		label, value, detail []line
		size                 float64 // of its value
	}
	var boxes []box
	height := 0.0
	for _, f := range all {
		b := box{label: clipped(f.Label, sizeNote, false, width-inner, 2), size: sizeFact,
			detail: clipped(f.Detail, sizeNote, false, width-inner, details)}
		b.value, b.size = uncut(f.Value, width-inner, values)
		boxes = append(boxes, b)
		height = max(height, float64(len(b.label)+len(b.detail))*lineHeight(sizeNote)+
			float64(len(b.value))*lineHeight(b.size)+4)
	}
	p := newPart(height)
	p.rule(0.2, hair)
	for i, b := range boxes {
		x := float64(i) * width
		if i > 0 {
			p.fill(x-inner/2, 1.8, 0.2, height-3.4, hair)
		}
		y := p.lines(b.label, x, 1.2, sizeNote, grey)
		y = p.lines(b.value, x, y+0.2, b.size, ink)
		p.lines(b.detail, x, y+0.2, sizeNote, ink)
	}
	p.rule(height-0.8, hair)
	return p
}

// smallHeading is a title on page one.
func smallHeading(p *part, title string, x, y, width float64, c *props.Color) {
	p.text(one(title, sizeHead-1, true, width), x, y, sizeHead-1, c)
	p.fill(x, y+5.3, width, 0.35, c)
}

// uncut is a name in so many lines, or smaller, or in as many lines as a long name takes: it is cut last of all.
func uncut(name string, width float64, lines int) ([]line, float64) {
	for size := sizeFact; size >= sizeNote; size -= 0.5 {
		if all := typeset(name, size, true, width); len(all) <= lines && !hyphenated(all) {
			return all, size
		}
	}
	return clipped(name, sizeNote+0.5, true, width, lines+2), sizeNote + 0.5
}

// hyphenated tells whether a word is broken with a hyphen in lines.
func hyphenated(all []line) bool {
	return len(all) > 1 &&
		slices.ContainsFunc(all[:len(all)-1], func(l line) bool { return strings.HasSuffix(l.text, "-") })
}

const smallHeadingHeight = 6.6

// The columns of the list, in mm from the left.
const (
	listAbout = 21.0
	listText  = 66.0
	listWhom  = 146.0
)

// listRows are all rows of the list.
func listRows(l FrontList, of plan) (all []*part) {
	for _, r := range l.Rows {
		all = append(all, listRow(r, of.lines))
	}
	return all
}

// listPart is the list with its first rows.
func listPart(l FrontList, rows []*part, c *props.Color) *part {
	n := len(rows)
	head := newPart(3 + smallHeadingHeight)
	smallHeading(head, l.Title, 0, 3, body, c)
	if len(l.Rows) == 0 {
		p := newPart(lineHeight(sizeText) + 2)
		p.text(one(l.None, sizeText, false, body), 0, 0.6, sizeText, ink)
		return stack(head, p)
	}
	columns := newPart(lineHeight(sizeNote) + 0.8)
	for i, x := range []float64{listAbout, listText, listWhom} {
		columns.text(one(l.Heads[i], sizeNote, false, 76), x, 0.2, sizeNote, grey)
	}
	all := stack(head, columns)
	for _, r := range rows {
		all = stack(all, r)
	}
	if n < l.All {
		lines := clipped(l.Rows[n-1].Rest, sizeText, true, body, 3)
		more := newPart(float64(len(lines))*lineHeight(sizeText) + 2.2)
		more.rule(0, hair)
		more.lines(lines, 0, 0.9, sizeText, ink)
		all = stack(all, more)
	}
	return all
}

// listTexts are the texts of a row in their lines; whole tells whether all of each is there.
type listTexts struct {
	about, text, then, whom, grade []line
	whole                          bool
}

// listRowOf are the texts of a row, of which the longest has so many lines.
func listRowOf(r FrontRow, lines int) listTexts {
	const size = sizeText - 0.3
	t := listTexts{whole: true}
	cut := func(text string, size float64, bold bool, width float64, most int) []line {
		all := clipped(text, size, bold, width, most)
		t.whole = t.whole && len(typeset(text, size, bold, width)) <= most
		return all
	}
	t.about = cut(r.About, size, true, listText-listAbout-3, lines)
	t.text = cut(r.Text, size, false, listWhom-listText-3, lines)
	if r.Then != "" {
		t.then = cut("→ "+r.Then, size, false, listWhom-listText-3, max(1, lines-1))
	}
	t.whom = cut(r.Whom, size, false, body-listWhom, lines+1)
	t.grade = cut(r.Grade, sizeNote, true, listAbout-5, 2)
	return t
}

func listRow(r FrontRow, lines int) *part {
	const pad = 0.8
	t := listRowOf(r, lines)
	step := lineHeight(sizeText - 0.3)
	most := max(len(t.about), len(t.text)+len(t.then), len(t.whom), 1+len(t.grade))
	p := newPart(float64(most)*step + 2*pad)
	p.rule(0, hair)
	p.sign(r.Sign, 0.2, pad+0.7, signSize+0.5, toneInk[r.Tone])
	p.text(one(r.Mark, sizeText, true, listAbout-5), 4.6, pad, sizeText, toneInk[r.Tone])
	p.lines(t.grade, 4.6, pad+step, sizeNote, toneInk[r.Tone])
	p.lines(t.about, listAbout, pad, sizeText-0.3, ink)
	y := p.lines(t.text, listText, pad, sizeText-0.3, ink)
	p.lines(t.then, listText, y, sizeText-0.3, slate)
	p.lines(t.whom, listWhom, pad, sizeText-0.3, ink)
	return p
}

// beside are supply and premises, with so many rows of premises, each of so many lines.
func beside(f *Front, of plan, c *props.Color) *part {
	const gutter = 8.0
	width := (body - gutter) / 2
	left := supplyColumn(f.Supply, width, of, c)
	right := premisesColumn(f.Premises, of.premises, of.texts, width, c)
	p := newPart(max(left.height, right.height))
	p.over(left, 0)
	p.over(right, width+gutter)
	return p
}

// moved draws further to the right.
func moved(draw func(core.Provider, *entity.Cell), by float64) func(core.Provider, *entity.Cell) {
	return func(p core.Provider, cell *entity.Cell) {
		to := cell.Copy()
		to.X += by
		draw(p, &to)
	}
}

// over draws another part on this one, further to the right.
func (p *part) over(o *part, x float64) {
	for _, t := range o.texts {
		t.x += x
		p.texts = append(p.texts, t)
	}
	for _, draw := range o.draws {
		p.draws = append(p.draws, moved(draw, x))
	}
	for _, v := range o.vectors {
		v.x += x
		p.vectors = append(p.vectors, v)
	}
}

// mostValues are how many values of the supply have room.
const mostValues = 6

func supplyColumn(t FrontTable, width float64, of plan, c *props.Color) *part {
	const names, verdict, size = 36.0, 23.5, sizeText - 0.3
	all := newPart(3 + smallHeadingHeight)
	if len(t.Rows) == 0 {
		return newPart(0)
	}
	smallHeading(all, t.Title, 0, 3, width, c)
	valueSize := size // one for all of them
	for _, r := range t.Rows[:min(mostValues, len(t.Rows))] {
		_, fits := inOneLine(r.Value, size, width-verdict-names-2.5)
		valueSize = min(valueSize, fits)
	}
	for i, r := range t.Rows[:min(mostValues, len(t.Rows))] {
		if of.brief {
			r.Detail = ""
		}
		name := clipped(r.Name, size, false, names, 2)
		values := one(r.Value, valueSize, true, width-verdict-names-2.5)
		detail := clipped(r.Detail, sizeNote, false, width-verdict-2, 1)
		if r.Detail == "" {
			detail = nil
		}
		said := clipped(r.Verdict.Text, sizeNote, true, verdict-4, 2)
		height := max(float64(len(name))*lineHeight(size)+float64(len(detail))*lineHeight(sizeNote),
			float64(len(said))*lineHeight(size)) + 1.6
		p := newPart(height)
		if i > 0 {
			p.fill(0, 0, width, 0.2, hair)
		}
		y := p.lines(name, 0, 0.8, size, ink)
		p.lines(detail, 0, y, sizeNote, grey)
		p.right(values, width-verdict-2.5, 0.8, valueSize, ink)
		p.sign(r.Verdict.Sign, width-verdict, 1.75, signSize, toneInk[r.Verdict.Tone])
		p.lines(said, width-verdict+3, 1, sizeNote, toneInk[r.Verdict.Tone])
		all = stack(all, p)
	}
	return all
}

func premisesColumn(f FrontPairs, most, texts int, width float64, c *props.Color) *part {
	const label, size = 23.0, sizeText - 0.3
	if min(most, len(f.Pairs)) == 0 {
		return newPart(0)
	}
	all := newPart(3 + smallHeadingHeight)
	smallHeading(all, f.Title, 0, 3, width, c)
	for i, pair := range f.Pairs[:min(most, len(f.Pairs))] {
		name := clipped(pair.Label, sizeNote, false, label-2, 2)
		value := clipped(pair.Value, size, false, width-label, texts)
		p := newPart(float64(max(len(name), len(value)))*lineHeight(size) + 1.6)
		if i > 0 {
			p.fill(0, 0, width, 0.2, hair)
		}
		p.lines(name, 0, 0.95, sizeNote, grey)
		p.lines(value, label, 0.8, size, ink)
		all = stack(all, p)
	}
	return all
}

// timelinePart draws the instants of an alarm on a line, named above and below it in turn.
func timelinePart(t Timeline, of plan, c *props.Color) *part {
	const size = sizeNote
	head := newPart(3 + smallHeadingHeight)
	smallHeading(head, t.Title, 0, 3, body, c)
	at, scaled := spread(t.Instants, body)
	width := func(i int) (left, right float64) {
		left, right = 0.0, body
		if i >= 2 {
			left = at[i-2] + (at[i]-at[i-2])/2 + 0.8
		}
		if i+2 < len(at) {
			right = at[i] + (at[i+2]-at[i])/2 - 0.8
		}
		return left, right
	}
	names := make([][]line, len(t.Instants))
	rows := [2]int{}
	for i, in := range t.Instants {
		left, right := width(i)
		// over its own sign where it has room there; beside it, a reader takes it for that of a neighbour
		room := 2 * min(at[i]-left, right-at[i])
		if !wordsFit(in.Text, size, room) || len(typeset(in.Text, size, false, room)) > of.labels {
			room = right - left
		}
		names[i] = clipped(in.Text, size, false, room, of.labels)
		rows[i%2] = max(rows[i%2], 1+len(names[i]))
	}
	rise, fall := float64(rows[0])*lineHeight(size)+2.4, float64(rows[1])*lineHeight(size)+2.2
	says := t.Says
	if !scaled {
		says = joined(" ", t.Says, t.OffScale)
	}
	sentence := clipped(says, size, false, body, 2)
	p := newPart(rise + fall + 1.4 + float64(len(sentence))*lineHeight(size))
	axis := rise + 0.4
	p.path([]place{{0, axis}, {body, axis}}, 1.1, slate, Solid)
	for i, in := range t.Instants {
		left, right := width(i)
		name := names[i]
		when := one(in.When, size, true, right-left)
		above := i%2 == 0
		y := axis - 2.4 - float64(len(name)+1)*lineHeight(size)
		if !above {
			y = axis + 2.2
		}
		widest := when.width
		for _, l := range name {
			widest = max(widest, l.width)
		}
		place := func(l line) float64 { // all lines of a label in one way
			switch {
			case at[i]-widest/2 < left:
				return left
			case at[i]+widest/2 > right:
				return right - l.width
			}
			return at[i] - l.width/2
		}
		p.text(when, place(when), y, size, ink)
		for j, l := range name {
			p.text(l, place(l), y+float64(j+1)*lineHeight(size), size, ink)
		}
		p.signOnLine(in.Sign, at[i], axis, 2.4, toneInk[in.Tone])
	}
	p.lines(sentence, 0, rise+fall+1.2, size, ink)
	return stack(head, p)
}

// wordsFit tells whether no word of a text is wider than there is room.
func wordsFit(text string, size, room float64) bool {
	return !slices.ContainsFunc(strings.Fields(text), func(word string) bool { return one(word, size, false, 1000).width > room })
}

// spread places instants on a line of a width, to scale as far as each has room; scaled tells whether all are.
func spread(all []Instant, width float64) (at []float64, scaled bool) {
	n := len(all)
	if n == 0 {
		return nil, true
	}
	edge := min(11, width/float64(2*n))
	least := (width - 2*edge) / float64(max(1, n-1)) * 0.8
	span := all[n-1].At - all[0].At
	scaled = true
	for i, in := range all {
		x := edge
		if span > 0 {
			x += (width - 2*edge) * (in.At - all[0].At) / span
		}
		if i > 0 && x < at[i-1]+least {
			x, scaled = at[i-1]+least, false
		}
		if last := width - edge - float64(n-1-i)*least; x > last {
			x, scaled = last, false
		}
		at = append(at, x)
	}
	return at, scaled
}

// tailPart is the legend of the signs, what a summary is, and the caution, at the foot of the page.
func tailPart(f *Front) *part {
	const size = sizeNote
	var caution, summary []line
	caution = clipped(f.Caution, size, false, body, 3)
	if f.Summary != "" {
		summary = clipped(f.Summary, size, true, body, 3)
	}
	legend := legendPart(f.Legend)
	p := newPart(float64(len(caution)+len(summary))*lineHeight(size) + 3)
	p.rule(0.6, hair)
	y := p.lines(summary, 0, 1.8, size, ink)
	p.lines(caution, 0, y, size, ink)
	return stack(legend, p)
}

// legendPart sets entries one after the other, in as many lines as they take.
func legendPart(all []LegendEntry) *part {
	const size, between = sizeNote, 4.0
	x, y := 0.0, 2.0
	type placed struct {
		e    LegendEntry
		l    line
		x, y float64
	}
	var out []placed
	for _, e := range all {
		l := one(e.Text, size, false, body-4)
		if x > 0 && x+3+l.width > body {
			x, y = 0, y+lineHeight(size)+0.3
		}
		out = append(out, placed{e, l, x, y})
		x += 3 + l.width + between
	}
	p := newPart(y + lineHeight(size) + 0.8)
	for _, e := range out {
		p.sign(e.e.Sign, e.x, e.y+0.85, signSize, toneInk[e.e.Tone])
		p.text(e.l, e.x+3, e.y, size, ink)
	}
	return p
}
