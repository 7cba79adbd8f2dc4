package main

import (
	"context"
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

var heads = []string{"attack", "tried", "survived", "lost", "unnoticed", "longest sounder-on", "note"}

// table is the rows as a table of Markdown that reads well as it is.
func table(rows []row) string {
	lines := [][]string{heads, nil}
	for _, r := range rows {
		lines = append(lines, cells(r))
	}
	widths := make([]int, len(heads))
	for _, line := range lines {
		for i, cell := range line {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	widths[len(widths)-1] = 4 // the last is as long as it is
	for i := range heads {
		lines[1] = append(lines[1], strings.Repeat("-", widths[i]))
	}
	var b strings.Builder
	for _, line := range lines {
		for i, cell := range line {
			fmt.Fprintf(&b, "| %-*s ", widths[i], cell)
		}
		b.WriteString("|\n")
	}
	return b.String()
}

func cells(r row) []string {
	sounder := r.sounder
	if sounder == "" {
		sounder = "–"
	}
	out := []string{r.name}
	for _, n := range []int{r.tried, r.survived, r.lost, r.unnoticed} {
		out = append(out, strconv.Itoa(n))
	}
	return append(out, sounder, strings.ReplaceAll(strings.Join(r.notes, "; "), "|", "/"))
}

// losses lists what was lost or unnoticed, a line each.
func losses(rows []row) string {
	var b strings.Builder
	for _, r := range rows {
		for _, told := range r.told {
			fmt.Fprintf(&b, "\n%s: %s\n", r.name, told)
		}
	}
	return b.String()
}

// page is the table as it is kept.
func page(ctx context.Context, o options, rows []row, took time.Duration, now time.Time) (string, error) {
	version, err := exec.CommandContext(ctx, o.program, "--version").Output()
	if err != nil {
		return "", err
	}
	commit, err := commitOf(ctx, o.root)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# The proof\n\nWhat attacks on the program came to, on %s, with `%s`\n(seed %d): %s, commit %s.\n"+
		"It took %s. What the rows and columns mean stands in `.ci/proof`.\n\n%s\nNot tried:\n\n- %s\n",
		now.Format(time.DateOnly), strings.TrimSpace("go run ./.ci/proof "+o.args), o.seed,
		strings.TrimSpace(string(version)), commit, took.Round(time.Second), table(rows), strings.Join(untried, "\n- "))
	if lost := losses(rows); lost != "" {
		fmt.Fprintf(&b, "\n## Lost or unnoticed\n%s", lost)
	}
	return b.String(), nil
}

// untried is what could not be tried.
var untried = []string{
	"power cuts on real hardware: disks that lie about what they have written",
	"network file systems",
	"other systems than Linux",
	"the real suspension of a computer",
	"setting a real clock",
}

// commitOf is the commit that the work tree stands on, and whether it was changed since.
func commitOf(ctx context.Context, root string) (string, error) {
	git := func(args ...string) (string, error) {
		cmd := exec.CommandContext(ctx, "git", args...)
		cmd.Dir = root
		out, err := cmd.Output()
		return strings.TrimSpace(string(out)), err
	}
	commit, err := git("rev-parse", "--short", "HEAD")
	if err != nil {
		return "", fmt.Errorf("ask git for the commit: %w", err)
	}
	if changed, err := git("status", "--porcelain", "--", "*.go", "go.mod"); err != nil || changed != "" {
		commit += " and changes"
	}
	return commit, nil
}
