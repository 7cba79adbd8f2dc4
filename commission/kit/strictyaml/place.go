package strictyaml

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Place is where a value stands in a file that reads well: line and column, from 1. A
// path is keys, and numbers from 0 for items of a list; where it leads nowhere, the
// place of the last that is there.
func Place(data []byte, path ...string) (line, column int) {
	var document yaml.Node
	if yaml.Unmarshal(data, &document) != nil || len(document.Content) == 0 {
		return 1, 1
	}
	n := document.Content[0]
	for _, part := range path {
		next := step(n, part)
		if next == nil {
			break
		}
		n = next
	}
	return n.Line, n.Column
}

// step is the value of a key, or an item of a list; nil if there is none.
func step(n *yaml.Node, part string) *yaml.Node {
	if n.Kind == yaml.SequenceNode {
		if i, err := strconv.Atoi(part); err == nil && i >= 0 && i < len(n.Content) {
			return n.Content[i]
		}
		return nil
	}
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == part {
			return n.Content[i+1]
		}
	}
	return nil
}

// Scalar is a value of a file that is no mapping and no list, with its place and the keys that lead to it.
type Scalar struct {
	Path         []string
	Text         string
	Line, Column int
}

// Scalars are all values of a file that reads well, in its order.
func Scalars(data []byte) (all []Scalar) {
	var document yaml.Node
	if yaml.Unmarshal(data, &document) != nil || len(document.Content) == 0 {
		return nil
	}
	var walk func(n *yaml.Node, path []string)
	walk = func(n *yaml.Node, path []string) {
		switch n.Kind {
		case yaml.ScalarNode:
			all = append(all, Scalar{path, n.Value, n.Line, n.Column})
		case yaml.SequenceNode:
			for i, each := range n.Content {
				walk(each, append(slices.Clone(path), strconv.Itoa(i)))
			}
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(n.Content[i+1], append(slices.Clone(path), n.Content[i].Value))
			}
		}
	}
	walk(document.Content[0], nil)
	return all
}

// Refuse is the refusal of a file that reads well for a value of it, as one is told that Parse
// finds; name is how errors call the file, and the path is as Place takes it.
func Refuse(name string, data []byte, what, hint string, path ...string) error {
	line, column := Place(data, path...)
	p := &Problems{File: name, lines: strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n")}
	p.add(line, column, what, hint)
	return p.err()
}
