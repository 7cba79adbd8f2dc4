package main

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// edit wraps a piece of a source. Edits are nested or apart, never crossed; of
// two with the same bounds, the one made first is the outer one.
type edit struct {
	start, end int     // in bytes
	mutant     *mutant // that it belongs to; nil if it always holds
	wrap       func(inner string) string
}

// change adds an edit of a node.
func (t *target) change(s *source, n ast.Node, m *mutant, wrap func(string) string) {
	s.edits = append(s.edits, edit{t.offset(n.Pos()), t.offset(n.End()), m, wrap})
}

// rewritten is the source with all mutants that were not left out.
func (s *source) rewritten(t *target) string {
	var edits []edit
	for _, e := range s.edits {
		if e.mutant == nil || e.mutant.out == "" {
			edits = append(edits, e)
		}
	}
	slices.SortStableFunc(edits, func(a, b edit) int {
		return cmp.Or(cmp.Compare(a.start, b.start), cmp.Compare(b.end, a.end))
	})
	head := t.offset(s.tree.Name.End())
	body := render(s.text, edits, head, len(s.text))
	return s.text[:head] + s.imports(body) + body
}

func render(text string, edits []edit, start, end int) string {
	var out strings.Builder
	for len(edits) > 0 {
		e, inside := edits[0], 1
		for inside < len(edits) && edits[inside].start < e.end {
			inside++
		}
		out.WriteString(text[start:e.start])
		out.WriteString(e.wrap(render(text, edits[1:inside], e.start, e.end)))
		start, edits = e.end, edits[inside:]
	}
	out.WriteString(text[start:end])
	return out.String()
}

// imports are those that the body needs for the types that were named in it.
func (s *source) imports(body string) string {
	var out strings.Builder
	for _, path := range slices.Sorted(maps.Keys(s.aliases)) {
		if alias := s.aliases[path]; strings.Contains(body, alias+".") {
			fmt.Fprintf(&out, "; import %s %q", alias, path)
		}
	}
	return out.String()
}

// typeName is how a type is written in the source.
func (t *target) typeName(s *source, typ types.Type) string {
	return types.TypeString(types.Default(typ), func(p *types.Package) string {
		if p.Path() == t.path {
			return ""
		}
		if s.aliases[p.Path()] == "" {
			s.aliases[p.Path()] = fmt.Sprintf("mut_%d", len(s.aliases))
		}
		return s.aliases[p.Path()]
	})
}
