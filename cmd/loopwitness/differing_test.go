package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDiffering(t *testing.T) {
	for name, tc := range map[string]struct {
		earlier, later string
		lines          []string
	}{
		"a line":               {"a\nb\nc\n", "a\nx\nc\n", []string{"- b", "+ x"}},
		"a line more":          {"a\nc\n", "a\nb\nc\n", []string{"+ b"}},
		"a line less":          {"a\nb\nc\n", "a\nc\n", []string{"- b"}},
		"two places":           {"a\nb\nc\nd\n", "x\nb\nc\ny\n", []string{"- a", "+ x", "- d", "+ y"}},
		"how it ends":          {"a\n", "a", []string{"(only in how it ends)"}},
		"all, and too many":    {"a\nb\nc", "x\ny\nz", []string{"- a", "- b", "- c", "+ x", "… and 2 more lines"}},
		"too long to compare":  {strings.Repeat("a\nb\n", 1000), "c\n", []string{"- a", "- b", "- a", "- b", "… and 1997 more lines"}},
		"nothing before":       {"", "a\n", []string{"- ", "+ a"}},
		"what stands twice is": {"a\na\nb\n", "a\nb\n", []string{"- a"}},
	} {
		assert.Equal(t, tc.lines, differing(tc.earlier, tc.later, 4), name)
	}
}

// A change is shown with the lines before it, which say where it stands.
func TestChangingLinesStandWhereTheyAre(t *testing.T) {
	assert.Equal(t, []string{"  b", "  c", "+ new", "…", "  f", "  g", "- h", "+ i"},
		changing("a\nb\nc\nd\ne\nf\ng\nh\n", "a\nb\nc\nnew\nd\ne\nf\ng\ni\n"))
	assert.Empty(t, changing("a\nb\n", "a\nb\n"))
}
