package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// binary is the test binary of a package, built from rewritten sources.
type binary struct {
	pkg   string // its folder, relative to the module
	path  string
	tests []*test
}

// test is one test, example or fuzz test with its seeds.
type test struct {
	name    string
	took    time.Duration // by itself
	reaches map[int]bool  // numbers of mutants
}

// build makes the test binary of a package with some sources replaced, without
// touching them. dir must exist and be empty.
func build(ctx context.Context, root, name, dir string, texts map[string]string) (*binary, error) {
	replaced, n := map[string]string{}, 0
	for path, text := range texts {
		n++
		replaced[path] = filepath.Join(dir, fmt.Sprintf("%d.go", n))
		if err := os.WriteFile(replaced[path], []byte(text), 0o600); err != nil {
			return nil, err
		}
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replaced})
	if err != nil {
		return nil, err
	}
	b, file := &binary{pkg: name, path: filepath.Join(dir, "test")}, filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(file, overlay, 0o600); err != nil {
		return nil, err
	}
	_, err = goCommand(ctx, root, "test", "-c", "-vet=off", "-overlay", file, "-o", b.path, "./"+name)
	return b, err
}

// seconds is how long all tests take.
func (b *binary) seconds() float64 {
	var all time.Duration
	for _, t := range b.tests {
		all += t.took
	}
	return all.Seconds()
}
