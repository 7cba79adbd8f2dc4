package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// hunt runs tests against mutants.
type hunt struct {
	root      string // of the module
	temporary string
	floor     time.Duration       // any run may take so long
	others    map[string][]string // packages whose tests exercise a package as well
	trees     chan *tree          // one for each process at a time
	binaries  map[string]*binary  // by package name
}

// pursue runs the mutants.
func pursue(ctx context.Context, root string, o options, targets []*target, mutants []*mutant,
	say func(string, ...any)) (err error) {
	temporary, err := os.MkdirTemp("", "mutants-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(temporary)) }()
	h, err := newHunt(root, temporary, o)
	if err != nil {
		return err
	}
	if err := h.prepare(ctx, targets); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(h.binaries)) {
		b := h.binaries[name]
		say("%s: %d tests, %.1f s one by one", name, len(b.tests), b.seconds())
	}
	err = h.each(ctx, len(mutants), func(t *tree, i int) error { return h.try(ctx, t, mutants[i]) })
	say("done")
	return err
}

func newHunt(root, temporary string, o options) (*hunt, error) {
	h := &hunt{root: root, temporary: temporary, floor: o.floor, others: o.with, binaries: map[string]*binary{}}
	h.trees = make(chan *tree, runtime.NumCPU())
	for i := range cap(h.trees) {
		t, err := newTree(root, filepath.Join(temporary, fmt.Sprintf("process-%d", i)))
		if err != nil {
			return nil, err
		}
		h.trees <- t
	}
	return h, nil
}

// each calls f for 0 to n−1, with a tree of its own, several at a time. It stops at the
// first error.
func (h *hunt) each(ctx context.Context, n int, f func(t *tree, i int) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var all sync.WaitGroup
	for i := range n {
		t := <-h.trees
		if ctx.Err() != nil {
			h.trees <- t
			break
		}
		all.Go(func() {
			defer func() { h.trees <- t }()
			if err := f(t, i); err != nil {
				cancel(err)
			}
		})
	}
	all.Wait()
	return context.Cause(ctx)
}

// prepare builds the test binaries of the targets, and of the others that exercise
// them, with all mutants in them, and learns what each test reaches.
func (h *hunt) prepare(ctx context.Context, targets []*target) error {
	texts, names := map[string]string{}, map[string]bool{}
	for _, t := range targets {
		maps.Copy(texts, t.rewritten())
		for _, name := range h.exercise(t) {
			names[name] = true
		}
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		b, err := h.build(ctx, name, texts)
		if err != nil {
			return err
		}
		h.binaries[name] = b
		if err := h.learn(ctx, b); err != nil {
			return err
		}
	}
	return nil
}

func (h *hunt) build(ctx context.Context, name string, texts map[string]string) (*binary, error) {
	dir, err := os.MkdirTemp(h.temporary, "build")
	if err != nil {
		return nil, err
	}
	return build(ctx, h.root, name, dir, texts)
}

// exercise lists the packages whose tests a target's mutants are run against, its
// own first.
func (h *hunt) exercise(t *target) []string {
	var names []string
	if t.tested {
		names = append(names, t.name)
	}
	return append(names, h.others[t.name]...)
}

// try finds what becomes of a mutant.
func (h *hunt) try(ctx context.Context, t *tree, m *mutant) error {
	m.fate = unreached
	if m.patch != nil {
		return h.tryApart(ctx, t, m)
	}
	for _, name := range h.exercise(m.target) {
		for _, tests := range inTwo(h.binaries[name].reaching(m.id)) {
			if err := h.face(ctx, t, h.binaries[name], m, tests); err != nil || !m.alive() {
				return err
			}
		}
	}
	return nil
}

// tryApart builds a mutant on its own.
func (h *hunt) tryApart(ctx context.Context, t *tree, m *mutant) error {
	for _, name := range h.exercise(m.target) {
		b, err := h.build(ctx, name, m.target.patched(m))
		if err != nil {
			return err
		}
		err = h.face(ctx, t, b, m, h.binaries[name].tests)
		if err := os.RemoveAll(filepath.Dir(b.path)); err != nil {
			return err
		}
		if err != nil || !m.alive() {
			return err
		}
	}
	return nil
}

// face runs some tests against a mutant, for a few times as long as they take
// without it.
func (h *hunt) face(ctx context.Context, t *tree, b *binary, m *mutant, tests []*test) error {
	if len(tests) == 0 {
		return nil
	}
	var names []string
	limit := h.floor
	for _, test := range tests {
		names = append(names, test.name)
		limit += 5 * test.took
	}
	how, err := t.run(ctx, b, limit, nil, []string{fmt.Sprintf("%s=%d", selectVariable, m.id)},
		"-test.failfast", "-test.short", "-test.run=^("+strings.Join(names, "|")+")$")
	m.fate = map[ending]fate{passed: survived, failed: killed, timedOut: killedLate}[how]
	return err
}

// reaching lists the tests that reach a mutant.
func (b *binary) reaching(id int) []*test {
	var out []*test
	for _, t := range b.tests {
		if t.reaches[id] {
			out = append(out, t)
		}
	}
	return out
}

// quick is how long a test takes that is tried before the others.
const quick = 200 * time.Millisecond

func inTwo(tests []*test) [][]*test {
	var fast, slow []*test
	for _, t := range tests {
		if t.took <= quick {
			fast = append(fast, t)
		} else {
			slow = append(slow, t)
		}
	}
	return [][]*test{fast, slow}
}
