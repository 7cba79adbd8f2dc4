package certificate

import (
	"fmt"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/props"
)

// Sign is a mark that is told from every other by its shape alone, in any ink and in grey.
type Sign int

// The signs: of verdicts, then of how grave a finding is.
const (
	NoSign          Sign = iota
	PassedSign           // a full square
	UntimedSign          // the outline of a square
	FailedSign           // a cross
	UndecidedSign        // the outline of a diamond
	UntestedSign         // a dash
	InformativeSign      // a ring
	DangerSign           // a full triangle
	FaultSign            // the outline of a triangle
	AdviceSign           // a small dot
	LimitedSign          // a square, half of it full
)

// signs are all of them.
var signs = []Sign{PassedSign, UntimedSign, FailedSign, UndecidedSign, UntestedSign, InformativeSign, DangerSign,
	FaultSign, AdviceSign, LimitedSign}

// signSize is how large a sign stands beside text, in mm.
const signSize = 2.0

// outlines are the corners of signs made of straight lines, in parts of their size.
var outlines = map[Sign][]place{
	PassedSign:    {{0.04, 0.04}, {0.96, 0.04}, {0.96, 0.96}, {0.04, 0.96}},
	UntimedSign:   {{0.1, 0.1}, {0.9, 0.1}, {0.9, 0.9}, {0.1, 0.9}},
	UndecidedSign: {{0.5, -0.04}, {1.04, 0.5}, {0.5, 1.04}, {-0.04, 0.5}},
	DangerSign:    {{0.5, -0.02}, {1.06, 0.98}, {-0.06, 0.98}},
	FaultSign:     {{0.5, 0.06}, {1, 0.92}, {0, 0.92}},
}

// sign draws one in a square with its upper left corner at x and y.
func (p *part) sign(s Sign, x, y, size float64, c *props.Color) {
	switch s {
	case NoSign:
	case PassedSign: // the most frequent two are level strokes of the library's own, which take less room
		p.fill(x+0.04*size, y+0.04*size, 0.92*size, 0.92*size, c)
	case UntestedSign:
		p.fill(x, y+0.36*size, size, 0.28*size, c)
	case FailedSign:
		thick := 0.26 * size / mmPerPoint
		p.path([]place{{x + 0.1*size, y + 0.1*size}, {x + 0.9*size, y + 0.9*size}}, thick, c, Solid)
		p.path([]place{{x + 0.1*size, y + 0.9*size}, {x + 0.9*size, y + 0.1*size}}, thick, c, Solid)
	case InformativeSign:
		p.circle(x+size/2, y+size/2, 0.42*size, 0.14*size, c)
	case AdviceSign:
		p.round(x+size/2, y+size/2, 0.26*size, c, true)
	case LimitedSign:
		p.polygon(outlines[UntimedSign], x, y, size, c, false)
		p.polygon([]place{{0.1, 0.1}, {0.9, 0.9}, {0.1, 0.9}}, x, y, size, c, true)
	default:
		p.polygon(outlines[s], x, y, size, c, s == DangerSign)
	}
}

// signOnLine draws one on a line, which ends before it. Vectors are drawn over what the library draws.
func (p *part) signOnLine(s Sign, x, y, size float64, c *props.Color) {
	p.round(x, y, 0.65*size, white, true)
	if s == PassedSign {
		p.polygon(outlines[s], x-size/2, y-size/2, size, c, true)
		return
	}
	p.sign(s, x-size/2, y-size/2, size, c)
}

// polygon draws corners, given in parts of a size, as an outline or full.
func (p *part) polygon(corners []place, x, y, size float64, c *props.Color, full bool) {
	p.vector(func(at func(x, y float64) string) string {
		var b strings.Builder
		paint := "s"
		if full {
			paint = "f"
			b.WriteString(colours(c, "rg"))
		} else {
			fmt.Fprintf(&b, "%.2f w\n[] 0 d\n%s", 0.16*size/mmPerPoint, colours(c, "RG"))
		}
		for i, corner := range corners {
			to := "l"
			if i == 0 {
				to = "m"
			}
			fmt.Fprintf(&b, "%s %s\n", at(x+corner.x*size, y+corner.y*size), to)
		}
		b.WriteString(paint + "\n")
		return b.String()
	})
}

// circle draws a ring of a thickness in mm, through which the ground shows.
func (p *part) circle(x, y, r, thick float64, c *props.Color) {
	const k = 0.5523 // of the radius, for quarters of a circle as Bézier curves
	p.vector(func(at func(x, y float64) string) string {
		curve := func(x1, y1, x2, y2, x3, y3 float64) string {
			return at(x+r*x1, y+r*y1) + " " + at(x+r*x2, y+r*y2) + " " + at(x+r*x3, y+r*y3) + " c\n"
		}
		return fmt.Sprintf("%.2f w\n[] 0 d\n%s", thick/mmPerPoint, colours(c, "RG")) + at(x+r, y) + " m\n" +
			curve(1, k, k, 1, 0, 1) + curve(-k, 1, -1, k, -1, 0) + curve(-1, -k, -k, -1, 0, -1) + curve(k, -1, 1, -k, 1, 0) +
			"s\n"
	})
}
