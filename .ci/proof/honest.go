package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/rogpeppe/go-internal/txtar"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/journal"
)

// honest is a journal that the program wrote, of a visit in which nobody deceived.
type honest struct {
	name    string
	entries []journal.Entry
	done    bool // the visit came to its end
}

// keptJournals are those of testdata/journals.
func (o options) keptJournals() (all []honest, err error) {
	files, err := filepath.Glob(filepath.Join(o.root, "testdata", "journals", "*.jsonl"))
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("no kept journals: %w", err)
	}
	for _, file := range files {
		c, err := journal.ReadFile(file)
		if err != nil {
			return nil, err
		}
		all = append(all, honest{strings.TrimSuffix(filepath.Base(file), ".jsonl"), c.Entries, true})
	}
	return all, nil
}

// visitedJournals are those of n of the cases of testdata/visits, evenly; all for none. A case
// whose files are refused has no journal.
func (o options) visitedJournals(ctx context.Context, n int) ([]honest, error) {
	folder := filepath.Join(o.root, "testdata", "visits")
	files, err := filepath.Glob(filepath.Join(folder, "*.txtar"))
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("no visits: %w", err)
	}
	files = some(files, n)
	all := make([]honest, len(files))
	err = each(ctx, len(files), func(i int) (err error) {
		all[i], err = visited(ctx, files[i], filepath.Join(folder, "base"))
		return err
	})
	return slices.DeleteFunc(all, func(h honest) bool { return len(h.entries) == 0 }), err
}

// visited runs a case. That the visit stops before its end is what some cases are about.
func visited(ctx context.Context, file, base string) (honest, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return honest{}, err
	}
	c, err := dryrun.ReadCase(txtar.Parse(text), base)
	if err != nil {
		return honest{}, fmt.Errorf("%s: %w", filepath.Base(file), err)
	}
	data, came := c.Visit.Journal(ctx)
	if len(data) == 0 {
		return honest{}, ctx.Err()
	}
	all, err := entriesOf(data)
	return honest{strings.TrimSuffix(filepath.Base(file), ".txtar"), all, came == nil}, err
}

// some are n of them, evenly from the first on; all where n is none or as many.
func some[T any](all []T, n int) (few []T) {
	if n <= 0 || n >= len(all) {
		return all
	}
	for i := range n {
		few = append(few, all[i*len(all)/n])
	}
	return few
}
