package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// A record that contradicts itself is told alike by whatever reads it, also where whoever
// forged it sealed it with a key of their own.
func TestAContradictionIsToldAlike(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	found, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*-maintenance", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, found, 1)
	forge(t, found[0], "an output that works and was never energised")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "job", "certificates")))
	passphrase := []string{passphraseVariable + "=tall blue vase"}
	_, errs, code = at(t, dir, passphrase, "key", "new", "--name", "Forger", "--key", "k.p12")
	require.Zero(t, code, errs)

	tells := func(env []string, args ...string) {
		out, errs, code := at(t, dir, env, args...)
		want := 0
		if strings.HasSuffix(args[len(args)-1], ".pdf") { // whoever sealed it, it is not green
			want = 1
		}
		assert.Equal(t, want, code, "%v: %s", args, errs)
		said := "the record contradicts itself in entr"
		if args[0] == "record" {
			said = `"code": "contradicted"`
		}
		flat := strings.Join(strings.Fields(out+errs), " ")
		assert.Contains(t, flat, said, args)
		if args[0] == "record" {
			assert.Contains(t, flat, string(record.LawEnergisedFirst), args)
			return
		}
		assert.Contains(t, flat, words.English{}.Say(record.LawEnergisedFirst), args)
	}
	tells(nil, "visit", "show", "--job", "job")
	tells(passphrase, "certify", "--job", "job", "--key", "k.p12")
	sealed, err := filepath.Glob(filepath.Join(dir, "job", "certificates", "*.pdf"))
	require.NoError(t, err)
	require.Len(t, sealed, 1)
	tells(nil, "verify", sealed[0])
	tells(nil, "record", sealed[0])
	tells(nil, "record", "--job", "job")
	for _, args := range [][]string{{sealed[0]}, {"--job", "job"}} {
		csv, _, _ := at(t, dir, nil, append([]string{"record", "--format", "csv"}, args...)...)
		for _, line := range strings.Split(strings.TrimSpace(csv), "\n")[1:] {
			assert.True(t, strings.HasPrefix(line, "contradicts,"), line)
		}
	}
	out, _, _ := at(t, dir, nil, "verify", "--json", sealed[0])
	assert.Regexp(t, `"outcome": "intact",\s*"contradicts": true,`, out, "at the top")
}

// forge does to a journal what a forger does.
func forge(t *testing.T, path, name string) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	c, err := journal.Read(bytes.NewReader(data))
	require.NoError(t, err)
	f := &dryrun.Forged{Entries: c.Entries}
	for _, forgery := range dryrun.Forgeries {
		if forgery.Name == name {
			forgery.Forge(f)
		}
	}
	forged, err := f.Bytes()
	require.NoError(t, err)
	require.NotEqual(t, data, forged)
	require.NoError(t, os.WriteFile(path, forged, 0o644))
}
