package site

import (
	"fmt"
	"path/filepath"

	"loopwitness/commission/kit/colour"
)

// Paper is what certificates are laid out for.
type Paper string

// The papers.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// Brand is what a certificate has of the company that makes it: the name of a file beside the
// site file, "" for none, and a colour, nil for the program's own.
type Brand struct {
	Logo   string
	Colour *colour.RGB
}

// Ink is a colour in which a certificate prints a verdict.
type Ink struct {
	Of string
	colour.RGB
}

// VerdictInks are all of them. A company's colour must not be taken for one.
var VerdictInks = []Ink{{"what is good", colour.RGB{Red: 22, Green: 112, Blue: 84}},
	{"what needs attention", colour.RGB{Red: 156, Green: 92}}, {"what is bad", colour.RGB{Red: 172, Green: 36, Blue: 36}}}

const (
	// leastContrast is that of text on its ground by WCAG 2.2, success criterion 1.4.3 (AA).
	leastContrast = 4.5
	// nearestInk is how far, by CIE76, the colour must be from that of any verdict: our own
	// rule, for two colours that are told apart where they do not stand side by side.
	nearestInk = 15
)

var keysOfBrand = []Key{
	{Path: "paper", Words: []string{string(A4), string(Letter)}, Default: string(A4), Example: string(Letter),
		Means: "the paper of certificates", Changes: "the size of their pages"},
	{Path: "brand", Takes: asKeys, Means: "what certificates have of your company"},
	{Path: "brand.logo", Takes: asText, Example: "logo.svg",
		Means:   "a file in the job's folder: an SVG of shapes, or a PNG of at most 1200 by 1200 pixels; 64 KiB at most",
		Changes: "printed at the head of the first page; part of the record from the beginning of a visit"},
	{Path: "brand.colour", Takes: "colour", Example: `"#1F4E79"`,
		Means:   "your colour; dark enough to be read on white, and unlike those of verdicts",
		Changes: "rules and headings; never the colour of a verdict"},
}

// brand reads what a certificate looks like.
func (r *reader) brand(top section) {
	r.site.Paper = Paper(r.mayBeOneOf(top, "paper", string(A4)))
	f := r.section(top, "brand")
	r.site.Brand.Logo = f.Text("logo")
	if name := r.site.Brand.Logo; name != "" && (!filepath.IsLocal(name) || filepath.Base(name) != name) {
		r.Problem(f.Node("logo"), fmt.Sprintf("%q is not the name of a file in the job's folder", name),
			"copy the logo beside site.yaml and write its name, for example logo.svg")
	}
	text := f.Text("colour")
	if text == "" {
		if f.Written("colour") {
			r.Problem(f.Where("colour"), `"colour" is empty`, `in quotes, since # begins a comment: colour: "#1F4E79"`)
		}
		return
	}
	c, err := colour.Parse(text)
	if err != nil {
		r.Problem(f.Node("colour"), err.Error(), "in quotes, since # begins a comment")
		return
	}
	if what, hint := unfit(c); what != "" {
		r.Problem(f.Node("colour"), what, hint)
	}
	r.site.Brand.Colour = &c
}

// unfit says why a company's colour cannot be taken, and what to do; "" where it can.
func unfit(c colour.RGB) (what, hint string) {
	if ratio := colour.Contrast(c, colour.White); ratio < leastContrast {
		return fmt.Sprintf("%s cannot be read well on white: its contrast is %.2f : 1", c, float64(int(ratio*100))/100),
			fmt.Sprintf("a darker one, of at least %.1f : 1 (WCAG 2.2)", leastContrast)
	}
	for _, ink := range VerdictInks {
		if d := colour.Distance(c, ink.RGB); d < nearestInk {
			return fmt.Sprintf("%s could be taken for the colour of %s, %s: they differ by %.1f (CIE76)", c, ink.Of, ink.RGB, d),
				fmt.Sprintf("one that differs by at least %d from %s, %s and %s", nearestInk, VerdictInks[0].RGB,
					VerdictInks[1].RGB, VerdictInks[2].RGB)
		}
	}
	return "", ""
}

func (w *writer) brand(s *Site) {
	if s.Paper == Letter {
		w.pair("", "paper", string(s.Paper))
	}
	colour := ""
	if s.Brand.Colour != nil {
		colour = s.Brand.Colour.String()
	}
	w.section("brand", pairs{{"logo", s.Brand.Logo}, {"colour", colour}})
}
