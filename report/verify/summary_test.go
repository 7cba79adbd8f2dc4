package verify

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// summarised is the summary of a certificate.
func summarised(t testing.TB, id *identity.Identity) *evidence.Parts {
	t.Helper()
	contents, err := journal.Read(bytes.NewReader(recorded(t)))
	require.NoError(t, err)
	c, err := evidence.Make(contents, noPhotographs,
		evidence.Making{Revision: 2, Summary: true, Tool: "loopwitness test", Made: made, SealedBy: by(id)})
	require.NoError(t, err)
	return c
}

// A summary is checked as the full certificate is: from the same record, drawn again, mark by mark.
func TestASummaryIsDerivedAgain(t *testing.T) {
	id := newIdentity(t, "x")
	r := Check("c.pdf", sealed(t, summarised(t, id).Contents, id), Options{})
	assert.Equal(t, Intact, r.Outcome, texts(r))
	assert.Equal(t, 1, r.Compared.Pages)
	assert.True(t, r.Compared.Drawn)
	assert.True(t, strings.HasSuffix(r.Document, "rev. 2 summary"), r.Document)
	full := Check("c.pdf", potterySealed(t, id), Options{})
	assert.Equal(t, full.Fingerprint, r.Fingerprint, "of the same record")
	assert.Equal(t, full.Compared.Entries, r.Compared.Entries)
	assert.NotContains(t, full.Document, "summary")
}

// Pages that say more than the record gives, and statements that claim another form, by the holder of the key.
func TestForgedSummaries(t *testing.T) {
	id := newIdentity(t, "x")
	c := summarised(t, id)
	check := func(contents seal.Contents) *Report {
		r := Check("c.pdf", sealed(t, contents, id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		return r
	}
	t.Run("a word", func(t *testing.T) {
		d := c.Document
		d.Banner.Word = "Satisfactory"
		assert.Contains(t, texts(check(withPages(t, c.Contents, d))), `where the record gives "with limitations"`)
	})
	t.Run("a sign", func(t *testing.T) {
		d := c.Document
		d.Banner.Sign = 1 // passed
		require.NotEqual(t, c.Document.Banner.Sign, d.Banner.Sign)
		assert.Contains(t, texts(check(withPages(t, c.Contents, d))), "something else was drawn")
	})
	t.Run("an instant moved", func(t *testing.T) {
		d := c.Document
		front, alarm := *d.Front, *d.Front.Alarm
		alarm.Instants = append(alarm.Instants[:0:0], alarm.Instants...)
		last := len(alarm.Instants) - 1
		alarm.Instants[last].Sign, alarm.Instants[0].Sign = alarm.Instants[0].Sign, alarm.Instants[last].Sign
		front.Alarm, d.Front = &alarm, &front
		assert.Contains(t, texts(check(withPages(t, c.Contents, d))), "something else was drawn")
	})
	t.Run("a finding less", func(t *testing.T) {
		d := c.Document
		front := *d.Front
		front.List.Rows = front.List.Rows[1:]
		front.List.All--
		d.Front = &front
		assert.Contains(t, texts(check(withPages(t, c.Contents, d))), "page 1")
	})
	t.Run("it calls itself the full certificate", func(t *testing.T) {
		s := c.Statement
		s.Summary = false
		contents := c.Contents
		contents.Attachments = append([]seal.Attachment{}, contents.Attachments...)
		last := len(contents.Attachments) - 1
		require.Equal(t, seal.StatementName, contents.Attachments[last].Name)
		encoded, err := json.Marshal(s)
		require.NoError(t, err)
		contents.Attachments[last].Content = encoded
		assert.Contains(t, texts(check(contents)), "pages; the record gives")
	})
	t.Run("a full certificate calls itself a summary", func(t *testing.T) {
		full := makeFrom(t, recorded(t), by(id))
		s := full.Statement
		s.Summary = true
		contents := full.Contents
		contents.Attachments = append([]seal.Attachment{}, contents.Attachments...)
		encoded, err := json.Marshal(s)
		require.NoError(t, err)
		contents.Attachments[len(contents.Attachments)-1].Content = encoded
		assert.Contains(t, texts(check(contents)), "pages; the record gives")
	})
	t.Run("a photograph, which a summary has not", func(t *testing.T) {
		contents := c.Contents
		contents.Attachments = append(append([]seal.Attachment{}, contents.Attachments...),
			seal.Attachment{Name: "photo-1.jpg", Media: "image/jpeg", Content: []byte("x")})
		assert.Contains(t, texts(check(contents)), "does not belong to it")
	})
}

// A summary of a visit with photographs is made and checked without them.
func TestASummaryCarriesNoPhotographs(t *testing.T) {
	id := newIdentity(t, "x")
	full := photographed(t, id)
	require.NotEmpty(t, full.Statement.Photographs)
	var raw []byte
	for _, a := range full.Contents.Attachments {
		if a.Name == seal.JournalName {
			raw = a.Content
		}
	}
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	c, err := evidence.Of(full.Assessment, contents, noPhotographs,
		evidence.Making{Revision: 1, Summary: true, Tool: "loopwitness test", Made: made, SealedBy: by(id)})
	require.NoError(t, err)
	assert.Len(t, c.Contents.Attachments, 2)
	r := Check("c.pdf", sealed(t, c.Contents, id), Options{})
	assert.Equal(t, Intact, r.Outcome, texts(r))
}

// Flipped bits anywhere in a summary are reported, as in the full form.
func TestFlippedBitsOfASummaryAreReported(t *testing.T) {
	flips := 1000
	if outsidetool.Racing {
		flips = 50
	}
	id := newIdentity(t, "Bellbird Alarm Services")
	file := sealed(t, summarised(t, id).Contents, id)
	require.False(t, noticed(file))
	random := rand.New(rand.NewPCG(2026, 12))
	for i := range flips {
		n := random.IntN(len(file) * 8)
		flipped := bytes.Clone(file)
		flipped[n/8] ^= 1 << (n % 8)
		require.True(t, noticed(flipped), "bit %d of byte %d", n%8, n/8)
		if i < 20 {
			assert.NotEqual(t, Intact, Check("c.pdf", flipped, Options{}).Outcome, "bit %d of byte %d", n%8, n/8)
		}
	}
}
