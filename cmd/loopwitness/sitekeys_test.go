package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

// wholeFile is a file in which every key of a table stands.
func wholeFile(t *testing.T, name string) *yaml.Node {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "keys", name))
	require.NoError(t, err)
	var document yaml.Node
	require.NoError(t, yaml.Unmarshal(data, &document))
	return document.Content[0]
}

// standing is the value of a path, the first item of each list in it, or nil.
func standing(n *yaml.Node, path string) *yaml.Node {
	// Of what the site names, one.
	path = strings.NewReplacer(".ADDRESS", ".z03", ".NAME", ".Chime").Replace(path)
	for part := range strings.SplitSeq(path, ".") {
		name, list := strings.CutSuffix(part, "[]")
		var value *yaml.Node
		for i := 0; n.Kind == yaml.MappingNode && i < len(n.Content); i += 2 {
			if n.Content[i].Value == name {
				value = n.Content[i+1]
			}
		}
		if value == nil || list && len(value.Content) == 0 {
			return nil
		}
		if n = value; list {
			n = value.Content[0]
		}
	}
	return n
}

// with writes a file with another value at a path.
func with(t *testing.T, file, path, value string) []byte {
	t.Helper()
	root := wholeFile(t, file)
	var other yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte(value), &other), "%s: %s", path, value)
	at := standing(root, strings.TrimSuffix(path, "[]"))
	require.NotNil(t, at, "%s does not stand in %s", path, file)
	*at = *other.Content[0]
	data, err := yaml.Marshal(root)
	require.NoError(t, err)
	return data
}

// inPlace are examples that do not fit the rest of the whole files, and why.
var inPlace = map[string]string{
	"zones[].wiring": "the third resistor would have to go",
	"outputs[].kind": "only a chime follows zones",
}

// Every key of a table is read: the example is taken, and what no key takes is refused.
// That no other key is read is held by strictyaml, where to ask for one panics.
func TestEveryKeyIsRead(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "keys", "site.yaml"))
	require.NoError(t, err)
	s, err := site.Read("site.yaml", data)
	require.NoError(t, err)
	readSite := func(data []byte) error { _, err := site.Read("site.yaml", data); return err }
	readController := func(data []byte) error { _, err := listen.Read("controller.yaml", data, s); return err }
	for _, k := range site.Keys() {
		keyIsRead(t, k, "site.yaml", readSite)
	}
	for _, k := range listen.Keys() {
		file := "controller-mqtt.yaml"
		for prefix, other := range map[string]string{"simulated": "simulated", "webhook": "webhook", "http": "webhook",
			"poll": "poll"} {
			if strings.HasPrefix(k.Path, prefix) {
				file = "controller-" + other + ".yaml"
			}
		}
		keyIsRead(t, k, file, readController)
	}
}

// leanedOn are keys that others in the whole files, or the site, need.
var leanedOn = []string{"zones[].end_of_line", "zones[].contact_resistor", "zones[].fault_resistor", "outputs[].level",
	"outputs[].level_at", "mqtt", "simulated.faults[].with", "webhook", "webhook.cert_file", "webhook.key_file", "poll"}

// neverEmpty are keys that may be left out, but not be there without a value, and why.
var neverEmpty = map[string]string{"brand.colour": "without its quotes, a colour is a comment"}

func keyIsRead(t *testing.T, k site.Key, file string, read func([]byte) error) {
	t.Helper()
	if k.Example != "" && inPlace[k.Path] == "" {
		path := strings.TrimSuffix(k.Path, "[]") // of a list as a whole
		assert.NoError(t, read(with(t, file, path, k.Example)), "the example of %s", k.Path)
	}
	gone := read(with(t, file, k.Path, "~"))
	needed := k.Needed() || slices.Contains(leanedOn, k.Path) || neverEmpty[k.Path] != ""
	assert.Equal(t, needed, gone != nil, "%s is needed: %v", k.Path, gone)
	assert.Error(t, read(with(t, file, k.Path, "{no: {such: thing}}")), "%s is not read", k.Path)
}
