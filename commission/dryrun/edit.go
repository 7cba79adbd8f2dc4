package dryrun

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// ErrPath says that a path leads nowhere in a file.
var ErrPath = errors.New("no such key")

// A path names a key of a YAML file, its parts separated by dots. An item of a list is
// named by its number, name, at or address, by its place from 1, or surely by its place
// as #1: zones.12.kind, outputs.Sounder.current, zones.#1.detectors.#2.name.

// AllKeys are the paths of all keys of a file, at every depth, in its order.
func AllKeys(file []byte) []string {
	root, err := parse(file)
	if err != nil {
		return nil
	}
	var all []string
	keysOf(root, "", &all)
	return all
}

func keysOf(n *yaml.Node, path string, all *[]string) {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			key := path + n.Content[i].Value
			*all = append(*all, key)
			keysOf(n.Content[i+1], key+".", all)
		}
	case yaml.SequenceNode:
		for i, item := range n.Content {
			keysOf(item, fmt.Sprintf("%s#%d.", path, i+1), all)
		}
	}
}

// DeleteKey is the file without a key, or without an item of a list. Errors wrap ErrPath.
func DeleteKey(file []byte, path string) ([]byte, error) {
	return change(file, path, func(n *yaml.Node, last string) error {
		at, width := placeOf(n, last)
		if at < 0 {
			return fmt.Errorf("%w: %s", ErrPath, path)
		}
		n.Content = slices.Delete(n.Content, at, at+width)
		return nil
	}, false)
}

// SetKey is the file with another value, written as YAML, under a key; what is missing on
// the way is made. The part + adds an item to a list.
func SetKey(file []byte, path, value string) ([]byte, error) {
	to, err := parse([]byte(value))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return change(file, path, func(n *yaml.Node, last string) error {
		at, width := placeOf(n, last)
		switch {
		case at >= 0:
			n.Content[at+width-1] = to
		case n.Kind == yaml.MappingNode:
			n.Content = append(n.Content, scalar(last), to)
		case last == "+":
			n.Content = append(n.Content, to)
		default:
			return fmt.Errorf("%w: %s", ErrPath, path)
		}
		return nil
	}, true)
}

// change goes to the node that holds the last part of a path, and has it changed.
func change(file []byte, path string, do func(n *yaml.Node, last string) error, makeWay bool) ([]byte, error) {
	root, err := parse(file)
	if err != nil {
		return nil, err
	}
	parts := strings.Split(path, ".")
	n := root
	for i, part := range parts[:len(parts)-1] {
		at, width := placeOf(n, part)
		switch {
		case at >= 0:
			n = n.Content[at+width-1]
		case makeWay && n.Kind == yaml.MappingNode:
			made := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
			if parts[i+1] == "+" {
				made = &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
			}
			n.Content = append(n.Content, scalar(part), made)
			n = made
		default:
			return nil, fmt.Errorf("%w: %s", ErrPath, path)
		}
	}
	if err := do(n, parts[len(parts)-1]); err != nil {
		return nil, err
	}
	return yaml.Marshal(root)
}

// placeOf is where a part of a path stands in a node, and how many nodes it takes: two
// for a key and its value. -1 if there is no such part.
func placeOf(n *yaml.Node, part string) (at, width int) {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == part {
				return i, 2
			}
		}
		return -1, 2
	}
	if n.Kind != yaml.SequenceNode {
		return -1, 1
	}
	if !strings.HasPrefix(part, "#") {
		if i := slices.IndexFunc(n.Content, func(item *yaml.Node) bool { return called(item, part) }); i >= 0 {
			return i, 1
		}
	}
	place, err := strconv.Atoi(strings.TrimPrefix(part, "#"))
	if err != nil || place < 1 || place > len(n.Content) {
		return -1, 1
	}
	return place - 1, 1
}

// called tells whether an item of a list is called so.
func called(item *yaml.Node, name string) bool {
	if item.Kind != yaml.MappingNode {
		return item.Kind == yaml.ScalarNode && item.Value == name
	}
	for i := 0; i+1 < len(item.Content); i += 2 {
		if slices.Contains([]string{"number", "name", "at", "address"}, item.Content[i].Value) &&
			item.Content[i+1].Value == name {
			return true
		}
	}
	return false
}

func parse(file []byte) (*yaml.Node, error) {
	var document yaml.Node
	if err := yaml.Unmarshal(file, &document); err != nil {
		return nil, err
	}
	if len(document.Content) == 0 {
		return scalar(""), nil
	}
	return document.Content[0], nil
}

func scalar(text string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
}
