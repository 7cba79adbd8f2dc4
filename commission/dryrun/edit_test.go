package dryrun

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

const file = `a: 1
b: {c: [x, y], d: {e: f}}
zones:
  - {number: 2, name: Two}
  - {number: 1, name: One, detectors: [{name: D}, E]}
`

func TestAllKeys(t *testing.T) {
	assert.Equal(t, []string{"a", "b", "b.c", "b.d", "b.d.e", "zones", "zones.#1.number", "zones.#1.name",
		"zones.#2.number", "zones.#2.name", "zones.#2.detectors", "zones.#2.detectors.#1.name"}, AllKeys([]byte(file)))
	assert.Empty(t, AllKeys([]byte("[")))
	assert.Empty(t, AllKeys(nil))
}

func TestDeleteKey(t *testing.T) {
	for path, want := range map[string]string{
		"a":                     "b: {c: [x, y], d: {e: f}}\nzones:\n    - {number: 2, name: Two}\n",
		"zones.2":               "zones:\n    - {number: 1, name: One,",
		"zones.#2":              "zones:\n    - {number: 2, name: Two}\n",
		"zones.One.detectors.E": "detectors: [{name: D}]}",
		"zones.1.name":          "- {number: 1, detectors:",
		"b.c.x":                 "b: {c: [y], d: {e: f}}",
		"b.c.2":                 "b: {c: [x], d: {e: f}}",
		"b.d.e":                 "b: {c: [x, y], d: {}}",
	} {
		got, err := DeleteKey([]byte(file), path)
		require.NoError(t, err, path)
		assert.Contains(t, string(got), want, path)
	}
	for _, path := range []string{"x", "a.b", "zones.9", "zones.#3", "zones.#0", "b.c.z", "b.x.y", ""} {
		_, err := DeleteKey([]byte(file), path)
		assert.ErrorIs(t, err, ErrPath, path)
	}
	_, err := DeleteKey([]byte("["), "a")
	assert.Error(t, err)
}

func TestSetKey(t *testing.T) {
	for _, tc := range []struct{ path, value, want string }{
		{"a", "2", "a: 2\n"}, {"a", "{x: y}", "a: {x: y}\n"}, {"n", "new", "\nn: new\n"},
		{"n.m", "new", "\nn:\n    m: new\n"}, {"n.+", "{x: 1}", "\nn:\n    - {x: 1}\n"},
		{"b.c.1", "z", "c: [z, y]"}, {"b.c.+", "z", "c: [x, y, z]"}, {"zones.1.name", "Uno", "{number: 1, name: Uno,"},
		{"zones.One.detectors.D.name", "F", "[{name: F}, E]"},
	} {
		got, err := SetKey([]byte(file), tc.path, tc.value)
		require.NoError(t, err, tc.path)
		assert.Contains(t, string(got), tc.want, tc.path)
	}
	for _, path := range []string{"zones.9", "zones.9.name", "a.b", "b.c.z"} {
		_, err := SetKey([]byte(file), path, "1")
		assert.ErrorIs(t, err, ErrPath, path)
	}
	_, err := SetKey([]byte(file), "a", "[")
	assert.ErrorContains(t, err, "a: ")
}

// Each key of a site file can be taken away alone, and what is left is a site file or is
// refused, as the site's reader says.
func TestEveryKeyCanBeDeleted(t *testing.T) {
	base, err := os.ReadFile(filepath.Join(visits, "base", "site.yaml"))
	require.NoError(t, err)
	all := AllKeys(base)
	require.Greater(t, len(all), 80)
	usable := 0
	for _, key := range all {
		less, err := DeleteKey(base, key)
		require.NoError(t, err, key)
		assert.Less(t, len(AllKeys(less)), len(all), key)
		if _, err := site.Read("site.yaml", less); err == nil {
			usable++
		}
	}
	assert.Greater(t, usable, 40)
}
