package logo

import "errors"

var errNegative = errors.New("a size is below zero")

// shapes make segments of an element, at most so many.
var shapes = map[string]func(a *attributes, most int) ([]Segment, error){
	"path":    func(a *attributes, most int) ([]Segment, error) { return path(a.text("d"), most) },
	"rect":    rect,
	"circle":  func(a *attributes, most int) ([]Segment, error) { return round(a, "r", "r", most) },
	"ellipse": func(a *attributes, most int) ([]Segment, error) { return round(a, "rx", "ry", most) },
	"line":    line,
	"polygon": func(a *attributes, most int) ([]Segment, error) { return points(a, true, most) },
	"polyline": func(a *attributes, most int) ([]Segment, error) {
		return points(a, false, most)
	},
}

// lengths are several attributes; what is not said is 0.
func lengths(a *attributes, names ...string) ([]float64, error) {
	var all []float64
	for _, name := range names {
		v, err := a.length(name, 0)
		if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
	return all, nil
}

// bounded are segments, unless they are more than there may be.
func bounded(all []Segment, most int) ([]Segment, error) {
	if len(all) > most {
		return nil, errTooMany
	}
	return all, nil
}

func rect(a *attributes, most int) ([]Segment, error) {
	n, err := lengths(a, "x", "y", "width", "height")
	if err != nil {
		return nil, err
	}
	x, y, width, height := n[0], n[1], n[2], n[3]
	rx, err := a.length("rx", -1)
	if err != nil {
		return nil, err
	}
	ry, err := a.length("ry", rx)
	if err != nil {
		return nil, err
	}
	if rx < 0 {
		rx = ry // one that is not said is as the other
	}
	if width < 0 || height < 0 {
		return nil, errNegative
	}
	if width == 0 || height == 0 {
		return nil, nil
	}
	rx, ry = min(max(rx, 0), width/2), min(max(ry, 0), height/2)
	t := &tracing{}
	t.add('m', Point{x + rx, y})
	corner := func(side, to Point) {
		t.add('l', side)
		if rx > 0 && ry > 0 {
			t.arc(rx, ry, 0, false, true, to)
		}
	}
	corner(Point{x + width - rx, y}, Point{x + width, y + ry})
	corner(Point{x + width, y + height - ry}, Point{x + width - rx, y + height})
	corner(Point{x + rx, y + height}, Point{x, y + height - ry})
	corner(Point{x, y + ry}, Point{x + rx, y})
	t.add('h')
	return bounded(t.all, most)
}

func round(a *attributes, across, down string, most int) ([]Segment, error) {
	n, err := lengths(a, "cx", "cy", across, down)
	if err != nil {
		return nil, err
	}
	x, y, rx, ry := n[0], n[1], n[2], n[3]
	if rx < 0 || ry < 0 {
		return nil, errNegative
	}
	if rx == 0 || ry == 0 {
		return nil, nil
	}
	t := &tracing{}
	t.add('m', Point{x + rx, y})
	t.arc(rx, ry, 0, false, true, Point{x - rx, y})
	t.arc(rx, ry, 0, false, true, Point{x + rx, y})
	t.add('h')
	return bounded(t.all, most)
}

func line(a *attributes, most int) ([]Segment, error) {
	n, err := lengths(a, "x1", "y1", "x2", "y2")
	if err != nil {
		return nil, err
	}
	t := &tracing{}
	t.add('m', Point{n[0], n[1]})
	t.add('l', Point{n[2], n[3]})
	return bounded(t.all, most)
}

func points(a *attributes, closed bool, most int) ([]Segment, error) {
	n, err := list(a.text("points"), 2*most)
	if err != nil {
		return nil, err
	}
	if len(n)%2 != 0 {
		return nil, errNumber
	}
	t := &tracing{}
	for i := 0; i < len(n); i += 2 {
		operator := byte('l')
		if i == 0 {
			operator = 'm'
		}
		t.add(operator, Point{n[i], n[i+1]})
	}
	if closed && len(t.all) > 0 {
		t.add('h')
	}
	return bounded(t.all, most)
}
