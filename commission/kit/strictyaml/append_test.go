package strictyaml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An item is added where the list ends, as its neighbours are written; what stands beside
// it stays to the byte.
func TestAppend(t *testing.T) {
	item := []string{`name: "Hall #2"`, "parts:", `  - "a"`, `  - name: "b"`}
	const flow = `{name: "Hall #2", parts: ["a", {name: "b"}]}`
	const block = "  - name: \"Hall #2\"\n    parts:\n      - \"a\"\n      - name: \"b\"\n"
	for name, tc := range map[string]struct{ text, want string }{
		"a block": {"zones: # all\n  - name: a\n    # of a\n    parts: [b]\n\n# next\nend: 1\n",
			"zones: # all\n  - name: a\n    # of a\n    parts: [b]\n" + block + "\n# next\nend: 1\n"},
		"at the end, no line end": {"zones:\n  - name: a", "zones:\n  - name: a\n" + block},
		"without indent": {"zones:\n- name: a\n# b\nend: 1\n",
			"zones:\n- name: a\n" + strings.ReplaceAll(block[2:], "\n  ", "\n") + "# b\nend: 1\n"},
		"the dash alone":   {"zones:\n  -\n    name: a\n", "zones:\n  -\n    name: a\n" + block},
		"text over lines":  {"zones:\n  - name: |\n      - a\n\n      # b\nend: 1\n", "zones:\n  - name: |\n      - a\n\n      # b\n" + block + "end: 1\n"},
		"a comment inside": {"zones:\n  - name: a\n    # - name: old\nend: 1\n", "zones:\n  - name: a\n    # - name: old\n" + block + "end: 1\n"},
		"lines in brackets": {"zones:\n  - {name: a}\n  - {name: b} # c\nend: 1\n",
			"zones:\n  - {name: a}\n  - {name: b} # c\n  - " + flow + "\nend: 1\n"},
		"brackets":             {"zones: [a, 'it''s ]', \"\\\"]\"] # c\n", "zones: [a, 'it''s ]', \"\\\"]\", " + flow + "] # c\n"},
		"an apostrophe":        {"zones: [Potter's door]\n", "zones: [Potter's door, " + flow + "]\n"},
		"a comma at the end":   {"zones: [a, ]\n", "zones: [a, " + flow + " ]\n"},
		"brackets over lines":  {"zones: [\n  a, # ]\n  b\n  ]\n", "zones: [\n  a, # ]\n  b,\n  " + flow + "\n  ]\n"},
		"brackets in brackets": {"x: {zones: [[a], {b: [c]}], y: 1}\n", "x: {zones: [[a], {b: [c]}, " + flow + "], y: 1}\n"},
		"after wide letters":   {"{\"שלום 🏺\": 1, zones: [a]}\n", "{\"שלום 🏺\": 1, zones: [a, " + flow + "]}\n"},
		"lines of another kind": {"zones:\r\n  - name: a\r\nend: 1\r\n",
			"zones:\r\n  - name: a\r\n" + strings.ReplaceAll(block, "\n", "\r\n") + "end: 1\r\n"},
		"a mark before it": {"\ufeffzones: [a]\n", "\ufeffzones: [a, " + flow + "]\n"},
	} {
		path := []string{"zones"}
		if strings.HasPrefix(tc.text, "x:") {
			path = []string{"x", "zones"}
		}
		got, err := Append([]byte(tc.text), path, item...)
		require.NoError(t, err, name)
		assert.Equal(t, tc.want, string(got), name)
	}
}

func TestWhatCannotBeAddedTo(t *testing.T) {
	for name, text := range map[string]string{
		"no list": "zones: a\n", "none": "a: 1\n", "empty": "zones: []\n", "no text": "", "broken": "zones: [\n",
	} {
		got, err := Append([]byte(text), []string{"zones"}, "name: a")
		assert.ErrorIs(t, err, ErrNoRoom, name)
		assert.Nil(t, got, name)
	}
	_, err := Append([]byte("zones: [a]\n"), []string{"zones"}, "{")
	assert.ErrorIs(t, err, ErrNoRoom)
}

// A line too long for brackets becomes a block of its own.
func TestLongItemsStandInLines(t *testing.T) {
	long := strings.Repeat("n", mostColumns)
	got, err := Append([]byte("zones:\n  - {name: a}\n"), []string{"zones"}, `name: "`+long+`"`, "kind: door")
	require.NoError(t, err)
	assert.Equal(t, "zones:\n  - {name: a}\n  - name: \""+long+"\"\n    kind: door\n", string(got))
}

// Nothing is taken away: without what was put in, the file is as it was.
func FuzzAppend(f *testing.F) {
	f.Add("zones:\n  - {name: a} # b\n\n# c\nend: [1,\n 2]\n")
	f.Add("zones: [a, 'b', \"c\\\"]\", # ]\n d,]")
	f.Add("zones:\n- |\n  a\n  # b\n-\n  c: 1\n...\n")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<10 {
			return
		}
		got, err := Append([]byte(text), []string{"zones"}, `name: "x"`, "kind: door")
		if err != nil {
			return
		}
		at := 0
		for at < len(text) && got[at] == text[at] {
			at++
		}
		rest := text[at:]
		if !strings.HasSuffix(string(got), rest) || len(got) <= len(text) {
			t.Fatalf("%q became %q", text, got)
		}
		if !strings.Contains(string(got[at:len(got)-len(rest)]), `"x"`) && !strings.Contains(string(got), `"x"`) {
			t.Fatalf("nothing was added: %q", got)
		}
	})
}
