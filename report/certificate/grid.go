package certificate

import (
	"fmt"
	"regexp"
	"sync"
	"time"

	"github.com/johnfercher/maroto/v2"
	"github.com/johnfercher/maroto/v2/pkg/components/col"
	"github.com/johnfercher/maroto/v2/pkg/components/page"
	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/config"
	"github.com/johnfercher/maroto/v2/pkg/consts/linestyle"
	"github.com/johnfercher/maroto/v2/pkg/consts/orientation"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
	"github.com/phpdave11/gofpdf"
)

// Grid is sheets of equal cells that are cut apart: in the middle of each page, with marks at
// the corners of the cells. Sizes are in mm.
type Grid struct {
	PageWidth, PageHeight float64
	CellWidth, CellHeight float64
	Title, Author         string // of the file
	Cells                 []GridCell
	Foot                  func(page, of int) string // one line below the cells
}

// GridCell is what stands in a cell, from its top.
type GridCell []GridText

// GridText is a text of a cell: of the size Most (in points), or as much smaller as it has to
// be to stand in so many lines. What is too long even then ends in ….
type GridText struct {
	Text  string
	Most  float64
	Lines int
	Bold  bool
}

const (
	smallestText = 5.0 // points; a smaller one nobody reads
	cellPadding  = 2.5
	gridFoot     = 7.0
	cutMark      = 3.0
	gridMargin   = 5.0
)

// inOrder lets the library write fonts in the order of their names, not in that of a map: the
// same sheets are the same bytes.
var inOrder = sync.OnceFunc(func() { gofpdf.SetDefaultCatalogSort(true) })

var modified = regexp.MustCompile(`/ModDate \(D:\d{14}\)`)

// unchangedSince puts the date of making in the place of that of the last change, which the
// library takes from the clock. Both are as long.
func unchangedSince(pdf []byte, at time.Time) []byte {
	return modified.ReplaceAll(pdf, []byte("/ModDate (D:"+at.Format("20060102150405")+")"))
}

// PerPage is how many cells stand side by side, and below each other.
func (g Grid) PerPage() (columns, rows int) {
	return int((g.PageWidth - 2*gridMargin) / g.CellWidth),
		int((g.PageHeight - 2*gridMargin - gridFoot - 1) / g.CellHeight)
}

// RenderGrid draws the sheets as a PDF: the same bytes for the same grid and time. Cells that
// fit on no page, or more than MostPages, are an error.
func RenderGrid(g Grid, at time.Time) ([]byte, error) {
	columns, rows := g.PerPage()
	if columns < 1 || rows < 1 {
		return nil, fmt.Errorf("cells of %v mm × %v mm fit on no page of %v mm × %v mm", g.CellWidth, g.CellHeight,
			g.PageWidth, g.PageHeight)
	}
	each := columns * rows
	pages := max(1, (len(g.Cells)+each-1)/each)
	if pages > MostPages {
		return nil, TooManyPages(pages)
	}
	inOrder()
	plain := faces()[false][0]
	m := maroto.New(config.NewBuilder().WithDimensions(g.PageWidth, g.PageHeight).WithMaxGridSize(1).
		WithLeftMargin(gridMargin).WithRightMargin(gridMargin).WithTopMargin(gridMargin).WithBottomMargin(1).
		WithCustomFonts(customFonts()).WithDefaultFont(&props.Font{Family: plain.family, Size: sizeText}).
		WithTitle(legible(g.Title, plain), true).WithAuthor(legible(g.Author, plain), true).
		WithCreationDate(at).WithCompression(true).WithSequentialMode().Build())
	for i := range pages {
		of := g.Cells[i*each : min(len(g.Cells), (i+1)*each)]
		m.AddPages(g.page(of, columns, rows, g.Foot(i+1, pages)))
	}
	doc, err := m.Generate()
	if err != nil {
		return nil, fmt.Errorf("draw the sheets: %w", err)
	}
	return unchangedSince(doc.GetBytes(), at), nil
}

func (g Grid) page(cells []GridCell, columns, rows int, foot string) core.Page {
	p := newPart(g.PageHeight - gridMargin - 3)
	left := (g.PageWidth-float64(columns)*g.CellWidth)/2 - gridMargin
	const top = 1.0
	for i, cell := range cells {
		cell.draw(p, left+float64(i%columns)*g.CellWidth, top+float64(i/columns)*g.CellHeight, g.CellWidth, g.CellHeight)
	}
	for c := range columns + 1 {
		for r := range rows + 1 {
			p.cross(left+float64(c)*g.CellWidth, top+float64(r)*g.CellHeight)
		}
	}
	p.text(one(foot, sizeSmall, false, g.PageWidth-2*gridMargin-2*left), left, top+float64(rows)*g.CellHeight+2.5,
		sizeSmall, grey)
	out := page.New()
	out.Add(row.New(p.height).Add(col.New(1).Add(p)))
	return out
}

// cross marks where it is cut.
func (p *part) cross(x, y float64) {
	p.fill(x-cutMark/2, y-0.05, cutMark, 0.1, grey)
	p.upright(x, y-cutMark/2, cutMark)
}

// draw sets the texts of a cell under each other.
func (c GridCell) draw(p *part, x, y, width, height float64) {
	at, inside := y+cellPadding, width-2*cellPadding
	for _, t := range c {
		lines, size := t.fit(inside)
		if len(lines) == 0 || at+float64(len(lines))*lineHeight(size) > y+height-cellPadding/2 {
			continue // what a cell is given has room: its maker counts, and a test looks
		}
		at = p.lines(lines, x+cellPadding, at, size, ink) + 0.4
	}
}

// fit is a text in as many lines as it may have, as large as it fits.
func (t GridText) fit(width float64) ([]line, float64) {
	if t.Text == "" {
		return nil, 0
	}
	for size := t.Most; ; size -= 0.5 {
		lines := typeset(t.Text, size, t.Bold, width)
		switch {
		case len(lines) <= t.Lines:
			return lines, size
		case size-0.5 < smallestText:
			return cutTo(lines, t.Lines, size, width), size
		}
	}
}

// cutTo keeps the first lines; the last of them ends in ….
func cutTo(lines []line, n int, size, width float64) []line {
	lines = lines[:n]
	last := lines[n-1]
	for text := []rune(last.text); len(text) > 0; text = text[:len(text)-1] {
		if cut := string(text) + "…"; last.face.measure(cut, size) <= width {
			lines[n-1] = line{cut, last.face.measure(cut, size), last.face}
			break
		}
	}
	return lines
}

// HeightOf is the most that a text takes in a cell, in mm.
func (t GridText) HeightOf() float64 {
	return float64(t.Lines)*lineHeight(t.Most) + 0.4
}

// upright draws a thin line downwards.
func (p *part) upright(x, y, height float64) {
	const thick = 0.1
	p.draws = append(p.draws, func(provider core.Provider, cell *entity.Cell) {
		at := &entity.Cell{X: cell.X + x - thick/2, Y: cell.Y + y, Width: thick, Height: height}
		provider.AddLine(at, &props.Line{Color: grey, Thickness: thick, Orientation: orientation.Vertical,
			Style: linestyle.Solid, OffsetPercent: 50, SizePercent: 100})
	})
}
