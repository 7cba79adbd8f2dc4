package pdffile

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
)

// keyword is a bare word: obj, stream, an operator of a page. It is no Object of a
// file.
type keyword string

// deepest is how far arrays and dictionaries may be nested.
const deepest = 64

// parser reads objects (ISO 32000-1, 7.3) one after the other.
type parser struct {
	data  []byte
	at    int
	depth int
	// budget is how many objects may still be parsed; nil for as many as there are.
	budget *int
}

var errEnd = errors.New("it ends in the middle")

func isSpace(c byte) bool { return strings.IndexByte("\x00\t\n\f\r ", c) >= 0 }

func isDelimiter(c byte) bool { return strings.IndexByte("()<>[]{}/%", c) >= 0 }

func (p *parser) skip() {
	for p.at < len(p.data) {
		switch c := p.data[p.at]; {
		case isSpace(c):
			p.at++
		case c == '%':
			for p.at < len(p.data) && p.data[p.at] != '\n' && p.data[p.at] != '\r' {
				p.at++
			}
		default:
			return
		}
	}
}

// must is the next object, nil when there is none.
func (p *parser) must() Object {
	o, err := p.object()
	if err != nil {
		return nil
	}
	return o
}

// keyword takes a word if it is the next one.
func (p *parser) keyword(word string) bool {
	before := p.at
	if p.must() == keyword(word) {
		return true
	}
	p.at = before
	return false
}

func (p *parser) object() (Object, error) {
	p.skip()
	if p.at >= len(p.data) {
		return nil, errEnd
	}
	if p.budget != nil {
		if *p.budget--; *p.budget < 0 {
			return nil, errors.New("it has too many objects")
		}
	}
	switch c := p.data[p.at]; {
	case c == '/':
		return p.name()
	case c == '(':
		return p.literal()
	case c == '[':
		return p.array()
	case bytes.HasPrefix(p.data[p.at:], []byte("<<")):
		return p.dict()
	case c == '<':
		return p.hexadecimal()
	case isDelimiter(c):
		return nil, fmt.Errorf("%q stands alone at byte %d", c, p.at)
	}
	return p.word()
}

// token takes the characters up to the next white space or delimiter.
func (p *parser) token() string {
	from := p.at
	for p.at < len(p.data) && !isSpace(p.data[p.at]) && !isDelimiter(p.data[p.at]) {
		p.at++
	}
	return string(p.data[from:p.at])
}

func (p *parser) name() (Object, error) {
	p.at++
	raw := p.token()
	if !strings.Contains(raw, "#") {
		return Name(raw), nil
	}
	var b strings.Builder
	for i := 0; i < len(raw); i++ {
		if raw[i] != '#' {
			b.WriteByte(raw[i])
			continue
		}
		if i+2 >= len(raw) {
			return nil, errors.New("a name has a broken escape")
		}
		c, err := hex.DecodeString(raw[i+1 : i+3])
		if err != nil {
			return nil, errors.New("a name has a broken escape")
		}
		b.Write(c)
		i += 2
	}
	return Name(b.String()), nil
}

// word is a number, a reference, or a bare word.
func (p *parser) word() (Object, error) {
	w := p.token()
	switch w {
	case "true":
		return true, nil
	case "false":
		return false, nil
	case "null":
		return nil, nil
	}
	if strings.IndexByte("+-.0123456789", w[0]) < 0 {
		return keyword(w), nil
	}
	if strings.Trim(w, "+-.0123456789") != "" {
		return nil, fmt.Errorf("%q is no number", w)
	}
	return p.reference(Number(w)), nil
}

// reference looks whether a number begins a reference.
func (p *parser) reference(n Number) Object {
	number, ok := whole(n)
	if !ok {
		return n
	}
	behind := p.at
	p.skip()
	generation := p.token()
	p.skip()
	if generation == "0" && p.token() == "R" {
		return Ref(number)
	}
	p.at = behind
	return n
}

func (p *parser) enter() error {
	if p.depth++; p.depth > deepest {
		return errors.New("it is nested too deep")
	}
	return nil
}

func (p *parser) array() (Object, error) {
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	p.at++
	a := Array{}
	for {
		p.skip()
		if p.at < len(p.data) && p.data[p.at] == ']' {
			p.at++
			return a, nil
		}
		o, err := p.value()
		if err != nil {
			return nil, err
		}
		a = append(a, o)
	}
}

// value is an object that may stand in an array or a dictionary.
func (p *parser) value() (Object, error) {
	o, err := p.object()
	if w, is := o.(keyword); is {
		return nil, fmt.Errorf("%q stands where a value should", string(w))
	}
	return o, err
}

func (p *parser) dict() (Object, error) {
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	p.at += 2
	d := Dict{}
	for {
		p.skip()
		if bytes.HasPrefix(p.data[min(p.at, len(p.data)):], []byte(">>")) {
			p.at += 2
			return d, nil
		}
		o, err := p.object()
		if err != nil {
			return nil, err
		}
		key, ok := o.(Name)
		if !ok {
			return nil, errors.New("a dictionary has a key that is no name")
		}
		if _, twice := d[key]; twice {
			return nil, fmt.Errorf("a dictionary has /%s twice", key)
		}
		if d[key], err = p.value(); err != nil {
			return nil, err
		}
	}
}

func (p *parser) hexadecimal() (Object, error) {
	from := p.at
	end := bytes.IndexByte(p.data[from:], '>')
	if end < 0 {
		return nil, errEnd
	}
	p.at = from + end + 1
	digits := bytes.Map(func(r rune) rune {
		if r < 0x80 && isSpace(byte(r)) {
			return -1
		}
		return r
	}, p.data[from+1:from+end])
	if len(digits)%2 == 1 {
		digits = append(digits, '0')
	}
	out := make([]byte, len(digits)/2)
	if _, err := hex.Decode(out, digits); err != nil {
		return nil, errors.New("a hexadecimal string has another character")
	}
	return String{out, true, from, p.at}, nil
}

var escapes = map[byte]byte{'n': '\n', 'r': '\r', 't': '\t', 'b': '\b', 'f': '\f'}

// literal reads a string in parentheses (ISO 32000-1, 7.3.4.2).
func (p *parser) literal() (Object, error) {
	from := p.at
	p.at++
	var out []byte
	for open := 1; ; {
		if p.at >= len(p.data) {
			return nil, errEnd
		}
		c := p.data[p.at]
		p.at++
		switch c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				return String{out, false, from, p.at}, nil
			}
		case '\\':
			out = p.escape(out)
			continue
		}
		out = append(out, c)
	}
}

func (p *parser) escape(out []byte) []byte {
	if p.at >= len(p.data) {
		return out
	}
	c := p.data[p.at]
	p.at++
	if meant, known := escapes[c]; known {
		return append(out, meant)
	}
	if c < '0' || c > '7' {
		if c == '\r' && p.at < len(p.data) && p.data[p.at] == '\n' {
			p.at++
		}
		if c == '\r' || c == '\n' { // the line goes on
			return out
		}
		return append(out, c)
	}
	code := int(c - '0')
	for range 2 {
		if p.at < len(p.data) && p.data[p.at] >= '0' && p.data[p.at] <= '7' {
			code = code*8 + int(p.data[p.at]-'0')
			p.at++
		}
	}
	return append(out, byte(code))
}
