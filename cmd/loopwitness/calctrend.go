package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/kit/screen"
)

func newCalcTrend(s streams) *cobra.Command {
	cmd := calculator(
		s,
		"trend FILE",
		"Whether values rise or fall with time",
		"Mann–Kendall test and Theil–Sen slope of values at times. Each line is: time,value. A time is a number, or a\n"+
			"date such as 2026-11-24 or 2026-11-24T10:30:00Z; all are of one kind, and dates count in years of 365.25 days\n"+
			"from the first. A value that is left empty is missing: it is passed over, the others stay at their times.\n"+
			"Lines that begin with # and one heading are passed over. The order of lines does not matter.\n"+
			"Up to ten values at different times the probability is exact. Fewer than four claim no trend.",
		func(args []string) (*answer, error) { return trendOfFile(args[0]) },
	)
	cmd.Args = cobra.ExactArgs(1)
	return cmd
}

// series are values at times, as a file has them.
type series struct {
	times, values []float64
	missing       int
	dates         bool // times are in years since the first date that stood there
}

const (
	// trendLevel is the level at which a trend is shown, one-sided.
	trendLevel = 0.05
	// trendConfidence is that of a slope's interval.
	trendConfidence = 0.95
	yearHours       = 365.25 * 24
)

func trendOfFile(path string) (*answer, error) {
	f, err := readfile.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	found, err := readSeries(path, f)
	if err != nil {
		return nil, err
	}
	t, err := checks.MannKendall(found.times, found.values, trendConfidence)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", screen.Clean(path), err)
	}
	a := newAnswer()
	a.values["n"], a.values["s"] = t.N, t.S
	a.set("var_s", t.VarS)
	a.set("z", t.Z)
	a.set("p_two_sided", t.TwoSided)
	a.set("p_exact_one_sided", math.NaN())
	if !t.Tied {
		a.set("p_exact_one_sided", t.Exact)
	}
	a.set("slope_per_unit", t.Slope)
	a.set("slope_low", t.Low)
	a.set("slope_high", t.High)
	sayTrend(a, found, t)
	return a, nil
}

// sayTrend shows the working.
func sayTrend(a *answer, found series, t checks.Trend) {
	row := func(label, format string, args ...any) { a.say("%-18s "+format, append([]any{label}, args...)...) }
	missing := ""
	if found.missing > 0 {
		missing = fmt.Sprintf("; missing and passed over: %d", found.missing)
	}
	row("n", "%d%s", t.N, missing)
	row("S", "%d = pairs that rise with time − pairs that fall, of %d", t.S, t.N*(t.N-1)/2)
	ties := "no ties: n(n−1)(2n+5)/18"
	if t.Tied {
		ties = "with its terms for ties"
	}
	row("Var(S)", "%s, %s", num(t.VarS), ties)
	row("Z", "%s = (|S| − 1)/√Var(S), with the sign of S", num(t.Z))
	row("p, two-sided", "%s, normal approximation", num(t.TwoSided))
	switch {
	case !math.IsNaN(t.Exact) && t.Tied:
		row("p, one-sided", "%s, exact, over all orders of the values, some of which are equal", num(t.Exact))
	case !math.IsNaN(t.Exact):
		row("p, one-sided", "%s, exact, over all orders of the values", num(t.Exact))
	default:
		row("p, one-sided", "%s, half of the two-sided: exact only for up to 10 values at different times", num(t.OneSided()))
	}
	unit := "per unit of time"
	if found.dates {
		unit = "per year of 365.25 days"
	}
	if t.Pairs == 0 {
		row("slope", "none: all times are equal")
	} else {
		row("slope", "%s %s: Theil–Sen, the median of %d slopes", num(t.Slope), unit, t.Pairs)
	}
	switch {
	case t.Pairs == 0:
	case math.IsNaN(t.Low):
		row("95 % interval", "none: too few values; its lower end would be slope number %s of %d (Gilbert)", num(t.Rank),
			t.Pairs)
	default:
		row("95 % interval", "%s to %s (Gilbert: slopes number %s and %s of %d, by rank)", num(t.Low), num(t.High),
			num(t.Rank), num(float64(t.Pairs)-t.Rank+1), t.Pairs)
	}
	a.say("Mann–Kendall, one-sided at 5 %%: %s", claim(t))
}

// claim is what a trend shows.
func claim(t checks.Trend) string {
	switch {
	case t.N < checks.FewestForTrend:
		return fmt.Sprintf("no trend is claimed from fewer than %d values.", checks.FewestForTrend)
	case !t.Claimed(trendLevel):
		return "no trend is shown, which is not to say that there is none."
	case t.S > 0:
		return "the values rise."
	}
	return "the values fall."
}

// seriesReader reads lines of a time and a value.
type seriesReader struct {
	name   string
	line   int
	headed bool
	first  time.Time
	series
}

// readSeries reads a time and a value a line; errors name file, line and column.
func readSeries(name string, r io.Reader) (series, error) {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, maxLine), maxLine)
	s := seriesReader{name: screen.Clean(name)}
	for lines.Scan() {
		s.line++
		raw := lines.Text()
		if s.line == 1 {
			raw = strings.TrimPrefix(raw, "\ufeff")
		}
		if text := strings.TrimSpace(raw); text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		if err := s.take(raw); err != nil {
			return series{}, err
		}
	}
	if errors.Is(lines.Err(), bufio.ErrTooLong) {
		return series{}, fmt.Errorf("%s:%d:1: a line longer than %d bytes; one time and one value a line", s.name, s.line+1,
			maxLine)
	}
	return s.series, lines.Err()
}

// refuse is an error about what stands in a line from a byte on.
func (s *seriesReader) refuse(raw string, at int, format string, args ...any) error {
	column := utf8.RuneCountInString(raw[:at]) + 1
	return fmt.Errorf("%s:%d:%d: %s", s.name, s.line, column, fmt.Sprintf(format, args...))
}

func (s *seriesReader) take(raw string) error {
	left, right, two := strings.Cut(raw, ",")
	if !two || strings.Contains(right, ",") {
		at := len(left)
		if two {
			at = strings.LastIndex(raw, ",")
		}
		return s.refuse(raw, at, "a line has a time and a value, with one comma between them")
	}
	timeAt, timeText := field(left, 0)
	valueAt, valueText := field(right, len(left)+1)
	if !s.headed && len(s.times)+s.missing == 0 && isHeading(timeText) && isHeading(valueText) {
		s.headed = true
		return nil
	}
	at, dated, err := s.time(timeText)
	if err != nil {
		return s.refuse(raw, timeAt, "%v", err)
	}
	s.dates = dated
	if valueText == "" {
		s.missing++
		return nil
	}
	v, err := strconv.ParseFloat(valueText, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return s.refuse(raw, valueAt, "%q is no number; write it with a decimal point, or leave it empty where it is missing",
			screen.Cut(screen.Clean(valueText), 40))
	}
	if len(s.values) == checks.MostForTrend {
		return s.refuse(raw, valueAt, "more than %d values", checks.MostForTrend)
	}
	s.times, s.values = append(s.times, at), append(s.values, v)
	return nil
}

// field is a text without what surrounds it, and where it begins in its line.
func field(text string, from int) (at int, inner string) {
	inner = strings.TrimSpace(text)
	if inner == "" {
		return from, ""
	}
	at = from + strings.Index(text, inner)
	if quoted := strings.TrimPrefix(inner, `"`); len(quoted) > 0 && quoted != inner && strings.HasSuffix(quoted, `"`) {
		return at + 1, strings.TrimSuffix(quoted, `"`)
	}
	return at, inner
}

// isHeading tells a name of a column from a slip in a number.
func isHeading(text string) bool { return text != "" && !startsLikeNumber(text) }

// dateForms are the forms of a date, the usual one first.
var dateForms = []string{time.DateOnly, time.RFC3339Nano, "2006-01-02T15:04"}

// time is a number, or a date as years since the first one.
func (s *seriesReader) time(text string) (at float64, dated bool, err error) {
	mixed := errors.New("times are either all numbers or all dates")
	begun := len(s.times)+s.missing > 0
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		if begun && s.dates {
			return 0, false, mixed
		}
		return v, false, nil
	}
	for _, form := range dateForms {
		day, err := time.Parse(form, text)
		if err != nil {
			continue
		}
		switch {
		case !begun:
			s.first = day
		case !s.dates:
			return 0, false, mixed
		}
		// In seconds: a duration in nanoseconds holds no more than 292 years.
		return float64(day.Unix()-s.first.Unix())/3600/yearHours +
			float64(day.Nanosecond()-s.first.Nanosecond())/1e9/3600/yearHours, true, nil
	}
	return 0, false, fmt.Errorf("%q is no time; write a number, or a date as 2026-11-24",
		screen.Cut(screen.Clean(text), 40))
}
