package after

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/verify"
)

var made = time.Date(2026, 11, 24, 20, 0, 0, 0, time.UTC)

// keptJournal is one of the kept journals.
func keptJournal(t testing.TB, name string) []byte {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/journals/" + name + ".jsonl")
	require.NoError(t, err)
	return raw
}

func siteIn(t testing.TB, raw []byte) *site.Site {
	t.Helper()
	c, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	r, err := record.Fold(c.Entries)
	require.NoError(t, err)
	return r.Site()
}

func newIdentity(t testing.TB, name string) *identity.Identity {
	t.Helper()
	id, err := identity.New(identity.Subject{Name: name}, time.Now(), 5)
	require.NoError(t, err)
	return id
}

// contents are a certificate of a journal but for its signature, of nobody where id is nil.
func contents(t testing.TB, raw []byte, id *identity.Identity) seal.Contents {
	t.Helper()
	c, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	by := certificate.Sealer{}
	if id != nil {
		by = certificate.Sealer{Kind: certificate.KeyHolder, Name: id.Name(), Fingerprint: id.Fingerprint()}
	}
	parts, err := evidence.Make(c, func(record.Photograph) ([]byte, error) { return nil, os.ErrNotExist },
		evidence.Making{Revision: 1, Tool: "loopwitness test", Made: made, SealedBy: by})
	require.NoError(t, err)
	return parts.Contents
}

func sealed(t testing.TB, c seal.Contents, id *identity.Identity) []byte {
	t.Helper()
	out, err := seal.Seal(context.Background(), c, id, seal.Stamper{})
	require.NoError(t, err)
	return out.PDF
}

// restated is a certificate whose certificate.json was changed before it was sealed.
func restated(c seal.Contents, from, to string) seal.Contents {
	c.Attachments = slices.Clone(c.Attachments)
	for i := range c.Attachments {
		if c.Attachments[i].Name == seal.StatementName {
			c.Attachments[i].Content = bytes.Replace(c.Attachments[i].Content, []byte(from), []byte(to), 1)
		}
	}
	return c
}

// A certificate of another company is taken in with its hashes, and with whose seal it bears.
func TestACertificateOfAnotherCompany(t *testing.T) {
	raw, id := keptJournal(t, "refused"), newIdentity(t, "Marlpit Security")
	file := sealed(t, contents(t, raw, id), id)
	e, err := Read("theirs.pdf", file, siteIn(t, raw), Options{})
	require.NoError(t, err)
	hash := func(b []byte) string { sum := sha256.Sum256(b); return hex.EncodeToString(sum[:]) }
	assert.Equal(t, []string{hash(raw), hash(file)}, []string{e.Journal, e.Certificate})
	assert.Equal(t, &record.SealedBy{Name: "Marlpit Security", Fingerprint: id.Fingerprint()}, e.SealedBy,
		"nobody was named as trusted")
	assert.Equal(t, []int{judge.Rules, judge.Rules}, []int{e.Rules, e.SealedRules})
	assert.Len(t, e.Detectors, 2)
	require.NotEmpty(t, e.Outstanding)
	assert.NotEmpty(t, e.Outstanding[0].Shown)
	assert.NoError(t, e.Check())

	trusting := Options{Options: verify.Options{Trust: verify.Anchors{id.Certificate}}}
	e, err = Read("theirs.pdf", file, siteIn(t, raw), trusting)
	require.NoError(t, err)
	assert.True(t, e.SealedBy.Trusted)
}

// By other rules than ours its own verdicts are not compared: what is taken is what its record
// gives by ours, and both numbers are told.
func TestACertificateByOtherRules(t *testing.T) {
	raw, id := keptJournal(t, "refused"), newIdentity(t, "Marlpit Security")
	file := sealed(t, restated(contents(t, raw, id), `"rules": 4`, `"rules": 3`), id)
	require.Equal(t, 4, judge.Rules, "the number that was replaced")
	e, err := Read("theirs.pdf", file, siteIn(t, raw), Options{})
	require.NoError(t, err)
	assert.Equal(t, []int{judge.Rules, 3}, []int{e.Rules, e.SealedRules})
}

// What is refused, each with its reason.
func TestWhatIsNotTakenIn(t *testing.T) {
	raw, id := keptJournal(t, "refused"), newIdentity(t, "Marlpit Security")
	ours, parts := siteIn(t, raw), contents(t, raw, id)
	whole := sealed(t, parts, id)
	unsigned, err := seal.Unsigned(contents(t, raw, nil))
	require.NoError(t, err)
	elsewhere, err := site.Read("site.yaml", []byte(strings.NewReplacer("Bench", "Chapel", "Clay Lane", "Hill",
		"H-1", "K-7").Replace(string(ours.Raw))))
	require.NoError(t, err)
	flipped := slices.Clone(whole)
	flipped[len(flipped)/3] ^= 1
	practice := keptJournal(t, "pottery-handover")
	stranger := Options{Options: verify.Options{Trust: verify.Anchors{newIdentity(t, "Somebody").Certificate}}}
	for name, c := range map[string]struct {
		file []byte
		site *site.Site
		with Options
		want string
		is   error
	}{
		"nothing":         {nil, ours, Options{}, "", ErrRefused},
		"no PDF":          {[]byte("a letter"), ours, Options{}, "", ErrRefused},
		"a changed byte":  {flipped, ours, Options{}, "", ErrRefused},
		"something added": {append(slices.Clone(whole), "more"...), ours, Options{}, "appended", ErrRefused},
		"half of it":      {whole[:len(whole)/2], ours, Options{}, "", ErrRefused},
		"unsigned":        {unsigned, ours, Options{}, "not signed", ErrRefused},
		"a verdict that does not follow": {sealed(t, restated(parts, `"result": "unsatisfactory"`,
			`"result": "satisfactory"`), id),
			ours, Options{}, "do not follow", ErrRefused},
		"of other premises":    {whole, elsewhere, Options{}, "Clay Lane", ErrElsewhere},
		"of a key not trusted": {whole, ours, stranger, "not trusted", ErrRefused},
		"practice": {sealed(t, contents(t, practice, id), id), siteIn(t, practice), Options{}, "practice",
			job.ErrPractice},
		"of a visit that will be": {whole, ours, Options{Options: verify.Options{Now: made.AddDate(-1, 0, 0)}}, "",
			ErrRefused},
	} {
		_, err := Read("theirs.pdf", c.file, c.site, c.with)
		require.ErrorIs(t, err, c.is, name)
		assert.ErrorIs(t, err, ErrRefused, name)
		assert.ErrorContains(t, err, c.want, name)
	}
	_, err = Read("theirs.pdf", whole, elsewhere, Options{SamePremises: true})
	require.NoError(t, err, "whoever takes it in says that it is of the premises")
	_, err = Read("p.pdf", sealed(t, contents(t, practice, id), id), siteIn(t, practice), Options{Practice: true})
	require.NoError(t, err)
}
