package strictyaml

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/oneline"
)

// Fields is one mapping of the file, its keys checked against the known ones.
type Fields struct {
	r      *Reader
	what   string
	known  []string
	at     *yaml.Node
	values map[string]*yaml.Node
	keys   map[string]*yaml.Node
}

// Fields opens a mapping. Unknown and repeated keys are problems; known keys
// are those that the caller names. what is how errors call the mapping.
func (r *Reader) Fields(n *yaml.Node, what string, known ...string) Fields {
	f := Fields{r: r, what: what, known: known, at: n, values: map[string]*yaml.Node{}, keys: map[string]*yaml.Node{}}
	if n == nil {
		return f
	}
	if n.Kind != yaml.MappingNode {
		r.Problem(n, fmt.Sprintf("%s must be written as keys and values", what), "keys: "+strings.Join(known, ", "))
		return f
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		switch {
		case !slices.Contains(known, key.Value):
			r.Problem(key,
				fmt.Sprintf("unknown key %sin %s%s", r.shownKey(key.Value, known), what, didYouMean(key.Value, known)),
				"keys: "+strings.Join(known, ", "))
		case f.keys[key.Value] != nil:
			r.Problem(key,
				fmt.Sprintf("key %q stands twice in %s, first in line %d", key.Value, what, f.keys[key.Value].Line),
				"remove one of the two")
		default:
			f.keys[key.Value], f.values[key.Value] = key, value
		}
	}
	return f
}

// shownKey is an unknown key for an error. Where the file may hold secrets, one
// that resembles no known key may be a secret that a missing blank has made a
// key of.
func (r *Reader) shownKey(key string, known []string) string {
	if r.problems.secret && Nearest(key, known) == "" {
		return ""
	}
	return fmt.Sprintf("%q ", short(key))
}

// At is where the mapping stands, for problems about it as a whole.
func (f Fields) At() *yaml.Node { return f.at }

// Has tells whether the key was written with a value.
func (f Fields) Has(key string) bool {
	v := f.values[key]
	return v != nil && !empty(v)
}

// Written tells whether the key stands in the mapping at all, be it without a value.
func (f Fields) Written(key string) bool { return f.keys[key] != nil }

// Node is the value of a key, or nil. To ask for a key that was not named as known is a
// fault of the program: no file could have it.
func (f Fields) Node(key string) *yaml.Node {
	f.mustKnow(key)
	if !f.Has(key) {
		return nil
	}
	return f.values[key]
}

func (f Fields) mustKnow(key string) {
	if f.r != nil && !slices.Contains(f.known, key) {
		panic(fmt.Sprintf("%s is read for a key %q that it cannot have", f.what, key))
	}
}

// Where is the value of a key if there is one, else its mapping: the place
// for a problem.
func (f Fields) Where(key string) *yaml.Node {
	if n := f.values[key]; n != nil && !empty(n) {
		return n
	}
	if n := f.keys[key]; n != nil {
		return n
	}
	return f.at
}

// Text is a scalar as it was typed, "" when absent; anything else than a
// scalar is a problem.
func (f Fields) Text(key string) string {
	n := f.Node(key)
	if n == nil {
		return ""
	}
	return f.r.Scalar(n, fmt.Sprintf("%q", key))
}

// Need is Text for a key that must be there.
func (f Fields) Need(key, hint string) string {
	f.mustKnow(key)
	if !f.Has(key) {
		f.r.Problem(f.Where(key), fmt.Sprintf("%s has no %q", f.what, key), hint)
		return ""
	}
	return f.Text(key)
}

// List is the items of a sequence, none when absent. A single value counts as
// a list of one only where it is a scalar.
func (f Fields) List(key string) []*yaml.Node {
	n := f.Node(key)
	switch {
	case n == nil:
		return nil
	case n.Kind == yaml.SequenceNode:
		return n.Content
	case n.Kind == yaml.ScalarNode:
		return []*yaml.Node{n}
	}
	f.r.Problem(n, fmt.Sprintf("%q must be a list", key), "begin each item with a dash")
	return nil
}

// Scalar is the text of a node as typed; a problem if it is no scalar.
func (r *Reader) Scalar(n *yaml.Node, what string) string {
	if n.Kind != yaml.ScalarNode {
		r.Problem(n, fmt.Sprintf("%s must be a single value", what), "")
		return ""
	}
	text := strings.TrimSpace(n.Value)
	if err := oneline.Check(text); err != nil {
		r.Problem(n, fmt.Sprintf("%s: %s", what, err), "one line that can be seen as it is")
	}
	return text
}

func empty(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && strings.TrimSpace(n.Value) == "" || n.Tag == "!!null"
}

func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func didYouMean(word string, known []string) string {
	if near := Nearest(word, known); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}

// Nearest is the known word within two typing errors of word, or "".
func Nearest(word string, known []string) string {
	best, at := "", 3
	if len(word) > 40 {
		return ""
	}
	for _, k := range known {
		if d := distance(strings.ToLower(word), k); d < at && d < len(k) {
			best, at = k, d
		}
	}
	return best
}

// distance counts insertions, deletions and substitutions (Levenshtein).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		last := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := last
			if a[i] != b[j] {
				change++
			}
			last = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
