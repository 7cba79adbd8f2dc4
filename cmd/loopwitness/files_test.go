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

// openers are the places that open files themselves, with the reason. Whoever reads a file
// that somebody named goes through commission/kit/readfile.
var openers = map[string]string{
	"commission/kit/readfile/readfile.go":          "it is the way",
	"commission/kit/atomicfile/atomicfile.go":      "takes a name that nothing has (O_EXCL)",
	"commission/kit/atomicfile/syncfolder_unix.go": "a folder, to be synced",
	"commission/journal/writer.go":                 "to write: a new journal (O_EXCL), or one that was read before",
}

// A named pipe, a device or a file without end hangs or fills whoever opens it without
// looking.
func TestFilesAreOpenedInOnePlace(t *testing.T) {
	opens := map[string]bool{"Open": true, "OpenFile": true, "ReadFile": true, "DirFS": true, "OpenRoot": true,
		"OpenInRoot": true}
	seen := map[string]bool{}
	root := filepath.Join("..", "..")
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != root && strings.HasPrefix(d.Name(), "."):
			return filepath.SkipDir // tools for those who work on it
		case d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		name, err := filepath.Rel(root, path)
		require.NoError(t, err)
		name = filepath.ToSlash(name)
		ast.Inspect(file, func(n ast.Node) bool {
			if of, is := n.(*ast.SelectorExpr); is && opens[of.Sel.Name] {
				if x, is := of.X.(*ast.Ident); is && x.Name == "os" {
					seen[name] = true
					assert.Contains(t, openers, name, "os.%s; take commission/kit/readfile", of.Sel.Name)
				}
			}
			return true
		})
		return nil
	}))
	for name := range openers {
		assert.True(t, seen[name], "%s opens nothing any more; take it off the list", name)
	}
}
