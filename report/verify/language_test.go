package verify

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/seal"
)

// inGerman is the pottery's certificate in German; change may alter its journal, line by line.
func inGerman(t *testing.T, s evidence.Making, change func([]string)) *evidence.Parts {
	t.Helper()
	lines := linesOf(recorded(t))
	raw := recorded(t)
	if change != nil {
		change(lines)
		raw = chained(t, lines)
	}
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	s.Revision, s.Tool, s.Made = 1, "loopwitness test", made
	c, err := evidence.Make(contents, noPhotographs, s)
	require.NoError(t, err)
	return c
}

// A certificate in a second language, of the visit or named when it was certified, is made again
// in that language, and in the units of its site. What was changed of it is told.
func TestASecondLanguage(t *testing.T) {
	id := newIdentity(t, "x")
	german, _ := languages.ByTag("de")
	named := inGerman(t, evidence.Making{Language: german, SealedBy: by(id)}, nil)
	intact := func(c seal.Contents) *Report {
		t.Helper()
		r := Check("c.pdf", sealed(t, c, id), Options{})
		require.Equal(t, Intact, r.Outcome, texts(r))
		assert.Equal(t, []Reply{Holds, Holds, Holds}, verdicts(r))
		assert.True(t, r.Compared.Drawn)
		return r
	}
	intact(named.Contents)
	assert.Equal(t, "de", named.Statement.Language)
	assert.Contains(t, statedIn(named), german.Say(words.Titled{Of: words.SystemHeading}))

	ofVisit := inGerman(t, evidence.Making{SealedBy: by(id)}, func(lines []string) {
		end := strings.LastIndex(lines[0], "]}") // of the programme, the last that the pottery's opening has
		lines[0] = lines[0][:end] + `],"language":"de"` + lines[0][end+1:]
	})
	intact(ofVisit.Contents)
	assert.Equal(t, "de", ofVisit.Statement.Language, "of the visit, where nobody names another")
	ofSite := inGerman(t, evidence.Making{SealedBy: by(id)}, func(lines []string) {
		lines[0] = strings.Replace(lines[0], `"site":"`, `"site":"language: de\nunits: us\n`, 1)
	})
	intact(ofSite.Contents)
	assert.Equal(t, "de", ofSite.Statement.Language, "of the site, where the visit says nothing")
	assert.Contains(t, statedIn(ofSite), " ft ")
	assert.NotContains(t, statedIn(named), " ft mit 24 AWG", "what was typed so stays so")

	metric := inGerman(t, evidence.Making{Language: german, SealedBy: by(id)}, nil)
	for name, c := range map[string]seal.Contents{
		"its statement names another language": edited(t, named.Contents, func(s *evidence.Statement) { s.Language = "en" }),
		"its pages are those in English":       withPages(t, named.Contents, makeFrom(t, recorded(t), by(id)).Document),
		"its pages are those of other units":   withPages(t, ofSite.Contents, metric.Document),
		"a statement is in English": edited(t, named.Contents, func(s *evidence.Statement) {
			s.Stated[4].Text = makeFrom(t, recorded(t), by(id)).Statement.Stated[4].Text
		}),
		"its journal is that of another language": withJournal(ofVisit.Contents, recorded(t)),
		"the banner says more": withPages(t, named.Contents, func() certificate.Document {
			d := named.Document
			d.Banner.Word = "In Ordnung"
			return d
		}()),
	} {
		r := Check("c.pdf", sealed(t, c, id), Options{})
		assert.Equal(t, Failed, r.Outcome, "%s: %s", name, texts(r))
	}
	unknown := edited(t, named.Contents, func(s *evidence.Statement) { s.Language = "fr" })
	r := Check("c.pdf", sealed(t, unknown, id), Options{})
	assert.True(t, r.has(OtherEdition), texts(r))
	assert.NotEqual(t, Intact, r.Outcome)
	assert.Contains(t, r.Shown.Why, `in the language "fr"`)

	// Bits of the file in the second language are no less guarded.
	file := sealed(t, named.Contents, id)
	for i := 0; i < len(file); i += len(file) / 200 {
		flipped := bytes.Clone(file)
		flipped[i] ^= 4
		assert.True(t, noticed(flipped), "byte %d", i)
	}
}

// statedIn are all statements of a certificate.
func statedIn(c *evidence.Parts) string {
	var b strings.Builder
	for _, s := range c.Statement.Stated {
		b.WriteString(s.Key + ": " + s.Text + "\n")
	}
	return b.String()
}
