package certificate

import (
	"math"

	"github.com/johnfercher/go-tree/node"
	"github.com/johnfercher/maroto/v2/pkg/components/col"
	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/consts/breakline"
	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/consts/linestyle"
	"github.com/johnfercher/maroto/v2/pkg/consts/orientation"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// The page, in millimetres: how wide what is printed is, on any paper, and where it begins.
const (
	marginTop = 10.0
	body      = 180.0
)

// Three sizes of text, in points, beside the title's: nothing that anybody has to read is smaller than sizeSmall.
const (
	sizeTitle = 21.0
	sizeHead  = 12.0
	sizeText  = 9.0
	sizeSmall = 8.0
	leading   = 1.24 // distance of lines by size
)

// Colours.
var (
	ink  = &props.Color{Red: 34, Green: 38, Blue: 43}
	grey = &props.Color{Red: 104, Green: 112, Blue: 120}
	hair = &props.Color{Red: 205, Green: 210, Blue: 214}
	wash = &props.Color{Red: 243, Green: 244, Blue: 241}
	// areaShade lies under lines and texts of a chart: it is seen in a grey print, and text on it is read.
	areaShade = &props.Color{Red: 228, Green: 231, Blue: 234}
	slate     = &props.Color{Red: 52, Green: 73, Blue: 85}
	white     = &props.Color{Red: 255, Green: 255, Blue: 255}
	toneInk   = map[Tone]*props.Color{
		Plain: ink, Quiet: grey,
		Good: {Red: 22, Green: 112, Blue: 84}, Warn: {Red: 156, Green: 92, Blue: 0}, Bad: {Red: 172, Green: 36, Blue: 36},
	}
	tint = map[Tone]*props.Color{
		Plain: wash, Quiet: wash,
		Good: {Red: 228, Green: 242, Blue: 235}, Warn: {Red: 252, Green: 241, Blue: 219},
		Bad: {Red: 251, Green: 230, Blue: 228},
	}
)

func lineHeight(size float64) float64 { return size * mmPerPoint * leading }

// part is a strip of a page that is never split, drawn by what it holds. Places
// are in mm from its upper left corner.
type part struct {
	height  float64
	draws   []func(core.Provider, *entity.Cell)
	texts   []placed     // what it says and where, for whoever walks the tree of components, and for tests
	inks    []drawnLines // what is drawn on it in lines of its own
	vectors []vectors    // lines and marks of charts
	begins  string       // title of the section that begins here
}

// placed is a line of text where it is drawn: its upper left corner in mm, its size in points.
type placed struct {
	line
	x, y, size float64
}

// newPart rounds its height up to 1/64 mm: sums of such heights are exact, and the
// library adds a blank page when a page is too high by the last bit.
func newPart(height float64) *part { return &part{height: math.Ceil(height*64) / 64} }

// fill paints a rectangle: a line as thick as the rectangle is high.
func (p *part) fill(x, y, width, height float64, c *props.Color) {
	if width <= 0 || height <= 0 {
		return
	}
	p.draws = append(p.draws, func(provider core.Provider, cell *entity.Cell) {
		at := &entity.Cell{X: cell.X + x, Y: cell.Y + y, Width: width, Height: height}
		provider.AddLine(at, &props.Line{Color: c, Thickness: height, Orientation: orientation.Horizontal,
			Style: linestyle.Solid, OffsetPercent: 50, SizePercent: 100})
	})
}

func (p *part) rule(y float64, c *props.Color) { p.fill(0, y, body, 0.2, c) }

// text draws a line with its upper edge at y.
func (p *part) text(l line, x, y, size float64, c *props.Color) {
	if l.text == "" {
		return
	}
	p.texts = append(p.texts, placed{l, x, y, size})
	p.draws = append(p.draws, func(provider core.Provider, cell *entity.Cell) {
		at := &entity.Cell{X: cell.X + x, Y: cell.Y + y, Width: l.width + 40, Height: lineHeight(size)}
		provider.AddText(l.text, at, &props.Text{Family: l.face.family, Style: l.face.style, Size: size, Color: c,
			Align: align.Left, BreakLineStrategy: breakline.EmptySpaceStrategy})
	})
}

// image draws a picture as large as fits into a box, in its lower left corner.
func (p *part) image(content []byte, kind extension.Type, x, y, width, height float64) {
	w, h := pictureSize(content, width, height)
	p.draws = append(p.draws, func(provider core.Provider, cell *entity.Cell) {
		at := &entity.Cell{X: cell.X + x, Y: cell.Y + y + height - h, Width: w, Height: h}
		provider.AddImageFromBytes(content, at, &props.Rect{Percent: 100}, kind)
	})
}

// lines draws lines under each other and returns where the next would begin.
func (p *part) lines(all []line, x, y, size float64, c *props.Color) float64 {
	for _, l := range all {
		p.text(l, x, y, size, c)
		y += lineHeight(size)
	}
	return y
}

// right draws a line that ends at x.
func (p *part) right(l line, x, y, size float64, c *props.Color) {
	p.text(l, x-l.width, y, size, c)
}

// rightLines draws lines under each other that end at x.
func (p *part) rightLines(all []line, x, y, size float64, c *props.Color) {
	for i, l := range all {
		p.right(l, x, y+float64(i)*lineHeight(size), size, c)
	}
}

// one is a text as a single line, cut with … to a width.
func one(s string, size float64, bold bool, width float64) line {
	all := typeset(s, size, bold, width)
	if len(all) == 1 {
		return all[0]
	}
	f := all[0].face
	for text := []rune(all[0].text); len(text) > 0; text = text[:len(text)-1] {
		if cut := string(text) + "…"; f.measure(cut, size) <= width {
			return line{cut, f.measure(cut, size), f}
		}
	}
	return all[0]
}

// The part as a component of the PDF library.

// Render draws the part.
func (p *part) Render(provider core.Provider, cell *entity.Cell) {
	for _, draw := range p.draws {
		draw(provider, cell)
	}
}

// GetHeight is the part's height in mm.
func (p *part) GetHeight(core.Provider, *entity.Cell) float64 { return p.height }

// SetConfig does nothing: a part brings its own fonts.
func (p *part) SetConfig(*entity.Config) {}

// GetStructure tells what the part says.
func (p *part) GetStructure() *node.Node[core.Structure] {
	n := node.New(core.Structure{Type: "part"})
	for _, t := range p.texts {
		n.AddNext(node.New(core.Structure{Type: "text", Value: t.text}))
	}
	return n
}

func (p *part) row() core.Row {
	return row.New(p.height).Add(col.New(int(body)).Add(p))
}
