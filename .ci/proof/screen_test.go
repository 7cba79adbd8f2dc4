package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoFacts = `{"kind":"opened","body":{}}` + "\n" + `{"kind":"signal","body":{"address":"z1"}}` + "\n" +
	`{"kind":"answer","body":{"step":"inspection/access"}}` + "\n" + `{"kind":"answer","body":{"step":"cut`

func TestFactsAreWholeAndNotBeside(t *testing.T) {
	assert.Equal(t, 2, facts([]byte(twoFacts)))
}

func TestAScreenThatPromisedMoreIsNoticed(t *testing.T) {
	p := promise{lines: []string{"1.1 proved: 0.91 s\n", "done\n"}, facts: []int{2, 3}}
	const begun = "a remark\nVisit v begun: 49 steps, 6 detectors.\n"
	assert.NoError(t, p.holds("a remark\n", nil), "nothing was promised")
	assert.NoError(t, p.holds(begun+"1.1 proved: 0.77 s\n", []byte(twoFacts)), "figures may differ")
	assert.NoError(t, p.holds(begun+"1.1 proved: 0.77 s\ndon", []byte(twoFacts)), "a line that is not whole")
	assert.ErrorContains(t, p.holds(begun+"1.1 proved: 0.77 s\ndone\n", []byte(twoFacts)),
		"after 3 facts; the journal has 2")
	assert.ErrorContains(t, p.holds("Visit v goes on.\n1.1 proved: 0.77 s\ndone\n", []byte(twoFacts)), "3 facts")
	assert.ErrorContains(t, p.holds(begun, nil), "the journal is empty")
	assert.ErrorIs(t, p.holds(begun+"1.1 late: 0.77 s\n", []byte(twoFacts)), errOtherScreen)
}

func TestAFactThatWasShownAndIsGone(t *testing.T) {
	p := promise{lines: []string{"first\n", "second\n", "first\n"}, facts: []int{1, 2, 2}, all: factsIn([]byte(twoFacts))}
	opened := []byte(strings.SplitAfter(twoFacts, "\n")[0])
	assert.NoError(t, p.holdsFor("Visit v goes on.\nfirst\nother\n", opened))
	assert.ErrorContains(t, p.holdsFor("Visit v goes on.\nsecond\n", opened), "inspection/access")
	assert.NoError(t, p.holdsFor("Visit v goes on.\nsecond\n", []byte(twoFacts)))
}

// A whole visit promises its own journal, line by line.
func TestWhatAVisitPromises(t *testing.T) {
	c, _ := shop(t)
	dir := t.TempDir()
	require.NoError(t, c.lay(dir))
	p, err := promised(t.Context(), dir)
	require.NoError(t, err)
	path, data := journalIn(dir)
	require.FileExists(t, path)
	screen := "Visit v begun: 1 steps.\n" + strings.Join(p.lines, "")
	assert.Greater(t, len(p.lines), 50)
	assert.NoError(t, p.holds(screen, data))
	assert.NoError(t, p.holdsFor(screen, data))
	short := wholeLines(data[:len(data)/2])
	assert.ErrorContains(t, p.holds(screen, short), "the journal has")
	assert.Error(t, p.holdsFor(screen, short))

	// After a break the rest is promised.
	require.NoError(t, os.WriteFile(path, short, 0o600))
	rest, err := promised(t.Context(), dir)
	require.NoError(t, err)
	_, data = journalIn(dir)
	assert.Less(t, len(rest.lines), len(p.lines))
	assert.NoError(t, rest.holds("Visit v goes on.\n"+strings.Join(rest.lines, ""), data))
	assert.NoFileExists(t, filepath.Join(dir, "screen"))
}
