package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/kit/screen"
)

func newCalcTimes(s streams) *cobra.Command {
	cmd := calculator(
		s,
		"times FILE",
		"Summary of response times",
		"Number, mean, standard deviation (n − 1), lag-1 autocorrelation, percentiles (p(N+1), Hyndman–Fan 6) and\n"+
			"the longest of the numbers in a file, one a line, in the order they were taken. Lines that begin with #\n"+
			"and one heading are passed over.",
		func(args []string) (*answer, error) { return summariseFile(args[0]) },
	)
	cmd.Args = cobra.ExactArgs(1)
	return cmd
}

func summariseFile(path string) (*answer, error) {
	f, err := readfile.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	values, err := readNumbers(path, f)
	if err != nil {
		return nil, err
	}
	t, err := checks.Summarise(values)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	a := newAnswer()
	a.values["n"] = t.N
	for _, row := range []struct {
		key, label string
		value      float64
	}{
		{"mean", "mean", t.Mean},
		{"standard_deviation", "standard deviation (n − 1)", t.StandardDeviation},
		{"lag1_autocorrelation", "lag-1 autocorrelation", t.Lag1},
		{"p50", "50 % within", t.P50},
		{"p90", "90 % within", t.P90},
		{"p95", "95 % within", t.P95},
		{"max", "longest", t.Max},
	} {
		a.set(row.key, row.value)
		text := "–" // one reading has no deviation, equal ones no autocorrelation
		if !math.IsNaN(row.value) {
			text = strconv.FormatFloat(row.value, 'g', 10, 64)
		}
		a.say("%-28s %s", row.label, text)
	}
	a.working = append(
		[]string{fmt.Sprintf("%-28s %d", "n", t.N)},
		append(a.working, "Percentiles by p(N+1), Hyndman–Fan 6.")...)
	return a, nil
}

// maxLine bounds a line: no number is longer.
const maxLine = 4096

// readNumbers reads one number a line; errors name file, line and column.
func readNumbers(name string, r io.Reader) ([]float64, error) {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, maxLine), maxLine)
	var out []float64
	headed := false
	n := 0
	for lines.Scan() {
		n++
		raw := lines.Text()
		text := strings.TrimSpace(strings.TrimPrefix(raw, "\ufeff"))
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		switch {
		case err == nil && !math.IsNaN(v) && !math.IsInf(v, 0):
			out = append(out, v)
		case len(out) == 0 && !headed && !startsLikeNumber(text):
			headed = true
		default:
			return nil, fmt.Errorf("%s:%d:%d: %q is no number; one number a line, with a decimal point", name, n,
				len(raw)-len(strings.TrimLeft(raw, " \t"))+1, screen.Cut(screen.Clean(text), 40))
		}
	}
	if errors.Is(lines.Err(), bufio.ErrTooLong) {
		return nil, fmt.Errorf("%s:%d:1: a line longer than %d bytes; one number a line", name, n+1, maxLine)
	}
	return out, lines.Err()
}

// startsLikeNumber tells a slip in a number from a heading.
func startsLikeNumber(text string) bool {
	lower := strings.ToLower(text)
	return strings.ContainsAny(text[:1], "0123456789+-.") || lower == "nan" || strings.HasPrefix(lower, "inf")
}
