package main

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

const (
	doesNotCompile = "does not compile"
	notChosen      = "not chosen"
)

// rewritten is the text of each source by its path, and of the support file.
func (t *target) rewritten() map[string]string {
	first := 0
	if len(t.mutants) > 0 {
		first = t.mutants[0].id
	}
	texts := map[string]string{}
	texts[filepath.Join(t.dir, supportFile)] = support(t.sources[0].tree.Name.Name, first, len(t.mutants))
	for _, s := range t.sources {
		texts[s.path] = s.rewritten(t)
	}
	return texts
}

// patched is likewise, with one mutant that is built on its own.
func (t *target) patched(m *mutant) map[string]string {
	p := m.patch
	return map[string]string{p.source.path: p.source.text[:p.start] + p.text + p.source.text[p.end:]}
}

// compile type-checks the sources, some of them with another text, together with
// the package's own tests.
func (t *target) compile(texts map[string]string) ([]*ast.File, []error) {
	var files []*ast.File
	for _, s := range t.sources {
		if _, changed := texts[s.path]; !changed {
			files = append(files, s.tree)
		}
	}
	for _, path := range slices.Sorted(maps.Keys(texts)) {
		f, err := parser.ParseFile(t.fset, path, texts[path], parser.SkipObjectResolution)
		if err != nil {
			return nil, []error{err}
		}
		files = append(files, f)
	}
	return files, t.check(files, nil)
}

// settle leaves out each mutant that does not compile.
func (t *target) settle() error {
	for _, m := range t.mutants {
		if m.patch != nil && m.out == "" {
			if _, problems := t.compile(t.patched(m)); len(problems) > 0 {
				m.out = doesNotCompile
			}
		}
	}
	for {
		files, problems := t.compile(t.rewritten())
		if len(problems) == 0 {
			return nil
		}
		progress := false
		for _, p := range problems {
			progress = t.leaveOut(files, p) || progress
		}
		if !progress {
			return errors.Join(problems...)
		}
	}
}

// leaveOut leaves out the innermost mutant around a problem; if there is none, all of
// those in the smallest piece of source around it that has any.
func (t *target) leaveOut(files []*ast.File, problem error) bool {
	var at types.Error
	if !errors.As(problem, &at) {
		return false
	}
	around := nodesAround(files, at.Pos)
	for _, n := range around {
		if t.drop(numberOf(n)) {
			return true
		}
	}
	for _, n := range around {
		dropped := false
		ast.Inspect(n, func(n ast.Node) bool {
			dropped = t.drop(numberOf(n)) || dropped
			return true
		})
		if dropped {
			return true
		}
	}
	return false
}

// drop leaves out the mutant with a number, unless it was left out before.
func (t *target) drop(id int) bool {
	if id == 0 || t.mutants[id-t.mutants[0].id].out != "" {
		return false
	}
	t.mutants[id-t.mutants[0].id].out = doesNotCompile
	return true
}

// nodesAround lists the nodes around a position, from the inside.
func nodesAround(files []*ast.File, at token.Pos) []ast.Node {
	var nodes []ast.Node
	for _, f := range files {
		if f.FileStart > at || at >= f.FileEnd {
			continue
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if n == nil || n.Pos() > at || at > n.End() {
				return false
			}
			nodes = append(nodes, n)
			return true
		})
	}
	slices.Reverse(nodes)
	return nodes
}

// numberOf is that of the mutant which a call to the support file selects, or a
// statement with such a condition.
func numberOf(n ast.Node) int {
	if guard, ok := n.(*ast.IfStmt); ok {
		n = guard.Cond
		if not, ok := n.(*ast.UnaryExpr); ok {
			n = not.X
		}
	}
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) == 0 {
		return 0
	}
	name, named := call.Fun.(*ast.Ident)
	literal, ok := call.Args[0].(*ast.BasicLit)
	if !named || !ok || !strings.HasPrefix(name.Name, "mut_") {
		return 0
	}
	id, _ := strconv.Atoi(literal.Value)
	return id
}
