package main

import (
	"fmt"
	"slices"
	"strings"
)

// mostDiffering is how many lines that differ are shown.
const mostDiffering = 12

// mostCompared bounds the lines that are compared one by one; of longer texts, all between
// the first and the last that differ is shown as changed.
const mostCompared = 1500

// differing are the lines in which two texts differ, the earlier with a minus before it,
// the later with a plus; the first few of them, and how many more there are.
func differing(earlier, later string, most int) []string {
	a, b := strings.Split(strings.TrimSuffix(earlier, "\n"), "\n"), strings.Split(strings.TrimSuffix(later, "\n"), "\n")
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	lines := edits(a, b)
	if len(lines) == 0 {
		return []string{"(only in how it ends)"}
	}
	if len(lines) > most {
		return append(slices.Clip(lines[:most]), fmt.Sprintf("… and %d more lines", len(lines)-most))
	}
	return lines
}

// linesBefore is how many lines that stay stand before those that change.
const linesBefore = 2

// changing are the lines of a text that change, as differing has them, with some that stay
// before each place.
func changing(earlier, later string) []string {
	var shown []string
	all := aligned(strings.Split(strings.TrimSuffix(earlier, "\n"), "\n"),
		strings.Split(strings.TrimSuffix(later, "\n"), "\n"))
	for i, line := range all {
		near := slices.ContainsFunc(all[i:min(i+linesBefore+1, len(all))], changed)
		switch {
		case near:
			shown = append(shown, line)
		case len(shown) > 0 && shown[len(shown)-1] != "…":
			shown = append(shown, "…")
		}
	}
	return shown
}

func changed(line string) bool { return !strings.HasPrefix(line, "  ") }

// edits are the lines to take away and to add.
func edits(a, b []string) []string {
	return slices.DeleteFunc(aligned(a, b), func(line string) bool { return !changed(line) })
}

// aligned are the lines to take away and to add, and those that stay with blanks before
// them, by the longest common subsequence.
func aligned(a, b []string) []string {
	var lines []string
	if len(a) > mostCompared || len(b) > mostCompared {
		for _, l := range a {
			lines = append(lines, "- "+l)
		}
		for _, l := range b {
			lines = append(lines, "+ "+l)
		}
		return lines
	}
	common := make([][]int, len(a)+1)
	for i := range common {
		common[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if common[i][j] = max(common[i+1][j], common[i][j+1]); a[i] == b[j] {
				common[i][j] = common[i+1][j+1] + 1
			}
		}
	}
	i, j := 0, 0
	for i < len(a) || j < len(b) {
		switch {
		case i < len(a) && j < len(b) && a[i] == b[j]:
			lines = append(lines, "  "+a[i])
			i, j = i+1, j+1
		case i < len(a) && (j == len(b) || common[i+1][j] >= common[i][j+1]):
			lines = append(lines, "- "+a[i])
			i++
		default:
			lines = append(lines, "+ "+b[j])
			j++
		}
	}
	return lines
}
