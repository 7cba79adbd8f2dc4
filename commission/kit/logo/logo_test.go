package logo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/colour"
)

func svg(inside string) []byte {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50">` + inside + `</svg>`)
}

// drawn is what a logo draws, one operator after the other.
func drawn(l *Logo) string {
	var b strings.Builder
	for _, s := range l.Shapes {
		for _, one := range s.Segments {
			for _, p := range one.Points[:pointsOf(one.Operator)] {
				fmt.Fprintf(&b, "%g,%g ", math.Round(p.X*1000)/1000+0, math.Round(p.Y*1000)/1000+0)
			}
			fmt.Fprintf(&b, "%c ", one.Operator)
		}
	}
	return strings.TrimSpace(b.String())
}

// What commands, shapes and transforms draw, worked by hand from SVG 1.1, sections 7.6, 8.3 and 9.
func TestShapes(t *testing.T) {
	for inside, want := range map[string]string{
		`<path d="M10 10L20 10 20,20z"/>`:      "10,10 m 20,10 l 20,20 l h",
		`<path d="m10 10 5 0h5v5H0V0"/>`:       "10,10 m 15,10 l 20,10 l 20,15 l 0,15 l 0,0 l",
		`<path d="M.5.5-1e1-2"/>`:              "0.5,0.5 m -10,-2 l",
		`<path d="M0 0c1 2 3 4 5 6s3 4 5 6"/>`: "0,0 m 1,2 3,4 5,6 c 7,8 8,10 10,12 c",
		`<path d="M0 0S3 4 5 6"/>`:             "0,0 m 0,0 3,4 5,6 c",
		`<path d="M0 0Q3 6 6 0T12 0"/>`:        "0,0 m 2,4 4,4 6,0 c 8,-4 10,-4 12,0 c",
		`<path d="M0 0T6 0"/>`:                 "0,0 m 0,0 2,0 6,0 c", // a control point there
		`<path d="M1 1l1 0zl0 1"/>`:            "1,1 m 2,1 l h 1,1 m 1,2 l",
		`<path d="M0 0A0 5 0 0 1 9 9"/>`:       "0,0 m 9,9 l",
		`<path d="M10 0A10 10 0 0110 20"/>`:    "10,0 m 15.523,0 20,4.477 20,10 c 20,15.523 15.523,20 10,20 c",
		`<path d="M10 0A1 1 0 0 1 10 20"/>`:    "10,0 m 15.523,0 20,4.477 20,10 c 20,15.523 15.523,20 10,20 c", // grown
		`<path d="M10 0a10 10 0 1 0 10 10"/>`: "10,0 m 4.477,0 0,4.477 0,10 c 0,15.523 4.477,20 10,20 c 15.523,20 " +
			"20,15.523 20,10 c",
		`<rect x="1" y="2" width="3" height="4"/>`: "1,2 m 4,2 l 4,6 l 1,6 l 1,2 l h",
		`<circle cx="10" cy="10" r="10"/>`: "20,10 m 20,15.523 15.523,20 10,20 c 4.477,20 0,15.523 0,10 c " +
			"0,4.477 4.477,0 10,0 c 15.523,0 20,4.477 20,10 c h",
		`<polygon points="1,2 3 4,5,6"/>`:                                          "1,2 m 3,4 l 5,6 l h",
		`<polyline points="1 2-3-4"/>`:                                             "1,2 m -3,-4 l",
		`<line x1="1" y1="2" x2="3" y2="4" stroke="red"/>`:                         "1,2 m 3,4 l",
		`<g transform="translate(10,5) scale(2)"><path d="M1 1L2 2"/></g>`:         "12,7 m 14,9 l",
		`<path transform="rotate(90)" d="M10 0L20 0"/>`:                            "0,10 m 0,20 l",
		`<path transform="rotate(90 10 10)" d="M10 0L20 0"/>`:                      "20,10 m 20,20 l",
		`<path transform="matrix(1 0 0 1 3 4),skewX(45)" d="M0 0L0 1"/>`:           "3,4 m 4,5 l",
		`<g fill="none"><path d="M0 0L1 1"/><path fill="#123" d="M2 2L3 3z"/></g>`: "2,2 m 3,3 l h",
	} {
		l, err := Read(svg(inside))
		if assert.NoError(t, err, inside) {
			assert.Equal(t, want, drawn(l), inside)
		}
	}
}

// The points of an arc lie on its ellipse, wherever it is turned (mathematics: the equation of an ellipse).
func TestArcsLieOnTheirEllipse(t *testing.T) {
	for _, flags := range []string{"0 0", "0 1", "1 0", "1 1"} {
		all, err := path("M20 20A30 12 25 "+flags+" 40 25", MaxSegments)
		require.NoError(t, err)
		// Centres of the two ellipses through both points: in the frame of the ellipse the middle is a chord's.
		now := all[0].Points[0]
		var centre *Point
		for _, s := range all[1:] {
			require.EqualValues(t, 'c', s.Operator)
			for i := range 9 {
				u := float64(i) / 8
				v := 1 - u
				p := Point{v*v*v*now.X + 3*v*v*u*s.Points[0].X + 3*v*u*u*s.Points[1].X + u*u*u*s.Points[2].X,
					v*v*v*now.Y + 3*v*v*u*s.Points[0].Y + 3*v*u*u*s.Points[1].Y + u*u*u*s.Points[2].Y}
				turned := rotated(-25).of(p)
				q := Point{turned.X / 30, turned.Y / 12}
				if centre == nil {
					a, b := rotated(-25).of(Point{20, 20}), rotated(-25).of(Point{40, 25})
					a, b = Point{a.X / 30, a.Y / 12}, Point{b.X / 30, b.Y / 12}
					half := math.Hypot(b.X-a.X, b.Y-a.Y) / 2
					away := math.Sqrt(1 - half*half)
					side := Point{-(b.Y - a.Y) / 2 / half, (b.X - a.X) / 2 / half}
					if flags == "0 0" || flags == "1 1" {
						away = -away
					}
					centre = &Point{(a.X+b.X)/2 + away*side.X, (a.Y+b.Y)/2 + away*side.Y}
				}
				assert.InDelta(t, 1, math.Hypot(q.X-centre.X, q.Y-centre.Y), 3e-4, "%s: %v", flags, p)
			}
			now = s.Points[2]
		}
		assert.Equal(t, Point{40, 25}, now)
	}
}

// Colours, lines and rules, and that a style counts more and is inherited.
func TestStyles(t *testing.T) {
	l, err := Read(svg(`<g stroke="navy" stroke-width="2" style="fill:#abc;fill-rule:evenodd;-inkscape-font:x;opacity:1">
		<path d="M0 0L1 1" fill="red" style="fill:white" transform="scale(3)" stroke-linecap="round"
		stroke-linejoin="bevel"/></g><path d="M0 0L1 1"/>`))
	require.NoError(t, err)
	require.Len(t, l.Shapes, 2)
	s := l.Shapes[0]
	assert.Equal(t, colour.White, *s.Fill)
	assert.Equal(t, colour.RGB{Blue: 128}, *s.Stroke)
	assert.InDelta(t, 6, s.LineWidth, 1e-9)
	assert.True(t, s.EvenOdd)
	assert.Equal(t, []int{1, 2}, []int{s.Cap, s.Join})
	assert.Equal(t, colour.RGB{}, *l.Shapes[1].Fill, "black where nothing is said")
	assert.Nil(t, l.Shapes[1].Stroke)
}

// What is not taken is refused where it stands, with what to do.
func TestRefused(t *testing.T) {
	for file, want := range map[string]string{
		string(svg("<text>Bellbird</text>")):                                                           "column 62: <text> is not taken|into paths",
		string(svg("\n<style>path{fill:red}</style>")):                                                 "line 2, column 1: <style> is not|beside each shape",
		string(svg("<script>alert(1)</script>")):                                                       "it has a program|delete",
		string(svg(`<title><script/></title>`)):                                                        "it has a program|delete",
		string(svg(`<path d="M0 0L1 1" onclick="x()"/>`)):                                              `<path> has "onclick"|`,
		string(svg(`<image href="x.png"/>`)):                                                           "refers to something else|",
		string(svg(`<use xmlns:xlink="y" xlink:href="#x"/>`)):                                          "refers to something else|",
		string(svg(`<path d="M0 0L1 1" fill="url(#g)"/>`)):                                             "is no colour that is taken|",
		string(svg(`<path d="M0 0L1 1" opacity="0.5"/>`)):                                              `opacity="0.5"|`,
		string(svg(`<path d="M0 0L1 1" style="display:none"/>`)):                                       `display="none"|`,
		string(svg(`<path d="M0 0L1 1" clip-path="url(#x)"/>`)):                                        `clip-path=|`,
		string(svg(`<defs><linearGradient/></defs>`)):                                                  "that is used elsewhere|plain colours",
		string(svg(`<path d="L1 1"/>`)):                                                                "a path begins with M|",
		string(svg(`<path d="M0 0X"/>`)):                                                               "no command 'X'|",
		string(svg(`<path d="M0 0L1"/>`)):                                                              "a number is missing|",
		string(svg(`<path d="M0 0L1e999 1"/>`)):                                                        "too large|",
		string(svg(`<path d="M0 0A1 1 0 2 0 1 1"/>`)):                                                  "flags of an arc|",
		string(svg(`<path d="M0 0L1 1" transform="spin(3)"/>`)):                                        "cannot be read|rotate",
		string(svg(`<path d="M0 0L5000 1"/>`)):                                                         "far outside|",
		string(svg(`<rect width="-1" height="2"/>`)):                                                   "below zero|",
		string(svg(`<rect width="1mm" height="2"/>`)):                                                  `width="1mm" is no length|`,
		string(svg(`<path stroke="red" transform="scale(1 2)" d="M0 0L1 1"/>`)):                        "stretched|outline",
		string(svg(`<path d="M0 0` + strings.Repeat("l1 1", MaxSegments) + `"/>`)):                     "more than 5000|simplify",
		string(svg(strings.Repeat("<g>", 40))):                                                         "inside each other|",
		string(svg("")):                                                                                "draws nothing|",
		string(svg(`<path fill="none" d="M0 0L1 1"/>`)):                                                "draws nothing|",
		`<!DOCTYPE svg [<!ENTITY a "b">]>` + string(svg("<path d='M0 0L1 1'/>")):                       "document type|",
		string(svg("&nbsp;")):                                                                          "no XML|",
		`<svg viewBox="0 0 1 30"><path d="M0 0L1 1"/></svg>`:                                           "20 times|",
		`<svg><path d="M0 0L1 1"/></svg>`:                                                              "no size|viewBox",
		`<svg viewBox="0 0 nan 1"/>`:                                                                   "no size|",
		`<?xml-stylesheet href="x.css"?><svg viewBox="0 0 1 1"><path d="M0 0L1 1"/></svg>`:             "another file|",
		`<svg viewBox="0 0 1 1"><path d="M0 0L1 1"/></svg><svg viewBox="0 0 9 9"><path d="M0"/></svg>`: "behind the end|",
		"GIF89a":                        "neither a PNG picture nor an SVG|",
		"":                              "neither a PNG picture nor an SVG|",
		"\x89PNG\r\n\x1a\nrest":         "damaged|save it again",
		strings.Repeat("x", MaxBytes+1): "larger than 64 KiB|fewer",
	} {
		_, err := Read([]byte(file))
		var refusal *Refusal
		if !assert.ErrorAs(t, err, &refusal, cut(file)) {
			continue
		}
		what, hint, _ := strings.Cut(want, "|")
		assert.Contains(t, err.Error(), what, cut(file))
		assert.Contains(t, refusal.Hint, hint, cut(file))
		assert.NotEmpty(t, refusal.Hint, cut(file))
		assert.ErrorIs(t, err, ErrRefused)
	}
}

// What other programs add to shapes, and what draws nothing, does no harm.
func TestTakenAllTheSame(t *testing.T) {
	l, err := Read([]byte(`<?xml version="1.0" encoding="UTF-8"?>
<!-- made by a drawing program -->
<svg width="100%" height="45mm" viewBox="10 10 40 20" version="1.1" xmlns="http://www.w3.org/2000/svg"
   xmlns:x="http://example.org/x" x:window="3"><title>Bellbird</title><metadata><x:y><x:text/></x:y></metadata>
<defs id="d"/><x:view zoom="1"/><g id="layer1" x:label="Layer 1" style="display:inline"><path d="M10 10l1 1" aria-label="x"/>
</g></svg>`))
	require.NoError(t, err)
	assert.Equal(t, "0,0 m 1,1 l", drawn(l), "counted from the corner of the viewBox")
	assert.Equal(t, []float64{40, 20}, []float64{l.Width, l.Height})
}

func encoded(t *testing.T, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	return b.Bytes()
}

// A PNG stands on white, whatever its form; what is too large or small is refused.
func TestPNG(t *testing.T) {
	p := image.NewNRGBA(image.Rect(0, 0, 20, 10))
	p.SetNRGBA(3, 2, color.NRGBA{255, 0, 0, 255})
	p.SetNRGBA(4, 2, color.NRGBA{0, 0, 0, 51})
	l, err := Read(encoded(t, p))
	require.NoError(t, err)
	assert.Equal(t, color.RGBA{255, 255, 255, 255}, l.Picture.RGBAAt(0, 0))
	assert.Equal(t, color.RGBA{255, 0, 0, 255}, l.Picture.RGBAAt(3, 2))
	assert.Equal(t, color.RGBA{204, 204, 204, 255}, l.Picture.RGBAAt(4, 2))
	l, err = Read(encoded(t, image.NewGray16(image.Rect(0, 0, 9, 9))))
	require.NoError(t, err)
	assert.Equal(t, color.RGBA{0, 0, 0, 255}, l.Picture.RGBAAt(8, 8))
	for _, size := range [][2]int{{MaxPixels + 1, 10}, {10, MaxPixels + 1}, {7, 10}, {10, 7}} {
		_, err := Read(encoded(t, image.NewGray(image.Rect(0, 0, size[0], size[1]))))
		assert.ErrorContains(t, err, "pixels", size)
	}
}

// Made smaller by whole steps: never below what is asked for, and each pixel the mean of its own.
func TestSmaller(t *testing.T) {
	p := image.NewRGBA(image.Rect(0, 0, 7, 5))
	for y := range 5 {
		for x := range 7 {
			p.SetRGBA(x, y, color.RGBA{uint8(10 * x), uint8(10 * y), 7, 255})
		}
	}
	small := Smaller(p, 3, 2)
	assert.Equal(t, image.Rect(0, 0, 4, 3), small.Bounds())
	assert.Equal(t, color.RGBA{5, 5, 7, 255}, small.RGBAAt(0, 0))
	assert.Equal(t, color.RGBA{60, 40, 7, 255}, small.RGBAAt(3, 2), "the last of an odd size stands alone")
	assert.Equal(t, p.Pix, Smaller(p, 4, 5).Pix, "nothing is made larger or stretched")
}

// Whatever is read keeps its bounds, and reads the same again.
func FuzzSVG(f *testing.F) {
	for _, inside := range []string{`<path d="M10 0A1 1 0 0 1 10 20z"/>`, `<g transform="rotate(3)"><rect width="3" height="2" rx="1"/></g>`,
		`<circle r="3" stroke="#fff" stroke-width="2"/>`, `<polygon points="1 2 3 4" style="fill:red"/>`, `<path d="m1 1q1 2 3 4t1 1"/>`} {
		f.Add(svg(inside))
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		l, err := readSVG(file)
		if err != nil {
			if l != nil {
				t.Fatal("refused, and something is returned")
			}
			return
		}
		again, err := readSVG(bytes.Clone(file))
		if err != nil || drawn(again) != drawn(l) {
			t.Fatal("it reads otherwise the second time")
		}
		n := 0
		for _, s := range l.Shapes {
			n += len(s.Segments)
			if s.Segments[0].Operator != 'm' {
				t.Fatal("a path begins nowhere")
			}
			for _, one := range s.Segments {
				for _, p := range one.Points {
					if !(math.Abs(p.X) <= farthest*l.Width && math.Abs(p.Y) <= farthest*l.Height) {
						t.Fatalf("%v lies outside", p)
					}
				}
			}
			if !(s.LineWidth >= 0 && s.LineWidth <= farthest*l.Width) {
				t.Fatal(s.LineWidth)
			}
		}
		if n == 0 || n > MaxSegments || !(l.Width > 0 && l.Height > 0) {
			t.Fatal(n, l.Width, l.Height)
		}
	})
}
