package verify

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// shaded is a picture that a camera may take, of some shade.
func shaded(t testing.TB, shade uint8, quality int) []byte {
	t.Helper()
	p := image.NewRGBA(image.Rect(0, 0, 900, 700))
	for y := range 700 {
		for x := range 900 {
			p.SetRGBA(x, y, color.RGBA{uint8(x/5) + shade, uint8(y / 4), shade, 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, &jpeg.Options{Quality: quality}))
	return b.Bytes()
}

// photographed is the pottery's certificate with two photographs, signed on glass.
func photographed(t testing.TB, id *identity.Identity) *evidence.Parts {
	t.Helper()
	return photographedIn(t, onGlass(t), id)
}

// photographedIn is a certificate of a journal with two photographs more.
func photographedIn(t testing.TB, raw []byte, id *identity.Identity) *evidence.Parts {
	t.Helper()
	dir := t.TempDir()
	folder := filepath.Join(dir, "visits", "handover")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "journal.jsonl"), raw, 0o644))
	v, err := job.At(dir).Visit("handover")
	require.NoError(t, err)
	for i, shade := range []uint8{10, 40} {
		_, err := v.Attach(clock.NewSimulated(made.Add(time.Duration(i)*time.Minute)), "zone/3", "of a shade",
			shaded(t, shade, 90))
		require.NoError(t, err)
	}
	contents, err := v.Contents()
	require.NoError(t, err)
	c, err := evidence.Make(contents, v.Photograph,
		evidence.Making{Revision: 1, Tool: "loopwitness test", Made: made, SealedBy: by(id)})
	require.NoError(t, err)
	return c
}

// exchanged is a certificate one of whose attachments has another content; nil takes it
// away.
func exchanged(c seal.Contents, name string, content []byte) seal.Contents {
	var out []seal.Attachment
	for _, a := range c.Attachments {
		if a.Name == name {
			if content == nil {
				continue
			}
			a.Content = content
		}
		out = append(out, a)
	}
	c.Attachments = out
	return c
}

func TestPhotographsAreCompared(t *testing.T) {
	id := newIdentity(t, "x")
	c := photographed(t, id)
	r := Check("c.pdf", sealed(t, c.Contents, id), Options{})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.Equal(t, 2, r.Compared.Photographs)
	assert.True(t, r.Compared.Drawn)

	t.Run("another file under its name", func(t *testing.T) {
		r := Check("c.pdf", sealed(t, exchanged(c.Contents, "photograph-2.jpg", shaded(t, 90, 90)), id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "photograph: photograph-2.jpg: the photograph is not the one that the journal tells of")
	})
	t.Run("taken away", func(t *testing.T) {
		r := Check("c.pdf", sealed(t, exchanged(c.Contents, "photograph-1.jpg", nil), id), Options{})
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r),
			"photograph: photograph-1.jpg: the photograph is not the one that the journal tells of: it is missing")
	})

	redrawnWith := func(small []byte) *Report {
		d := c.Document
		d.Sections = append([]certificate.Section{}, d.Sections...)
		found := false
		for i, s := range d.Sections {
			for j, b := range s.Blocks {
				if pictures, is := b.(certificate.Pictures); is {
					pictures = append(certificate.Pictures{}, pictures...)
					pictures[0].Image = small
					d.Sections[i].Blocks = append([]certificate.Block{}, s.Blocks...)
					d.Sections[i].Blocks[j] = pictures
					found = true
				}
			}
		}
		require.True(t, found)
		return Check("c.pdf", sealed(t, withPages(t, c.Contents, d), id), Options{})
	}
	redrawn := func(shade uint8, quality int) *Report {
		small, err := certificate.SmallPicture(shaded(t, shade, quality), "image/jpeg")
		require.NoError(t, err)
		return redrawnWith(small)
	}
	// Some readers show the first scan of a picture, some the last.
	t.Run("two pictures in one", func(t *testing.T) {
		first, err := certificate.SmallPicture(shaded(t, 90, 90), "image/jpeg")
		require.NoError(t, err)
		last, err := certificate.SmallPicture(shaded(t, 10, 90), "image/jpeg")
		require.NoError(t, err)
		both := append(bytes.Clone(first[:len(first)-2]), last[bytes.Index(last, []byte{0xff, 0xda}):]...)
		r := redrawnWith(both)
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "something else was drawn")
		_, err = photograph.Take(both)
		assert.ErrorContains(t, err, "laid out in an unusual way")
	})
	t.Run("another picture on the page", func(t *testing.T) {
		r := redrawn(90, 90)
		assert.Equal(t, Failed, r.Outcome)
		assert.Contains(t, texts(r), "something else was drawn")
	})
	t.Run("the same picture by another encoder", func(t *testing.T) {
		r := redrawn(10, 97)
		assert.Equal(t, Intact, r.Outcome, texts(r))
	})
}
