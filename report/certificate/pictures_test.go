package certificate

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/words"
)

// corner is light, but for its dark upper left corner.
func corner(width, height int) image.Image {
	p := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			c := color.RGBA{230, 220, 200, 255}
			if x < width/3 && y < height/3 {
				c = color.RGBA{10, 10, 10, 255}
			}
			p.SetRGBA(x, y, c)
		}
	}
	return p
}

// orientated is a JPEG that says how it has to be turned.
func orientated(t testing.TB, p image.Image, orientation uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, &jpeg.Options{Quality: 95}))
	exif := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08" +
		"\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00")
	binary.BigEndian.PutUint16(exif[24:], orientation)
	segment := append([]byte{0xff, 0xe1, 0, byte(2 + len(exif))}, exif...)
	return append(append(b.Bytes()[:2:2], segment...), b.Bytes()[2:]...)
}

// Where the dark corner of a stored picture has to be seen, for the orientations of
// Exif 2.32, tag 0x0112 (from memory: "the 0th row is the visual top", …).
func TestPhotographsStandUpright(t *testing.T) {
	for orientation, want := range map[uint16][2]bool{ // dark at the right, dark at the bottom
		1: {false, false}, 2: {true, false}, 3: {true, true}, 4: {false, true},
		5: {false, false}, 6: {true, false}, 7: {true, true}, 8: {false, true},
	} {
		taken, err := photograph.Take(orientated(t, corner(900, 600), orientation))
		require.NoError(t, err)
		small, err := SmallPicture(taken.Content, taken.Media)
		require.NoError(t, err)
		p, err := jpeg.Decode(bytes.NewReader(small))
		require.NoError(t, err)
		size := p.Bounds()
		if orientation >= 5 {
			assert.Less(t, size.Dx(), size.Dy(), "orientation %d", orientation)
		} else {
			assert.Greater(t, size.Dx(), size.Dy(), "orientation %d", orientation)
		}
		for _, right := range []bool{false, true} {
			for _, bottom := range []bool{false, true} {
				x, y := size.Dx()/10, size.Dy()/10
				if right {
					x = size.Dx() - 1 - x
				}
				if bottom {
					y = size.Dy() - 1 - y
				}
				grey, _, _, _ := p.At(x, y).RGBA()
				assert.Equal(t, want == [2]bool{right, bottom}, grey < 0x8000, "orientation %d, right %v, bottom %v",
					orientation, right, bottom)
			}
		}
	}
}

func TestSmallPictureOfADamagedPhotograph(t *testing.T) {
	_, err := SmallPicture([]byte("nothing"), photograph.JPEG)
	assert.Error(t, err)
}

// withPhotographs is a certificate with a drawn signature and seven photographs of
// every shape.
func withPhotographs(t testing.TB) Document {
	t.Helper()
	d := pottery(t)
	var pictures Pictures
	for i, size := range []image.Point{{900, 600}, {600, 900}, {2000, 300}, {100, 100}, {30, 20}, {905, 600}, {910, 600}} {
		small, err := SmallPicture(orientated(t, corner(size.X, size.Y), 1), photograph.JPEG)
		require.NoError(t, err)
		pictures = append(pictures, Picture{small, fmt.Sprintf("P%d  Zone 3 Studio windows", i+1),
			strings.Repeat("a caption of some words ", i)})
	}
	d.Sections = append(d.Sections, Section{Title: "Photographs", Blocks: []Block{pictures, Prose{Text: "behind them"}}})
	var drawn bytes.Buffer
	require.NoError(t, png.Encode(&drawn, corner(720, 240)))
	boxes := Signatures{{Role: "Customer", Name: "A name", Detail: "owner", Drawing: drawn.Bytes()},
		{Role: "Technician", Name: "B", Detail: "c"}}
	d.Sections = append(d.Sections, Section{Title: "Names again", Blocks: []Block{boxes}})
	return d
}

func TestPicturesAreDrawn(t *testing.T) {
	qpdf, pdfimages := outsidetool.Find(t, "qpdf"), outsidetool.Find(t, "pdfimages")
	path := render(t, withPhotographs(t))
	out, err := exec.Command(qpdf, "--check", path).CombinedOutput()
	assert.NoError(t, err, string(out))
	out, err = exec.Command(pdfimages, "-list", path).Output()
	require.NoError(t, err)
	assert.Len(t, regexp.MustCompile(`(?m)^ +\d+ +\d+ image`).FindAll(out, -1), 8, string(out))
}

// A scanner reads from the page what the code says.
func TestOutsideScannerReadsTheCode(t *testing.T) {
	pdftoppm, zbarimg := outsidetool.Find(t, "pdftoppm"), outsidetool.Find(t, "zbarimg")
	d := pottery(t)
	var code Code
	for _, section := range d.Sections {
		for _, block := range section.Blocks {
			if c, is := block.(Code); is {
				code = c
			}
		}
	}
	dir := t.TempDir()
	// As on paper or on a screen: 100 dots to the inch are few.
	out, err := exec.Command(pdftoppm, "-r", "100", "-png", render(t, d), filepath.Join(dir, "page")).CombinedOutput()
	require.NoError(t, err, string(out))
	pages, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	require.NoError(t, err)
	out, err = exec.Command(zbarimg, append([]string{"--quiet", "--raw"}, pages...)...).Output()
	if none := new(exec.ExitError); errors.As(err, &none) {
		require.Equal(t, 4, none.ExitCode(), "some pages have no code, nothing worse")
	}
	assert.Equal(t, code.Content, strings.TrimSpace(string(out)))
	assert.Contains(t, code.Content, "journal sha256:"+d.Journal)
}

// A long name is no reason to lose the fingerprints.
func TestCodeWithLongTexts(t *testing.T) {
	beside := Pairs{{"Signed by", strings.Repeat("Überlandwerkstätten ", 40)}, {"Key", strings.Repeat("abcd ", 16)}}
	f := layCode(Code{Content: strings.Repeat("x", 4000), Beside: beside})
	require.Len(t, f.parts, 1)
	assert.Greater(t, f.parts[0].height, 40.0)
	assert.Contains(t, strings.Join(wordsOf(f.parts[0]), " "), "abcd abcd")
	sections := []Section{{Title: "A", Blocks: []Block{Code{Content: strings.Repeat("x", 4000)}}}}
	_, err := os.Stat(render(t, Document{Language: words.English{}, Sections: sections}))
	assert.NoError(t, err)
}
