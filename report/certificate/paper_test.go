package certificate

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/colour"
	"loopwitness/commission/kit/logo"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/report/pdffile"
)

func logoOf(t testing.TB, file string) *logo.Logo {
	t.Helper()
	l, err := logo.Read([]byte(file))
	require.NoError(t, err)
	return l
}

const bellOf = `<svg viewBox="-10 -10 180 48">
<circle cx="14" cy="14" r="19" fill="none" stroke="#1F4E79" stroke-width="3"/>
<path d="M60 0h100v28H60zm10 9v10h80V9z" fill="navy" fill-rule="evenodd"/><path d="M-50 0H500" stroke="red"/></svg>`

// dots is a PNG of colours with a clear ground.
func dots(t testing.TB, width, height int) string {
	t.Helper()
	p := image.NewNRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width / 2 {
			p.SetNRGBA(x, y, color.NRGBA{R: uint8(x), G: uint8(y), B: 120, A: 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	return b.String()
}

// everything has each thing that is drawn in a way of its own.
func everything(t testing.TB, paper Paper) Document {
	t.Helper()
	strokes := &record.Strokes{Width: 600, Height: 200, Lines: [][]int16{{10, 100, 300, 20, 590, 180}}}
	axis := func(name string) Axis {
		return axisOver(name, 0, 10, func(v float64) string { return fmt.Sprint(v) })
	}
	chart := Chart{X: axis("min"), Y: axis("V"), Says: "It rises.", Lines: []Line{{Name: "now",
		Points: []ChartPoint{{1, 1, 0.5}, {9, 9, 0.5}}, Mark: Ring, Joined: true}}}
	return Document{
		Paper:     paper,
		Language:  words.English{},
		Installer: "Bellbird",
		Number:    "X-1",
		Title:     "Walk-test certificate",
		Logo:      logoOf(t, bellOf),
		Sections: []Section{{Title: "All", Blocks: []Block{
			Charts{chart, chart},
			Signatures{{Role: "Technician", Name: "A", Strokes: strokes}, {Role: "Customer", Name: "B"}}}},
			{Title: "More", Blocks: []Block{Pictures{{Image: pictureOf(t, 60), Title: "P"}},
				Code{Content: "X-1", Beside: Pairs{{"a", "b"}}}}}},
	}
}

// What stands on a page stands at the same place of it on each paper, as far as a reader of pages sees: the
// margins alone differ. Looked at in pixels of a twentieth of a millimetre.
func TestLetterHasEverythingInItsPlace(t *testing.T) {
	for which := range everything(t, A4).Sections {
		inItsPlace(t, which)
	}
}

// inItsPlace is that of one section.
func inItsPlace(t *testing.T, which int) {
	t.Helper()
	pdftoppm := outsidetool.Find(t, "pdftoppm")
	pdfinfo := outsidetool.Find(t, "pdfinfo")
	var seen [][]byte
	for paper, size := range map[Paper]string{A4: "595.28 x 841.89 pts (A4)", Letter: "612 x 792 pts (letter)"} {
		d := everything(t, paper)
		d.Sections = d.Sections[which : which+1]
		pdf, err := Render(d, made)
		require.NoError(t, err)
		file := filepath.Join(t.TempDir(), "c.pdf")
		require.NoError(t, os.WriteFile(file, pdf, 0o600))
		told, err := exec.Command(pdfinfo, file).Output()
		require.NoError(t, err)
		assert.Regexp(t, `Page size: +`+regexp.QuoteMeta(size), string(told))
		assert.Regexp(t, `Pages: +1\n`, string(told))
		const byMM = 20
		left := strconv.Itoa(int(byMM*paper.margin() + 0.5))
		out, err := exec.Command(pdftoppm, "-r", fmt.Sprint(byMM*25.4), "-gray", "-x", left, "-y",
			fmt.Sprint(byMM*marginTop), "-W", fmt.Sprint(byMM*body), "-H", fmt.Sprint(byMM*160), file).Output()
		require.NoError(t, err)
		head := fmt.Sprintf("P5\n%d %d\n255\n", byMM*int(body), byMM*160)
		require.True(t, bytes.HasPrefix(out, []byte(head)))
		seen = append(seen, out[len(head):])
	}
	require.Equal(t, len(seen[0]), len(seen[1]))
	apart, inked := 0, 0
	for i := range seen[0] {
		a, b := int(seen[0][i]), int(seen[1][i])
		if a < 128 {
			inked++
		}
		if a-b > 128 || b-a > 128 {
			apart++
		}
	}
	assert.Greater(t, inked, 50_000)
	t.Logf("%d of %d inked pixels differ", apart, inked)
	assert.Less(t, float64(apart)/float64(inked), 0.02, "edges of a pixel at most")
}

// Every word stands between the margins of its paper, and what is said is the same on both.
func TestLetterSaysTheSame(t *testing.T) {
	pdftotext := outsidetool.Find(t, "pdftotext")
	word := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">`)
	for _, name := range []string{"roamed", "keys"} {
		d := withPhone(t, name)
		assert.Equal(t, A4, d.Paper)
		said := d.PlainText()
		d.Paper = Letter
		assert.Equal(t, said, d.PlainText())
		for _, s := range paginate(d) {
			used := 0.0
			for _, p := range s {
				used += p.height
			}
			assert.LessOrEqual(t, used, Letter.usable()-footHeight+0.01)
		}
		out, err := exec.Command(pdftotext, "-bbox", render(t, d), "-").Output()
		require.NoError(t, err)
		all := word.FindAllStringSubmatch(string(out), -1)
		require.Greater(t, len(all), 300)
		for _, m := range all {
			var at [4]float64
			for i := range at {
				at[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			assert.True(t, at[0] >= (17.95-0.1)/mmPerPoint && at[2] <= (17.95+body+0.3)/mmPerPoint, m[0])
			assert.True(t, at[1] >= (marginTop-1)/mmPerPoint && at[3] <= (279.4-5)/mmPerPoint, m[0])
		}
	}
}

// drawings are the contents of all pages.
func drawings(t testing.TB, pdf []byte) string {
	t.Helper()
	f, err := pdffile.Open(pdf)
	require.NoError(t, err)
	pages, err := f.Pages()
	require.NoError(t, err)
	var all strings.Builder
	for _, page := range pages {
		content, err := f.Content(page, 4<<20)
		require.NoError(t, err)
		all.Write(content)
	}
	return all.String()
}

// The colour of a company is that of rules and headings, and changes nothing else: no verdict.
func TestBrandColour(t *testing.T) {
	d := withPhone(t, "roamed")
	plain, err := Render(d, made)
	require.NoError(t, err)
	d.Colour = &colour.RGB{Red: 91, Green: 42, Blue: 134}
	branded, err := Render(d, made)
	require.NoError(t, err)
	const ours, theirs = "0.204 0.286 0.333", "0.357 0.165 0.525"
	was, is := drawings(t, plain), drawings(t, branded)
	assert.NotContains(t, was, theirs)
	assert.GreaterOrEqual(t, strings.Count(is, theirs), 2*len(d.Sections))
	assert.Equal(t, blankColours(was), blankColours(is))
}

// blankColours leaves out which of the two colours is chosen where: it is chosen again where the other was before.
func blankColours(drawn string) string {
	return regexp.MustCompile(`(?m)^(0\.204 0\.286 0\.333|0\.357 0\.165 0\.525) (RG|rg)\n`).ReplaceAllString(drawn, "")
}

// The site file refuses colours by the very inks of verdicts that pages have.
func TestInksOfVerdicts(t *testing.T) {
	require.Len(t, site.VerdictInks, 3)
	for i, tone := range []Tone{Good, Warn, Bad} {
		assert.Equal(t, toneInk[tone], inkOf(site.VerdictInks[i].RGB))
	}
}

// A logo stands in its box at the head of the first page, and nothing of it outside; on no other page.
func TestLogoInItsBox(t *testing.T) {
	points := regexp.MustCompile(`(-?[\d.]+) (-?[\d.]+) [ml]\n`)
	for _, box := range [][2]float64{{180, 48}, {30, 30}, {20, 300}, {300, 20}} {
		p := newPart(30)
		l := logoOf(t, fmt.Sprintf(`<svg viewBox="0 0 %g %g"><path d="M-9-9L%g %g"/></svg>`, box[0], box[1],
			2*box[0], 2*box[1]))
		p.logo(l, body, 8)
		drawn := string(p.vectors[0].operators(Letter, 0))
		clip, rest, clipped := strings.Cut(drawn, "W n\n")
		require.True(t, clipped)
		assert.Contains(t, rest, " l\nf\nQ\n")
		corners := points.FindAllStringSubmatch(clip, -1)
		require.Len(t, corners, 4)
		x0, _ := strconv.ParseFloat(corners[0][1], 64)
		y0, _ := strconv.ParseFloat(corners[0][2], 64)
		x1, _ := strconv.ParseFloat(corners[2][1], 64)
		y1, _ := strconv.ParseFloat(corners[2][2], 64)
		width, height := (x1-x0)*mmPerPoint, (y0-y1)*mmPerPoint
		assert.True(t, width <= 45.01 && height <= 12.01 && (width >= 44.99 || height >= 11.99), "%v by %v", width, height)
		assert.InDelta(t, box[0]/box[1], width/height, 0.02*box[0]/box[1])
		assert.InDelta(t, 17.95+body, x1*mmPerPoint, 0.01)
		assert.InDelta(t, 279.4-marginTop-8, y0*mmPerPoint, 0.01)
	}
	d := withPhone(t, "roamed")
	d.Logo = logoOf(t, bellOf)
	pdf, err := Render(d, made)
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(drawings(t, pdf), "W n\n[] 0 d\n"))
	assert.LessOrEqual(t, one(d.Title, sizeTitle, true, besideLogo(d.Logo)).width, body-45-5.0)
}

// A picture stands on the page in its own colours on white, no larger than can be seen, and every reader of PDFs
// takes it.
func TestLogoAsPicture(t *testing.T) {
	pdfimages := outsidetool.Find(t, "pdfimages")
	d := everything(t, A4)
	d.Logo, d.Sections = logoOf(t, dots(t, 1200, 300)), nil
	out, err := exec.Command(pdfimages, "-list", render(t, d)).Output()
	require.NoError(t, err)
	assert.Regexp(
		t,
		` +1 +0 image +600 +150 +rgb +3 +8 +image +no `,
		string(out),
		"1200 by 300 in steps of two, without a mask",
	)
	again, err := png.Decode(bytes.NewReader(plainPNG(logo.Smaller(logoOf(t, dots(t, 90, 40)).Picture, 999, 999))))
	require.NoError(t, err)
	assert.Equal(t, color.RGBA{10, 20, 120, 255}, color.RGBAModel.Convert(again.At(10, 20)))
	assert.Equal(t, color.RGBA{255, 255, 255, 255}, color.RGBAModel.Convert(again.At(80, 20)))
}
