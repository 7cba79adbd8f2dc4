package dryrun

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
)

const (
	visits = "../../testdata/visits"
	asBase = visits + "/base"
)

// Whole visits in simulated time, each with the codes that it has to give.
// testdata/visits/README.md says how one is written.
func TestVisits(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(visits, "*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	all := newSeen()
	t.Run("all", func(t *testing.T) {
		for _, file := range files {
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
				t.Parallel()
				archive, err := txtar.ParseFile(file)
				require.NoError(t, err)
				c, err := ReadCase(archive, asBase)
				require.NoError(t, err)
				all.note(c, holdCase(t, c))
			})
		}
	})
	if !t.Failed() && flag.Lookup("test.run").Value.String() == "" {
		assert.Empty(t, all.neverCame(), "codes that no case gives prove nothing where they are lacking")
	}
}

// seen are the codes that came in any case, and those that one said are lacking.
type seen struct {
	mu           sync.Mutex
	came, lacked map[string]bool
}

func newSeen() *seen { return &seen{came: map[string]bool{}, lacked: map[string]bool{}} }

func (s *seen) note(c Case, came []Line) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, l := range came {
		s.came[l.Code] = true
	}
	for _, line := range c.Expect {
		if f := strings.Fields(line); f[0] == "lacks" && len(f) > 1 {
			s.lacked[f[1]] = true
		}
	}
}

func (s *seen) neverCame() (codes []string) {
	for code := range s.lacked {
		if !s.came[code] {
			codes = append(codes, code)
		}
	}
	return codes
}

// holdCase runs a case, holds what came of it against what it expects, and returns it.
func holdCase(t *testing.T, c Case) []Line {
	var talk bytes.Buffer
	c.Visit.Talk = &talk
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	a, err := c.Visit.Run(ctx)
	var came []Line
	if a != nil {
		came = Codes(a)
		assert.Empty(t, a.Record().Breaches(), "no visit breaks a law")
	}
	if failed := failures(c, came, err); len(failed) > 0 {
		for _, l := range came {
			t.Log(l)
		}
		t.Errorf("%s\nended by: %v\nexpected, and did not come:\n   %s", strings.TrimSpace(c.About), err,
			strings.Join(failed, "\n   "))
		if testing.Verbose() {
			t.Log(talk.String())
		}
	}
	return came
}

// failures are the expectations that what came does not meet.
func failures(c Case, came []Line, err error) (failed []string) {
	stopped, told := fmt.Sprint(err), false
	for _, line := range c.Expect {
		word, rest, _ := strings.Cut(line, " ")
		met := false
		switch word {
		case "stops": // it ends before its end, or is refused, with such an error
			told, met = true, err != nil && strings.Contains(stopped, rest)
		default:
			met = meets(word, strings.TrimSpace(rest), came)
		}
		if !met {
			failed = append(failed, line)
		}
	}
	if err != nil && !told {
		failed = append(failed, "that it runs to its end")
	}
	return failed
}

func meets(word, rest string, came []Line) bool {
	code, says, _ := strings.Cut(rest, " ")
	says = strings.TrimSpace(says)
	is := func(l Line) bool {
		return l.Code == code && strings.Contains(strings.ToLower(l.Rest), strings.ToLower(says))
	}
	listed := func(l Line) bool { return (l.Class == Found || l.Class == Limited) && is(l) }
	switch word {
	case "clean":
		return len(came) > 0 && rest == "" && Clean(came)
	case "severity":
		return severe(code, says, came)
	case "has":
		return slices.ContainsFunc(came, listed)
	case "lacks":
		return !slices.ContainsFunc(came, listed)
	case "only":
		return !slices.ContainsFunc(came, func(l Line) bool {
			return (l.Class == Found || l.Class == Limited) && !slices.Contains(strings.Fields(rest), l.Code)
		})
	case "result":
		return slices.ContainsFunc(came, func(l Line) bool { return l.Class == Result && l.Code == rest })
	case "volts":
		return slices.ContainsFunc(came, func(l Line) bool {
			return l.Class == ReadAs && l.Code == code && within(l.Rest, says)
		})
	case "finding", "limitation", "row", "note":
		return slices.ContainsFunc(came, func(l Line) bool { return string(l.Class) == word && is(l) })
	}
	return false
}

// severe tells whether a finding, limitation or note has that severity, its code and text.
func severe(severity, rest string, came []Line) bool {
	code, says, _ := strings.Cut(rest, " ")
	return slices.ContainsFunc(came, func(l Line) bool {
		return string(l.Severity) == severity && l.Code == code &&
			strings.Contains(strings.ToLower(l.Rest), strings.ToLower(strings.TrimSpace(says)))
	})
}

// within tells whether a number lies between two that are written one behind the other.
func within(number, bounds string) bool {
	low, high, _ := strings.Cut(bounds, " ")
	x, err := strconv.ParseFloat(number, 64)
	from, lowErr := strconv.ParseFloat(low, 64)
	to, highErr := strconv.ParseFloat(strings.TrimSpace(high), 64)
	return err == nil && lowErr == nil && highErr == nil && from <= x && x <= to
}

// The harness itself: an expectation that is not met fails, whatever its word.
func TestExpectations(t *testing.T) {
	practice := Line{Limited, "practice", "Visit: x", judge.Advice}
	came := []Line{{Class: Result, Code: "satisfactory with limitations"},
		{Found, "late", "2.1 Smoke: after 12 s", judge.Fault},
		practice, {ComputedAs, "adapter", "pass Adapter", ""}, {ReadAs, "supply/mains-back", "13.62", ""},
		{Standing, "only-timed", "Smoke: timed", judge.Advice}}
	for line, met := range map[string]bool{
		"result satisfactory with limitations": true, "result satisfactory": false,
		"has late": true, "has late smoke": true, "has late door": false, "has lat": false, "has adapter": false,
		"only late practice": true, "only practice": false, "only late": false,
		"lacks late": false, "lacks late door": true, "lacks silent": true,
		"finding late": true, "finding practice": false, "limitation practice": true, "limitation late": false,
		"row adapter pass": true, "row adapter fail": false, "row late": false,
		"volts supply/mains-back 13.6 13.7": true, "volts supply/mains-back 13.63 14": false,
		"volts supply/mains-back 13 13.61": false, "volts supply/mains-back": false, "volts supply/mains-off 1 20": false,
		"note only-timed": true, "note late": false, "lacks only-timed": true, "clean": false,
		"severity fault late": true, "severity danger late": false, "severity fault late door": false,
		"severity advice only-timed smoke": true, "severity fault": false,
		"nonsense": false, "stops anywhere": false,
	} {
		failed := failures(Case{Expect: []string{line}}, came, nil)
		assert.Equal(t, met, len(failed) == 0, line)
	}
	assert.True(t, Clean([]Line{practice}))
	assert.False(t, Clean([]Line{practice, {Class: Limited, Code: "not-tested"}}))
	assert.False(t, Clean([]Line{{Class: Found, Code: "practice"}}))
	assert.Empty(t, failures(Case{Expect: []string{"clean"}}, []Line{practice}, nil))
	assert.NotEmpty(t, failures(Case{Expect: []string{"clean"}}, nil, nil), "nothing came")
	stopped := fmt.Errorf("no answer is given for a question: a/b")
	assert.Empty(t, failures(Case{Expect: []string{"stops a/b"}}, nil, stopped))
	assert.NotEmpty(t, failures(Case{Expect: []string{"stops a/c"}}, nil, stopped))
	assert.Equal(t, []string{"that it runs to its end"}, failures(Case{Expect: []string{"has late"}}, came, stopped))
}

// A case that is not written as one is refused.
func TestCasesThatAreNone(t *testing.T) {
	for text, says := range map[string]string{
		"-- expect --\nresult x\n":     "in words",
		"x\n":                          "expects something",
		"x\n-- expects --\nresult x\n": `no part "expects"`,
		"x\n-- expect --\nhas a\n-- site.yaml.set --\nsupply\n":         "sets nothing",
		"x\n-- expect --\nhas a\n-- site.yaml.set --\n- supply.nil\n":   "no such key: supply.nil",
		"x\n-- expect --\nhas a\n-- site.yaml.set --\nzones.9.a: b\n":   "no such key: zones.9.a",
		"x\n-- expect --\nhas a\n-- site.yaml.set --\ninsurer: [a\n":    "insurer",
		"x\n-- expect --\nhas a\n-- answers --\n- {when: a, say: b\n\n": "answers",
	} {
		_, err := ReadCase(txtar.Parse([]byte(text)), asBase)
		assert.ErrorContains(t, err, says, text)
	}
}
