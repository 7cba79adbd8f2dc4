package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/pdffile"
	"loopwitness/report/wordboxes"
)

// renewGallery keeps the pictures of the gallery's pages as they are now. Look at them before they are committed.
var renewGallery = flag.Bool("renew-gallery", false, "keep the pictures of the gallery's pages as they are now")

const (
	keptGallery = "../../testdata/gallery"
	dotsPerInch = 50
	block       = 8  // dots a side
	otherwise   = 28 // of 255, on average of a block: more than what another renderer smooths otherwise
	mostBlocks  = 8  // that may be otherwise on a page, of about 3,800
)

// galleryOf writes the gallery, each time in the same time zone, and gives the paths of its certificates.
func galleryOf(t *testing.T) (dir string, certificates []string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "gallery")
	command := exec.Command(os.Args[0], "demo", "--gallery", dir)
	command.Env = append(os.Environ(), runSelf+"=1", "TZ=UTC")
	out, err := command.CombinedOutput()
	require.NoError(t, err, "%s", out)
	certificates = strings.Fields(string(out))
	require.Greater(t, len(certificates), 10)
	return dir, certificates
}

// Every page of the gallery looks as it did when a person looked at it, and verifies; no word stands outside of
// it or on another.
func TestGallery(t *testing.T) {
	dir, certificates := galleryOf(t)
	folder := t.TempDir()
	kept := map[string]bool{}
	for i, path := range certificates {
		ofBearableSize(t, path)
		out, errs, code := at(t, dir, nil, "verify", path)
		require.Equal(t, 2, code, "%s: nobody sealed it: %s", path, errs)
		require.Contains(t, out, "holds: the record, judged again, gives the same", path)
		require.Contains(t, out, "holds: the pages show that, and nothing else", path)
		said, err := exec.Command(outsidetool.Find(t, "pdftotext"), "-bbox", path, "-").Output()
		require.NoError(t, err)
		boxes, err := wordboxes.Read(bytes.NewReader(said))
		require.NoError(t, err)
		assert.Empty(t, wordboxes.Faults(boxes, wordboxes.Usual), path)
		exhibit, _, _ := strings.Cut(strings.TrimPrefix(path, dir+string(filepath.Separator)), string(filepath.Separator))
		if i+1 < len(certificates) && strings.HasPrefix(certificates[i+1], filepath.Join(dir, exhibit)) {
			continue // pictures of an exhibit's last certificate alone
		}
		for _, name := range shownPages(t, path, folder, exhibit) {
			kept[name] = true
			sameAsKept(t, filepath.Join(folder, name), name)
		}
	}
	there, err := filepath.Glob(keptGallery + "/*.png")
	require.NoError(t, err)
	for _, file := range there {
		if !kept[filepath.Base(file)] {
			assert.True(t, *renewGallery, "%s is a picture of no page", file)
			if *renewGallery {
				require.NoError(t, os.Remove(file))
			}
		}
	}
}

// ofBearableSize holds a certificate against what a reader turns over and a mail takes: a site of 300 zones with a
// history and all charts is twenty pages.
func ofBearableSize(t *testing.T, path string) {
	t.Helper()
	mostPages, mostBytes := 16, 130_000
	if strings.Contains(path, "three-hundred-zones") {
		mostPages, mostBytes = 20, 500_000
	}
	file, err := os.ReadFile(path)
	require.NoError(t, err)
	f, err := pdffile.Open(file)
	require.NoError(t, err)
	pages, err := f.Pages()
	require.NoError(t, err)
	assert.LessOrEqual(t, len(pages), mostPages, path)
	assert.Less(t, len(file), mostBytes, path)
}

// shownPages draws the pages of a certificate, of a long one the first and the last.
func shownPages(t *testing.T, path, folder, exhibit string) (names []string) {
	t.Helper()
	const first, last = 5, 3
	out, err := exec.Command(outsidetool.Find(t, "pdftoppm"), "-r", fmt.Sprint(dotsPerInch), "-gray", "-png", path,
		filepath.Join(folder, exhibit)).CombinedOutput()
	require.NoError(t, err, "%s", out)
	files, err := filepath.Glob(filepath.Join(folder, exhibit+"-*.png"))
	require.NoError(t, err)
	slices.Sort(files)
	for i, file := range files {
		if len(files) <= 16 || i < first || i >= len(files)-last {
			names = append(names, filepath.Base(file))
		}
	}
	return names
}

// sameAsKept holds the picture of a page against the one that is kept, block by block.
func sameAsKept(t *testing.T, path, name string) {
	t.Helper()
	is := grey(t, path)
	to := filepath.Join(keptGallery, name)
	if *renewGallery {
		require.NoError(t, os.MkdirAll(keptGallery, 0o755))
		keep(t, to, is)
		return
	}
	want := grey(t, to)
	if !assert.Equal(t, want.Bounds(), is.Bounds(), name) {
		return
	}
	if n, at := differingBlocks(is, want); n > mostBlocks {
		assert.Fail(t, "a page looks otherwise",
			"%s: %d blocks, the first at %v; look at it, and keep it with -renew-gallery if it is meant", name, n, at)
	}
}

// differingBlocks counts the blocks whose grey differs, and tells where the first is, in dots.
func differingBlocks(a, b *image.Gray) (n int, first image.Point) {
	size := a.Bounds()
	for y := 0; y < size.Dy(); y += block {
		for x := 0; x < size.Dx(); x += block {
			sum, dots := 0, 0
			for j := y; j < min(y+block, size.Dy()); j++ {
				for i := x; i < min(x+block, size.Dx()); i++ {
					d := int(a.GrayAt(i, j).Y) - int(b.GrayAt(i, j).Y)
					sum, dots = sum+max(d, -d), dots+1
				}
			}
			if sum > otherwise*dots {
				if n++; n == 1 {
					first = image.Pt(x, y)
				}
			}
		}
	}
	return n, first
}

// What a person would see is noticed: a line of text that is moved, or is not there.
func TestPagesThatLookOtherwise(t *testing.T) {
	page := func(lines ...int) *image.Gray {
		g := image.NewGray(image.Rect(0, 0, 400, 500))
		for i := range g.Pix {
			g.Pix[i] = 255
		}
		for _, y := range lines {
			for x := 40; x < 360; x++ {
				for j := range 4 { // letters are dark every second dot
					g.SetGray(x, y+j, color.Gray{Y: uint8(x%2) * 255})
				}
			}
		}
		return g
	}
	n, _ := differingBlocks(page(100, 120), page(100, 120))
	assert.Zero(t, n)
	n, _ = differingBlocks(page(100, 120), page(100))
	assert.Greater(t, n, mostBlocks, "a line is missing")
	n, at := differingBlocks(page(100, 120), page(100, 128))
	assert.Greater(t, n, mostBlocks, "a line has moved")
	assert.Equal(t, 120/block*block, at.Y)
}

func grey(t *testing.T, path string) *image.Gray {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	p, err := png.Decode(f)
	require.NoError(t, err)
	g := image.NewGray(image.Rect(0, 0, p.Bounds().Dx(), p.Bounds().Dy()))
	for y := range g.Bounds().Dy() {
		for x := range g.Bounds().Dx() {
			g.Set(x, y, p.At(x, y))
		}
	}
	return g
}

// keep writes a picture in 16 greys, which is small and shows all that a comparison needs.
func keep(t *testing.T, path string, g *image.Gray) {
	t.Helper()
	var greys color.Palette
	for i := range 16 {
		greys = append(greys, color.Gray{Y: uint8(i * 17)})
	}
	p := image.NewPaletted(g.Bounds(), greys)
	for y := range g.Bounds().Dy() {
		for x := range g.Bounds().Dx() {
			p.SetColorIndex(x, y, uint8((int(g.GrayAt(x, y).Y)+8)/17))
		}
	}
	f, err := os.Create(path)
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, p))
}
