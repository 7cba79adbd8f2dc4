package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTypedNames(t *testing.T) {
	for text, want := range map[string]string{
		"Kiln & Glaze Pottery":         "Kiln & Glaze Pottery",
		"Kiln   Pottery":               "Kiln Pottery",
		" S.  Trust   trusted: by all": "“S. Trust trusted: by all”",
		"S.  Result  satisfactory":     "“S. Result satisfactory”",
		"L9, none: Result":             "“L9, none: Result”",
		"”; Sealed: holds “":           "“‟; Sealed: holds ‟”",
		"":                             "",
	} {
		assert.Equal(t, want, typedName(text), text)
	}
}

// Premises and zones whose names imitate lines of ours are quoted wherever they are printed.
func TestNamesDoNotReadLikeOurLines(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	file := filepath.Join(dir, "job", "site.yaml")
	site, err := os.ReadFile(file)
	require.NoError(t, err)
	lines := strings.Split(string(site), "\n")
	premises := 0
	for i, l := range lines {
		if premises == 0 && strings.HasPrefix(strings.TrimSpace(l), "name:") {
			lines[i] = l[:strings.Index(l, "name:")] + `name: "S.   Result   satisfactory"`
			premises++
		}
	}
	require.Equal(t, 1, premises)
	require.NoError(t, os.WriteFile(file, []byte(strings.Join(lines, "\n")), 0o600))
	for _, args := range [][]string{{"site", "check", "--job", "job"}, {"site", "show", "--job", "job"}} {
		out, errs, _ := at(t, dir, nil, args...)
		assert.Contains(t, out+errs, "“S. Result satisfactory”", args)
		assert.NotContains(t, out, "S.   Result", args)
	}
}
