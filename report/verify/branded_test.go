package verify

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
	"loopwitness/report/certificate"
	"loopwitness/report/verify/tampered"
)

const shapes = `<svg viewBox="0 0 60 20"><circle cx="10" cy="10" r="9" fill="#1F4E79"/>
<path d="M24 2H58V18H24z" stroke="red"/></svg>`

func pixels(t testing.TB) string {
	t.Helper()
	p := image.NewNRGBA(image.Rect(0, 0, 300, 100))
	for y := range 100 {
		for x := range 200 {
			p.SetNRGBA(x, y, color.NRGBA{R: uint8(x), G: uint8(2 * y), B: 90, A: 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	return b.String()
}

// openedWith is the demonstration's journal, drawn on glass, whose first entry is changed.
func openedWith(t testing.TB, change func(*record.Opened)) []byte {
	t.Helper()
	lines := linesOf(onGlass(t))
	lines[0] = changedEntry(t, lines[0], change)
	return chained(t, lines)
}

// branded is that journal for Letter, with a company's logo and colour.
func branded(t testing.TB, logo string) []byte {
	t.Helper()
	file, err := record.NewLogoFile([]byte(logo))
	require.NoError(t, err)
	return openedWith(t, func(o *record.Opened) {
		o.Site += "paper: letter\nbrand: {logo: logo, colour: \"#1F4E79\"}\n"
		o.Logo = file
	})
}

// ofPages are those of all tamperings with pages that could depend on their size.
var ofPages = []string{
	"a white bar over a page",
	"a smaller page",
	"a part of the page only",
	"content of another page",
}

// What is told of forged pages and flipped bits is told on Letter, too, with a logo of either kind and names drawn
// on glass.
func TestTamperedWithALogo(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("nothing runs side by side here, and it takes long then")
	}
	id, twin := newIdentity(t, "x"), newIdentity(t, "x")
	other := potterySealed(t, id)
	for name, test := range map[string]struct {
		logo string
		of   int // tamperings with it
	}{"shapes": {shapes, 6}, "a picture": {pixels(t), 2}} {
		c := photographedIn(t, branded(t, test.logo), id)
		file := sealed(t, c.Contents, id)
		whole := Check("c.pdf", file, Options{})
		require.Equal(t, Intact, whole.Outcome, texts(whole))
		require.True(t, whole.Compared.Drawn)
		assert.Equal(t, certificate.Letter, c.Document.Paper)
		cases, err := tampered.All(tampered.Original{File: file, Contents: c.Contents, Key: id, Twin: twin, Other: other})
		require.NoError(t, err)
		ofLogo, ofStrokes := 0, 0
		for _, c := range cases {
			switch what := strings.TrimPrefix(c.Name, "objects: "); {
			case what == c.Name:
				continue
			case strings.Contains(what, "logo"):
				ofLogo++
			case strings.HasPrefix(what, "a signature"):
				ofStrokes++
			case !slices.Contains(ofPages, what):
				continue
			}
			r := Check("c.pdf", c.File, Options{})
			assert.NotEqual(t, Intact, r.Outcome, "%s: %s", name, c.Name)
			assert.NotEmpty(t, r.Problems, "%s: %s", name, c.Name)
		}
		assert.Equal(t, test.of, ofLogo, name)
		assert.GreaterOrEqual(t, ofStrokes, 6, name)
		random := rand.New(rand.NewPCG(2026, 13))
		for range 200 {
			n := random.IntN(len(file) * 8)
			flipped := bytes.Clone(file)
			flipped[n/8] ^= 1 << (n % 8)
			require.True(t, noticed(flipped), "%s: bit %d of byte %d", name, n%8, n/8)
		}
	}
}

// Somebody with the right key puts another logo into the journal, or other paper: whichever of both a file then
// shows, the other is told.
func TestAnExchangedLogoIsTold(t *testing.T) {
	id := newIdentity(t, "x")
	const others = `<svg viewBox="0 0 60 20"><path d="M0 0H60V20H0z"/></svg>`
	honest := makeFrom(t, branded(t, shapes), by(id)).Contents
	forged := makeFrom(t, branded(t, others), by(id)).Contents
	for name, c := range map[string][]byte{
		"the journal alone":             sealed(t, withJournal(honest, branded(t, others)), id),
		"the journal, with a picture":   sealed(t, withJournal(honest, branded(t, pixels(t))), id),
		"no logo any more, and no word": sealed(t, withJournal(honest, onGlass(t)), id),
	} {
		r := Check("c.pdf", c, Options{})
		assert.Equal(t, Failed, r.Outcome, name)
		assert.Contains(t, texts(r), "entry 1 was changed", name)
	}
	// All of it anew but the pages.
	forged.Pages = honest.Pages
	r := Check("c.pdf", sealed(t, forged, id), Options{})
	assert.NotEqual(t, Intact, r.Outcome)
	assert.False(t, r.Compared.Drawn)
	// Another logo beside the old one's hash is no record at all.
	r = Check("c.pdf", sealed(t, withJournal(honest, openedWith(t, func(o *record.Opened) {
		o.Site += "paper: letter\nbrand: {logo: logo, colour: \"#1F4E79\"}\n"
		file, err := record.NewLogoFile([]byte(shapes))
		require.NoError(t, err)
		o.Logo = &record.LogoFile{Content: []byte(others), SHA256: file.SHA256}
	})), id), Options{})
	assert.NotEqual(t, Intact, r.Outcome)
	assert.Contains(t, texts(r), "SHA-256")
}

// A record with many logos that differ is not folded: each takes a while to be decoded.
func TestManyLogosAreNotDecoded(t *testing.T) {
	c := journal.Contents{}
	add := func(n int) {
		logo := fmt.Appendf(nil, `{"site":"x","logo":{"content":"%d","sha256":""}}`, n)
		c.Entries = append(c.Entries, journal.Entry{Kind: record.SiteChanged{}.Kind(), Body: logo})
	}
	for i := range 100 {
		add(i % mostLogos)
	}
	require.NoError(t, boundedRecord(c))
	add(mostLogos)
	assert.ErrorIs(t, boundedRecord(c), errTooMuch)
}
