package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// A visit that was walked with a phone is shown, certified, verified and given out as data.
func TestAVisitWithAPhone(t *testing.T) {
	const kept = "../../testdata/journals/roamed.jsonl"
	dir := t.TempDir()
	contents, err := journal.ReadFile(kept)
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	folder := filepath.Join(dir, "job", "visits", "2026-11-24-handover")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job", "site.yaml"), []byte(r.Opened().Site), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "journal.jsonl"), contents.Whole, 0o644))
	passphrase := []string{passphraseVariable + "=tall blue vase"}
	ran := func(args ...string) string {
		t.Helper()
		out, errs, code := at(t, dir, passphrase, args...)
		want := 0
		if args[0] == "certify" {
			want = 1 // the visit is unsatisfactory
		}
		require.Equal(t, want, code, "%v: %s%s", args, out, errs)
		return strings.Join(strings.Fields(out), " ")
	}
	show := ran("visit", "show", "--job", "job")
	for _, want := range []string{"1.1 left 1 Bank not timed not timed 1 reported", "0.62 s not timed 1 proved",
		"3 cued by a touch of the phone", "and 7 not timed", "Answered on: phone, by its own description “Bramble 7, 360 × 780”",
		"no touch tells when they were operated"} {
		assert.Contains(t, show, want)
	}
	ran("key", "new", "--name", "Bellbird", "--key", "k.p12")
	ran("certify", "--job", "job", "--key", "k.p12")
	sealed, err := filepath.Glob(filepath.Join(dir, "job", "certificates", "*.pdf"))
	require.NoError(t, err)
	require.Len(t, sealed, 1)
	assert.Contains(t, ran("verify", sealed[0]), "intact")
	data := ran("record", sealed[0])
	for _, want := range []string{`"not_timed": "no-touch"`, `"by": "touch"`, `"drawn_as": "strokes"`, `"Bramble 7, 360 × 780"`} {
		assert.Contains(t, data, want)
	}
}
