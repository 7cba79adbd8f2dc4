package certificate

import (
	"bytes"
	"fmt"
	"regexp"

	"loopwitness/report/pdffile"
)

// fontChosen is how the library chooses a font: it does so several times before each text,
// and for widths that it only measures.
var fontChosen = regexp.MustCompile(`^BT /(F[0-9a-f]+) (\d+\.\d\d) Tf ET$`)

// errNotDrawn says that a page has what the library does not draw.
var errNotDrawn = fmt.Errorf("%w: a page is drawn in another way", pdffile.ErrNotRead)

// tidy is the content of a page with each font chosen once where it changes, by its short
// name. What is shown in each font, by the library's name, is added to shown. The library
// writes line by line; a line end inside a text is part of it.
func tidy(content []byte, named map[pdffile.Name]pdffile.Name,
	shown map[pdffile.Name]map[rune]bool) ([]byte, error) {
	out := make([]byte, 0, len(content)/2)
	var font pdffile.Name // that the next text is drawn in
	var chosen, now string
	for len(content) > 0 {
		line, text, err := lineOf(content)
		if err != nil {
			return nil, err
		}
		content = content[len(line):]
		line = bytes.TrimSuffix(line, []byte("\n"))
		switch {
		case text != nil:
			if shown[font] == nil {
				shown[font] = map[rune]bool{}
			}
			if err := codes(text, shown[font]); err != nil || font == "" {
				return nil, errNotDrawn
			}
			if chosen != now {
				out = append(append(out, chosen...), '\n')
				now = chosen
			}
		case bytes.HasPrefix(line, []byte("BT ")):
			m := fontChosen.FindSubmatch(line)
			if m == nil || named[pdffile.Name(m[1])] == "" {
				return nil, errNotDrawn
			}
			font = pdffile.Name(m[1])
			chosen = fmt.Sprintf("/%s %s Tf", named[font], trimmed(m[2]))
			continue
		case len(line) == 1 && (line[0] == 'q' || line[0] == 'Q'):
			now = "" // what was chosen inside does not hold outside
		}
		out = append(append(out, line...), '\n')
	}
	return out, nil
}

// trimmed is a number without zeros at its end.
func trimmed(n []byte) []byte { return bytes.TrimRight(bytes.TrimRight(n, "0"), ".") }

// lineOf is the first line with its end, and the text that it shows: nil for none.
func lineOf(content []byte) (line, text []byte, err error) {
	end := bytes.IndexByte(content, '\n')
	open := bytes.IndexByte(content[:max(end, 0)], '(')
	if end < 0 {
		return content, nil, nil
	}
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
