package certificate

import (
	"cmp"
	"slices"
)

// setting is how closely the rows of a table stand: the size of their text in points, the room above and below it, and
// what a head over a row has more, both in mm.
type setting struct{ size, pad, head float64 }

// A table of many rows is set closer, so that a large site stays a handful of pages; where one has very many, all are.
const (
	manyRows     = 24
	veryManyRows = 100
)

// closely tells whether all tables of a document are set closer.
func closely(d Document) bool {
	for _, s := range d.Sections {
		for _, block := range s.Blocks {
			if t, is := block.(Table); is && len(t.Rows) > veryManyRows {
				return true
			}
		}
	}
	return false
}

var (
	comfortable = setting{sizeText, padRow, -0.6}
	tight       = setting{sizeSmall, -0.06, 0.12} // lines a little closer than in a paragraph
)

// of is the size of a cell's text.
func (s setting) of(c Cell) float64 {
	if c.Tone != Plain {
		return sizeSmall
	}
	return s.size
}

// cellMargin is what of a column's width a cell's text does not have.
func cellMargin(c Cell) float64 {
	if c.Sign != NoSign {
		return markSize + 0.8 // a verdict stands behind its sign
	}
	return 3
}

// fitted widens columns in which something would break by what others do not need.
func fitted(t Table, set setting) Table {
	needs := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		needs[i] = widestWord(joined(" / ", c.Head, c.Unit)) + 3
	}
	for _, r := range t.Rows {
		for i, c := range r.Cells {
			if c.Bar != nil {
				needs[i] = t.Columns[i].Width
				continue
			}
			needs[i] = max(needs[i], faceFor(c.Text, c.Bold).measure(c.Text, set.of(c))+cellMargin(c)+0.1)
		}
	}
	spare := 0.0
	var short []int // columns, those that need little first
	for i, c := range t.Columns {
		spare += max(0, c.Width-needs[i])
		if needs[i] > c.Width {
			short = append(short, i)
		}
	}
	if len(short) == 0 || spare == 0 {
		return t
	}
	slices.SortStableFunc(short, func(a, b int) int {
		return cmp.Compare(needs[a]-t.Columns[a].Width, needs[b]-t.Columns[b].Width)
	})
	columns, left := slices.Clone(t.Columns), spare
	for _, i := range short {
		more := min(left, needs[i]-columns[i].Width)
		columns[i].Width += more
		left -= more
	}
	for i, c := range t.Columns {
		columns[i].Width -= max(0, c.Width-needs[i]) * (spare - left) / spare
	}
	t.Columns = columns
	return t
}

// widestWord is the width of what of a head is never broken.
func widestWord(head string) (wide float64) {
	f := faceFor(head, true)
	for _, word := range f.unparted(head, sizeSmall, body) {
		wide = max(wide, f.measure(word, sizeSmall))
	}
	return wide
}

// remarkIndent is where remarks begin: below the second column where the first is as narrow as a number, else a little
// right of the first.
func remarkIndent(t Table) float64 {
	const narrow, little = 30, 5
	if first := t.Columns[0].Width; first <= narrow {
		return first + 1
	}
	return little
}
