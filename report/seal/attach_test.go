package seal

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission"
	"loopwitness/commission/journal"
	"loopwitness/commission/outsidetool"
	"loopwitness/report/certificate"
)

var made = time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)

const pottery = "../../testdata/journals/pottery-handover.jsonl"

func documentOf(t testing.TB, raw []byte) certificate.Document {
	t.Helper()
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	r, err := commission.Fold(contents.Entries)
	require.NoError(t, err)
	return certificate.Write(commission.Assess(r), certificate.Options{Revision: 1, Unsigned: true, Tool: "test"})
}

func withJournal(t testing.TB) (raw []byte, path string) {
	t.Helper()
	raw, err := os.ReadFile(pottery)
	require.NoError(t, err)
	pdf, err := certificate.Render(documentOf(t, raw), made)
	require.NoError(t, err)
	attached, err := Attach(pdf, raw, made)
	require.NoError(t, err)
	path = filepath.Join(t.TempDir(), "certificate.pdf")
	require.NoError(t, os.WriteFile(path, attached, 0o644))
	return raw, path
}

// A reader that is not ours saves the journal byte by byte, and it folds to what
// the pages say.
func TestOutsideReaderSavesTheJournal(t *testing.T) {
	pdfdetach := outsidetool.Find(t, "pdfdetach")
	raw, path := withJournal(t)
	saved := filepath.Join(t.TempDir(), "saved")
	out, err := exec.Command(pdfdetach, "-save", "1", "-o", saved, path).CombinedOutput()
	require.NoError(t, err, string(out))
	back, err := os.ReadFile(saved)
	require.NoError(t, err)
	assert.Equal(t, raw, back)
	assert.Equal(t, documentOf(t, raw).PlainText(), documentOf(t, back).PlainText())
}

// Attaching changes nothing on the pages, and leaves a sound file.
func TestAttachingLeavesTheFileSound(t *testing.T) {
	qpdf, pdftotext := outsidetool.Find(t, "qpdf"), outsidetool.Find(t, "pdftotext")
	raw, path := withJournal(t)
	out, err := exec.Command(qpdf, "--check", path).CombinedOutput()
	assert.NoError(t, err, string(out))
	plain := filepath.Join(t.TempDir(), "plain.pdf")
	pdf, err := certificate.Render(documentOf(t, raw), made)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(plain, pdf, 0o644))
	before, err := exec.Command(pdftotext, "-layout", plain, "-").Output()
	require.NoError(t, err)
	after, err := exec.Command(pdftotext, "-layout", path, "-").Output()
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}

func TestNoPDFIsRefused(t *testing.T) {
	_, err := Attach([]byte("rubbish"), nil, made)
	assert.ErrorContains(t, err, "attach the journal")
}

func BenchmarkAttach(b *testing.B) {
	raw, err := os.ReadFile(pottery)
	require.NoError(b, err)
	pdf, err := certificate.Render(documentOf(b, raw), made)
	require.NoError(b, err)
	for b.Loop() {
		if _, err := Attach(pdf, raw, made); err != nil {
			b.Fatal(err)
		}
	}
}
