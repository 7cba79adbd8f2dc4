package strictyaml

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// ErrNoRoom says that a list cannot be added to where it stands.
var ErrNoRoom = errors.New("the list cannot be added to by itself")

// mostColumns is how long a line may be that is written in brackets.
const mostColumns = 120

// Append is a file that reads well with one more item at the end of the list at a path;
// nothing else changes, be it comments, order, or how something is written. The item is given as
// lines of block style, the first without its dash, and is written in brackets where the
// list, or the item before it, is. An error wraps ErrNoRoom.
func Append(data []byte, path []string, item ...string) ([]byte, error) {
	text, bom := bytes.CutPrefix(data, []byte("\ufeff"))
	before, list := listAt(text, path)
	if list == nil || len(list.Content) == 0 {
		return nil, ErrNoRoom
	}
	var added yaml.Node
	if yaml.Unmarshal([]byte(strings.Join(item, "\n")), &added) != nil || len(added.Content) == 0 {
		return nil, ErrNoRoom
	}
	file := &file{text: text, newline: "\n"}
	if bytes.Contains(text, []byte("\r\n")) {
		file.newline = "\r\n"
	}
	put := func() (int, string) { return file.inBlock(list, &added, item) }
	if list.Style&yaml.FlowStyle != 0 {
		put = func() (int, string) { return file.inFlow(list, &added) }
	}
	at, insert := put()
	if at < 0 {
		return nil, ErrNoRoom
	}
	result := slices.Concat(text[:at], []byte(insert), text[at:])
	list.Content = append(list.Content, added.Content[0])
	if after, _ := listAt(result, nil); after == nil || !alike(before, after) {
		return nil, ErrNoRoom // it stands where it would mean something else
	}
	if bom {
		result = append([]byte("\ufeff"), result...)
	}
	return result, nil
}

// listAt is the top of a file, and the list at a path in it; nil for none.
func listAt(text []byte, path []string) (top, list *yaml.Node) {
	var document yaml.Node
	if yaml.Unmarshal(text, &document) != nil || len(document.Content) == 0 {
		return nil, nil
	}
	top = document.Content[0]
	list = top
	for _, part := range path {
		if list = step(list, part); list == nil {
			return top, nil
		}
	}
	if list.Kind != yaml.SequenceNode {
		return top, nil
	}
	return top, list
}

// alike tells whether two nodes say the same.
func alike(a, b *yaml.Node) bool {
	return a.Kind == b.Kind && a.Value == b.Value && a.Tag == b.Tag && a.Anchor == b.Anchor &&
		slices.EqualFunc(a.Content, b.Content, alike)
}

// file is a text that something is put into.
type file struct {
	text    []byte
	newline string
}

// inBlock is where an item is put after the last one of a block, and as what; −1 for nowhere.
func (f *file) inBlock(list, added *yaml.Node, item []string) (at int, insert string) {
	lines := bytes.SplitAfter(f.text, []byte("\n"))
	blanks := list.Column - 1
	last := list.Content[len(list.Content)-1]
	end := min(last.Line, len(lines)) - 1
	for end >= 0 && (blanksOf(lines[end]) != blanks || lines[end][blanks] != '-') {
		end--
	}
	if end < 0 {
		return -1, ""
	}
	for i := end + 1; i < len(lines); i++ {
		switch {
		case len(bytes.TrimSpace(lines[i])) == 0:
		case blanksOf(lines[i]) > blanks:
			end = i
		case bytes.HasPrefix(bytes.TrimSpace(lines[i]), []byte("#")):
		default:
			i = len(lines)
		}
	}
	for _, line := range lines[:end+1] {
		at += len(line)
	}
	indent := strings.Repeat(" ", blanks)
	if at > 0 && f.text[at-1] != '\n' {
		insert = f.newline
	}
	if line := inBrackets(added.Content[0]); last.Style&yaml.FlowStyle != 0 && blanks+2+len(line) <= mostColumns {
		return at, insert + indent + "- " + line + f.newline
	}
	for i, line := range item {
		dash := "- "
		if i > 0 {
			dash = "  "
		}
		insert += indent + dash + line + f.newline
	}
	return at, insert
}

func blanksOf(line []byte) int { return len(line) - len(bytes.TrimLeft(line, " ")) }

// inFlow is where an item is put after the last one in brackets, and as what.
func (f *file) inFlow(list, added *yaml.Node) (at int, insert string) {
	end := f.lastInBrackets(f.offset(list))
	if end < 0 {
		return -1, ""
	}
	comma := ","
	if f.text[end] == ',' {
		comma = ""
	}
	gap := " "
	last := f.offset(list.Content[len(list.Content)-1])
	if begin := bytes.LastIndexByte(f.text[:last], '\n') + 1; begin > 0 && len(bytes.TrimSpace(f.text[begin:last])) == 0 {
		gap = f.newline + string(f.text[begin:last]) // each on a line of its own
	}
	return end + 1, comma + gap + inBrackets(added.Content[0])
}

// offset is where a node begins.
func (f *file) offset(n *yaml.Node) int {
	at := 0
	for range n.Line - 1 {
		at += bytes.IndexByte(f.text[at:], '\n') + 1
	}
	for range n.Column - 1 {
		_, size := utf8.DecodeRune(f.text[at:])
		at += size
	}
	return at
}

// lastInBrackets is the place of the last character before the bracket that closes the one
// that stands at a place, blanks and comments aside; −1 for none.
func (f *file) lastInBrackets(open int) int {
	depth, last := 0, open
	for i := open; i < len(f.text); i++ {
		c := f.text[i]
		switch {
		case c == ' ' || c == '\t' || c == '\r' || c == '\n':
			continue
		case c == '#' && i > 0 && bytes.IndexByte([]byte(" \t\r\n"), f.text[i-1]) >= 0:
			end := bytes.IndexByte(f.text[i:], '\n')
			if end < 0 {
				return -1
			}
			i += end
			continue
		case (c == '"' || c == '\'') && bytes.IndexByte([]byte("[{,:"), f.text[last]) >= 0:
			if i = f.endOfQuotes(i); i < 0 {
				return -1
			}
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			if depth--; depth == 0 {
				return last
			}
		}
		last = i
	}
	return -1
}

// endOfQuotes is where a quoted text ends that begins at a place; −1 for nowhere.
func (f *file) endOfQuotes(open int) int {
	quote := f.text[open]
	for i := open + 1; i < len(f.text); i++ {
		switch {
		case f.text[i] == '\\' && quote == '"':
			i++
		case f.text[i] == quote && quote == '\'' && i+1 < len(f.text) && f.text[i+1] == quote:
			i++
		case f.text[i] == quote:
			return i
		}
	}
	return -1
}

// inBrackets is a node on one line; texts keep their quotes.
func inBrackets(n *yaml.Node) string {
	var parts []string
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, inBrackets(n.Content[i])+": "+inBrackets(n.Content[i+1]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case yaml.SequenceNode:
		for _, item := range n.Content {
			parts = append(parts, inBrackets(item))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	if n.Style&yaml.DoubleQuotedStyle != 0 {
		return Quote(n.Value)
	}
	return n.Value
}

// Quote is a text between quotes, as JSON and YAML have it.
func Quote(text string) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(text) // a string can be encoded
	return string(bytes.TrimSpace(b.Bytes()))
}
