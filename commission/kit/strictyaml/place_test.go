package strictyaml

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"go.yaml.in/yaml/v3"
)

func TestPlace(t *testing.T) {
	const text = "a: 1\nlist:\n  - {b: 2,  c: 3}\n  - d: é x\n    e: 4\n"
	for name, tc := range map[string]struct {
		path         []string
		line, column int
	}{
		"the file":          {nil, 1, 1},
		"a value":           {[]string{"a"}, 1, 4},
		"an item":           {[]string{"list", "1"}, 4, 5},
		"a value in a list": {[]string{"list", "0", "c"}, 3, 16},
		"no such key":       {[]string{"list", "0", "f"}, 3, 5},
		"no such item":      {[]string{"list", "2", "b"}, 3, 3},
		"no number":         {[]string{"list", "-1"}, 3, 3},
		"below a value":     {[]string{"a", "b"}, 1, 4},
	} {
		line, column := Place([]byte(text), tc.path...)
		assert.Equal(t, []int{tc.line, tc.column}, []int{line, column}, name)
	}
	for _, broken := range []string{"", "{", "# nothing"} {
		line, column := Place([]byte(broken), "a")
		assert.Equal(t, []int{1, 1}, []int{line, column}, broken)
	}
}

// A key that is read although no file can have it is a fault of the program.
func TestUnknownKeysAreNotRead(t *testing.T) {
	r, f, err := Parse("a.yaml", []byte("a: 1\n"), false, "a", "b")
	assert.NoError(t, err)
	assert.Equal(t, "1", f.Text("a"))
	assert.Empty(t, f.Text("b"))
	for _, read := range []func(){func() { f.Text("c") }, func() { f.Node("c") }, func() { f.List("c") },
		func() { f.Need("c", "") }, func() { r.Fields(&yaml.Node{Kind: yaml.MappingNode}, "it").Text("a") }} {
		assert.Panics(t, read)
	}
}

// Wherever a path leads, it is a place of the file.
func FuzzPlace(f *testing.F) {
	f.Add("a: {b: [1, 2]}\n", "a", "b")
	f.Add("[\n", "0", "x")
	f.Fuzz(func(t *testing.T, text, one, two string) {
		if len(text) > 1<<10 {
			return
		}
		line, column := Place([]byte(text), one, two)
		if line < 1 || column < 1 {
			t.Fatalf("%d:%d", line, column)
		}
	})
}
