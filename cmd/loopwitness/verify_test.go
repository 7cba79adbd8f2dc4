package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// signedWith is a certificate of the kept visit whose statement its signer has changed.
func signedWith(t testing.TB, id *identity.Identity, change func(*evidence.Statement)) []byte {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	c, err := evidence.Make(contents, nil, evidence.Making{Revision: 1, Tool: "loopwitness 0.0.7",
		Made:     time.Now().UTC().Truncate(time.Second),
		SealedBy: certificate.Sealer{Kind: certificate.KeyHolder, Name: id.Name(), Fingerprint: id.Fingerprint()}})
	require.NoError(t, err)
	change(&c.Statement)
	last := &c.Contents.Attachments[len(c.Contents.Attachments)-1]
	require.Equal(t, seal.StatementName, last.Name)
	last.Content, err = c.Statement.Encode()
	require.NoError(t, err)
	out, err := seal.Seal(context.Background(), c.Contents, id, seal.Stamper{})
	require.NoError(t, err)
	return out.PDF
}

// Three lines, three members of the JSON, three kinds of exit: and whoever claims other
// rules or another edition gets no green line, however well he is trusted.
func TestVerifyTellsThreeQuestionsApart(t *testing.T) {
	dir := t.TempDir()
	id, err := identity.New(identity.Subject{Name: "Bellbird"}, time.Now(), 1)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "signer.pem"), id.PEM(), 0o644))
	const holds, fails, not = "holds", "fails", "not compared"
	for name, test := range map[string]struct {
		change func(*evidence.Statement)
		want   [3]string
		exit   int
		line   string
	}{
		"as it was made": {func(*evidence.Statement) {},
			[3]string{holds, holds, holds}, 0, "intact since somebody you trust signed it"},
		"judged otherwise": {func(s *evidence.Statement) {
			better := strings.NewReplacer(`"satisfactory with limitations"`, `"satisfactory"`)
			s.Judged = json.RawMessage(better.Replace(string(s.Judged)))
		}, [3]string{holds, fails, holds}, 1, "ITS VERDICTS DO NOT FOLLOW"},
		"stated otherwise": {func(s *evidence.Statement) { s.Stated[0].Text = "other" },
			[3]string{holds, holds, fails}, 1, "ITS PAGES DO NOT SHOW"},
		"another record": {func(s *evidence.Statement) { s.Journal.SHA256 = strings.Repeat("0", 64) },
			[3]string{fails, holds, holds}, 1, "NOT AS IT WAS SEALED"},
		"other rules": {func(s *evidence.Statement) { s.Rules = judge.Rules + 6 },
			[3]string{holds, not, not}, 2, "VERDICTS NOT CHECKED"},
		"another edition": {func(s *evidence.Statement) { s.Edition++ },
			[3]string{holds, holds, not}, 2, "PAGES NOT CHECKED"},
		"another language": {func(s *evidence.Statement) { s.Language = "eo" },
			[3]string{holds, holds, not}, 2, "PAGES NOT CHECKED"},
	} {
		t.Run(name, func(t *testing.T) {
			file := strings.ReplaceAll(name, " ", "-") + ".pdf"
			require.NoError(t, os.WriteFile(filepath.Join(dir, file), signedWith(t, id, test.change), 0o644))
			out, errs, code := at(t, dir, nil, "verify", "--trust", "signer.pem", file)
			assert.Equal(t, test.exit, code, errs)
			flat := strings.Join(strings.Fields(out), " ")
			assert.Contains(t, flat, test.line)
			for i, label := range []string{"Sealed", "Follows", "Shown"} {
				assert.Regexp(t, label+` (?i:`+test.want[i]+`)`, flat)
			}
			if test.exit > 0 {
				assert.NotContains(t, flat, "intact")
			}
			if test.exit == 2 {
				assert.Contains(t, flat, "check it with the version of the program that wrote it: loopwitness 0.0.7")
				assert.NotContains(t, strings.ToLower(flat), "differ")
			}

			out, _, code = at(t, dir, nil, "verify", "--json", file)
			assert.Equal(t, test.exit, code)
			type answer struct{ Verdict, Why string }
			var told struct {
				Files []struct{ Sealed, Follows, Shown answer }
			}
			require.NoError(t, json.Unmarshal([]byte(out), &told))
			f := told.Files[0]
			assert.Equal(t, test.want, [3]string{f.Sealed.Verdict, f.Follows.Verdict, f.Shown.Verdict})
			for _, a := range []answer{f.Sealed, f.Follows, f.Shown} {
				assert.Equal(t, a.Verdict == holds, a.Why == "", a.Why)
			}
		})
	}
}
