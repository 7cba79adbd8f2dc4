package seal

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/words"
	"loopwitness/report/certificate"
	"loopwitness/report/pdffile"
)

var made = time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)

func contents(t testing.TB) Contents {
	t.Helper()
	pages, err := certificate.Render(
		certificate.Document{Language: words.English{}, Title: "T",
			Sections: []certificate.Section{{Title: "A", Blocks: []certificate.Block{certificate.Prose{Text: "words"}}}}},
		made,
	)
	require.NoError(t, err)
	return Contents{Pages: pages, Made: made, Attachments: []Attachment{
		{Name: "b.txt", Media: "text/plain", Description: "Žák",
			Content: bytes.Repeat([]byte("b"), 5000)}, {Name: "a.txt", Media: "text/plain", Content: nil}}}
}

// The same content is the same file, to the byte: verify rests on it.
func TestSameContentSameFile(t *testing.T) {
	first, err := Unsigned(contents(t))
	require.NoError(t, err)
	second, err := Unsigned(contents(t))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(first, second))
	signed, err := Template(contents(t), 1000, "x")
	require.NoError(t, err)
	again, err := Template(contents(t), 1000, "x")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(signed, again))
	other, err := Template(contents(t), 1000, "y")
	require.NoError(t, err)
	assert.False(t, bytes.Equal(signed, other))
}

// What is attached is found again, in any order and of any length.
func TestAttachmentsAreFoundAgain(t *testing.T) {
	file, err := Unsigned(contents(t))
	require.NoError(t, err)
	f, err := pdffile.Open(file)
	require.NoError(t, err)
	files, err := f.Attachments()
	require.NoError(t, err)
	for _, a := range contents(t).Attachments {
		got, err := f.Inflate(files[a.Name], 1<<16)
		require.NoError(t, err)
		assert.Equal(t, string(a.Content), string(got))
	}
}

func TestPagesThatAreNoPDFAreRefused(t *testing.T) {
	_, err := Unsigned(Contents{Pages: []byte("rubbish")})
	assert.ErrorIs(t, err, pdffile.ErrNotRead)
	_, err = Template(Contents{}, 10, "x")
	assert.ErrorContains(t, err, "seal: ")
}

func TestAddressesOfTimeStampingServers(t *testing.T) {
	for url, want := range map[string]bool{
		"": true, "http://stamp.example": true, "https://stamp.example/tsr": true,
		"stamp.example": false, "ftp://stamp.example": false, "http://": false, ":": false,
	} {
		assert.Equal(t, want, Stamper{URL: url}.Check() == nil, "%q", url)
	}
}
