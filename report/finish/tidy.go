package finish

import (
	"bytes"
	"fmt"

	"loopwitness/report/pdffile"
)

// errNotDrawn says that a page has what the library does not draw.
var errNotDrawn = fmt.Errorf("%w: a page is drawn in another way", pdffile.ErrNotRead)

// tidying writes the content of a page anew. The library chooses a font several times before
// each text, and for widths that it only measures; it sets colour and thickness before each line
// and back behind it. Here each is set where it changes, and lines of one colour and thickness
// are drawn at once. What is drawn, where, and in which order, is the same.
type tidying struct {
	out   []byte
	named map[pdffile.Name]pdffile.Name // short names of fonts by those of the library
	shown map[pdffile.Name]map[rune]bool

	chosen     string       // how the library chose the font
	font       pdffile.Name // the library's name of it
	want, is   state        // of the library, and of what was written
	background []byte       // colour of what is filled and is no text
}

// state is what operators set, as they are written.
type state struct{ font, fill, stroke, width string }

// tidy is the content of a page in the short form. What is shown in each font, by the
// library's name, is added to shown.
func tidy(content []byte, named map[pdffile.Name]pdffile.Name,
	shown map[pdffile.Name]map[rune]bool) ([]byte, error) {
	const black, grey = "0.000 G", "0.000 g" // what a page begins with (ISO 32000-1, 8.4.1)
	t := tidying{out: make([]byte, 0, len(content)/2), named: named, shown: shown, background: []byte(grey),
		want: state{fill: grey, stroke: black, width: "1 w"}}
	t.is = t.want
	for depth := 0; len(content) > 0; {
		line, text, err := lineOf(content)
		if err != nil {
			return nil, err
		}
		content = content[len(line):]
		line = bytes.TrimSuffix(line, []byte("\n"))
		switch {
		case depth > 0 && string(line) == "Q":
			depth--
			t.add(line)
		case string(line) == "q": // of ours, which sets all by itself
			depth++
			t.other(line)
		case depth > 0:
			t.add(line)
		default:
			if err := t.line(line, text); err != nil {
				return nil, err
			}
		}
	}
	return t.out, nil
}

func (t *tidying) add(line []byte) { t.out = append(append(t.out, line...), '\n') }

// set writes an operator if it changes something.
func (t *tidying) set(is *string, want string) {
	if *is == want {
		return
	}
	*is = want
	t.out = append(append(t.out, want...), '\n')
}

// other is a line that is left as it is, in the state that the library drew it in.
func (t *tidying) other(line []byte) {
	t.set(&t.is.fill, string(t.background))
	t.set(&t.is.stroke, t.want.stroke)
	t.set(&t.is.width, t.want.width)
	t.add(line)
}

func (t *tidying) line(line, text []byte) error {
	ends := func(with string) bool { return bytes.HasSuffix(line, []byte(with)) }
	switch {
	case text != nil:
		return t.text(line, text)
	case bytes.HasPrefix(line, []byte("BT /")):
		return t.choose(line)
	case ends(" RG"), ends(" G"):
		t.want.stroke = string(line)
	case ends(" w"):
		t.want.width = string(line)
	case ends(" g"), ends(" rg"):
		t.background = bytes.Clone(line)
	case ends(" l S") && bytes.Count(line, []byte(" ")) == 6:
		t.set(&t.is.stroke, t.want.stroke)
		t.set(&t.is.width, t.want.width)
		t.add(line)
	default:
		t.other(line)
	}
	return nil
}

// choose takes a line that chooses a font and shows nothing: BT /F0a1b 8.80 Tf ET.
func (t *tidying) choose(line []byte) error {
	if string(line) == t.chosen { // it is said three times
		return nil
	}
	name, size, two := bytes.Cut(bytes.TrimPrefix(line, []byte("BT /")), []byte(" "))
	size, ends := bytes.CutSuffix(size, []byte(" Tf ET"))
	short := t.named[pdffile.Name(name)]
	if !two || !ends || short == "" || bytes.IndexByte(size, ' ') >= 0 {
		return errNotDrawn
	}
	t.chosen, t.font = string(line), pdffile.Name(name)
	t.want.font = "/" + string(short) + " " + string(trimmed(size)) + " Tf"
	return nil
}

// trimmed is a number without zeros at its end.
func trimmed(n []byte) []byte {
	if !bytes.Contains(n, []byte(".")) {
		return n
	}
	return bytes.TrimRight(bytes.TrimRight(n, "0"), ".")
}

// text takes a line that shows a text: BT 1 2 Td (…) Tj ET, or with its colour before it, and
// in brackets: q 0.1 0.2 0.3 rg BT … ET Q.
func (t *tidying) text(line, text []byte) error {
	colour, drawn, found := bytes.Cut(line, []byte("BT "))
	if !found || t.font == "" {
		return errNotDrawn
	}
	fill := string(t.background)
	if len(colour) > 0 {
		drawn, found = bytes.CutSuffix(drawn, []byte(" Q"))
		colour, begins := bytes.CutPrefix(colour, []byte("q "))
		if !found || !begins {
			return errNotDrawn
		}
		fill = string(bytes.TrimSuffix(colour, []byte(" ")))
	}
	if t.shown[t.font] == nil {
		t.shown[t.font] = map[rune]bool{}
	}
	if err := codes(text, t.shown[t.font]); err != nil {
		return err
	}
	t.set(&t.is.fill, fill)
	t.set(&t.is.font, t.want.font)
	t.out = append(t.out, "BT "...)
	t.add(drawn)
	return nil
}

// lineOf is the first line with its end, and the text that it shows: nil for none. A line end
// inside a text is part of it.
func lineOf(content []byte) (line, text []byte, err error) {
	end := bytes.IndexByte(content, '\n')
	if end < 0 {
		return content, nil, nil
	}
	open := bytes.IndexByte(content[:end], '(')
	if open < 0 {
		return content[:end+1], nil, nil
	}
	for i := open + 1; i < len(content); i++ {
		switch content[i] {
		case '\\':
			i++
		case ')':
			rest := bytes.IndexByte(content[i:], '\n')
			if rest < 0 || !bytes.HasPrefix(content[i:], []byte(") Tj ET")) {
				return nil, nil, errNotDrawn
			}
			return content[:i+rest+1], content[open+1 : i], nil
		}
	}
	return nil, nil, errNotDrawn
}

// codes adds the characters of a text as it stands in a file: UTF-16 of one unit each, with a
// backslash before some bytes.
func codes(text []byte, to map[rune]bool) error {
	var high byte
	half := false
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c == '\\' && i+1 < len(text) {
			i++
			if c = text[i]; c == 'r' {
				c = '\r'
			}
		}
		if half {
			to[rune(high)<<8|rune(c)] = true
		}
		high, half = c, !half
	}
	if half {
		return errNotDrawn
	}
	return nil
}
