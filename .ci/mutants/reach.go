package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// cleanLimit bounds a run without any mutant.
const cleanLimit = 10 * time.Minute

// learn runs each test of a binary by itself, without any mutant, and notes how
// long it takes and which mutants it reaches; then all of them together.
func (h *hunt) learn(ctx context.Context, b *binary) error {
	names, err := h.names(ctx, b)
	if err != nil {
		return err
	}
	b.tests = make([]*test, len(names))
	err = h.each(ctx, len(names), func(t *tree, i int) (err error) {
		b.tests[i], err = h.alone(ctx, t, b, names[i])
		return err
	})
	if err != nil {
		return err
	}
	return h.each(ctx, 1, func(t *tree, _ int) error {
		_, err := clean(ctx, t, b, nil)
		return err
	})
}

// clean runs a binary without any mutant; a failure is an error.
func clean(ctx context.Context, t *tree, b *binary, env []string, args ...string) (string, error) {
	var out bytes.Buffer
	how, err := t.run(ctx, b, cleanLimit, &out, env, args...)
	if err == nil && how != passed {
		err = fmt.Errorf("%s %s: fails without any mutant:\n%s", b.pkg, strings.Join(args, " "), out.Bytes())
	}
	return out.String(), err
}

// names lists the tests of a binary.
func (h *hunt) names(ctx context.Context, b *binary) ([]string, error) {
	var names []string
	err := h.each(ctx, 1, func(t *tree, _ int) error {
		out, err := clean(ctx, t, b, nil, "-test.list=.")
		for _, line := range strings.Fields(out) {
			if isTest.MatchString(line) {
				names = append(names, line)
			}
		}
		return err
	})
	return names, err
}

var isTest = regexp.MustCompile(`^(Test|Fuzz|Example)`)

func (h *hunt) alone(ctx context.Context, t *tree, b *binary, name string) (*test, error) {
	reached := b.path + "." + name
	start := time.Now()
	if _, err := clean(ctx, t, b, []string{reachedVariable + "=" + reached}, "-test.short", "-test.run=^"+name+"$"); err != nil {
		return nil, err
	}
	found := &test{name: name, took: time.Since(start), reaches: map[int]bool{}}
	data, err := os.ReadFile(reached)
	if err != nil && !os.IsNotExist(err) {
		return nil, err
	}
	for _, line := range strings.Fields(string(data)) {
		id, err := strconv.Atoi(line)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", reached, err)
		}
		found.reaches[id] = true
	}
	return found, nil
}
