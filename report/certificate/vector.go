package certificate

import (
	"fmt"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/props"
)

// vectors are lines and marks at places of a part, in mm from its upper left corner. Like a
// signature (lines.go) they are added to the page as operators, sharp at any size.
type vectors struct {
	x   float64 // further to the right, in a part beside another
	y   float64 // further down, in a part made of two
	ops []vector
}

// vector is one of them: operators, with at as the place of a point in them.
type vector func(at func(x, y float64) string) string

// operators draw all of them; used is how far below the margin of the page their part begins.
func (v vectors) operators(paper Paper, used float64) []byte {
	at := func(x, y float64) string {
		across, up := paper.point(v.x+x, used+v.y+y)
		return fmt.Sprintf("%.2f %.2f", across, up)
	}
	var b strings.Builder
	b.WriteString("\nq\n1 J 1 j\n")
	for _, op := range v.ops {
		b.WriteString(op(at))
	}
	b.WriteString("Q\n")
	return []byte(b.String())
}

func (p *part) vector(v vector) {
	if len(p.vectors) == 0 {
		p.vectors = append(p.vectors, vectors{})
	}
	last := &p.vectors[len(p.vectors)-1]
	last.ops = append(last.ops, v)
}

func colours(c *props.Color, operator string) string {
	return fmt.Sprintf("%.3f %.3f %.3f %s\n", float64(c.Red)/255, float64(c.Green)/255, float64(c.Blue)/255, operator)
}

// dashes are those of each kind of line, in points.
var dashes = map[Dash]string{Solid: "[] 0 d\n", Dashed: "[2.4 1.8] 0 d\n", Dotted: "[0.1 2] 0 d\n",
	LongDashed: "[6 2] 0 d\n"}

// path draws a line through points, as thick as so many points.
func (p *part) path(points []place, width float64, c *props.Color, dash Dash) {
	if len(points) < 2 {
		return
	}
	p.vector(func(at func(x, y float64) string) string {
		var b strings.Builder
		fmt.Fprintf(&b, "%.2f w\n%s%s%s m\n", width, dashes[dash], colours(c, "RG"), at(points[0].x, points[0].y))
		for _, to := range points[1:] {
			fmt.Fprintf(&b, "%s l\n", at(to.x, to.y))
		}
		b.WriteString("S\n")
		return b.String()
	})
}

// place is a point of a part, in mm.
type place struct{ x, y float64 }

// round draws a circle of a radius in mm: a ring, white inside, or a dot. Both are points of a pen with a round tip,
// which take a fifth of the room of curves; its line is too short to be seen, and not zero, which some draw as nothing.
func (p *part) round(x, y, r float64, c *props.Color, filled bool) {
	const line = 0.9 // points, half of it outside of the radius
	p.vector(func(at func(x, y float64) string) string {
		dot := func(width float64, c *props.Color) string {
			return fmt.Sprintf("%.2f w\n%s%s m\n%s l\nS\n", width, colours(c, "RG"), at(x-0.002, y), at(x+0.002, y))
		}
		across := 2 * r / mmPerPoint
		if filled {
			return "[] 0 d\n" + dot(across+line, c)
		}
		return "[] 0 d\n" + dot(across+line, c) + dot(across-line, white)
	})
}
