package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

func (f *finder) statement(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.IfStmt:
		f.condition(s.Cond)
		if len(s.Body.List) == 1 && s.Else == nil {
			f.lone[s.Body.List[0]] = true
		}
	case *ast.ForStmt:
		if s.Cond != nil {
			f.condition(s.Cond)
		}
	case *ast.RangeStmt:
		m := f.mutant(s, f.text(s), "not once")
		f.begin(s.Body.Lbrace, m)
		if len(s.Body.List) == 1 {
			f.lone[s.Body.List[0]] = true
		}
	case *ast.SwitchStmt:
		f.cases(s)
		f.bodies(s, s.Body)
	case *ast.TypeSwitchStmt:
		f.bodies(s, s.Body)
	case *ast.SelectStmt:
		f.bodies(s, s.Body)
	case *ast.BlockStmt:
		f.list(s.List)
	case *ast.CaseClause:
		f.list(s.Body)
	case *ast.CommClause:
		f.list(s.Body)
	}
}

// begin leaves a loop or a case at once.
func (f *finder) begin(at token.Pos, m *mutant) {
	f.token(at, 1, m, fmt.Sprintf("%s if mut_on(%d) { break };", f.s.text[f.t.offset(at):f.t.offset(at)+1], m.id))
}

// cases: without a tag, each is a condition; with one, it matches no more.
func (f *finder) cases(s *ast.SwitchStmt) {
	for _, c := range s.Body.List {
		for _, e := range c.(*ast.CaseClause).List {
			if s.Tag == nil {
				f.condition(e)
			} else {
				f.label(e)
			}
		}
	}
}

func (f *finder) label(e ast.Expr) {
	b, ok := f.t.info.TypeOf(e).Underlying().(*types.Basic)
	_, literal := ast.Unparen(e).(*ast.BasicLit)
	helper := ""
	switch {
	case ok && b.Info()&types.IsString != 0:
		helper = "mut_odd"
	case ok && b.Info()&types.IsInteger != 0 && !literal: // a literal is changed as such
		helper = "mut_far"
	default:
		return
	}
	m := f.mutant(e, "case "+f.text(e), "never")
	f.wrap(e, m, helper+"(%d, "+f.typed(e)+")")
}

// bodies leaves those cases at once that have no label which could be changed.
func (f *finder) bodies(s ast.Stmt, body *ast.BlockStmt) {
	if f.last[s] {
		return // a function must not end without a return
	}
	_, labelled := s.(*ast.SwitchStmt)
	for _, c := range body.List {
		switch c := c.(type) {
		case *ast.CaseClause:
			if !labelled || c.List == nil {
				f.leave(c, c.Colon, c.Body)
			}
		case *ast.CommClause:
			f.leave(c, c.Colon, c.Body)
		}
	}
}

func (f *finder) leave(c ast.Stmt, colon token.Pos, body []ast.Stmt) {
	if len(body) > 0 {
		f.begin(colon, f.mutant(c, f.text(c), "left at once"))
	}
	if len(body) == 1 {
		f.lone[body[0]] = true
	}
}

// list drops statements, one at a time.
func (f *finder) list(statements []ast.Stmt) {
	for _, s := range statements {
		if f.lone[s] || !f.droppable(s) {
			f.sign(s)
			continue
		}
		m := f.mutant(s, f.text(s), "dropped")
		f.wrap(s, m, "if !mut_on(%d) { %s }")
		f.sign(s)
	}
}

func (f *finder) droppable(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.AssignStmt:
		return s.Tok != token.DEFINE && !blank(s.Lhs)
	case *ast.IncDecStmt, *ast.SendStmt:
		return true
	case *ast.ExprStmt, *ast.ReturnStmt:
		return !f.last[s]
	case *ast.BranchStmt:
		return s.Tok == token.BREAK || s.Tok == token.CONTINUE
	}
	return false
}

// exchange writes an assignment with both operators.
func (f *finder) exchange(a *ast.AssignStmt, m *mutant, changed string) {
	const mark = "\x00"
	f.t.change(f.s, a, m, func(inner string) string {
		with := func(operator string) string { return strings.ReplaceAll(inner, mark, operator) }
		return fmt.Sprintf("if mut_on(%d) { %s } else { %s }", m.id, with(changed), with(a.Tok.String()))
	})
	f.token(a.TokPos, len(a.Tok.String()), m, mark)
}

func blank(names []ast.Expr) bool {
	for _, n := range names {
		if id, ok := n.(*ast.Ident); !ok || id.Name != "_" {
			return false
		}
	}
	return true
}

// sign changes the operator of an assignment like x += y.
func (f *finder) sign(s ast.Stmt) {
	a, ok := s.(*ast.AssignStmt)
	if !ok || a.Tok == token.ASSIGN || a.Tok == token.DEFINE || !isNumber(f.t.info.TypeOf(a.Lhs[0])) {
		return
	}
	for _, o := range operators {
		if o.sign+"=" != a.Tok.String() {
			continue
		}
		x, y := a.Lhs[0], a.Rhs[0]
		m := f.mutant(a, f.between(x, o.sign+"=", y), f.between(x, o.changed+"=", y))
		f.exchange(a, m, o.changed+"=")
	}
}

// ending marks the statements that end a function with results, down through its
// branches: without them it would not compile.
func (f *finder) ending(kind *ast.FuncType, body *ast.BlockStmt) {
	if kind.Results != nil && body != nil {
		f.end(body)
	}
}

func (f *finder) end(s ast.Stmt) {
	f.last[s] = true
	switch s := s.(type) {
	case *ast.BlockStmt:
		f.endList(s.List)
	case *ast.LabeledStmt:
		f.end(s.Stmt)
	case *ast.IfStmt:
		if s.Else != nil {
			f.end(s.Body)
			f.end(s.Else)
		}
	case *ast.SwitchStmt:
		f.endClauses(s.Body)
	case *ast.TypeSwitchStmt:
		f.endClauses(s.Body)
	case *ast.SelectStmt:
		f.endClauses(s.Body)
	}
}

func (f *finder) endClauses(body *ast.BlockStmt) {
	for _, c := range body.List {
		switch c := c.(type) {
		case *ast.CaseClause:
			f.endList(c.Body)
		case *ast.CommClause:
			f.endList(c.Body)
		}
	}
}

func (f *finder) endList(list []ast.Stmt) {
	if len(list) > 0 {
		f.end(list[len(list)-1])
	}
}
