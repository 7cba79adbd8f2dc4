package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
)

// wrap adds an edit that puts the mutant's number and the node into a format.
func (f *finder) wrap(n ast.Node, m *mutant, format string) {
	f.t.change(f.s, n, m, func(inner string) string { return fmt.Sprintf(format, m.id, inner) })
}

// token replaces an operator.
func (f *finder) token(at token.Pos, length int, m *mutant, text string) {
	start := f.t.offset(at)
	f.s.edits = append(f.s.edits, edit{start, start + length, m, func(string) string { return text }})
}

func (f *finder) expression(e ast.Expr) {
	if f.untouched[e] {
		return
	}
	f.parts(e)
	switch e := e.(type) {
	case *ast.BinaryExpr:
		f.binary(e)
	case *ast.UnaryExpr:
		f.unary(e)
	case *ast.CallExpr:
		f.infinity(e)
	case *ast.BasicLit:
		f.number(e)
	case *ast.Ident:
		if c, ok := f.t.info.Uses[e].(*types.Const); ok && c.Pkg() == nil && (e.Name == "true" || e.Name == "false") {
			m := f.part(e, map[string]string{"true": "false", "false": "true"}[e.Name])
			f.wrap(e, m, "mut_not(%d, %s)")
		}
	}
}

// boundaries: the function that moves it, and the operator that it becomes;
// opposites: the operator of the negation.
var (
	boundaries = map[token.Token][2]string{token.LSS: {"mut_lss", "<="}, token.LEQ: {"mut_leq", "<"},
		token.GTR: {"mut_gtr", ">="}, token.GEQ: {"mut_geq", ">"}}
	opposites = map[token.Token]string{token.LSS: ">=", token.LEQ: ">", token.GTR: "<=", token.GEQ: "<",
		token.EQL: "!=", token.NEQ: "=="}
)

func (f *finder) binary(e *ast.BinaryExpr) {
	if f.t.info.Types[e].Value != nil {
		return // a constant: its numbers are changed, if at all
	}
	if o := opposites[e.Op]; o != "" && !f.whole[e] {
		f.call(e, "mut_not", f.between(e.X, o, e.Y))
	}
	if b, ok := boundaries[e.Op]; ok {
		f.operator(e, b[0], f.between(e.X, b[1], e.Y))
	}
	if e.Op == token.LAND || e.Op == token.LOR {
		f.logic(e)
	}
	for _, o := range operators {
		if o.sign == e.Op.String() && isNumber(f.t.info.TypeOf(e)) {
			f.operator(e, o.name, f.between(e.X, o.changed, e.Y))
		}
	}
}

// operator hands both operands to a function of the support file.
func (f *finder) operator(e *ast.BinaryExpr, helper, changed string) {
	m := f.mutant(e, f.between(e.X, e.Op.String(), e.Y), changed)
	f.wrap(e, m, helper+"(%d, %s)")
	f.token(e.OpPos, len(e.Op.String()), m, ",")
}

func isNumber(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&(types.IsInteger|types.IsFloat) != 0
}

// logic exchanges && and ||, by De Morgan: a || b is !(!a && !b). Besides, each
// operand is dropped.
func (f *finder) logic(e *ast.BinaryExpr) {
	other := map[token.Token]string{token.LAND: "||", token.LOR: "&&"}[e.Op]
	m := f.mutant(e, f.between(e.X, e.Op.String(), e.Y), f.between(e.X, other, e.Y))
	f.wrap(e, m, "mut_not(%d, %s)")
	for _, operand := range []ast.Expr{e.X, e.Y} {
		f.wrap(operand, m, "mut_not(%d, %s)")
		if b, ok := ast.Unparen(operand).(*ast.BinaryExpr); ok && b.Op == e.Op {
			continue // its own operands are dropped
		}
		if e.Op == token.LAND {
			f.call(operand, "mut_true", "true")
		} else {
			f.call(operand, "mut_false", "false")
		}
	}
}

// condition forces it both ways. That is more than to negate it.
func (f *finder) condition(e ast.Expr) {
	f.whole[ast.Unparen(e)] = true
	f.call(e, "mut_true", "true")
	f.call(e, "mut_false", "false")
}

func (f *finder) unary(e *ast.UnaryExpr) {
	switch {
	case e.Op == token.NOT && !f.whole[e]:
		f.call(e, "mut_not", f.text(e.X))
	case e.Op == token.SUB && isNumber(f.t.info.TypeOf(e)):
		m := f.part(e, f.text(e.X))
		f.wrap(e, m, "mut_neg(%d, "+f.typed(e)+")")
	}
}

// typed is a format that gives a constant its type.
func (f *finder) typed(e ast.Expr) string {
	if f.t.info.Types[e].Value == nil {
		return "%s"
	}
	return f.t.typeName(f.s, f.typeOf(e)) + "(%s)"
}

// typeOf is the type that a constant takes. A part of a constant expression has
// none of its own: it takes that of the whole.
func (f *finder) typeOf(e ast.Expr) types.Type {
	t := f.t.info.TypeOf(e)
	switch {
	case !isUntyped(t):
		return t
	case f.within[e] != nil:
		return f.within[e]
	case f.constant != nil:
		return f.constant
	}
	return t
}

// parts notes the type that the parts of an expression take.
func (f *finder) parts(e ast.Expr) {
	if f.t.info.Types[e].Value == nil {
		return
	}
	switch x := e.(type) {
	case *ast.BinaryExpr:
		f.within[x.X], f.within[x.Y] = f.typeOf(e), f.typeOf(e)
	case *ast.UnaryExpr:
		f.within[x.X] = f.typeOf(e)
	case *ast.ParenExpr:
		f.within[x.X] = f.typeOf(e)
	}
}

func isUntyped(t types.Type) bool {
	b, ok := t.(*types.Basic)
	return ok && b.Info()&types.IsUntyped != 0
}

// number changes a number that is written: a whole one to the next; any other,
// which is a measure as a rule, to twice itself and to a tenth more. Of the sign that
// math.Inf and math.IsInf take, the size says nothing: it is turned round.
func (f *finder) number(e *ast.BasicLit) {
	all := others(e)
	if f.signs[e] && e.Value != "0" {
		all = []string{"-" + e.Value}
	}
	for _, other := range all {
		m := f.part(e, other)
		f.wrap(e, m, "mut_alt(%d, "+f.typed(e)+", "+other+")")
	}
}

// infinity notes the sign that an infinity is made of or asked for.
func (f *finder) infinity(call *ast.CallExpr) {
	s, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || len(call.Args) == 0 {
		return
	}
	o := f.t.info.Uses[s.Sel]
	if o == nil || o.Pkg() == nil || o.Pkg().Path() != "math" || !strings.HasSuffix(o.Name(), "Inf") {
		return
	}
	sign := call.Args[len(call.Args)-1]
	f.signs[sign] = true
	if u, ok := sign.(*ast.UnaryExpr); ok {
		f.untouched[u.X] = true // it is turned round as a whole
	}
}

func others(e *ast.BasicLit) []string {
	if e.Kind != token.INT && e.Kind != token.FLOAT {
		return nil
	}
	zero := constant.Sign(constant.MakeFromLiteral(e.Value, e.Kind, 0)) == 0
	if e.Kind == token.INT || zero {
		return []string{e.Value + " + 1"}
	}
	return []string{"2 * " + e.Value, "1.1 * " + e.Value}
}
