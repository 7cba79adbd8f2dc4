package logo

import (
	"encoding/xml"
	"maps"
	"slices"
	"strings"

	"loopwitness/commission/kit/colour"
)

// Shape is a path with what it is filled with and the line along it; nil for none.
type Shape struct {
	Segments  []Segment
	Fill      *colour.RGB
	EvenOdd   bool
	Stroke    *colour.RGB
	LineWidth float64
	Cap, Join int     // as PDF numbers them
	Miter     float64 // limit
}

// attributes are those of an element, with what its style says; each is taken once.
type attributes struct {
	values map[string]string
	taken  map[string]bool
}

func attributesOf(e xml.StartElement) (*attributes, error) {
	a := &attributes{map[string]string{}, map[string]bool{}}
	style := ""
	for _, one := range e.Attr {
		name := one.Name.Local
		switch {
		case name == "href" || name == "src":
			return nil, refused("put what it refers to in its place", "<%s> refers to something else", e.Name.Local)
		case one.Name.Space != "" || name == "xmlns":
		case name == "style":
			style = one.Value
		default:
			a.values[name] = strings.TrimSpace(one.Value)
		}
	}
	for property := range strings.SplitSeq(style, ";") { // what stands here counts more
		name, value, _ := strings.Cut(property, ":")
		if name = strings.TrimSpace(name); name != "" {
			a.values[name] = strings.TrimSpace(value)
		}
	}
	return a, nil
}

func (a *attributes) text(name string) string {
	a.taken[name] = true
	return a.values[name]
}

// length is a number in units of the drawing; otherwise where there is none.
func (a *attributes) length(name string, otherwise float64) (float64, error) {
	text := strings.TrimSuffix(a.text(name), "px")
	if text == "" {
		return otherwise, nil
	}
	n, err := list(text, 1)
	if err != nil || len(n) != 1 {
		return 0, refused("write it as a number without a unit", "%s=%q is no length", name, a.values[name])
	}
	return n[0], nil
}

// neutral are values that change nothing, of attributes that are otherwise not taken.
var neutral = map[string][]string{
	"opacity": {
		"1",
	}, "fill-opacity": {"1"}, "stroke-opacity": {"1"}, "stroke-dasharray": {"none"}, "stroke-dashoffset": {"0"},
	"display": {"inline"}, "visibility": {"visible"}, "overflow": {"visible", "hidden"}, "vector-effect": {"none"},
	"clip-path": {"none"}, "mask": {"none"}, "filter": {"none"}, "marker": {"none"}, "mix-blend-mode": {"normal"},
	"isolation": {"auto"}, "paint-order": {"normal", "fill", "fill markers stroke"}, "clip-rule": {"nonzero", "evenodd"},
	"transform-origin": {"0", "0 0"},
}

// meaningless say nothing about shapes with plain colours; so does what begins with meaninglessly.
var (
	meaningless = []string{"id", "class", "version", "baseProfile", "lang", "role", "x", "y", "width", "height", "color",
		"enable-background", "white-space", "direction", "focusable", "tabindex", "contentScriptType", "contentStyleType",
		"zoomAndPan", "solid-color", "solid-opacity", "writing-mode", "letter-spacing", "word-spacing", "line-height",
		"baseline-shift", "dominant-baseline"}
	meaninglessly = []string{
		"aria-",
		"data-",
		"font",
		"text-",
		"-inkscape",
		"stop-",
		"color-",
		"shape-",
		"image-",
		"flood-",
		"lighting-",
		"marker-none",
		"block-",
		"inline-",
	}
)

// allTaken refuses what an element has that would draw it otherwise than it is drawn here.
func (a *attributes) allTaken(element string) error {
	for _, name := range slices.Sorted(maps.Keys(a.values)) {
		value := a.values[name]
		switch {
		case a.taken[name] || slices.Contains(neutral[name], value) || slices.Contains(meaningless, name):
		case slices.ContainsFunc(meaninglessly, func(begins string) bool { return strings.HasPrefix(name, begins) }):
		case neutral[name] != nil:
			return refused("use plain shapes in plain colours", "<%s> has %s=%q", element, name, value)
		default:
			return refused("delete it, or save as plain SVG", "<%s> has %q, which is not taken", element, name)
		}
	}
	return nil
}

// style is how an element is drawn.
type style struct {
	to            matrix
	fill, stroke  *colour.RGB
	width, miter  float64
	lineCap, join int
	evenOdd       bool
}

// plainStyle is that of SVG where nothing is said.
func plainStyle() style { return style{to: identity, fill: &colour.RGB{}, width: 1, miter: 4} }

// with is the style of an element inside one of that style.
func (s style) with(a *attributes) (style, error) {
	var err error
	if s.fill, err = paint(a, "fill", s.fill); err != nil {
		return s, err
	}
	if s.stroke, err = paint(a, "stroke", s.stroke); err != nil {
		return s, err
	}
	if s.width, err = a.length("stroke-width", s.width); err != nil {
		return s, err
	}
	if s.miter, err = a.length("stroke-miterlimit", s.miter); err != nil || s.miter < 1 {
		return s, refused("write a number from 1", "stroke-miterlimit=%q cannot be", a.values["stroke-miterlimit"])
	}
	rule := 0
	if s.evenOdd {
		rule = 1
	}
	for name, one := range map[string]struct {
		is    *int
		words []string
	}{"fill-rule": {&rule, []string{"nonzero", "evenodd"}}, "stroke-linecap": {&s.lineCap, []string{"butt", "round", "square"}},
		"stroke-linejoin": {&s.join, []string{"miter", "round", "bevel"}}} {
		if text := a.text(name); text != "" {
			if *one.is = slices.Index(one.words, text); *one.is < 0 {
				return s, refused("one of: "+strings.Join(one.words, ", "), "%s=%q is not taken", name, text)
			}
		}
	}
	s.evenOdd = rule == 1
	s.to, err = transformed(s.to, a.text("transform"))
	return s, err
}

// named are the colours that may be named.
var named = map[string]colour.RGB{"black": {}, "white": {Red: 255, Green: 255, Blue: 255}, "red": {Red: 255},
	"green": {Green: 128}, "blue": {Blue: 255}, "gray": {Red: 128, Green: 128, Blue: 128},
	"grey": {Red: 128, Green: 128, Blue: 128}, "silver": {Red: 192, Green: 192, Blue: 192}, "navy": {Blue: 128},
	"maroon": {Red: 128}, "teal": {Green: 128, Blue: 128}, "purple": {Red: 128, Blue: 128},
	"orange": {Red: 255, Green: 165}, "yellow": {Red: 255, Green: 255}}

// paint is a colour, nil for none, otherwise where nothing is said.
func paint(a *attributes, name string, otherwise *colour.RGB) (*colour.RGB, error) {
	text := a.text(name)
	switch text {
	case "", "inherit":
		return otherwise, nil
	case "none":
		return nil, nil
	}
	if c, is := named[strings.ToLower(text)]; is {
		return &c, nil
	}
	if len(text) == 4 && text[0] == '#' { // each digit stands for two
		text = string([]byte{'#', text[1], text[1], text[2], text[2], text[3], text[3]})
	}
	c, err := colour.Parse(text)
	if err != nil {
		return nil, refused("write a plain colour as #RRGGBB", "%s=%q is no colour that is taken", name, a.values[name])
	}
	return &c, nil
}

// transformed adds the transforms of an attribute.
func transformed(m matrix, text string) (matrix, error) {
	rest := text
	for {
		rest = strings.TrimLeft(rest, " \t\r\n,")
		if rest == "" {
			return m, nil
		}
		name, behind, opens := strings.Cut(rest, "(")
		inside, after, closes := strings.Cut(behind, ")")
		const most = 6
		n, err := list(strings.TrimSpace(inside), most)
		make := transforms[strings.TrimSpace(name)]
		if !opens || !closes || err != nil || make == nil || make(n) == nil {
			return m, refused(
				"matrix, translate, scale, rotate, skewX and skewY are taken",
				"transform=%q cannot be read",
				cut(text),
			)
		}
		m, rest = m.times(*make(n)), after
	}
}

// cut shortens a text to what can be shown.
func cut(text string) string {
	const longest = 40
	if len(text) > longest {
		return strings.ToValidUTF8(text[:longest], "") + "…"
	}
	return text
}
