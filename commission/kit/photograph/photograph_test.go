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

	"loopwitness/commission/kit/outsidetool"
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
	out, err := exec.Command(exiftool, "-overwrite_original", "-n",
		"-GPSLatitude=48.1351", "-GPSLatitudeRef=N", "-GPSLongitude=11.5820", "-GPSLongitudeRef=E",
		"-XMP:GPSLatitude=48.1351", "-XMP:City=Munich", "-Orientation=6",
		"-DateTimeOriginal=2026:11:24 09:10:11", "-Artist=Somebody", "-Comment=secret", path).CombinedOutput()
	require.NoError(t, err, string(out))
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	return content
}

// An outside program finds no location and nothing else that was hidden, but how to
// turn the picture and when it was taken. The pixels are the same.
func TestHiddenDataIsRemoved(t *testing.T) {
	exiftool := outsidetool.Find(t, "exiftool")
	for name, content := range map[string][]byte{
		"p.jpg": asJPEG(t, picture(300, 200)),
		"p.png": asPNG(t, picture(300, 200)),
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), name)
			require.NoError(t, os.WriteFile(path, content, 0o644))
			hidden := hide(t, exiftool, path)
			require.Contains(t, tags(t, exiftool, path), "GPS:GPSLatitude")

			p, err := Take(append(hidden, "a film behind the picture"...))
			require.NoError(t, err)
			assert.Equal(t, []Hidden{Location, OtherData}, p.Removed)
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

// stroked is a picture of a signature: strokes of one colour on a ground of another, with
// some noise, as a telephone takes it from paper.
func stroked(width, height int, ink, ground color.RGBA, noise int) image.Image {
	p := image.NewRGBA(image.Rect(0, 0, width, height))
	seed := uint32(1)
	for y := range height {
		for x := range width {
			seed = seed*1664525 + 1013904223
			d := 0
			if noise > 0 {
				d = int(seed>>24)%noise - noise/2
			}
			c := ground
			if ground.A == 255 {
				c = color.RGBA{uint8(int(ground.R) + d), uint8(int(ground.G) + d), uint8(int(ground.B) + d), 255}
			}
			p.SetRGBA(x, y, c)
		}
	}
	for x := width / 4; x < width*3/4; x++ {
		for d := range max(2, width/100) {
			p.SetRGBA(x, height/3+(x*x/(2*width))%(height/3)+d, ink)
		}
	}
	return p
}

func TestDrawing(t *testing.T) {
	blue, beige := color.RGBA{0, 0, 90, 255}, color.RGBA{205, 195, 170, 255}
	for name, p := range map[string]image.Image{
		"on a screen":          stroked(2400, 600, blue, color.RGBA{}, 0),
		"on white":             stroked(900, 300, color.RGBA{0, 0, 0, 255}, color.RGBA{255, 255, 255, 255}, 0),
		"photographed upright": stroked(1200, 1600, blue, beige, 30),
	} {
		drawn, err := Drawing(asPNG(t, p))
		require.NoError(t, err, name)
		require.NoError(t, CheckDrawing(drawn), name)
		got, err := png.Decode(bytes.NewReader(drawn))
		require.NoError(t, err)
		size := got.Bounds()
		assert.True(t, size.Dx() == 720 || size.Dy() == 240 || size.Dx() > 400, "%s: cut to its strokes, %v", name, size)
		white, dark := 0, 0
		for _, v := range got.(*image.Gray).Pix {
			switch {
			case v == 255:
				white++
			case v < 100:
				dark++
			}
		}
		all := size.Dx() * size.Dy()
		assert.Greater(t, white, all*6/10, "%s: the ground is white", name)
		assert.Greater(t, dark, all/200, "%s: the strokes are dark", name)
		assert.Less(t, len(drawn), 30<<10, name)
	}
	clouds := image.NewGray(image.Rect(0, 0, 720, 240))
	for i := range clouds.Pix {
		clouds.Pix[i] = uint8(i / 720)
	}
	for want, p := range map[string]image.Image{
		"the picture is empty":    image.NewGray(image.Rect(0, 0, 100, 50)),
		"no strokes stand out":    stroked(400, 200, color.RGBA{200, 190, 170, 255}, beige, 4),
		"too busy":                clouds,
		"dark strokes on a plain": stroked(400, 200, color.RGBA{255, 255, 255, 255}, color.RGBA{10, 10, 10, 255}, 0),
	} {
		_, err := Drawing(asPNG(t, p))
		assert.ErrorIs(t, err, ErrRefused, want)
		assert.ErrorContains(t, err, want)
	}
	whole := asPNG(t, image.NewGray(image.Rect(0, 0, 100, 50)))
	for _, content := range [][]byte{
		nil, []byte("x"), asPNG(t, picture(800, 100)), asJPEG(t, picture(80, 80)), whole[:len(whole)-20],
	} {
		assert.ErrorIs(t, CheckDrawing(content), ErrDrawing)
	}
}

// What a segment or chunk hides is gone, whatever it calls itself.
func TestHiddenInWhatIsKept(t *testing.T) {
	plain := asJPEG(t, picture(40, 30))
	segment := func(mark byte, body string) []byte {
		out := []byte{0xff, mark, 0, byte(2 + len(body))}
		return append(append(append([]byte{}, plain[:2]...), append(out, body...)...), plain[2:]...)
	}
	for what, file := range map[string][]byte{
		"a colour segment with more in it": segment(0xee, "AdobeGPSLatitude home"),
		"another APP14":                    segment(0xee, "GPSLatitude home"),
		"several pictures in one":          segment(0xe2, "MPF\x00 GPSLatitude home"),
		"a small picture":                  segment(0xe0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x02\x02GPSLatitude home"),
		"a comment":                        segment(0xfe, "GPSLatitude home"),
	} {
		p, err := Take(file)
		require.NoError(t, err, what)
		assert.NotContains(t, string(p.Content), "home", what)
		assert.NotEmpty(t, p.Removed, what)
	}
	assert.Equal(t, "", fromExifTime("0000:00:00 00:00:00"), "no time at all")
}

// FuzzTake: what is taken has nothing hidden left, decodes, and is taken alike again.
func FuzzTake(f *testing.F) {
	f.Add(asJPEG(f, picture(30, 20)))
	f.Add(asPNG(f, picture(30, 20)))
	f.Add(
		[]byte(
			strings.Replace(string(asJPEG(f, picture(30, 20))), "\xff\xdb",
				"\xff\xe1\x00\x1aExif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x88\x25\x00\x04\x00\x00\x00\x01\xff\xdb",
				1),
		),
	)
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
