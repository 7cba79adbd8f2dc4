package certificate

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/johnfercher/maroto/v2/pkg/props"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/words"
)

// allSigns is a page with every sign in one ink and one size, a row each.
func allSigns() Document {
	t := Table{Columns: []Column{{Head: "a", Width: 40}}}
	for range signs {
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: "x"}}})
	}
	for i := range signs {
		t.Rows[i].Cells[0] = Cell{Text: "x", Sign: signs[i], Tone: Plain}
	}
	return Document{Language: words.English{}, Title: "Signs", Sections: []Section{{Title: "S", Blocks: []Block{t}}}}
}

// inGrey turns the left inch of a page into a grey picture, as a printer without colours does.
func inGrey(t *testing.T, d Document, dpi int) *image.Gray {
	t.Helper()
	pdftoppm := outsidetool.Find(t, "pdftoppm")
	out := filepath.Join(t.TempDir(), "page")
	text, err := exec.Command(pdftoppm, "-gray", "-png", "-singlefile", "-r", fmt.Sprint(dpi),
		"-W", fmt.Sprint(dpi), render(t, d), out).CombinedOutput()
	require.NoError(t, err, string(text))
	file, err := os.ReadFile(out + ".png")
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	grey := image.NewGray(picture.Bounds())
	for y := range picture.Bounds().Dy() {
		for x := range picture.Bounds().Dx() {
			r, g, b, _ := picture.At(x, y).RGBA()
			require.True(t, r == g && g == b, "a colour at %d, %d", x, y)
			grey.Set(x, y, picture.At(x, y))
		}
	}
	return grey
}

// masks are which pixels each sign darkens, on the paper where it was printed.
func masks(t *testing.T) map[Sign][]bool {
	t.Helper()
	const dpi = 300
	page := inGrey(t, allSigns(), dpi)
	// Where signs stand is looked for in the column of the signs: runs of dark rows, one a sign.
	d := allSigns()
	sheet := paginate(d)[0]
	pixel := func(mm float64) int { return int(math.Round(mm * dpi / 25.4)) }
	found := map[Sign][]bool{}
	y, row := marginTop, 0
	for _, p := range sheet {
		if slices.Contains(wordsOf(p), "x") {
			x0, y0, size := pixel(A4.margin()-0.3), pixel(y), pixel(signSize+0.6)
			high := pixel(p.height)
			top := -1
			for j := 0; j < high && top < 0; j++ {
				for i := range size {
					if page.GrayAt(x0+i, y0+j).Y < 128 {
						top = j
						break
					}
				}
			}
			require.GreaterOrEqual(t, top, 0, "sign %d is not on the page", signs[row])
			mask := make([]bool, size*size)
			for j := range size {
				for i := range size {
					mask[j*size+i] = page.GrayAt(x0+i, y0+top+j).Y < 128
				}
			}
			found[signs[row]] = mask
			row++
		}
		y += p.height
	}
	require.Len(t, found, len(signs))
	return found
}

// In grey, in the same ink, every two signs differ in a fifth of what they darken together at least: in their shapes.
// A fifth is ours (*common practice, no source*): the nearest two are named in the log.
func TestEverySignDiffersInItsShape(t *testing.T) {
	all := masks(t)
	least, nearest := 1.0, ""
	for i, a := range signs {
		for _, b := range signs[i+1:] {
			differ, either := 0, 0
			for k := range all[a] {
				if all[a][k] != all[b][k] {
					differ++
				}
				if all[a][k] || all[b][k] {
					either++
				}
			}
			share := float64(differ) / float64(either)
			assert.Greater(t, share, 0.2, "%d and %d look alike", a, b)
			if share < least {
				least, nearest = share, fmt.Sprintf("%d and %d", a, b)
			}
		}
	}
	t.Logf("the nearest two are %s: %.0f %% of their pixels differ", nearest, 100*least)
	for v, l := range looks {
		for other, o := range looks {
			informs := (v == words.Informative || v == words.NoMatter) && (other == words.Informative || other == words.NoMatter)
			assert.True(t, v == other || informs || l.sign != o.sign, "%s and %s have one sign", v, other)
		}
	}
}

// luminance is the relative luminance of a colour of sRGB: WCAG 2.2, definition of "relative luminance", *from memory*
// (0.2126 R + 0.7152 G + 0.0722 B of linear values, a value up to 0.04045 divided by 12.92, a higher one
// ((v + 0.055) / 1.055) to the power of 2.4).
func luminance(c *props.Color) float64 {
	linear := func(of int) float64 {
		v := float64(of) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.Red) + 0.7152*linear(c.Green) + 0.0722*linear(c.Blue)
}

// contrast is that of two colours: WCAG 2.2, "contrast ratio", *from memory*.
func contrast(a, b *props.Color) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Known values, *from memory*: black on white is 21 : 1, and #767676 is the lightest grey that has 4.5 : 1 on white.
func TestContrastIsComputedRight(t *testing.T) {
	black := &props.Color{}
	assert.InDelta(t, 21, contrast(black, white), 1e-9)
	assert.GreaterOrEqual(t, contrast(&props.Color{Red: 0x76, Green: 0x76, Blue: 0x76}, white), 4.5)
	assert.Less(t, contrast(&props.Color{Red: 0x77, Green: 0x77, Blue: 0x77}, white), 4.5)
}

// Text of each tone stands out from every ground on which it is drawn: 4.5 : 1 at least (WCAG 2.2, 1.4.3, AA for text
// of ordinary size, *from memory*).
func TestTextStandsOutFromItsGround(t *testing.T) {
	const least = 4.5
	for _, on := range []struct {
		name         string
		text, ground *props.Color
	}{
		{"text", ink, white}, {"text in a striped row", ink, wash}, {"quiet text", grey, white},
		{"quiet text in a striped row", grey, wash}, {"titles", slate, white}, {"heads in a striped row", slate, wash},
		{"notices", white, toneInk[Warn]}, {"dangers", white, toneInk[Bad]},
	} {
		assert.GreaterOrEqual(t, contrast(on.text, on.ground), least, on.name)
		t.Logf("%-30s %5.2f : 1", on.name, contrast(on.text, on.ground))
	}
	for _, tone := range []Tone{Plain, Good, Warn, Bad, Quiet} {
		for name, ground := range map[string]*props.Color{"on white": white, "in a striped row": wash, "tinted": tint[tone]} {
			assert.GreaterOrEqual(t, contrast(toneInk[tone], ground), least, "tone %d %s", tone, name)
		}
		assert.GreaterOrEqual(t, contrast(ink, tint[tone]), least, "text on the tint of tone %d", tone)
		t.Logf("tone %d: on white %.2f, striped %.2f, tinted %.2f", tone, contrast(toneInk[tone], white),
			contrast(toneInk[tone], wash), contrast(toneInk[tone], tint[tone]))
	}
}
