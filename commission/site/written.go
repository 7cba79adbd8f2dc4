package site

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// Written is what the file has under a path of keys, "limits.response.door", as typed. A
// value for all kinds counts for each of them that has none of its own. Lists are not
// looked into.
func (s *Site) Written(path string) (string, bool) {
	return writtenIn(s.document(), path)
}

// document is the file as it stands, an empty node for one that is none.
func (s *Site) document() *yaml.Node {
	var doc yaml.Node
	if yaml.Unmarshal(s.Raw, &doc) != nil || len(doc.Content) == 0 { // Read has read it once
		return &yaml.Node{}
	}
	return doc.Content[0]
}

func writtenIn(n *yaml.Node, path string) (string, bool) {
	parts := strings.Split(path, ".")
	for i, part := range parts {
		if n.Kind == yaml.ScalarNode && i == len(parts)-1 && parts[0] == "limits" {
			return n.Value, !DetectorKind(part).Trait().Slow
		}
		if n = child(n, part); n == nil {
			return "", false
		}
	}
	return n.Value, n.Kind == yaml.ScalarNode && n.Value != ""
}

// child is the value of a key of a mapping, nil for none.
func child(n *yaml.Node, key string) *yaml.Node {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}
