package certificate

import (
	"cmp"
	"slices"
)

// setting is how closely the rows of a table stand: the size of their text in points, the room above and below it, what
// a head over a row has more, and the room below a remark, all in mm.
type setting struct{ size, pad, head, below float64 }

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
	comfortable = setting{sizeText, padRow, -0.6, padRow}
	closer      = setting{sizeSmall, 0.15, 0.12, 0.7}
	tight       = setting{sizeSmall, -0.06, 0.12, 0.4} // where a table has very many rows
)

// of is the size of a cell's text.
func (s setting) of(c Cell) float64 {
	if c.Tone != Plain {
		return sizeSmall
	}
	return s.size
}

// cellMargin is what of a column's width a cell's text does not have.
func cellMargin(c Cell, last bool) float64 {
	switch {
	case c.Sign != NoSign && last:
		return besideMark + 1.4 // a verdict stands behind its sign, 4 pt from what follows
	case c.Sign != NoSign:
		return markSize + 2.8
	}
	return 3.2
}

// besideMark is where a verdict begins beside its sign.
const besideMark = markSize + 0.8

// fitted widens columns in which something would break by what others do not need: first for words that would be
// parted, then for texts that would take several lines.
func fitted(t Table, set setting) Table {
	const longWord = 45.0 // mm: one that is longer is broken
	least, needs := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		least[i] = widestWord(joined(" / ", c.Head, c.Unit), true, sizeSmall) + 3
		if t.signs(i) {
			least[i] += besideMark
		}
		needs[i] = least[i]
	}
	last := len(t.Columns) - 1
	for _, r := range t.Rows {
		for i, c := range r.Cells {
			if c.Bar != nil {
				least[i], needs[i] = t.Columns[i].Width, t.Columns[i].Width
				continue
			}
			size := set.of(c)
			if c.Value != "" {
				wide := faceFor(c.Value, false).measure(c.Value, set.size) + cellMargin(c, i == last) + 0.1
				least[i], needs[i] = max(least[i], min(longWord, wide)), max(needs[i], wide)
			}
			least[i] = max(least[i], min(longWord, widestWord(c.Text, c.Bold, size)+cellMargin(c, i == last)+0.1))
			needs[i] = max(needs[i], least[i], faceFor(c.Text, c.Bold).measure(c.Text, size)+cellMargin(c, i == last)+0.1)
		}
	}
	t.Columns = slices.Clone(t.Columns)
	if t.hasVerdicts() { // they stand at the same place in all tables
		least[last], needs[last] = t.Columns[last].Width, t.Columns[last].Width
	}
	widen(t.Columns, least, needs)
	widen(t.Columns, least, least)
	widen(t.Columns, needs, needs)
	return t
}

// widen gives columns that are narrower than they should be what others have above what they keep; those that lack
// little come first.
func widen(columns []Column, should, keep []float64) {
	spare := 0.0
	var short []int
	for i, c := range columns {
		spare += max(0, c.Width-keep[i])
		if should[i] > c.Width {
			short = append(short, i)
		}
	}
	if len(short) == 0 || spare == 0 {
		return
	}
	slices.SortStableFunc(short, func(a, b int) int {
		return cmp.Compare(should[a]-columns[a].Width, should[b]-columns[b].Width)
	})
	left := spare
	before := slices.Clone(columns)
	for _, i := range short {
		more := min(left, should[i]-columns[i].Width)
		columns[i].Width += more
		left -= more
	}
	for i, c := range before {
		columns[i].Width -= max(0, c.Width-keep[i]) * (spare - left) / spare
	}
}

// widestWord is the width of what of a text is never broken.
func widestWord(text string, bold bool, size float64) (wide float64) {
	f := faceFor(text, bold)
	for _, word := range f.unparted(text, size, body) {
		wide = max(wide, f.measure(word, size))
	}
	return wide
}

// hasVerdicts tells whether the last column of a table is of verdicts.
func (t Table) hasVerdicts() bool {
	return t.signs(len(t.Columns) - 1)
}

// signs tells whether signs stand in a column.
func (t Table) signs(column int) bool {
	return slices.ContainsFunc(t.Rows, func(r Row) bool { return column < len(r.Cells) && r.Cells[column].Sign != NoSign })
}

// verdictWidth is how wide columns of verdicts are in all tables of a document, in mm: no word of a verdict is parted.
func verdictWidth(d Document) float64 {
	wide := 19.0
	for _, s := range d.Sections {
		for _, block := range s.Blocks {
			t, is := block.(Table)
			if !is || !t.hasVerdicts() {
				continue
			}
			last := len(t.Columns) - 1
			wide = max(wide, widestWord(t.Columns[last].Head, true, sizeSmall)+besideMark+1.4)
			for _, r := range t.Rows {
				if c := r.Cells[last]; c.Sign != NoSign {
					wide = max(wide, widestWord(c.Text, c.Bold, sizeSmall)+cellMargin(c, true)+0.1)
				}
			}
		}
	}
	return min(wide, 30)
}

// withVerdicts is a table with a column of verdicts of that width, if it has one; its widest column gives or takes.
func (t Table) withVerdicts(wide float64) Table {
	if !t.hasVerdicts() {
		return t
	}
	t.Columns = slices.Clone(t.Columns)
	last, widest := len(t.Columns)-1, 0
	for i, c := range t.Columns[:last] {
		if c.Width > t.Columns[widest].Width {
			widest = i
		}
	}
	t.Columns[widest].Width += t.Columns[last].Width - wide
	t.Columns[last].Width = wide
	return t
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
