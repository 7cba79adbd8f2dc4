package photograph

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/outsidetool"
)

// picture has a dark upper left corner, so that turning it shows.
func picture(width, height int) image.Image {
	p := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			c := color.RGBA{uint8(200 - x%40), uint8(180 + y%60), 150, 255}
			if x < width/3 && y < height/3 {
				c = color.RGBA{20, 30, 40, 255}
			}
			p.SetRGBA(x, y, c)
		}
	}
	return p
}

func asJPEG(t testing.TB, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, nil))
	return b.Bytes()
}

func asPNG(t testing.TB, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	return b.Bytes()
}

// tags are what an outside program reads of a file.
func tags(t testing.TB, exiftool, path string) map[string]any {
	t.Helper()
	out, err := exec.Command(exiftool, "-json", "-a", "-G1", "-n", path).Output()
	require.NoError(t, err)
	var all []map[string]any
	require.NoError(t, json.Unmarshal(out, &all))
	return all[0]
}

// hide lets an outside program write into a picture what a camera does.
func hide(t testing.TB, exiftool, path string) []byte {
	t.Helper()
	out, err := exec.Command(exiftool, "-overwrite_original", "-n", "-GPSLatitude=48.1351", "-GPSLatitudeRef=N", "-GPSLongitude=11.5820", "-GPSLongitudeRef=E",
		"-XMP:GPSLatitude=48.1351", "-Orientation=6", "-DateTimeOriginal=2026:11:24 09:10:11", "-Artist=Somebody", "-Comment=secret", "-XMP:City=Munich", path).CombinedOutput()
	require.NoError(t, err, string(out))
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	return content
}

// An outside program finds no location and nothing else that was hidden, but how to
// turn the picture and when it was taken. The pixels are the same.
func TestHiddenDataIsRemoved(t *testing.T) {
	exiftool := outsidetool.Find(t, "exiftool")
	for name, content := range map[string][]byte{"p.jpg": asJPEG(t, picture(300, 200)), "p.png": asPNG(t, picture(300, 200))} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), name)
			require.NoError(t, os.WriteFile(path, content, 0o644))
			hidden := hide(t, exiftool, path)
			require.Contains(t, tags(t, exiftool, path), "GPS:GPSLatitude")

			p, err := Take(append(hidden, "a film behind the picture"...))
			require.NoError(t, err)
			assert.Equal(t, []string{"location", "other hidden data"}, p.Removed)
			assert.Equal(t, "2026-11-24 09:10:11", p.Taken)
			require.NoError(t, os.WriteFile(path, p.Content, 0o644))
			left := tags(t, exiftool, path)
			for tag := range left {
				for _, word := range []string{"GPS", "Artist", "Comment", "City", "XMP"} {
					assert.NotContains(t, tag, word)
				}
			}
			if name == "p.jpg" {
				assert.EqualValues(t, 6, left["IFD0:Orientation"])
				assert.Equal(t, "2026:11:24 09:10:11", left["ExifIFD:DateTimeOriginal"])
				assert.Equal(t, 6, Orientation(p.Content))
			}
			assert.NotContains(t, string(p.Content), "secret")
			assert.NotContains(t, string(p.Content), "film")

			before, _, err := image.Decode(bytes.NewReader(hidden))
			require.NoError(t, err)
			after, err := Decode(p.Content, p.Media)
			require.NoError(t, err)
			assert.Equal(t, before, after)
		})
	}
}

func TestPlainPicturesStayAsTheyAre(t *testing.T) {
	for _, content := range [][]byte{asJPEG(t, picture(40, 30)), asPNG(t, picture(40, 30))} {
		p, err := Take(content)
		require.NoError(t, err)
		assert.Equal(t, content, p.Content)
		assert.Empty(t, p.Removed)
		again, err := Take(p.Content)
		require.NoError(t, err)
		assert.Equal(t, p, again, "stripping twice is stripping once")
	}
}

func TestWhatIsNoPhotographIsRefused(t *testing.T) {
	var animated bytes.Buffer
	require.NoError(t, gif.Encode(&animated, picture(20, 20), nil))
	good := asJPEG(t, picture(300, 200))
	huge := asPNG(t, image.NewPaletted(image.Rect(0, 0, 9000, 9000), color.Palette{color.Black}))
	for name, test := range map[string]struct {
		file []byte
		want string
	}{
		"nothing":        {nil, "neither a JPEG nor a PNG"},
		"text":           {[]byte("a text"), "neither a JPEG nor a PNG"},
		"another kind":   {animated.Bytes(), "neither a JPEG nor a PNG"},
		"a PDF":          {[]byte("%PDF-1.7"), "neither a JPEG nor a PNG"},
		"cut":            {good[:len(good)/2], "the picture is cut short"},
		"tiny":           {asPNG(t, picture(4, 4)), "from 8 × 8"},
		"a pixel bomb":   {huge, "from 8 × 8 to 40 million"},
		"too many bytes": {append(bytes.Clone(good), make([]byte, MaxBytes)...), "larger than the 8 MiB"},
	} {
		_, err := Take(test.file)
		assert.ErrorIs(t, err, ErrRefused, name)
		assert.ErrorContains(t, err, test.want, name)
	}
}

func TestDrawing(t *testing.T) {
	lines := image.NewRGBA(image.Rect(0, 0, 2400, 600)) // on a transparent ground
	for x := range 2000 {
		for d := range 12 {
			lines.SetRGBA(200+x, 100+(x*x/4000)%380+d, color.RGBA{0, 0, 60, 255})
		}
	}
	drawn, err := Drawing(asPNG(t, lines))
	require.NoError(t, err)
	require.NoError(t, CheckDrawing(drawn))
	p, err := png.Decode(bytes.NewReader(drawn))
	require.NoError(t, err)
	assert.Equal(t, image.Rect(0, 0, 720, 180), p.Bounds())
	assert.Equal(t, color.Gray{255}, p.At(0, 0), "the ground is white")
	assert.Less(t, len(drawn), 20<<10)

	_, err = Drawing(asPNG(t, image.NewGray(image.Rect(0, 0, 100, 50))))
	assert.ErrorContains(t, err, "the picture is empty")
	noise := image.NewGray(image.Rect(0, 0, 720, 240))
	seed := uint32(1)
	for i := range noise.Pix {
		seed = seed*1664525 + 1013904223
		noise.Pix[i] = uint8(seed >> 24)
	}
	_, err = Drawing(asPNG(t, noise))
	assert.ErrorContains(t, err, "too busy")
	for _, content := range [][]byte{nil, []byte("x"), asPNG(t, picture(800, 100)), asJPEG(t, picture(80, 80))} {
		assert.ErrorIs(t, CheckDrawing(content), ErrDrawing)
	}
}

// FuzzTake: what is taken has nothing hidden left, decodes, and is taken alike again.
func FuzzTake(f *testing.F) {
	f.Add(asJPEG(f, picture(30, 20)))
	f.Add(asPNG(f, picture(30, 20)))
	f.Add([]byte(strings.Replace(string(asJPEG(f, picture(30, 20))), "\xff\xdb", "\xff\xe1\x00\x1aExif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x88\x25\x00\x04\x00\x00\x00\x01\xff\xdb", 1)))
	f.Fuzz(func(t *testing.T, file []byte) {
		p, err := Take(file)
		if err != nil {
			return
		}
		again, err := Take(p.Content)
		if err != nil || !bytes.Equal(again.Content, p.Content) || len(again.Removed) > 0 {
			t.Fatalf("taken again: %v, removed %v", err, again.Removed)
		}
	})
}
