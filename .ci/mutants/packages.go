package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// listed is what go list tells of a package.
type listed struct {
	ImportPath, Dir, Export, ForTest string
	GoFiles, TestGoFiles             []string
	XTestGoFiles                     []string
	DepOnly, Standard                bool
	Module                           *struct{ Path, Dir, GoVersion string }
}

// target is a package whose mutants are tried.
type target struct {
	path    string // import path
	name    string // the same without the module's
	dir     string
	tested  bool // has tests of its own
	version string
	fset    *token.FileSet
	sources []*source
	tests   []*ast.File // its tests, without those of the package name_test
	imports types.Importer
	info    *types.Info
	mutants []*mutant
	// variables are the declarations of constants that may become variables.
	variables map[*ast.GenDecl]bool
}

// source is a file of a target with what is to be changed in it.
type source struct {
	path, name string // absolute; relative to the module
	text       string
	tree       *ast.File
	edits      []edit
	aliases    map[string]string // of packages whose types are named, by import path
}

// load lists and type-checks the packages that the patterns name.
func load(ctx context.Context, root string, patterns []string) ([]*target, error) {
	all, err := list(ctx, root, patterns)
	if err != nil {
		return nil, err
	}
	exports := map[string]string{}
	for _, l := range all {
		if l.ForTest == "" {
			exports[l.ImportPath] = l.Export
		}
	}
	var targets []*target
	for _, l := range all {
		if l.DepOnly || l.Standard || l.ForTest != "" || strings.HasSuffix(l.ImportPath, ".test") || len(l.GoFiles) == 0 {
			continue
		}
		t, err := parse(l, exports)
		if err != nil {
			return nil, err
		}
		targets = append(targets, t)
	}
	return targets, nil
}

// list tells of the packages and of all that they, their tests and the support file import.
func list(ctx context.Context, root string, patterns []string) ([]listed, error) {
	fields := "-json=ImportPath,Dir,Export,ForTest,GoFiles,TestGoFiles,XTestGoFiles,DepOnly,Standard,Module"
	args := slices.Concat([]string{"list", "-deps", "-test", "-export", fields}, supportImports, patterns)
	out, err := goCommand(ctx, root, args...)
	if err != nil {
		return nil, err
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var l listed
		switch err := d.Decode(&l); {
		case errors.Is(err, io.EOF):
			return all, nil
		case err != nil:
			return nil, fmt.Errorf("go list: %w", err)
		}
		all = append(all, l)
	}
}

// goCommand runs go and gives what it wrote to standard output.
func goCommand(ctx context.Context, dir string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = dir
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", args[0], err, complaint.Bytes())
	}
	return out, nil
}

func parse(l listed, exports map[string]string) (*target, error) {
	if l.Module == nil {
		return nil, fmt.Errorf("%s belongs to no module", l.ImportPath)
	}
	t := &target{path: l.ImportPath, dir: l.Dir, version: "go" + l.Module.GoVersion, fset: token.NewFileSet(),
		tested: len(l.TestGoFiles)+len(l.XTestGoFiles) > 0, variables: map[*ast.GenDecl]bool{}}
	t.name = strings.TrimPrefix(strings.TrimPrefix(l.ImportPath, l.Module.Path), "/")
	if t.name == "" {
		t.name = "."
	}
	t.imports = importer.ForCompiler(t.fset, "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(exports[path])
	})
	for _, name := range l.GoFiles {
		s, err := t.read(l.Module.Dir, filepath.Join(l.Dir, name))
		if err != nil {
			return nil, err
		}
		t.sources = append(t.sources, s)
	}
	for _, name := range l.TestGoFiles {
		f, err := parser.ParseFile(t.fset, filepath.Join(l.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		t.tests = append(t.tests, f)
	}
	return t, t.resolve()
}

func (t *target) read(module, path string) (*source, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	tree, err := parser.ParseFile(t.fset, path, text, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	name, err := filepath.Rel(module, path)
	return &source{path: path, name: filepath.ToSlash(name), text: string(text), tree: tree,
		aliases: map[string]string{}}, err
}

// resolve finds the types of the sources as they are.
func (t *target) resolve() error {
	t.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{},
		Defs: map[*ast.Ident]types.Object{}}
	var files []*ast.File
	for _, s := range t.sources {
		files = append(files, s.tree)
	}
	return errors.Join(t.check(files, t.info)...)
}

// check type-checks files together with the package's tests.
func (t *target) check(files []*ast.File, info *types.Info) []error {
	var problems []error
	note := func(err error) { problems = append(problems, err) }
	c := types.Config{Importer: t.imports, GoVersion: t.version, Error: note}
	_, err := c.Check(t.path, t.fset, append(files, t.tests...), info)
	if err != nil && len(problems) == 0 {
		problems = append(problems, err)
	}
	return problems
}

// offset is where a position lies in its file, in bytes.
func (t *target) offset(p token.Pos) int { return t.fset.File(p).Offset(p) }

// textOf is a node as it stands in the source.
func (t *target) textOf(s *source, n ast.Node) string {
	return s.text[t.offset(n.Pos()):t.offset(n.End())]
}
