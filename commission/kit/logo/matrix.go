package logo

import "math"

// matrix maps x, y to a·x + c·y + e, b·x + d·y + f, as SVG 1.1, section 7.4, writes it.
type matrix struct{ a, b, c, d, e, f float64 }

var identity = matrix{a: 1, d: 1}

// times is the matrix that maps by n first, then by m.
func (m matrix) times(n matrix) matrix {
	return matrix{m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b, m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f}
}

func (m matrix) of(p Point) Point { return Point{m.a*p.X + m.c*p.Y + m.e, m.b*p.X + m.d*p.Y + m.f} }

// scale is by how much lengths grow, and whether they do alike in each direction.
func (m matrix) scale() (by float64, even bool) {
	by = math.Sqrt(math.Abs(m.a*m.d - m.b*m.c))
	x, y := math.Hypot(m.a, m.b), math.Hypot(m.c, m.d)
	const apart = 1e-3
	return by, math.Abs(x-y) <= apart*max(x, y) && math.Abs(m.a*m.c+m.b*m.d) <= apart*x*y
}

func translated(x, y float64) matrix { return matrix{a: 1, d: 1, e: x, f: y} }

func rotated(degrees float64) matrix {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return matrix{cos, sin, -sin, cos, 0, 0}
}

// transforms are those of an attribute, by their numbers; nil where there are not as many.
var transforms = map[string]func([]float64) *matrix{
	"matrix": func(n []float64) *matrix {
		if len(n) != 6 {
			return nil
		}
		return &matrix{n[0], n[1], n[2], n[3], n[4], n[5]}
	},
	"translate": func(n []float64) *matrix {
		if len(n) < 1 || len(n) > 2 {
			return nil
		}
		m := translated(n[0], 0)
		if len(n) == 2 {
			m.f = n[1]
		}
		return &m
	},
	"scale": func(n []float64) *matrix {
		if len(n) < 1 || len(n) > 2 {
			return nil
		}
		return &matrix{a: n[0], d: n[len(n)-1]}
	},
	"rotate": func(n []float64) *matrix {
		if len(n) != 1 && len(n) != 3 {
			return nil
		}
		m := rotated(n[0])
		if len(n) == 3 {
			m = translated(n[1], n[2]).times(m).times(translated(-n[1], -n[2]))
		}
		return &m
	},
	"skewX": func(n []float64) *matrix {
		if len(n) != 1 {
			return nil
		}
		return &matrix{a: 1, c: math.Tan(n[0] * math.Pi / 180), d: 1}
	},
	"skewY": func(n []float64) *matrix {
		if len(n) != 1 {
			return nil
		}
		return &matrix{a: 1, b: math.Tan(n[0] * math.Pi / 180), d: 1}
	},
}
