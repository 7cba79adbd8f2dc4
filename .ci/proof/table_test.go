package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rows() []row {
	t := newTally()
	t.tryMany(3, "visit 7", nil)
	t.tryMany(0, "visit 7", nil)
	t.tryMany(0, "visit 8", errors.New("line 4 is gone"))
	t.try("visit 9", unnoticed{"said that all is well"})
	t.count("torn lines", 2)
	t.count("never", 0)
	t.note("%d sites", 4)
	t.sounded(1500 * time.Millisecond)
	t.sounded(time.Second)
	lacking, _ := notTried("a | b")
	return []row{{"kills", t.result()}, {"power", lacking}}
}

func TestWhatIsLackingIsAnErrorWhereAllIsInstalled(t *testing.T) {
	t.Setenv("LOOPWITNESS_OUTSIDE_TOOLS", "")
	_, err := notTried("no broker")
	assert.NoError(t, err)
	t.Setenv("LOOPWITNESS_OUTSIDE_TOOLS", "1")
	_, err = notTried("no broker")
	assert.EqualError(t, err, "no broker")
}

func TestTable(t *testing.T) {
	t.Setenv("LOOPWITNESS_OUTSIDE_TOOLS", "")
	assert.Equal(t, ""+
		"| attack | tried | survived | lost | unnoticed | longest sounder-on | note |\n"+
		"| ------ | ----- | -------- | ---- | --------- | ------------------ | ---- |\n"+
		"| kills  | 5     | 3        | 1    | 1         | 1.50 s             | 4 sites; 2 torn lines |\n"+
		"| power  | 0     | 0        | 0    | 0         | –                  | not tried: a / b |\n", table(rows()))
	assert.Equal(t, "\nkills: visit 8: line 4 is gone\n\nkills: visit 9: said that all is well\n", losses(rows()))
	assert.Empty(t, losses(rows()[1:]))
}

func TestVerdict(t *testing.T) {
	t.Setenv("LOOPWITNESS_OUTSIDE_TOOLS", "")
	assert.ErrorIs(t, verdict(rows()), errLost)
	assert.NoError(t, verdict(rows()[1:]))
	assert.ErrorIs(t, verdict([]row{{"a", result{lost: 1}}}), errLost)
	assert.ErrorIs(t, verdict([]row{{"a", result{unnoticed: 1}}}), errLost)
}

// The table that is kept has its date, command and version, and nothing of the computer.
func TestPage(t *testing.T) {
	t.Setenv("LOOPWITNESS_OUTSIDE_TOOLS", "")
	program := filepath.Join(t.TempDir(), "program")
	require.NoError(t, os.WriteFile(program, []byte("#!/bin/sh\necho loopwitness version 9.9\n"), 0o700))
	o := options{root: "../..", program: program, temporary: "/x/y", args: "-seed 3", seed: 7}
	got, err := page(t.Context(), o, rows(), 754*time.Second, time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	assert.Contains(t, got, "on 2026-11-24, with `go run ./.ci/proof -seed 3`\n(seed 7): loopwitness version 9.9, commit ")
	assert.Contains(t, got, "It took 12m34s.")
	assert.Contains(t, got, "- network file systems\n")
	assert.Contains(t, got, table(rows()))
	assert.Contains(t, got, "visit 8: line 4 is gone")
	assert.NotContains(t, got, program)
}

// spoiling is an attack for tests.
type spoiling struct{ err error }

func (spoiling) name() string { return "spoiling" }
func (s spoiling) run(_ context.Context, o options) (result, error) {
	t := newTally()
	t.try("one", errors.New("in "+o.temporary+"/job"))
	return t.result(), s.err
}

func TestPathsOfTheComputerAreNotTold(t *testing.T) {
	o := options{temporary: "/x/proof-1"}
	got, err := carryOut(t.Context(), o, []attack{spoiling{}})
	require.NoError(t, err)
	assert.Equal(t, []string{"one: in …/job"}, got[0].told)
	_, err = carryOut(t.Context(), o, []attack{spoiling{errors.New("no room")}})
	assert.ErrorContains(t, err, "spoiling: no room")
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = carryOut(cancelled, o, []attack{spoiling{}})
	assert.ErrorIs(t, err, context.Canceled, "half a row is none")
}

func TestOptions(t *testing.T) {
	t.Chdir("../..")
	o, err := readOptions([]string{"-short", "-only", "power,kills", "-seed", "7"})
	require.NoError(t, err)
	assert.Equal(t, []string{"kills", "power"}, names(o.attacks), "in the order of the table")
	assert.Equal(t, 60, o.kills)
	o, err = readOptions(nil)
	require.NoError(t, err)
	assert.Equal(t, 1000, o.kills)
	assert.Equal(t, len(attacks), len(o.attacks))
	for args, says := range map[string]string{"-only power,other": `no row "other"`, "more": `"more" is no flag`} {
		_, err := readOptions(strings.Fields(args))
		assert.ErrorContains(t, err, says)
	}
	o, err = readOptions([]string{"-write", "/x/y/proof.md", "-seed", "2"})
	require.NoError(t, err)
	assert.Equal(t, "-write proof.md -seed 2", o.args)
	assert.Equal(t, "/x/y/proof.md", o.write)
	t.Chdir(t.TempDir())
	_, err = readOptions(nil)
	assert.ErrorIs(t, err, errNoModule)
}

// Rows have names of their own, without a comma.
func TestRows(t *testing.T) {
	seen := map[string]bool{}
	for _, name := range names(attacks) {
		assert.False(t, seen[name] || name == "" || strings.ContainsAny(name, ", "), name)
		seen[name] = true
	}
}
