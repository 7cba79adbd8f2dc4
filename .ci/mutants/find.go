package main

import (
	"go/ast"
	"go/token"
	"go/types"
)

// finder walks through one source and lists what can be changed.
type finder struct {
	t        *target
	s        *source
	next     *int           // number of the next mutant, over all targets
	ordinals map[string]int // by function and text
	function string
	parent   ast.Node                // of the node that is looked at
	constant types.Type              // of the constant that becomes a variable, inside of its declaration
	within   map[ast.Expr]types.Type // type of the constant expression that an expression is a part of

	untouched map[ast.Node]bool // must stay as they are, with all in them
	whole     map[ast.Expr]bool // conditions that are forced both ways
	signs     map[ast.Expr]bool // of an infinity
	lone      map[ast.Stmt]bool // without them, it is as if their condition were false
	last      map[ast.Stmt]bool // end their function
}

// find lists the mutants of a target, and the edits that make them selectable.
func (t *target) find(next *int) {
	t.findVariables()
	ordinals := map[string]int{}
	for _, s := range t.sources {
		if ast.IsGenerated(s.tree) {
			continue
		}
		f := &finder{t: t, s: s, next: next, ordinals: ordinals, within: map[ast.Expr]types.Type{},
			untouched: map[ast.Node]bool{}, whole: map[ast.Expr]bool{}, signs: map[ast.Expr]bool{},
			lone: map[ast.Stmt]bool{}, last: map[ast.Stmt]bool{}}
		for _, d := range s.tree.Decls {
			f.declaration(d)
		}
	}
}

func (f *finder) declaration(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		f.function = functionName(d)
		ast.PreorderStack(d, nil, f.visit)
	case *ast.GenDecl:
		if d.Tok == token.CONST {
			f.constants(d, true)
			return
		}
		for _, spec := range d.Specs {
			if v, ok := spec.(*ast.ValueSpec); ok {
				f.function = "var " + v.Names[0].Name
				ast.PreorderStack(v, nil, f.visit)
			}
		}
	}
}

// functionName is that of a function, or type and name of a method.
func functionName(d *ast.FuncDecl) string {
	if d.Recv == nil || len(d.Recv.List) == 0 {
		return d.Name.Name
	}
	receiver := d.Recv.List[0].Type
	for {
		switch r := receiver.(type) {
		case *ast.StarExpr:
			receiver = r.X
		case *ast.IndexExpr:
			receiver = r.X
		case *ast.IndexListExpr:
			receiver = r.X
		case *ast.Ident:
			return r.Name + "." + d.Name.Name
		default:
			return d.Name.Name
		}
	}
}

// mutant adds one, at a node.
func (f *finder) mutant(n ast.Node, original, changed string) *mutant {
	m := &mutant{id: *f.next, target: f.t, position: f.t.fset.Position(n.Pos()), file: f.s.name, function: f.function,
		original: short(original, longestText), changed: short(changed, longestText)}
	*f.next++
	text := m.file + m.function + "\n" + m.original + "\n" + m.changed
	f.ordinals[text]++
	m.ordinal = f.ordinals[text]
	f.t.mutants = append(f.t.mutants, m)
	return m
}

// part adds a mutant whose text says little without what is around it.
func (f *finder) part(n ast.Node, changed string) *mutant {
	around := ""
	if f.parent != nil {
		around = " in " + short(f.text(f.parent), longestOperand)
	}
	return f.mutant(n, f.text(n), changed+around)
}

// call adds a mutant that hands a node to a function of the support file.
func (f *finder) call(n ast.Expr, helper, changed string) {
	m := f.mutant(n, f.text(n), changed)
	f.wrap(n, m, helper+"(%d, %s)")
}

func (f *finder) text(n ast.Node) string { return f.t.textOf(f.s, n) }

// between is an operator between two operands.
func (f *finder) between(x ast.Expr, operator string, y ast.Expr) string {
	return short(f.text(x), longestOperand) + " " + operator + " " + short(f.text(y), longestOperand)
}

func (f *finder) visit(n ast.Node, stack []ast.Node) bool {
	f.parent = parentOf(stack)
	switch n := n.(type) {
	case *ast.GenDecl:
		if n.Tok == token.CONST {
			f.constants(n, false)
			return false
		}
	case *ast.FuncDecl:
		f.ending(n.Type, n.Body)
	case *ast.FuncLit:
		f.ending(n.Type, n.Body)
	case *ast.ArrayType:
		if n.Len != nil {
			f.untouched[n.Len] = true
		}
	case *ast.CompositeLit:
		f.keys(n)
	case ast.Expr:
		f.expression(n)
	case ast.Stmt:
		f.statement(n)
	}
	return !f.untouched[n]
}

// parentOf is the innermost of the nodes around one that says more than a sign or brackets
// do; nil if there is none.
func parentOf(stack []ast.Node) ast.Node {
	for i := len(stack) - 1; i >= 0; i-- {
		switch stack[i].(type) {
		case *ast.UnaryExpr, *ast.ParenExpr:
			continue
		}
		return stack[i]
	}
	return nil
}

// keys leaves those of arrays and slices alone: they must be constant.
func (f *finder) keys(c *ast.CompositeLit) {
	switch f.t.info.TypeOf(c).Underlying().(type) {
	case *types.Array, *types.Slice:
		for _, e := range c.Elts {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				f.untouched[kv.Key] = true
			}
		}
	}
}
