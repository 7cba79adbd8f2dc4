package logo

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// Point is a place, in the units of the logo, from its upper left corner.
type Point struct{ X, Y float64 }

// Segment is a part of a path: its operator as PDF names it (m: go there, l: a line, c: a cubic
// curve, h: back to where the path began), and its points, one, one, three and none.
type Segment struct {
	Operator byte
	Points   [3]Point
}

var (
	errNumber = errors.New("a number is missing or no number")
	errFlag   = errors.New("the flags of an arc are 0 or 1")
	errFar    = errors.New("a number is too large")
)

// largest is how large a number of a drawing may be.
const largest = 1e6

// numbers reads numbers one after the other, as SVG 1.1, section 8.3.9, writes them.
type numbers struct {
	text string
	at   int
}

func (n *numbers) blanks() {
	for n.at < len(n.text) && isBlank(n.text[n.at]) {
		n.at++
	}
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

// separator skips blanks and at most one comma.
func (n *numbers) separator() {
	n.blanks()
	if n.at < len(n.text) && n.text[n.at] == ',' {
		n.at++
		n.blanks()
	}
}

func (n *numbers) digits() (some bool) {
	for n.at < len(n.text) && n.text[n.at] >= '0' && n.text[n.at] <= '9' {
		n.at++
		some = true
	}
	return some
}

func (n *numbers) sign() {
	if n.at < len(n.text) && (n.text[n.at] == '+' || n.text[n.at] == '-') {
		n.at++
	}
}

// next is the number that begins here.
func (n *numbers) next() (float64, error) {
	from := n.at
	n.sign()
	some := n.digits()
	if n.at < len(n.text) && n.text[n.at] == '.' {
		n.at++
		some = n.digits() || some
	}
	if !some {
		return 0, errNumber
	}
	if behind := n.at; n.at < len(n.text) && (n.text[n.at] == 'e' || n.text[n.at] == 'E') {
		n.at++
		n.sign()
		if !n.digits() {
			n.at = behind
		}
	}
	v, err := strconv.ParseFloat(n.text[from:n.at], 64)
	if err != nil || math.Abs(v) > largest {
		return 0, errFar
	}
	return v, nil
}

// more tells whether something else than blanks follows.
func (n *numbers) more() bool {
	n.blanks()
	return n.at < len(n.text)
}

// list are all numbers of a text, at most so many.
func list(text string, most int) (all []float64, err error) {
	n := numbers{text: text}
	for n.more() {
		if len(all) > 0 {
			n.separator()
		}
		v, err := n.next()
		if err != nil {
			return nil, err
		}
		if all = append(all, v); len(all) > most {
			return nil, errTooMany
		}
	}
	return all, nil
}

// arguments is how many numbers a command takes.
var arguments = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// tracing makes segments of the commands of a path.
type tracing struct {
	all            []Segment
	now, begin     Point
	control        Point // of the last curve
	cubic, quadric bool  // what the last command was: a cubic or a quadratic curve
	most           int
}

var errTooMany = errors.New("it has too many points")

// path reads the commands of a path, as SVG 1.1, section 8.3, has them; at most so many segments.
func path(text string, most int) ([]Segment, error) {
	t, n := &tracing{most: most}, numbers{text: text}
	command := byte(0)
	for n.more() {
		letter := n.text[n.at]
		switch upper := letter &^ 0x20; {
		case letter >= 'A' && arguments[upper] == 0 && upper != 'Z':
			return nil, fmt.Errorf("there is no command %q", letter)
		case letter >= 'A':
			if command = letter; len(t.all) == 0 && upper != 'M' {
				return nil, errors.New("a path begins with M")
			}
			n.at++
			n.blanks()
		case command == 0 || command&^0x20 == 'Z':
			return nil, fmt.Errorf("%q stands where a command is expected", letter)
		default:
			n.separator()
		}
		args, err := n.arguments(command &^ 0x20)
		if err != nil {
			return nil, err
		}
		if err := t.take(command&^0x20, command >= 'a', args); err != nil {
			return nil, err
		}
		switch command { // further points of a beginning are lines
		case 'M':
			command = 'L'
		case 'm':
			command = 'l'
		}
	}
	return t.all, nil
}

// arguments are those of a command.
func (n *numbers) arguments(command byte) (args [7]float64, err error) {
	for i := range arguments[command] {
		if i > 0 {
			n.separator()
		}
		if command == 'A' && (i == 3 || i == 4) { // flags need nothing between them
			if n.at == len(n.text) || n.text[n.at] != '0' && n.text[n.at] != '1' {
				return args, errFlag
			}
			args[i] = float64(n.text[n.at] - '0')
			n.at++
			continue
		}
		if args[i], err = n.next(); err != nil {
			return args, err
		}
	}
	return args, nil
}

func (t *tracing) add(operator byte, points ...Point) {
	s := Segment{Operator: operator}
	copy(s.Points[:], points)
	t.all = append(t.all, s)
	if len(points) > 0 {
		t.now = points[len(points)-1]
	}
}

// take draws one command.
func (t *tracing) take(command byte, relative bool, a [7]float64) error {
	from := Point{}
	if relative {
		from = t.now
	}
	at := func(i int) Point { return Point{from.X + a[i], from.Y + a[i+1]} }
	if closed := len(t.all) > 0 && t.all[len(t.all)-1].Operator == 'h'; closed && command != 'M' && command != 'Z' {
		t.add('m', t.now) // a PDF goes on from the beginning of the path only where it is said
	}
	cubic, quadric := false, false
	switch command {
	case 'M':
		t.add('m', at(0))
		t.begin = t.now
	case 'L':
		t.add('l', at(0))
	case 'H':
		t.add('l', Point{from.X + a[0], t.now.Y})
	case 'V':
		t.add('l', Point{t.now.X, from.Y + a[0]})
	case 'C':
		cubic = true
		t.control = at(2)
		t.add('c', at(0), at(2), at(4))
	case 'S':
		first := t.now
		if t.cubic {
			first = t.mirrored()
		}
		cubic = true
		t.control = at(0)
		t.add('c', first, at(0), at(2))
	case 'Q':
		quadric = true
		t.quadratic(at(0), at(2))
	case 'T':
		control := t.now
		if t.quadric {
			control = t.mirrored()
		}
		quadric = true
		t.quadratic(control, at(0))
	case 'A':
		t.arc(a[0], a[1], a[2], a[3] != 0, a[4] != 0, at(5))
	case 'Z':
		t.add('h')
		t.now = t.begin
	}
	t.cubic, t.quadric = cubic, quadric
	if len(t.all) > t.most {
		return errTooMany
	}
	if math.Abs(t.now.X) > largest || math.Abs(t.now.Y) > largest {
		return errFar
	}
	return nil
}

// mirrored is the control point of the last curve on the other side of where it ended.
func (t *tracing) mirrored() Point { return Point{2*t.now.X - t.control.X, 2*t.now.Y - t.control.Y} }

// quadratic draws a quadratic curve as the cubic one that it is.
func (t *tracing) quadratic(control, to Point) {
	from := t.now
	t.control = control
	third := func(p Point) Point { return Point{p.X + 2*(control.X-p.X)/3, p.Y + 2*(control.Y-p.Y)/3} }
	t.add('c', third(from), third(to), to)
}

// arc draws an arc of an ellipse as curves of at most a quarter: SVG 1.1, appendix F.6.
func (t *tracing) arc(rx, ry, degrees float64, large, sweep bool, to Point) {
	from := t.now
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 || from == to {
		if from != to {
			t.add('l', to)
		}
		return
	}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	hx, hy := (from.X-to.X)/2, (from.Y-to.Y)/2
	x, y := cos*hx+sin*hy, -sin*hx+cos*hy
	if over := x*x/(rx*rx) + y*y/(ry*ry); over > 1 { // too small to reach: as large as it has to be
		rx, ry = rx*math.Sqrt(over), ry*math.Sqrt(over)
	}
	below := rx*rx*y*y + ry*ry*x*x
	factor := math.Sqrt(max(0, (rx*rx*ry*ry-below)/below))
	if large == sweep {
		factor = -factor
	}
	cx, cy := factor*rx*y/ry, -factor*ry*x/rx
	begin := math.Atan2((y-cy)/ry, (x-cx)/rx)
	turn := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - begin
	switch {
	case sweep && turn < 0:
		turn += 2 * math.Pi
	case !sweep && turn > 0:
		turn -= 2 * math.Pi
	}
	onPage := matrix{cos * rx, sin * rx, -sin * ry, cos * ry, cos*cx - sin*cy + (from.X+to.X)/2,
		sin*cx + cos*cy + (from.Y+to.Y)/2}
	const nearly = 1e-9
	n := max(1, int(math.Ceil(math.Abs(turn)/(math.Pi/2)-nearly)))
	for i := range n {
		a, b := begin+turn*float64(i)/float64(n), begin+turn*float64(i+1)/float64(n)
		end := onPage.of(Point{math.Cos(b), math.Sin(b)})
		if i == n-1 {
			end = to
		}
		k := 4.0 / 3 * math.Tan((b-a)/4)
		t.add('c', onPage.of(Point{math.Cos(a) - k*math.Sin(a), math.Sin(a) + k*math.Cos(a)}),
			onPage.of(Point{math.Cos(b) + k*math.Sin(b), math.Sin(b) - k*math.Cos(b)}), end)
	}
}
