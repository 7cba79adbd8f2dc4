package certificate

import (
	"bytes"
	"image"
	"image/jpeg"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/words"
	"loopwitness/report/pdffile"
)

// pictureOf is a small picture of some shade.
func pictureOf(t testing.TB, shade uint8) []byte {
	t.Helper()
	p := image.NewGray(image.Rect(0, 0, 60, 40))
	for i := range p.Pix {
		p.Pix[i] = shade
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, nil))
	return b.Bytes()
}

// Photographs may look alike when they are small: the page shows each, and the file holds
// the picture once.
func TestTwoPhotographsWithTheSameThumbnail(t *testing.T) {
	one, other := pictureOf(t, 40), pictureOf(t, 200)
	for name, test := range map[string]struct {
		shown [][]byte
		held  int
	}{
		"alike":              {[][]byte{one, one}, 1},
		"three, two alike":   {[][]byte{one, other, one}, 2},
		"different":          {[][]byte{one, other}, 2},
		"on different pages": {[][]byte{one, one, one, one, one, one, one, one, one, one, one, one, one, one, one, one}, 1},
	} {
		var pictures Pictures
		for _, p := range test.shown {
			pictures = append(pictures, Picture{Image: p, Title: "P"})
		}
		file, err := Render(Document{Language: words.English{}, Title: "T",
			Sections: []Section{{Title: "A", Blocks: []Block{pictures}}}}, time.Unix(0, 0))
		require.NoError(t, err)
		f, err := pdffile.Open(file)
		require.NoError(t, err, name)
		d, err := f.Objects()
		require.NoError(t, err, name)
		held := 0
		for _, o := range d.Numbered() {
			if s, is := o.(pdffile.Stream); is && s.Dict["Subtype"] == pdffile.Name("Image") {
				held++
			}
		}
		assert.Equal(t, test.held, held, name)
		drawn := 0
		pages, err := f.Pages()
		require.NoError(t, err)
		for _, p := range pages {
			content, err := f.Content(p, 1<<20)
			require.NoError(t, err)
			drawn += bytes.Count(content, []byte(" Do Q"))
		}
		assert.Equal(t, len(test.shown), drawn, name)
	}
}
