package certificate

import "loopwitness/commission/site"

// Paper is the size of the pages. What is printed is as wide on each: only the margins and the
// height differ.
type Paper int

// The papers.
const (
	A4 Paper = iota
	Letter
)

// paperOf is the paper that a site file asks for.
func paperOf(p site.Paper) Paper {
	if p == site.Letter {
		return Letter
	}
	return A4
}

// size is in mm. That of A4 is ISO 216's; that of Letter is 8.5 by 11 inches of 25.4 mm.
func (p Paper) size() (width, height float64) {
	if p == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// margin is that on the left, and on the right, in mm.
func (p Paper) margin() float64 {
	width, _ := p.size()
	return (width - body) / 2
}

// room is the height of what stands on a page above its foot.
func (p Paper) room() float64 { return p.usable() - footHeight }

// usable is the height of all parts of a page, in mm; the library's own rounding needs a little
// air.
func (p Paper) usable() float64 {
	_, height := p.size()
	return height - marginTop - 8
}

// point is a place of a page in points of a PDF, which counts from below: x from the left margin
// and y from the top one, in mm.
func (p Paper) point(x, y float64) (across, up float64) {
	_, height := p.size()
	return (p.margin() + x) / mmPerPoint, (height - marginTop - y) / mmPerPoint
}
