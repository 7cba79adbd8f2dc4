package certificate

// setting is how closely the rows of a table stand: the size of their text in points, and the room above and below it.
type setting struct{ size, pad float64 }

// A table of many rows is set closer, so that a large site stays a handful of pages.
const manyRows = 24

var (
	comfortable = setting{sizeText, padRow}
	tight       = setting{sizeSmall, 0.1}
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
	spare, lack := 0.0, 0.0
	for i, c := range t.Columns {
		spare += max(0, c.Width-needs[i])
		lack += max(0, needs[i]-c.Width)
	}
	if lack == 0 || spare == 0 {
		return t
	}
	moved := min(spare, lack)
	columns := make([]Column, len(t.Columns))
	for i, c := range t.Columns {
		c.Width += max(0, needs[i]-c.Width)*moved/lack - max(0, c.Width-needs[i])*moved/spare
		columns[i] = c
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
