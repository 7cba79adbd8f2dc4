package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// below are the rooms below words, where nothing is a sentence.
var below = []string{"../../checks", "../kit", "../journal", "../site", "../signal", "../programme", "../record",
	"../judge", "../ask"}

// excused are files whose texts are no sentences of a visit: parts of errors, which stay
// English, and files that are written for an editor.
var excused = map[string]string{
	"checks/quantity.go":            "what errors about quantities are made of",
	"checks/thresholds":             "names of sources, as they are cited",
	"commission/site/format.go":     "comments of a site file, written by a command",
	"commission/site/read.go":       "what errors about a site file are made of",
	"commission/site/readzones.go":  "what errors about a site file are made of",
	"commission/site/readsupply.go": "what errors about a site file are made of",
	"commission/site/readlimits.go": "what errors about a site file are made of",
	"commission/kit/logo/":          "why a file is no logo, in an error",
	"commission/site/brand.go":      "the guide to the keys of a site file, and what errors about it are made of",
	"commission/site/agreed.go":     "the guide to the keys of a site file",
	"commission/site/further.go":    "the guide to the keys of a site file",
	"commission/site/language.go":   "the guide to the keys of a site file",
	"commission/site/printed.go":    "the guide to the keys of a site file",
	"commission/site/keys.go":       "the guide to the keys of a site file",
	"commission/site/setting.go":    "the guide to the keys of a site file",
	"commission/kit/strictyaml/":    "what errors about YAML are made of",
	"commission/kit/outsidetool/":   "for tests",
	"commission/kit/testbroker/":    "for tests",
	"commission/kit/freeaddress/":   "for tests",
	"commission/kit/readfile/":      "what errors about files are made of",
	"commission/journal/held.go":    "who holds a journal, in an error",
	"commission/ask/accept.go":      "why an answer is none, in an error",
	"commission/ask/refused.go":     "why an answer is none, in an error",
	"checks/refusal.go":             "why a text is no quantity, in an error",
}

// sentence is what two words or more look like.
var sentence = regexp.MustCompile(`\pL{2,}[,;:]? [\pL(“]{2,}`)

// makers of errors: their texts are no part of a visit's words.
var makers = map[string]bool{"Errorf": true, "New": true, "Problem": true, "problem": true,
	"coldThresholds": true, "panic": true, "Need": true, "Fields": true, "Scalar": true, "MustCompile": true}

func TestNoSentencesBelowWords(t *testing.T) {
	files, used := 0, map[string]bool{}
	for _, dir := range below {
		require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() && slices.Contains([]string{"terminal", "lines", "scripted", "phone", "desk"}, d.Name()) {
				if err == nil {
					err = filepath.SkipDir // they stand above
				}
				return err
			}
			if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			files++
			name := strings.TrimPrefix(filepath.ToSlash(path), "../")
			name = strings.TrimPrefix(name, "../")
			if !strings.HasPrefix(name, "checks") {
				name = "commission/" + name
			}
			for file := range excused {
				if strings.HasPrefix(name, file) {
					used[file] = true
					return nil
				}
			}
			for _, text := range sentencesIn(t, path) {
				assert.Fail(t, "a sentence below words", "%s: %s", name, text)
			}
			return nil
		}))
	}
	require.Greater(t, files, 40)
	for file := range excused {
		assert.True(t, used[file], "%s needs no excuse any more", file)
	}
}

// sentencesIn lists the string literals that read like sentences, but for errors, tags,
// and codes: constants of a named type.
func sentencesIn(t *testing.T, path string) (found []string) {
	t.Helper()
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, nil, 0)
	require.NoError(t, err)
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			n.Tag = nil
		case *ast.GenDecl:
			return n.Tok != token.CONST || !codes(n)
		case *ast.CallExpr:
			return !makers[called(n)]
		case *ast.KeyValueExpr:
			if key, named := n.Key.(*ast.Ident); named && key.Name == "Source" {
				return false // where a value was looked up
			}
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING && sentence.MatchString(text) {
				found = append(found, set.Position(n.Pos()).String()+" "+n.Value)
			}
		}
		return true
	})
	return found
}

// codes tells whether the constants of a declaration all have a type of their own.
func codes(d *ast.GenDecl) bool {
	for _, s := range d.Specs {
		v := s.(*ast.ValueSpec)
		if v.Type == nil {
			return false
		}
	}
	return true
}

func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.SelectorExpr:
		return f.Sel.Name
	case *ast.Ident:
		return f.Name
	}
	return ""
}
