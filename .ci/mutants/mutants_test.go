package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// module writes a module with some files and gives its folder. All that the tool makes
// beside it goes to a temporary folder of the test's.
func module(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("TMPDIR", t.TempDir())
	files["go.mod"] = "module tiny\n\ngo 1.26\n"
	for name, text := range files {
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	return dir
}

// hunted runs the tool on a module and gives its report.
func hunted(t *testing.T, dir string, args ...string) (string, error) {
	t.Helper()
	o, err := readOptions(args)
	require.NoError(t, err)
	if slices.Equal(o.patterns, usual) {
		o.patterns = []string{"./..."}
	}
	var out bytes.Buffer
	err = run(context.Background(), dir, o, &out, io.Discard)
	left, readErr := os.ReadDir(os.Getenv("TMPDIR"))
	require.NoError(t, readErr)
	for _, l := range left {
		assert.NotContains(t, l.Name(), "mutants-", "nothing is left behind")
	}
	return out.String(), err
}

// row is what the report counts of a package: mutants, killed, by time, survived, not
// reached, allowed, killed in percent, those that do not compile.
func row(t *testing.T, report, name string) string {
	t.Helper()
	for line := range strings.Lines(report) {
		if f := strings.Fields(line); len(f) == 9 && f[0] == name {
			return strings.Join(f[1:], " ")
		}
	}
	require.Fail(t, "no row", "%s in\n%s", name, report)
	return ""
}

const grading = `package tiny

func Grade(n int) string {
	if n > 6 {
		return "too many"
	}
	return "fine"
}

func Half(x float64) float64 { return x / 2 }

func Never(n int) int { return n + 1 }
`

const gradingTest = `package tiny

import "testing"

func TestGrade(t *testing.T) {
	for n, want := range map[int]string{6: "fine", 7: "too many"} {
		if got := Grade(n); got != want {
			t.Error(n, got)
		}
	}
}

func TestHalf(t *testing.T) {
	if Half(0) != 0 {
		t.Error()
	}
}
`

// Grade is tested well, Half badly, Never not at all.
func TestKnownSurvivors(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": grading, "tiny_test.go": gradingTest})
	report, err := hunted(t, dir)
	require.NoError(t, err)
	assert.Equal(t, "8 4 0 2 2 0 50.0 0", row(t, report, "."))
	_, survivors, _ := strings.Cut(report, "\n\n")
	assert.Equal(t, `., survived:
tiny.go:10:39 Half: x / 2 → x * 2  (tiny.go Half: x / 2 → x * 2 #1)
tiny.go:10:43 Half: 2 → 2 + 1 in x / 2  (tiny.go Half: 2 → 2 + 1 in x / 2 #1)

., not reached:
tiny.go:12:32 Never: n + 1 → n - 1  (tiny.go Never: n + 1 → n - 1 #1)
tiny.go:12:36 Never: 1 → 1 + 1 in n + 1  (tiny.go Never: 1 → 1 + 1 in n + 1 #1)
`, survivors)
	again, err := hunted(t, dir)
	require.NoError(t, err)
	assert.Equal(t, report, again, "the same every time")
}

func TestOnlyWhatWasAskedFor(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": grading, "tiny_test.go": gradingTest})
	report, err := hunted(t, dir, "-run", "^Half$")
	require.NoError(t, err)
	assert.Equal(t, "2 0 0 2 0 0 0.0 0", row(t, report, "."))
	report, err = hunted(t, dir, "-list", "-short", "3")
	require.NoError(t, err)
	assert.Equal(t, 3, strings.Count(report, "\n"))
	again, err := hunted(t, dir, "-list", "-short", "3")
	require.NoError(t, err)
	assert.Equal(t, report, again)
}

func TestEndlessLoopCountsAsKilled(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": `package tiny

func Sum(n int) int {
	sum := 0
	for n > 0 {
		sum += n
		n--
	}
	return sum
}
`, "tiny_test.go": `package tiny

import "testing"

func TestSum(t *testing.T) {
	if Sum(0) != 0 || Sum(3) != 6 {
		t.Error()
	}
}
`})
	report, err := hunted(t, dir, "-run", "Sum")
	require.NoError(t, err)
	// Endless: the condition always true, and n-- dropped. That 0 more or less is added to the
	// sum makes no difference.
	assert.Equal(t, "8 7 2 1 0 0 87.5 0", row(t, report, "."))
	assert.Contains(t, report, "n > 0 → n >= 0")
}

func TestEndlessAllocationCountsAsKilled(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": `package tiny

func Ones(n int) []int {
	var out []int
	for len(out) < n {
		out = append(out, 1)
	}
	return out
}
`, "tiny_test.go": `package tiny

import "testing"

func TestOnes(t *testing.T) {
	if len(Ones(3)) != 3 || Ones(3)[2] != 1 {
		t.Error()
	}
}
`})
	report, err := hunted(t, dir)
	require.NoError(t, err)
	assert.Regexp(t, `^5 5 \d 0 0 0 `, row(t, report, "."), "by time or by memory")
}

// A mutant writes into the current folder what belongs into another one.
func TestWorkTreeStaysAsItIs(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": `package tiny

import (
	"os"
	"path/filepath"
)

func Write(in string) error {
	dir := ""
	dir = in
	return os.WriteFile(filepath.Join(dir, "written"), nil, 0o600)
}
`, "tiny_test.go": `package tiny

import (
	"os"
	"path/filepath"
	"testing"
)

func TestWrite(t *testing.T) {
	if _, err := os.Stat("written"); err == nil {
		t.Skip("a mutant was here before")
	}
	in := t.TempDir()
	if err := Write(in); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(in, "written")); err != nil {
		t.Error(err)
	}
}

func TestWriteToNowhere(t *testing.T) {
	if Write(filepath.Join(t.TempDir(), "no", "where")) == nil {
		t.Error()
	}
}
`})
	before := sum(t, dir)
	report, err := hunted(t, dir)
	require.NoError(t, err)
	assert.Equal(t, "2 1 0 1 0 0 50.0 0", row(t, report, "."))
	assert.Contains(t, report, "0o600 → 0o600 + 1", "nobody looks at the mode")
	assert.Equal(t, before, sum(t, dir))
}

// sum is over all files of a folder.
func sum(t *testing.T, dir string) string {
	t.Helper()
	h := sha256.New()
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		h.Write([]byte(path))
		if err == nil && d.Type().IsRegular() {
			var data []byte
			data, err = os.ReadFile(path)
			h.Write(data)
		}
		return err
	}))
	return string(h.Sum(nil))
}

func TestAllowedSurvivors(t *testing.T) {
	files := map[string]string{"tiny.go": grading, "tiny_test.go": gradingTest, "allowed": `
# What may live.
tiny.go Half: x / 2 → x * 2 #1 # for the sake of this test
tiny.go Never: 1 → 1 + 1 in n + 1 #1 # nobody calls it
`}
	dir := module(t, files)
	report, err := hunted(t, dir, "-allowed", "allowed")
	require.NoError(t, err)
	assert.Equal(t, "8 4 0 1 1 2 50.0 0", row(t, report, "."))
	assert.Contains(t, report, "(tiny.go Never: 1 → 1 + 1 in n + 1 #1)\n\tnobody calls it\n")

	for entry, says := range map[string]string{
		"tiny.go Grade: 6 → 6 + 1 in n > 6 #1 # it is killed": "no such survivor: tiny.go Grade: 6 → 6 + 1 in n > 6 #1",
		"tiny.go Half: x / 2 → x * 2 #2 # no such thing":      "no such survivor: tiny.go Half: x / 2 → x * 2 #2",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "allowed"), []byte(entry), 0o600))
		report, err = hunted(t, dir, "-allowed", "allowed")
		require.ErrorIs(t, err, errTooFew)
		assert.Contains(t, report, "allowed:1: "+says)
	}
	killed := []byte("tiny.go Grade: 6 → 6 + 1 in n > 6 #1 # it is killed")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "allowed"), killed, 0o600))
	_, err = hunted(t, dir, "-allowed", "allowed", "-run", "Half")
	require.NoError(t, err, "what was not run is not judged")
	bare := []byte("tiny.go Half: x / 2 → x * 2 #1")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "allowed"), bare, 0o600))
	_, err = hunted(t, dir, "-allowed", "allowed")
	assert.ErrorContains(t, err, "allowed:1: no reason")
}

func TestMinimum(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": grading, "tiny_test.go": gradingTest})
	_, err := hunted(t, dir, "-min", "50")
	require.NoError(t, err)
	report, err := hunted(t, dir, "-min", "50.1", "-must", ".")
	require.ErrorIs(t, err, errTooFew)
	assert.Contains(t, report, ".: 50.0 % are killed, 50.1 % must be")
	_, err = hunted(t, dir, "-min", "50", "-must", "elsewhere")
	assert.ErrorContains(t, err, "-must names elsewhere")
}

// The tests of another package count where they are asked for.
func TestOthersTests(t *testing.T) {
	dir := module(t, map[string]string{
		"low/low.go": "package low\n\nfunc Twice(n int) int { return n * 2 }\n",
		"high/high.go": `package high

import "tiny/low"

func Four(n int) int { return low.Twice(low.Twice(n)) }
`,
		"high/high_test.go": `package high

import "testing"

func TestFour(t *testing.T) {
	if Four(3) != 12 {
		t.Error()
	}
}
`,
	})
	report, err := hunted(t, dir, "./low")
	require.NoError(t, err)
	assert.Equal(t, "2 0 0 0 2 0 0.0 0", row(t, report, "low"))
	report, err = hunted(t, dir, "-with", "low=high", "./low")
	require.NoError(t, err)
	assert.Equal(t, "2 2 0 0 0 0 100.0 0", row(t, report, "low"))
}

// A constant that something needs to be constant is built anew for each mutant.
func TestConstants(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": `package tiny

import "time"

const size = 3

const (
	share = 0.5
	pause = 2 * time.Second
)

var table [size]int

func Size() int { return len(table) }

func Share(x float64) float64 {
	const half = 2
	return x * share / half
}

func Pause() time.Duration { return pause }
`, "tiny_test.go": `package tiny

import (
	"testing"
	"time"
)

func Test(t *testing.T) {
	if Size() != 3 || Share(8) != 2 || Pause() != 2*time.Second {
		t.Error()
	}
}
`})
	report, err := hunted(t, dir)
	require.NoError(t, err)
	assert.Equal(t, "7 7 0 0 0 0 100.0 0", row(t, report, "."), "3, 0.5 twice, 2, 2, × and ÷")
	targets, _, err := choose(context.Background(), dir, all("."))
	require.NoError(t, err)
	for _, m := range targets[0].mutants {
		assert.Equal(t, m.function == "const size", m.patch != nil, m)
	}
}

func TestFailingTestsAreRefused(t *testing.T) {
	broken := strings.Replace(gradingTest, `"fine"`, `"good"`, 1)
	dir := module(t, map[string]string{"tiny.go": grading, "tiny_test.go": broken})
	_, err := hunted(t, dir)
	assert.ErrorContains(t, err, "TestGrade$: fails without any mutant")
}

func TestInterrupted(t *testing.T) {
	dir := module(t, map[string]string{"tiny.go": grading, "tiny_test.go": gradingTest})
	o, err := readOptions([]string{"."})
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	err = run(ctx, dir, o, io.Discard, writer(func(line string) {
		if strings.Contains(line, "one by one") {
			stop()
		}
	}))
	require.ErrorIs(t, err, context.Canceled)
	left, err := filepath.Glob(filepath.Join(os.Getenv("TMPDIR"), "mutants-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

type writer func(string)

func (w writer) Write(b []byte) (int, error) {
	w(string(b))
	return len(b), nil
}

func TestOptions(t *testing.T) {
	for _, bad := range [][]string{{"-run", "("}, {"-with", "low"}, {"-min", "many"}} {
		_, err := readOptions(bad)
		assert.Error(t, err, bad)
	}
	o, err := readOptions(nil)
	require.NoError(t, err)
	assert.Equal(t, usual, o.patterns)
}
