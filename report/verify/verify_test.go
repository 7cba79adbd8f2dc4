package verify

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/stamp"
)

var made = time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)

const pottery = "../../testdata/journals/pottery-handover.jsonl"

func recorded(t testing.TB) []byte {
	t.Helper()
	raw, err := os.ReadFile(pottery)
	require.NoError(t, err)
	return raw
}

func newIdentity(t testing.TB, name string) *identity.Identity {
	t.Helper()
	id, err := identity.New(identity.Subject{Name: name}, time.Now(), 5)
	require.NoError(t, err)
	return id
}

func by(id *identity.Identity) certificate.Sealer {
	return certificate.Sealer{Kind: certificate.KeyHolder, Name: id.Name(), Fingerprint: id.Fingerprint()}
}

func noPhotographs(p record.Photograph) ([]byte, error) { return nil, os.ErrNotExist }

func makeFrom(t testing.TB, raw []byte, s certificate.Sealer) *evidence.Parts {
	t.Helper()
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	c, err := evidence.Make(contents, noPhotographs,
		evidence.Making{Revision: 1, Tool: "loopwitness test", Made: made, SealedBy: s})
	require.NoError(t, err)
	return c
}

func sealed(t testing.TB, c seal.Contents, id *identity.Identity) []byte {
	t.Helper()
	out, err := seal.Seal(context.Background(), c, id, seal.Stamper{})
	require.NoError(t, err)
	return out.PDF
}

func potterySealed(t testing.TB, id *identity.Identity) []byte {
	t.Helper()
	return sealed(t, makeFrom(t, recorded(t), by(id)).Contents, id)
}

// texts are the problems in one string.
func texts(r *Report) string {
	var all []string
	for _, p := range r.Problems {
		all = append(all, string(p.Kind)+": "+p.Text)
	}
	return strings.Join(all, "\n")
}

func TestIntact(t *testing.T) {
	id := newIdentity(t, "Bellbird Alarm Services")
	r := Check("c.pdf", potterySealed(t, id), Options{})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.Equal(t, id.Fingerprint(), r.Signature.Fingerprint)
	assert.Equal(t, "Bellbird Alarm Services", r.Signature.Name)
	assert.False(t, r.Signature.Trust.Trusted, "nobody was asked whether it is")
	assert.True(t, r.Compared.Drawn)
	assert.Greater(t, r.Compared.Statements, 300)
	sum := sha256.Sum256(recorded(t))
	assert.Equal(t, hex.EncodeToString(sum[:]), r.Fingerprint)
	assert.Equal(t, "satisfactory with limitations", r.Result)
}

// Certificates are checked side by side.
func TestManyAtOnce(t *testing.T) {
	file := potterySealed(t, newIdentity(t, "x"))
	var g errgroup.Group
	for range 4 {
		g.Go(func() error {
			if r := Check("c.pdf", file, Options{}); r.Outcome != Intact {
				return errors.New(texts(r))
			}
			return nil
		})
	}
	assert.NoError(t, g.Wait())
}

// An unsigned certificate follows from its record, and still nothing is proved.
func TestUnsigned(t *testing.T) {
	pdf, err := seal.Unsigned(makeFrom(t, recorded(t), certificate.Sealer{}).Contents)
	require.NoError(t, err)
	r := Check("c.pdf", pdf, Options{})
	assert.Equal(t, Unchecked, r.Outcome)
	assert.Equal(t,
		[]Problem{{NoSeal, "it is not signed: nothing shows who made it, or whether it was changed since"}},
		r.Problems)
	assert.True(t, r.Compared.Drawn)
}

func TestThrowAwayKeyIsNamedSo(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t),
		certificate.Sealer{Kind: certificate.ThrowAwayKey, Name: id.Name(), Fingerprint: id.Fingerprint()})
	assert.Contains(t, c.Document.Notices, "sealed with a throw-away key")
	r := Check("c.pdf", sealed(t, c.Contents, id), Options{})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Signature.ThrowAway)
}

func TestTrust(t *testing.T) {
	id, stranger := newIdentity(t, "Bellbird Alarm Services"), newIdentity(t, "Bellbird Alarm Services")
	file := potterySealed(t, id)
	r := Check("c.pdf", file, Options{Trust: Anchors{id.Certificate}})
	assert.Equal(t, Intact, r.Outcome)
	assert.True(t, r.Signature.Trust.Trusted)

	// The same name, another key.
	r = Check("c.pdf", file, Options{Trust: Anchors{stranger.Certificate}})
	assert.Equal(t, Failed, r.Outcome)
	assert.False(t, r.Signature.Trust.Trusted)
	assert.Contains(t, texts(r), "its signer is not trusted")

	// Nobody is trusted if an empty list was named.
	r = Check("c.pdf", file, Options{Trust: Anchors{}})
	assert.Equal(t, Failed, r.Outcome)
}

func TestFingerprintOfPaper(t *testing.T) {
	id := newIdentity(t, "x")
	file := potterySealed(t, id)
	whole := Check("c.pdf", file, Options{}).Fingerprint
	for typed, want := range map[string]Outcome{
		whole: Intact, strings.ToUpper(whole[:16]): Intact, whole[:4] + " " + whole[4:8] + ":" + whole[8:20] + " …": Intact,
		id.Fingerprint(): Intact, "0123 4567 89ab cdef": Failed, whole[1:20]: Failed,
	} {
		clean, err := CleanFingerprint(typed)
		require.NoError(t, err, typed)
		r := Check("c.pdf", file, Options{Fingerprint: clean})
		assert.Equal(t, want, r.Outcome, "%s: %s", typed, texts(r))
	}
	for _, typed := range []string{"", "1234", "no fingerprint at all", strings.Repeat("a", 65)} {
		_, err := CleanFingerprint(typed)
		assert.ErrorContains(t, err, "is no fingerprint", typed)
	}
}

// chained writes entries of a journal again, with numbers and hashes that fit.
func chained(t testing.TB, lines []string) []byte {
	t.Helper()
	var out bytes.Buffer
	prev := strings.Repeat("0", 64)
	for i, text := range lines {
		var l struct {
			Format int             `json:"format,omitempty"`
			N      int             `json:"n"`
			At     string          `json:"at"`
			Run    int             `json:"run"`
			NS     int64           `json:"ns"`
			Kind   string          `json:"kind"`
			Body   json.RawMessage `json:"body"`
			Prev   string          `json:"prev"`
		}
		require.NoError(t, json.Unmarshal([]byte(text), &l))
		l.N, l.Prev = i+1, prev
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		require.NoError(t, enc.Encode(l))
		sum := sha256.Sum256(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
		prev = hex.EncodeToString(sum[:])
		out.Write(b.Bytes())
	}
	_, err := journal.Read(bytes.NewReader(out.Bytes()))
	require.NoError(t, err, "the forged chain has to hold")
	return out.Bytes()
}

func linesOf(raw []byte) []string {
	return strings.Split(strings.TrimSuffix(string(raw), "\n"), "\n")
}

// find is the index of the nth line, from 1, that contains a text.
func find(t testing.TB, lines []string, text string, nth int) int {
	t.Helper()
	for i, l := range lines {
		if strings.Contains(l, text) {
			if nth--; nth == 0 {
				return i
			}
		}
	}
	t.Fatalf("no line with %q", text)
	return 0
}

// withJournal is a certificate whose attached journal was exchanged.
func withJournal(c seal.Contents, raw []byte) seal.Contents {
	attachments := append([]seal.Attachment{}, c.Attachments...)
	attachments[0].Content = raw
	c.Attachments = attachments
	return c
}

// A forger has the right key, so that every signature is sound. What was done to the
// record is told all the same, each in its own words.
func TestForgedRecords(t *testing.T) {
	id := newIdentity(t, "x")
	raw := recorded(t)
	c := makeFrom(t, raw, by(id))
	lines := linesOf(raw)
	signal := find(t, lines, `"kind":"signal"`, 5)
	without := func(i int) []string { return append(append([]string{}, lines[:i]...), lines[i+1:]...) }
	swapped := append([]string{}, lines...)
	swapped[signal], swapped[signal-1] = swapped[signal-1], swapped[signal]
	edited := append([]string{}, lines...)
	checkAt := find(t, lines, `"result":"done"`, 2)
	edited[checkAt] = strings.Replace(edited[checkAt], `"result":"done"`, `"result":"done","remark":"seen"`, 1)
	added := append(append(append([]string{}, lines[:checkAt]...), lines[checkAt]), lines[checkAt:]...)

	for name, test := range map[string]struct {
		forged []byte
		want   string
	}{
		"deleted": {chained(t, without(checkAt)),
			fmt.Sprintf("1 of its %d entries is missing: entry %d", len(lines), checkAt+1)},
		"reordered": {chained(t, swapped), fmt.Sprintf("another order, from entry %d on", signal)},
		"edited":    {chained(t, edited), fmt.Sprintf("entry %d was changed", checkAt+1)},
		"added":     {chained(t, added), "1 entry was not in it when it was sealed"},
		"edited, chain broken": {[]byte(strings.Join(edited, "\n") + "\n"),
			fmt.Sprintf("line %d: the journal is damaged: the line before was changed", checkAt+2)},
		"deleted, chain broken": {[]byte(strings.Join(without(checkAt), "\n") + "\n"),
			fmt.Sprintf("line %d: the journal is damaged: the entry calls itself number %d", checkAt+1, checkAt+2)},
		"cut": {raw[:len(raw)-30], "unfinished line"},
	} {
		t.Run(name, func(t *testing.T) {
			r := Check("c.pdf", sealed(t, withJournal(c.Contents, test.forged), id), Options{})
			assert.Equal(t, Failed, r.Outcome)
			assert.Contains(t, texts(r), test.want)
		})
	}
}

// A verdict that is made better in the record alone shows in the statements.
func TestVerdictIsDerivedAgain(t *testing.T) {
	id := newIdentity(t, "x")
	raw := recorded(t)
	c := makeFrom(t, raw, by(id))
	lines := linesOf(raw)
	i := find(t, lines, `"kind":"reading","body"`, 1)
	lines[i] = strings.NewReplacer(`"value":13.`, `"value":11.`, `"as_typed":"13.`, `"as_typed":"11.`).Replace(lines[i])
	r := Check("c.pdf", sealed(t, withJournal(c.Contents, chained(t, lines)), id), Options{})
	require.Equal(t, Failed, r.Outcome)
	assert.Equal(t, "unsatisfactory", r.Result, "as the record has it now")
	var all []string
	for _, d := range r.Follows.Differences {
		all = append(all, d.String())
	}
	assert.Contains(
		t,
		strings.Join(all, "\n"),
		`result: the certificate states "satisfactory with limitations", the record gives "unsatisfactory"`,
	)
}

// The signer's own key, the true record, and pages that say more than it gives.
func TestForgedPages(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))

	t.Run("a word", func(t *testing.T) {
		d := c.Document
		d.Banner.Word = "Satisfactory"
		r := Check("c.pdf", sealed(t, withPages(t, c.Contents, d), id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(
			t,
			texts(r),
			`where the record gives "with limitations"`,
		)
	})
	t.Run("a bar", func(t *testing.T) {
		d := c.Document
		changed := 0
		for i, s := range d.Sections {
			for j, b := range s.Blocks {
				table, is := b.(certificate.Table)
				if !is || changed > 0 {
					continue
				}
				rows := append([]certificate.Row{}, table.Rows...)
				for k, row := range rows {
					cells := append([]certificate.Cell{}, row.Cells...)
					for l := range cells {
						if cells[l].Bar != nil && changed == 0 {
							bar := *cells[l].Bar
							bar.Value /= 2
							cells[l].Bar = &bar
							changed++
						}
					}
					rows[k].Cells = cells
				}
				table.Rows = rows
				d.Sections = append([]certificate.Section{}, d.Sections...)
				d.Sections[i].Blocks = append([]certificate.Block{}, s.Blocks...)
				d.Sections[i].Blocks[j] = table
			}
		}
		require.Equal(t, 1, changed)
		r := Check("c.pdf", sealed(t, withPages(t, c.Contents, d), id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "something else was drawn")
	})
	t.Run("a page more", func(t *testing.T) {
		d := c.Document
		d.Sections = append(
			append([]certificate.Section{}, d.Sections...),
			certificate.Section{Title: "Approval",
				Blocks: []certificate.Block{certificate.Prose{Text: strings.Repeat("Approved. ", 900)}}},
		)
		r := Check("c.pdf", sealed(t, withPages(t, c.Contents, d), id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "pages; the record gives")
	})
	t.Run("pages and statements alike", func(t *testing.T) {
		forged := *c
		forged.Document.Banner.Word = "Satisfactory"
		contents := withPages(t, c.Contents, forged.Document)
		s := c.Statement
		s.Stated = forged.Document.Stated()
		better := strings.NewReplacer(`"result":"satisfactory with limitations"`, `"result":"satisfactory"`)
		s.Judged = json.RawMessage(better.Replace(string(s.Judged)))
		contents.Attachments = append([]seal.Attachment{}, contents.Attachments...)
		last := len(contents.Attachments) - 1
		require.Equal(t, seal.StatementName, contents.Attachments[last].Name)
		encoded, err := json.Marshal(s)
		require.NoError(t, err)
		contents.Attachments[last].Content = encoded
		r := Check("c.pdf", sealed(t, contents, id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "1 of its verdicts and figures do not follow from its record")
		assert.Contains(t, texts(r), "1 of its statements are not what its record gives")
		assert.Contains(t, texts(r), "page 1 reads")
	})
	t.Run("an attachment more", func(t *testing.T) {
		contents := c.Contents
		contents.Attachments = append(append([]seal.Attachment{}, contents.Attachments...),
			seal.Attachment{Name: "approval.txt", Content: []byte("approved")})
		r := Check("c.pdf", sealed(t, contents, id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), `it carries "approval.txt", which does not belong to it`)
	})
}

func withPages(t testing.TB, c seal.Contents, d certificate.Document) seal.Contents {
	t.Helper()
	pdf, err := certificate.Render(d, made)
	require.NoError(t, err)
	c.Pages = pdf
	return c
}

// Whatever is done to the file itself is told in its own words.
func TestTampering(t *testing.T) {
	id, other := newIdentity(t, "x"), newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	file := sealed(t, c.Contents, id)
	at, err := findSignature(file)
	require.NoError(t, err)
	exchange := func(old, new string) []byte {
		require.Equal(t, len(old), len(new))
		require.Contains(t, string(file), old)
		return []byte(strings.Replace(string(file), old, new, 1))
	}
	// The name in the embedded certificate, under which every common checker calls the
	// signature valid still.
	name := hex.EncodeToString([]byte("\x0c\x01x"))
	if !strings.Contains(string(file[at.firstEnd:at.secondBegin]), name) {
		name = hex.EncodeToString([]byte("\x13\x01x"))
	}
	update := fmt.Sprintf("1 0 obj\n<</Type/Pages/Kids[]/Count 0>>\nendobj\nxref\n1 1\n%010[1]d 00000 n \n"+
		"trailer\n<</Prev 1/Root 1 0 R/Size 2>>\nstartxref\n%[1]d\n%%%%EOF\n", len(file))

	for name, test := range map[string]struct {
		file []byte
		want []string
	}{
		"cut short":     {file[:len(file)-1000], []string{"cut short: it was cut short: 1000 of the"}},
		"cut by a byte": {file[:len(file)-1], []string{"cut short: it was cut short: 1 of the"}},
		"appended update": {append(bytes.Clone(file), update...),
			[]string{fmt.Sprintf("appended: %d bytes were appended after it was signed", len(update))}},
		"appended byte": {append(bytes.Clone(file), '\n'), []string{"appended: 1 bytes were appended"}},
		"reason given": {exchange("/T <5365616c>", "/T <5365616d>"),
			[]string{"changed: the file is not as it was when it was signed"}},
		"signed by another": {sealed(t, c.Contents, other),
			[]string{"other key: it is signed by another key than it names on its pages"}},
		"signature removed": {exchange("/ByteRange", "/ByteRongo"),
			[]string{"unsigned: ", "signature: it names a key on its pages, but bears no signature"}},
		"range made shorter": {exchange("/ByteRange [0 ", "/ByteRange [1 "),
			[]string{"signature: its signature does not cover all of it"}},
		"signer's name": {exchange(name, name[:4]+hex.EncodeToString([]byte("y"))),
			[]string{"signature: its signature is not sound: a certificate in it was exchanged or altered"}},
		"hexadecimal letters": {exchangeAt(file, at.firstEnd+1, strings.ToUpper),
			[]string{"signature: its signature is not sound: its signature is written in another way"}},
		"behind the signature": {exchangeAt(file, at.secondBegin-9, func(string) string { return "00000001" }),
			[]string{"signature: its signature is not sound: something was written behind its signature"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := Check("c.pdf", test.file, Options{})
			assert.Equal(t, Failed, r.Outcome, texts(r))
			for _, want := range test.want {
				assert.Contains(t, texts(r), want)
			}
		})
	}
}

// exchangeAt changes eight characters at a place, or more if they stay alike.
func exchangeAt(file []byte, at int, change func(string) string) []byte {
	out := bytes.Clone(file)
	for bytes.Equal(out, file) {
		copy(out[at:], change(string(out[at:at+8])))
		at += 8
	}
	return out
}

// An attachment that is exchanged without the key breaks the signature, and is named.
func TestSwappedAttachmentIsNamed(t *testing.T) {
	id, forger := newIdentity(t, "x"), newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	lines := linesOf(recorded(t))
	i := find(t, lines, `"result":"done"`, 2)
	lines[i] = strings.Replace(lines[i], `"result":"done"`, `"result":"defect"`, 1)
	r := Check("c.pdf", sealed(t, withJournal(c.Contents, chained(t, lines)), forger), Options{})
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(t, texts(r), "other key: ")
	assert.Contains(
		t,
		texts(r),
		fmt.Sprintf(
			"record: the attached record is not the one that the certificate was made with: entry %d was changed",
			i+1),
	)
	assert.Contains(t, texts(r), "statement: ")
}

// A visit that ends later than it is says so in the words of the verdict; where time was
// simulated, it may.
func TestAVisitInTheFutureIsTold(t *testing.T) {
	id := newIdentity(t, "x")
	raw := bytes.Replace(recorded(t), []byte(`"timed_by":"simulated time"`), []byte(`"timed_by":"seed"`), 1)
	lines := linesOf(raw)
	c := makeFrom(t, chained(t, lines), by(id))
	contents, err := journal.Read(bytes.NewReader(chained(t, lines)))
	require.NoError(t, err)
	ends := contents.Entries[len(contents.Entries)-1].At
	for now, ahead := range map[time.Duration]bool{0: false, -stamp.ClocksApart: false, -stamp.ClocksApart - 1: true} {
		r := Check("c.pdf", sealed(t, c.Contents, id), Options{Now: ends.Add(now)})
		assert.Equal(t, ahead, r.Ahead, now)
		assert.Equal(t, ahead, strings.Contains(strings.Join(r.Notes, "\n"), "this computer's clock shows"), now)
	}
	r := Check("c.pdf", potterySealed(t, id), Options{Now: ends.AddDate(-1, 0, 0)})
	assert.False(t, r.Ahead)
	assert.False(t, r.Contradicts)
}
