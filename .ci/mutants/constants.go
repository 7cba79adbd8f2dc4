package main

import (
	"go/ast"
	"go/token"
	"go/types"
)

// constants makes the numbers in a declaration of constants selectable by making
// them variables, where nothing needs them to be constant. Otherwise each such
// mutant is built on its own.
func (f *finder) constants(d *ast.GenDecl, named bool) {
	variable := f.t.variables[d]
	if variable {
		f.t.makeVariable(f.s, d, !named)
	} else if !numeric(d) {
		return
	}
	for _, spec := range d.Specs {
		v := spec.(*ast.ValueSpec)
		if named {
			f.function = "const " + v.Names[0].Name
		}
		if variable {
			f.constant = f.t.constantType(v)
			ast.PreorderStack(v, nil, f.visit)
			f.constant = nil
		} else {
			ast.PreorderStack(v, nil, f.apart)
		}
	}
}

// apart lists the numbers in a constant as mutants that are built on their own.
func (f *finder) apart(n ast.Node, stack []ast.Node) bool {
	f.parent = parentOf(stack)
	if e, ok := n.(*ast.BasicLit); ok {
		for _, other := range others(e) {
			m := f.part(e, other)
			m.patch = &patch{f.s, f.t.offset(e.Pos()), f.t.offset(e.End()), "(" + other + ")"}
		}
	}
	return true
}

// numeric tells whether each constant of a declaration is written out, and
// numbers occur in it.
func numeric(d *ast.GenDecl) bool {
	numbers, counted := false, false
	for _, spec := range d.Specs {
		v := spec.(*ast.ValueSpec)
		counted = counted || len(v.Values) == 0
		for _, e := range v.Values {
			ast.Inspect(e, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.BasicLit:
					numbers = numbers || n.Kind == token.INT || n.Kind == token.FLOAT
				case *ast.Ident:
					counted = counted || n.Name == "iota"
				}
				return true
			})
		}
	}
	return numbers && !counted
}

// candidate is a declaration of constants that may become variables.
type candidate struct {
	source *source
	decl   *ast.GenDecl
	local  bool
}

// findVariables finds those that compile as variables: all of them together, or
// else one after the other.
func (t *target) findVariables() {
	all := t.candidates()
	if t.vary(all) {
		return
	}
	var good []candidate
	for _, c := range all {
		if t.vary(append(good[:len(good):len(good)], c)) {
			good = append(good, c)
		}
	}
}

func (t *target) candidates() []candidate {
	var all []candidate
	for _, s := range t.sources {
		level := map[ast.Node]bool{}
		for _, d := range s.tree.Decls {
			level[d] = true
		}
		ast.Inspect(s.tree, func(n ast.Node) bool {
			d, ok := n.(*ast.GenDecl)
			if ok && d.Tok == token.CONST && numeric(d) && separate(d, !level[d]) {
				all = append(all, candidate{s, d, !level[d]})
			}
			return true
		})
	}
	return all
}

// vary notes the candidates as variables if they compile.
func (t *target) vary(candidates []candidate) bool {
	for _, c := range candidates {
		t.makeVariable(c.source, c.decl, c.local)
	}
	_, problems := t.compile(t.rewritten())
	for _, s := range t.sources {
		s.edits = nil
	}
	for _, c := range candidates {
		t.variables[c.decl] = t.variables[c.decl] || len(problems) == 0
	}
	return len(problems) == 0
}

// separate tells whether no other package can see the constants, and each is
// declared on its own.
func separate(d *ast.GenDecl, local bool) bool {
	for _, spec := range d.Specs {
		v := spec.(*ast.ValueSpec)
		if len(v.Names) != 1 || !local && v.Names[0].IsExported() {
			return false
		}
	}
	return true
}

func (t *target) makeVariable(s *source, d *ast.GenDecl, local bool) {
	unused := ""
	for _, spec := range d.Specs {
		unused += "; _ = " + spec.(*ast.ValueSpec).Names[0].Name
	}
	if local { // a variable has to be used
		t.change(s, d, nil, func(inner string) string { return inner + unused })
	}
	start := t.offset(d.Pos())
	s.edits = append(s.edits, edit{start, start + len("const"), nil, func(string) string { return "var" }})
	for _, spec := range d.Specs {
		v := spec.(*ast.ValueSpec)
		if v.Type == nil {
			typ := t.typeName(s, t.constantType(v))
			t.change(s, v.Names[0], nil, func(inner string) string { return inner + " " + typ })
		}
	}
}

// constantType is that with which a constant is used; if there is none, or more
// than one, that which it has by itself.
func (t *target) constantType(v *ast.ValueSpec) types.Type {
	object := t.info.Defs[v.Names[0]]
	if !isUntyped(object.Type()) {
		return object.Type()
	}
	var used types.Type
	for id, o := range t.info.Uses {
		if o != object {
			continue
		}
		as := types.Default(t.info.Types[id].Type)
		if used != nil && !types.Identical(used, as) {
			return types.Default(object.Type())
		}
		used = as
	}
	if used == nil {
		return types.Default(object.Type())
	}
	return used
}
