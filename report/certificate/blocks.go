package certificate

import (
	"math"

	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// flow is a run of parts in which some must not stand alone: heads are drawn
// again when a page breaks inside it, and the first parts stay together.
type flow struct {
	head   *part // repeated on a new page, may be nil
	parts  []*part
	before float64 // space above, unless at the top of a page
	loose  bool    // one part is company enough for what stands above
	leads  bool    // it stays with the flow below it
	note   bool    // it explains the flow above it
}

const (
	gap      = 2.0 // above and below the text of a row
	padRow   = 1.1
	markSize = 2.0
)

func heading(title string, c *props.Color) *part {
	p := newPart(9.2)
	p.text(one(title, sizeHead, true, body), 0, 1.2, sizeHead, c)
	p.fill(0, 7.7, 18, 0.6, c)
	return p
}

// layTight lays a block of a document out in which one table has very many rows.
func layTight(b Block) flow {
	const pad = padRow / 2
	switch b := b.(type) {
	case Pairs:
		return layPairs(b, pad)
	case Items:
		return layItems(b, pad)
	case Table:
		b.Close = true
		return layTable(b)
	}
	return layBlock(b)
}

func layBlock(b Block) flow {
	switch b := b.(type) {
	case Prose:
		return layProse(b)
	case Pairs:
		return layPairs(b, padRow)
	case Items:
		return layItems(b, padRow)
	case Table:
		return layTable(b)
	case Signatures:
		return laySignatures(b)
	case Pictures:
		return layPictures(b)
	case Code:
		return layCode(b)
	case Charts:
		return layCharts(b)
	case ThenNow:
		return layThenNow(b)
	}
	return flow{}
}

func layProse(b Prose) flow {
	size, c := sizeText, ink
	if b.Quiet {
		size, c = sizeSmall, grey
	}
	return flow{parts: split(typeset(b.Text, size, false, body), 0, size, c), before: gap}
}

// maxLines is how many lines of one text stay together; a longer text is
// continued in a further part, so that a page can break.
const maxLines = 30

// fewLines are as many as a text leaves behind, or takes along, at the least.
const fewLines = 3

func split(all []line, x, size float64, c *props.Color) []*part {
	var out []*part
	for len(all) > 0 {
		n := min(len(all), maxLines)
		if left := len(all) - n; left > 0 && left < fewLines {
			n -= fewLines - left
		}
		p := newPart(float64(n) * lineHeight(size))
		p.lines(all[:n], x, 0, size, c)
		out, all = append(out, p), all[n:]
	}
	return out
}

func layPairs(b Pairs, pad float64) flow {
	const half, label = body/2 - 3, 26.0
	f := flow{before: gap}
	for i := 0; i < len(b); i += 2 {
		left := typeset(b[i].Value, sizeText, false, half-label)
		var right []line
		if i+1 < len(b) {
			right = typeset(b[i+1].Value, sizeText, false, half-label)
		}
		f.parts = append(f.parts, pairParts(b, i, left, right, half, label, pad)...)
	}
	return f
}

// pairParts draws two pairs beside each other, in several parts if a value is
// longer than a page takes at once.
func pairParts(b Pairs, i int, left, right []line, half, label, pad float64) []*part {
	var out []*part
	for first := true; first || len(left) > 0 || len(right) > 0; first = false {
		n := min(maxLines, max(len(left), len(right)))
		p := newPart(float64(n)*lineHeight(sizeText) + 2*pad)
		if first {
			p.rule(0, hair)
			p.lines(typeset(b[i].Label, sizeSmall, false, label-2), 0, pad+0.5, sizeSmall, grey)
			if i+1 < len(b) {
				p.lines(typeset(b[i+1].Label, sizeSmall, false, label-2), half+6, pad+0.5, sizeSmall, grey)
			}
		}
		p.lines(left[:min(n, len(left))], label, pad, sizeText, ink)
		p.lines(right[:min(n, len(right))], half+6+label, pad, sizeText, ink)
		left, right = left[min(n, len(left)):], right[min(n, len(right)):]
		out = append(out, p)
	}
	return out
}

// layItems sets marks, what each is about, and texts in three columns. A mark with a
// grade takes more room.
func layItems(b Items, pad float64) flow {
	const about = 46.0
	mark := 10.0
	for _, item := range b {
		if item.Grade != "" {
			mark = max(mark, 14)
		}
		mark = max(mark, faceFor(item.Mark, true).measure(item.Mark, sizeText)+2) // N1–N30
	}
	f := flow{before: gap, loose: true}
	for _, item := range b {
		f.parts = append(f.parts, itemParts(item, mark, about, pad)...)
	}
	return f
}

// itemParts draws one item, in several parts if it is longer than a page takes at once.
func itemParts(item Item, mark, about, pad float64) []*part {
	x := mark
	var aboutLines []line
	if item.About != "" {
		x = mark + about
		aboutLines = typeset(item.About, sizeText, true, about-3)
	}
	texts := itemTexts(item, body-x)
	var grade []line
	if item.Grade != "" {
		grade = typeset(item.Grade, sizeSmall, true, mark-besideSign(item.Sign))
	}
	var out []*part
	for first := true; first || len(texts) > 0 || len(aboutLines) > 0; first = false {
		n := min(maxLines, max(len(texts), len(aboutLines)))
		if first {
			n = max(n, 1+len(grade))
		}
		p := newPart(float64(n)*lineHeight(sizeText) + 2*pad)
		if first {
			p.rule(0, hair)
			p.text(one(item.Mark, sizeText, true, mark), 0, pad, sizeText, toneInk[item.Tone])
			below := pad + lineHeight(sizeText)
			p.sign(item.Sign, 0, below+0.6, signSize, toneInk[item.Tone])
			p.lines(grade, besideSign(item.Sign), below, sizeSmall, toneInk[item.Tone])
		}
		p.lines(aboutLines[:min(n, len(aboutLines))], mark, pad, sizeText, ink)
		for i, l := range texts[:min(n, len(texts))] {
			p.text(l.line, x+l.indent, pad+float64(i)*lineHeight(sizeText), sizeText, l.color)
		}
		aboutLines, texts = aboutLines[min(n, len(aboutLines)):], texts[min(n, len(texts)):]
		out = append(out, p)
	}
	return out
}

// besideSign is where text begins beside a sign, in mm.
func besideSign(s Sign) float64 {
	if s == NoSign {
		return 0
	}
	return signSize + 0.8
}

// itemLine is a line of an item's text, or of what stands below it.
type itemLine struct {
	line
	indent float64
	color  *props.Color
}

func itemTexts(item Item, width float64) []itemLine {
	const arrow = 4.0
	var out []itemLine
	for _, l := range typeset(item.Text, sizeText, false, width) {
		out = append(out, itemLine{l, 0, ink})
	}
	if item.Then == "" {
		return out
	}
	for i, l := range typeset("→ "+item.Then, sizeText, false, width-arrow) {
		indent := 0.0
		if i > 0 {
			indent = arrow
		}
		out = append(out, itemLine{l, indent, slate})
	}
	return out
}

func layTable(t Table) flow {
	set := comfortable
	if t.Close || len(t.Rows) > manyRows {
		set = tight
	}
	t = fitted(t, set)
	f := flow{head: tableHead(t), before: gap}
	for i, r := range t.Rows {
		f.parts = append(f.parts, tableRow(t, r, i%2 == 1, set)...)
	}
	return f
}

// tableHead names the columns, in several lines where a name is longer than its column.
func tableHead(t Table) *part {
	heads := make([][]line, len(t.Columns))
	height := 1
	for i, c := range t.Columns {
		heads[i] = typeset(joined(" / ", c.Head, c.Unit), sizeSmall, true, c.Width-1)
		height = max(height, len(heads[i]))
	}
	p := newPart(float64(height)*lineHeight(sizeSmall) + 2*padRow + 0.4)
	x := 0.0
	for i, c := range t.Columns {
		y := padRow + float64(height-len(heads[i]))*lineHeight(sizeSmall)
		if c.Right {
			p.rightLines(heads[i], x+c.Width-3, y, sizeSmall, slate)
		} else {
			p.lines(heads[i], x+1, y, sizeSmall, slate)
		}
		x += c.Width
	}
	p.fill(0, p.height-0.4, body, 0.4, slate)
	return p
}

// tableRow lays a row out: cells side by side, its remark below. A row that is
// taller than a page takes is continued.
func tableRow(t Table, r Row, striped bool, set setting) []*part {
	cells := make([][]line, len(r.Cells))
	height := 1
	for i, c := range r.Cells {
		cells[i] = typeset(c.Text, set.of(c), c.Bold, t.Columns[i].Width-cellMargin(c))
		height = max(height, len(cells[i]))
	}
	var out []*part
	for first := true; first || height > 0; first = false {
		n := min(height, maxLines)
		p := newPart(float64(n)*lineHeight(set.size) + 2*set.pad)
		if striped {
			p.fill(0, 0, body, p.height, wash)
		}
		x := 0.0
		for i := range r.Cells {
			take := min(n, len(cells[i]))
			drawCell(p, t.Columns[i], r.Cells[i], cells[i][:take], x, first, set)
			cells[i] = cells[i][take:]
			x += t.Columns[i].Width
		}
		height -= n
		out = append(out, p)
	}
	if r.Head != "" {
		out[0] = stack(rowHead(r.Head, set), out[0])
	}
	if r.Remark != "" {
		out = appendRemark(out, t, r.Remark, striped, set)
	}
	return out
}

// rowHead stands over a row, in at most three lines.
func rowHead(text string, set setting) *part {
	all := typeset(text, sizeSmall, true, body-3)
	all = all[:min(3, len(all))]
	p := newPart(float64(len(all))*lineHeight(sizeSmall) + 2*set.pad + set.head)
	p.rule(0, hair)
	p.lines(all, 1, set.pad+max(0, set.head), sizeSmall, slate)
	return p
}

func drawCell(p *part, column Column, c Cell, lines []line, x float64, first bool, set setting) {
	size := set.of(c)
	y := set.pad
	if size < set.size {
		y += 0.35
	}
	switch {
	case c.Bar != nil && first:
		drawBar(p, *c.Bar, x+1, y, column.Width-3)
	case column.Right:
		p.rightLines(lines, x+column.Width-3, y, size, toneInk[c.Tone])
	case c.Sign != NoSign:
		if first {
			p.sign(c.Sign, x, y+0.6, signSize, toneInk[c.Tone])
		}
		p.lines(lines, x+markSize+0.8, y, size, toneInk[c.Tone])
	default:
		p.lines(lines, x+1, y, size, toneInk[c.Tone])
	}
}

// drawBar draws a value as a bar and its limit as a tick.
func drawBar(p *part, b Bar, x, y, width float64) {
	if b.Full <= 0 {
		return
	}
	scale := func(v float64) float64 { return width * math.Min(1, math.Max(0, v/b.Full)) }
	y += 1.05
	p.fill(x, y, width, 1.5, tint[Plain])
	p.fill(x, y, scale(b.Value), 1.5, toneInk[b.Tone])
	p.fill(x+scale(b.Limit), y-0.7, 0.3, 2.9, ink)
}

// appendRemark puts a remark under a row, in the row's last part if it is
// short, so that they stay together.
func appendRemark(out []*part, t Table, remark string, striped bool, set setting) []*part {
	indent := remarkIndent(t)
	all := typeset(remark, sizeSmall, false, body-indent-2)
	for len(all) > 0 {
		n := min(len(all), maxLines)
		p := newPart(float64(n)*lineHeight(sizeSmall) + set.pad)
		if striped {
			p.fill(0, 0, body, p.height, wash)
		}
		p.lines(all[:n], indent, 0, sizeSmall, grey)
		all = all[n:]
		out = append(out, p)
	}
	if len(out) == 2 {
		return []*part{stack(out[0], out[1])}
	}
	return out
}

// stack makes one part of two.
func stack(a, b *part) *part {
	p := newPart(a.height + b.height)
	p.texts = append(p.texts, a.texts...)
	for _, t := range b.texts {
		t.y += a.height
		p.texts = append(p.texts, t)
	}
	p.draws = append(p.draws, a.draws...)
	for _, draw := range b.draws {
		p.draws = append(p.draws, shifted(draw, a.height))
	}
	p.inks = append(p.inks, a.inks...)
	for _, i := range b.inks {
		i.y += a.height
		p.inks = append(p.inks, i)
	}
	p.vectors = append(p.vectors, a.vectors...)
	for _, v := range b.vectors {
		v.y += a.height
		p.vectors = append(p.vectors, v)
	}
	return p
}

func laySignatures(boxes Signatures) flow {
	const space = 6.0
	f := flow{before: gap}
	width := (body - space) / 2
	for i := 0; i < len(boxes); i += 2 {
		pair := boxes[i:min(i+2, len(boxes))]
		height := 0.0
		for _, b := range pair {
			height = max(height, signatureHeight(b, width))
		}
		p := newPart(height + 2)
		for j, b := range pair {
			drawSignature(p, b, float64(j)*(width+space), width, height)
		}
		f.parts = append(f.parts, p)
	}
	return f
}

const (
	signatureLine = 14.5 // where the line to sign on stands in a box
	drawingWidth  = 40.0
)

// signatureLines are a box's name and detail. A name or list of any length is
// printed whole, as far as half a page goes.
func signatureLines(b Signature, width float64) (name, detail []line) {
	name, detail = typeset(b.Name, sizeText, true, width-6), typeset(b.Detail, sizeSmall, false, width-6)
	return name[:min(len(name), maxLines/2)], detail[:min(len(detail), maxLines)]
}

func signatureHeight(b Signature, width float64) float64 {
	name, detail := signatureLines(b, width)
	names, details := float64(len(name)), float64(max(1, len(detail)))
	return signatureLine + 3 + names*lineHeight(sizeText) + details*lineHeight(sizeSmall) + 2
}

func drawSignature(p *part, b Signature, x, width, height float64) {
	p.fill(x, 0, width, height, wash)
	p.text(one(b.Role, sizeSmall, true, width-6), x+3, 2, sizeSmall, slate)
	const label = 27 // what the role takes
	if b.Drawing != nil || b.Strokes != nil {
		p.fill(x+label, 1.2, width-label-3, signatureLine-1.2, white)
	}
	switch {
	case b.Strokes != nil:
		p.inks = append(p.inks, drawnLines{b.Strokes, x + label + 1, 2, width - label - 5, signatureLine - 2.8})
	case b.Drawing != nil:
		p.image(b.Drawing, extension.Png, x+width-3-drawingWidth, 1.2, drawingWidth, signatureLine-1.6)
	}
	instead := typeset(b.Instead, sizeText, false, width-label-5)
	instead = instead[:min(len(instead), 2)]
	p.lines(instead, x+label+1, signatureLine-1.4-float64(len(instead))*lineHeight(sizeText), sizeText, grey)
	p.fill(x+3, signatureLine, width-6, 0.25, ink)
	name, detail := signatureLines(b, width)
	y := p.lines(name, x+3, signatureLine+1.1, sizeText, ink)
	p.lines(detail, x+3, y+0.4, sizeSmall, grey)
}
