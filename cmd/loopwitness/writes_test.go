package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writers are the files that may write others, with the reason; all else goes through
// atomicfile, which reports a file as written when it is durable.
var writers = map[string]string{
	"commission/kit/atomicfile/atomicfile.go": "is that room",
	"commission/kit/atomicfile/abandon.go":    "makes what that room renames",
	"commission/journal/writer.go":            "appends, and syncs each entry",
	"commission/journal/held.go":              "a lock names a process and needs no sync",
	"commission/kit/readfile/readfile.go":     "opens files that are there; makes none",
}

// What writes a file, a name or a folder past that room.
var pastIt = map[string]bool{"WriteFile": true, "Create": true, "CreateTemp": true, "OpenFile": true, "Rename": true,
	"Link": true, "Mkdir": true, "MkdirAll": true, "MkdirTemp": true, "Truncate": true}

// What is reported as written is durable: nothing writes a file but through the room of atomic
// files, or with a reason.
func TestReportedAsWrittenIsDurable(t *testing.T) {
	unused := map[string]bool{}
	for file := range writers {
		unused[file] = true
	}
	for _, folder := range []string{"cmd", "commission", "report", "checks"} {
		err := filepath.WalkDir(filepath.Join("..", "..", folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			name := filepath.ToSlash(strings.TrimPrefix(path, filepath.Join("..", "..")+string(filepath.Separator)))
			for _, call := range writesIn(t, path) {
				if writers[name] != "" {
					delete(unused, name)
					continue
				}
				assert.Fail(t, "past the room of atomic files", "%s calls os.%s", name, call)
			}
			return nil
		})
		require.NoError(t, err)
	}
	assert.Empty(t, unused, "listed, but not writing any more")
}

// writesIn are the functions of package os that a file names and that write.
func writesIn(t *testing.T, path string) (all []string) {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	require.NoError(t, err)
	ast.Inspect(f, func(n ast.Node) bool {
		if s, is := n.(*ast.SelectorExpr); is && pastIt[s.Sel.Name] {
			if of, is := s.X.(*ast.Ident); is && of.Name == "os" {
				all = append(all, s.Sel.Name)
			}
		}
		return true
	})
	return all
}
