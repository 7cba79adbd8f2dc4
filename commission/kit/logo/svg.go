package logo

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
)

const (
	nameSpace = "http://www.w3.org/2000/svg"
	deepest   = 32 // elements inside each other
	// longestSide is by how much one side may be longer than the other.
	longestSide = 20
	// farthest is how far outside of its viewBox a point may lie, in widths or heights of it.
	farthest = 10
)

// reading reads an SVG, element by element.
type reading struct {
	xml    *xml.Decoder
	logo   *Logo
	left   int // segments that may be drawn still
	origin Point
	styles []style // of the elements around, the outermost first
	skip   int     // elements that draw nothing, around
	defs   bool
}

// readSVG reads the part of SVG 1.1 that a logo needs: shapes with a colour, in groups.
func readSVG(file []byte) (*Logo, error) {
	r := &reading{xml: xml.NewDecoder(bytes.NewReader(file)), left: MaxSegments}
	for {
		line, column := r.xml.InputPos()
		token, err := r.xml.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil {
			err = r.take(token)
		} else {
			line, column = r.xml.InputPos()
			err = &Refusal{What: "it is no XML that reads well here", Hint: "save it again, as plain SVG in UTF-8"}
		}
		if refusal := (*Refusal)(nil); errors.As(err, &refusal) {
			refusal.Line, refusal.Column = line, column
			return nil, refusal
		}
	}
	if r.logo == nil || len(r.logo.Shapes) == 0 {
		return nil, &Refusal{What: "it draws nothing", Hint: "turn what it shows into filled shapes or lines"}
	}
	return r.logo, nil
}

func refused(hint, what string, args ...any) error {
	return &Refusal{What: fmt.Sprintf(what, args...), Hint: hint}
}

func (r *reading) take(token xml.Token) error {
	switch token := token.(type) {
	case xml.StartElement:
		return r.begin(token)
	case xml.EndElement:
		if r.skip > 0 {
			r.skip--
			return nil
		}
		r.defs = false
		r.styles = r.styles[:len(r.styles)-1]
	case xml.Directive:
		return refused("delete that line", "it has a document type or entities")
	case xml.ProcInst:
		if token.Target != "xml" {
			return refused("delete that line", "it asks for another file or program: %s", token.Target)
		}
	}
	return nil
}

// silent draw nothing whatever they hold.
var silent = map[string]bool{"title": true, "desc": true, "metadata": true}

// instead is what to do about what is not taken.
var instead = map[string]string{
	"text": "turn text into paths", "tspan": "turn text into paths", "style": "write colours beside each shape",
	"linearGradient": "use plain colours", "radialGradient": "use plain colours", "image": "save a picture as PNG",
	"use": "put a copy of the shape in its place", "script": "delete it", "clipPath": "cut the shapes themselves",
	"mask": "cut the shapes themselves", "filter": "use plain colours",
}

func (r *reading) begin(e xml.StartElement) error {
	name := e.Name.Local
	foreign := e.Name.Space != "" && e.Name.Space != nameSpace
	switch {
	case name == "script":
		return refused(instead[name], "it has a program: <script>")
	case r.skip > 0 || foreign && r.logo != nil || silent[name]:
		r.skip++
		return nil
	case r.logo == nil && (name != "svg" || foreign):
		return refused("save it as SVG", "it begins with <%s>, not with <svg>", name)
	case r.logo != nil && len(r.styles) == 0:
		return refused("save it again", "something follows behind the end of the drawing")
	case len(r.styles) >= deepest:
		return refused("put fewer groups inside each other", "more than %d elements stand inside each other", deepest)
	case r.defs:
		return refused(hintAbout(name), "it has a <%s> that is used elsewhere", name)
	}
	a, err := attributesOf(e)
	if err != nil {
		return err
	}
	around := plainStyle()
	if len(r.styles) > 0 {
		around = r.styles[len(r.styles)-1]
	}
	s, err := around.with(a)
	if err != nil {
		return err
	}
	r.styles = append(r.styles, s)
	switch {
	case r.logo == nil:
		return r.root(a)
	case name == "g":
		return a.allTaken(name)
	case name == "defs":
		r.defs = true
		return a.allTaken(name)
	}
	shape := shapes[name]
	if shape == nil {
		return refused(hintAbout(name), "<%s> is not taken", name)
	}
	segments, err := shape(a, r.left)
	if err != nil {
		return fault(name, err)
	}
	if err := a.allTaken(name); err != nil {
		return err
	}
	return r.draw(segments, s)
}

func hintAbout(element string) string {
	if hint := instead[element]; hint != "" {
		return hint
	}
	return "save it as plain SVG; paths, rect, circle, ellipse, line, polygon and polyline in groups are taken"
}

// fault says in which element an error is.
func fault(element string, err error) error {
	if errors.Is(err, ErrRefused) {
		return err
	}
	if errors.Is(err, errTooMany) {
		return refused("simplify its paths", "it has more than %d lines and curves", MaxSegments)
	}
	return refused("save it again", "<%s>: %s", element, err)
}

// root reads the size of the drawing.
func (r *reading) root(a *attributes) error {
	box := a.text("viewBox")
	width, height := a.text("width"), a.text("height")
	if strings.HasPrefix(a.text("preserveAspectRatio"), "none") {
		return refused("delete preserveAspectRatio", "it is stretched")
	}
	if box == "" {
		box = "0 0 " + strings.TrimSuffix(width, "px") + " " + strings.TrimSuffix(height, "px")
	}
	n, err := list(box, 4)
	if err != nil || len(n) != 4 || n[2] <= 0 || n[3] <= 0 {
		return refused(`write it as viewBox="0 0 300 100"`, "it has no size: a viewBox of four numbers")
	}
	if n[2] > longestSide*n[3] || n[3] > longestSide*n[2] {
		return refused("cut off what is empty", "one side is more than %d times as long as the other", longestSide)
	}
	r.logo, r.origin = &Logo{Width: n[2], Height: n[3]}, Point{n[0], n[1]}
	return a.allTaken("svg")
}

// draw takes segments as a shape, in the units of the drawing from its upper left corner.
func (r *reading) draw(segments []Segment, s style) error {
	shape := Shape{Fill: s.fill, EvenOdd: s.evenOdd, Cap: s.lineCap, Join: s.join, Miter: s.miter}
	if s.stroke != nil && s.width > 0 {
		by, even := s.to.scale()
		if !even {
			return refused("turn its outline into a path", "a line is stretched by a transform")
		}
		if by > 0 {
			shape.Stroke, shape.LineWidth = s.stroke, s.width*by
		}
	}
	if shape.Fill == nil && shape.Stroke == nil || len(segments) == 0 {
		return nil
	}
	shape.Segments = make([]Segment, len(segments))
	for i, from := range segments {
		shape.Segments[i].Operator = from.Operator
		for j, p := range from.Points[:pointsOf(from.Operator)] {
			p = s.to.of(p)
			x, y := p.X-r.origin.X, p.Y-r.origin.Y
			// Written so that what is no number is far, too.
			if !(math.Abs(x) <= farthest*r.logo.Width && math.Abs(y) <= farthest*r.logo.Height) {
				return refused("delete what lies outside", "something lies far outside of its viewBox")
			}
			shape.Segments[i].Points[j] = Point{x, y}
		}
	}
	if !(shape.LineWidth <= farthest*r.logo.Width) {
		return refused("make it thinner", "a line is thicker than the drawing")
	}
	r.left -= len(segments)
	r.logo.Shapes = append(r.logo.Shapes, shape)
	return nil
}

func pointsOf(operator byte) int {
	return map[byte]int{'m': 1, 'l': 1, 'c': 3}[operator]
}
