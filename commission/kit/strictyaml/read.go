package strictyaml

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	goccy "github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/parser"
	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/readfile"
)

const (
	// maxBytes is the largest file read: a site of 1,000 detectors takes a fifth of it.
	maxBytes = 1 << 20
	// maxExact bounds the file for which the exact place of a syntax error is
	// looked up: that parser needs quadratic time.
	maxExact = 32 << 10
	maxDepth = 32
)

// ReadFile reads a file, and no more of it than shows that it is too long: Parse refuses
// that. What is no ordinary file is an error.
func ReadFile(path string) ([]byte, error) { return readfile.Beginning(path, maxBytes+1) }

// Reader walks one document and collects its problems.
type Reader struct {
	problems Problems
}

// Parse starts a Reader on the file's bytes; name is how errors call the file.
// With secret set, no line of the file appears in an error. The Fields of the
// top-level mapping are returned; what cannot be parsed at all is an error.
func Parse(name string, data []byte, secret bool, known ...string) (*Reader, Fields, error) {
	r := &Reader{problems: Problems{File: name, secret: secret}}
	if whole := refuseWhole(data); whole != "" {
		r.problems.add(0, 0, whole, "")
		return nil, Fields{}, r.problems.err()
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	r.problems.lines = strings.Split(string(data), "\n")

	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var document, second yaml.Node
	if err := decoder.Decode(&document); err != nil {
		r.syntax(data, err)
		return nil, Fields{}, r.problems.err()
	}
	switch err := decoder.Decode(&second); {
	case err == nil:
		r.Problem(&second, "a second document begins here", "one file holds one document; remove the line ---")
	case !errors.Is(err, io.EOF):
		r.syntax(data, err)
	}
	if !r.plain(document.Content[0], 0) || len(r.problems.List) > 0 {
		return nil, Fields{}, r.problems.err()
	}
	return r, r.Fields(document.Content[0], "the file", known...), nil
}

func refuseWhole(data []byte) string {
	switch {
	case len(data) > maxBytes:
		return fmt.Sprintf("larger than %d KiB, which no file of this kind needs", maxBytes>>10)
	case !utf8.Valid(data):
		return "not UTF-8 text; save it as UTF-8"
	case len(bytes.TrimSpace(data)) == 0:
		return "the file is empty"
	}
	return ""
}

// plain refuses what would let a file mean something else than it shows.
func (r *Reader) plain(n *yaml.Node, depth int) bool {
	switch {
	case depth > maxDepth:
		r.Problem(n, fmt.Sprintf("nested deeper than %d levels", maxDepth), "")
	case n.Kind == yaml.AliasNode:
		r.Problem(n, "an alias (*) is not taken here", "write the value out")
	case n.Style&yaml.TaggedStyle != 0:
		r.Problem(n, "a tag (!) is not taken here", "write the value plainly")
	default:
		ok := true
		for _, child := range n.Content {
			ok = r.plain(child, depth+1) && ok
		}
		return ok
	}
	return false
}

var lineInMessage = regexp.MustCompile(`line (\d+): `)

// syntax reports a syntax error. The reader's own message has no column and a
// line that may be short by one or two, so a second parser is asked where.
func (r *Reader) syntax(data []byte, err error) {
	if errors.Is(err, io.EOF) {
		r.problems.add(0, 0, "nothing but comments", "")
		return
	}
	if len(data) <= maxExact {
		_, exact := parser.ParseBytes(data, 0)
		var placed goccy.Error
		if errors.As(exact, &placed) && placed.GetToken() != nil {
			at := placed.GetToken().Position
			r.problems.add(at.Line, at.Column, "not valid YAML"+r.unlessSecret(": "+placed.GetMessage()),
				"check indentation, colons and quotes near here")
			return
		}
	}
	line := 0
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	if m := lineInMessage.FindStringSubmatch(message); m != nil {
		line, _ = strconv.Atoi(m[1])
		message = strings.Replace(message, m[0], "", 1)
	}
	r.problems.add(max(line, 1), 1, "not valid YAML at or after this line"+r.unlessSecret(": "+message),
		"check indentation, colons and quotes from here on")
}

// unlessSecret drops a parser's words, which may quote the file.
func (r *Reader) unlessSecret(words string) string {
	if r.problems.secret {
		return ""
	}
	return words
}

// Problem reports what is wrong at a node, and what would be accepted.
func (r *Reader) Problem(at *yaml.Node, what, hint string) {
	if at == nil {
		r.problems.add(0, 0, what, hint)
		return
	}
	r.problems.add(max(at.Line, 1), max(at.Column, 1), what, hint)
}

// Err returns all problems in the order of the file, or nil.
func (r *Reader) Err() error { return r.problems.err() }
