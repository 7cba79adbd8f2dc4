package certify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/commission/words/pseudo"
	"loopwitness/report/evidence"
	"loopwitness/report/verify"
)

var (
	english words.Language = words.English{}
	foreign words.Language = pseudo.Language{}
)

// A visit that is begun under one language, paused, and ended under another is the visit
// that it would have been under one: the same facts, verdicts and acceptances. Only the
// texts that somebody was shown are others.
func TestAVisitInTwoLanguages(t *testing.T) {
	for pause, answer := range map[string]string{
		"while mains is off":    "supply/path",
		"between the two names": "sign-off/customer",
	} {
		t.Run(pause, func(t *testing.T) {
			alone := visitIn(t, english, english, answer)
			require.Empty(t, foreignTexts(t, alone), "wholly English")
			for name, in := range map[string][2]words.Language{
				"begun in English":   {english, foreign},
				"begun in the other": {foreign, english},
			} {
				t.Run(name, func(t *testing.T) {
					v := visitIn(t, in[0], in[1], answer)
					shown := sameButShown(t, alone, v)
					// Under the language that the customer did not read.
					other := english
					if in[1] == english {
						other = foreign
					}
					sameJudgement(t, alone, v, other)
					whereShown(t, shown, in, answer)
				})
			}
		})
	}
}

// visitIn runs the demonstration's visit: in the first language until the technician
// leaves the stage instead of answering, in the second to its end.
func visitIn(t *testing.T, first, second words.Language, leaves string) job.Visit {
	t.Helper()
	const demo = "../../cmd/loopwitness/demo"
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(demo)))
	f := job.At(dir)
	require.NoError(t, os.Chmod(f.ControllerPath(), 0o600))
	s, err := f.Site()
	require.NoError(t, err)
	answers, err := os.ReadFile(filepath.Join(demo, "answers.yaml"))
	require.NoError(t, err)
	leaving := bytes.Replace(answers, []byte("answers:\n"), []byte("answers:\n"+
		"  - {when: stage, say: pause}\n  - {when: "+leaves+", say: leave}\n"), 1)

	began := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	var of job.Visit
	attend := func(at time.Time, l words.Language, say []byte, open func(visit.Config) (*visit.Visit, error)) error {
		c := clock.NewSimulated(at)
		source, err := f.Source(s, c)
		require.NoError(t, err)
		a, err := scripted.Read("answers.yaml", say)
		require.NoError(t, err)
		var out bytes.Buffer
		v, err := open(simulated.Join(visit.Config{Operator: scripted.New(a, c, &out, l), Source: source, Clock: c,
			Tool: "test"}))
		require.NoError(t, err)
		err = v.Run(t.Context())
		require.NoError(t, v.Close())
		assert.Equal(t, l == foreign, strings.Contains(out.String(), pseudo.Open))
		return err
	}
	err = attend(began, first, leaving, func(c visit.Config) (*visit.Visit, error) {
		v, opened, err := f.New(s, programme.Handover, began)
		require.NoError(t, err)
		of = v
		return visit.Start(c, v.Journal(), opened)
	})
	require.ErrorIs(t, err, ask.ErrPaused)
	// A battery that carries the load meanwhile would be empty the day after.
	err = attend(began.Add(3*time.Hour), second, answers,
		func(c visit.Config) (*visit.Visit, error) { return visit.Resume(c, of.Journal()) })
	require.NoError(t, err)
	return of
}

func entriesOf(t *testing.T, v job.Visit) []journal.Entry {
	t.Helper()
	c, err := v.Contents()
	require.NoError(t, err)
	return c.Entries
}

// foreignTexts are the bodies of entries that hold a text of the other language.
func foreignTexts(t *testing.T, v job.Visit) (all []string) {
	for _, e := range entriesOf(t, v) {
		if bytes.Contains(e.Body, []byte(pseudo.Open)) {
			all = append(all, string(e.Body))
		}
	}
	return all
}

// sameButShown holds two journals against each other, entry by entry, and returns what
// each of the second's signers was shown.
func sameButShown(t *testing.T, one, other job.Visit) map[programme.Role][]string {
	t.Helper()
	a, b := entriesOf(t, one), entriesOf(t, other)
	require.Len(t, b, len(a))
	shown := map[programme.Role][]string{}
	for i := range a {
		if a[i].Kind != (record.Signed{}).Kind() {
			require.Equal(t, a[i], b[i])
			continue
		}
		var x, y record.Signed
		require.NoError(t, json.Unmarshal(a[i].Body, &x))
		require.NoError(t, json.Unmarshal(b[i].Body, &y))
		require.Len(t, y.Accepted, len(x.Accepted))
		for k := range x.Accepted {
			shown[y.Role] = append(shown[y.Role], y.Accepted[k].Shown)
			assert.Equal(t, strings.Trim(y.Accepted[k].Shown, pseudo.Open+pseudo.Close), x.Accepted[k].Shown)
			x.Accepted[k].Shown, y.Accepted[k].Shown = "", ""
		}
		assert.Equal(t, x, y, "name, role, and what was accepted, as codes")
	}
	return shown
}

// whereShown: each was shown the list in the language of their part of the visit.
func whereShown(t *testing.T, shown map[programme.Role][]string, in [2]words.Language, leaves string) {
	t.Helper()
	of := map[programme.Role]words.Language{programme.Technician: in[1], programme.Customer: in[1]}
	if leaves == "sign-off/customer" {
		of[programme.Technician] = in[0]
	}
	for role, l := range of {
		require.NotEmpty(t, shown[role], "there is something to accept")
		for _, text := range shown[role] {
			assert.Equal(t, l == foreign, strings.HasPrefix(text, pseudo.Open), "%s was shown %q", role, text)
		}
	}
}

// sameJudgement certifies two visits in different languages and holds the judgements and
// the files against each other.
func sameJudgement(t *testing.T, alone, v job.Visit, l words.Language) {
	t.Helper()
	certified := func(v job.Visit, l words.Language) *evidence.Parts {
		contents, err := v.Contents()
		require.NoError(t, err)
		parts, err := evidence.Make(contents, v.Photograph,
			evidence.Making{Language: l, Revision: 1, Tool: "test", Made: now.Truncate(time.Second)})
		require.NoError(t, err)
		return parts
	}
	want, got := certified(alone, english), certified(v, l)
	assert.Equal(t, want.Assessment.Judged(), got.Assessment.Judged())
	assert.Equal(t, judge.WithLimitations, got.Assessment.Result())
	assert.Equal(t, said(want.Assessment), said(got.Assessment))
	for _, f := range got.Assessment.Limitations() {
		assert.NotEqual(t, judge.NotAccepted{}.Code(), f.Code(), "the customer has accepted all that there is")
	}
	assert.Equal(t, l == foreign, strings.Contains(fmt.Sprint(got.Statement.Stated), pseudo.Open), "the pages' language")
	assert.Equal(t, want.Statement.Judged, got.Statement.Judged, "byte by byte")

	if l != english {
		return // verify has no such language: evidence.Make is what it would do
	}
	c, err := Visit(t.Context(), v, Options{Key: newKey(t, time.Now()), Tool: "loopwitness test", Clock: clock.Real{}})
	require.NoError(t, err)
	r := checked(t, c.Path)
	assert.Equal(t, verify.Intact, r.Outcome, r.Problems)
}

// said are the findings and limitations as codes with their arguments: what whoever signs
// accepts.
func said(a *judge.Assessment) (all []string) {
	for _, f := range append(a.Findings(), a.Limitations()...) {
		all = append(all, f.ID+" "+string(f.Said()))
	}
	return all
}
