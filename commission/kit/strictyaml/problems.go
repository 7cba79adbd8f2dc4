package strictyaml

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// ErrRefused is wrapped by every refusal of a file.
var ErrRefused = errors.New("the file was refused")

// maxShown is how many problems are printed; the rest are counted.
const maxShown = 50

// Problem is one thing that is wrong, at a place counted from 1 in lines and
// in runes. Line 0: the file as a whole.
type Problem struct {
	Line, Column int
	What         string
	Hint         string // what would be accepted
}

// Problems is all that is wrong with one file; it is an error that wraps
// ErrRefused and prints each problem with its place and, unless the file may
// hold secrets, its line.
type Problems struct {
	File   string
	List   []Problem
	lines  []string
	secret bool
}

func (p *Problems) Unwrap() error { return ErrRefused }

func (p *Problems) add(line, column int, what, hint string) {
	p.List = append(p.List, Problem{line, column, what, hint})
}

// err returns p, sorted by position, or nil when nothing is wrong.
func (p *Problems) err() error {
	if len(p.List) == 0 {
		return nil
	}
	slices.SortStableFunc(p.List, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return p
}

func (p *Problems) Error() string {
	var b strings.Builder
	for i, one := range p.List {
		if i == maxShown {
			fmt.Fprintf(&b, "%s: and %d more problems\n", p.File, len(p.List)-maxShown)
			break
		}
		p.print(&b, one)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func (p *Problems) print(b *strings.Builder, one Problem) {
	if one.Line == 0 {
		fmt.Fprintf(b, "%s: %s\n", p.File, one.What)
	} else {
		fmt.Fprintf(b, "%s:%d:%d: %s\n", p.File, one.Line, one.Column, one.What)
		p.excerpt(b, one)
	}
	if one.Hint != "" {
		fmt.Fprintf(b, "    %s\n", one.Hint)
	}
}

// excerpt prints the offending line, cut to a screen's width around the mark,
// with whatever could disturb a terminal made visible.
func (p *Problems) excerpt(b *strings.Builder, one Problem) {
	if p.secret || one.Line > len(p.lines) {
		return
	}
	const width = 90
	runes := []rune(p.lines[one.Line-1])
	from := 0
	if one.Column > width {
		from = one.Column - width/2
	}
	to := min(len(runes), from+width)
	if from >= to {
		return
	}
	shown := strings.Map(func(r rune) rune {
		if r == '\t' || !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, string(runes[from:to]))
	fmt.Fprintf(b, "  %4d | %s\n       | %s^\n", one.Line, shown, strings.Repeat(" ", one.Column-1-from))
}
