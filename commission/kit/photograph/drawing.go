package photograph

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"golang.org/x/image/draw"
)

// A drawn signature as it is kept.
const (
	drawingWidth  = 720
	drawingHeight = 240
	maxDrawing    = 64 << 10 // bytes
)

// Drawing is the picture of a drawn signature as it is kept in the journal: its strokes
// dark on white, cut to their size, small and grey, a PNG without hidden data. It may be
// drawn on a screen or photographed from paper. Errors wrap ErrRefused.
func Drawing(file []byte) ([]byte, error) {
	p, err := Take(file)
	if err != nil {
		return nil, err
	}
	picture, err := Decode(p.Content, p.Media)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	const looked = 1600 // pixels across and down in which strokes are looked for
	grey := onWhite(picture, looked, looked)
	strokes, err := strokesOf(grey)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	small := onWhite(grey.SubImage(strokes), drawingWidth, drawingHeight)
	for i, v := range small.Pix { // 16 greys are enough for a line, and pack well
		small.Pix[i] = v&0xf0 | v>>4
	}
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, small); err != nil {
		return nil, err
	}
	if out.Len() > maxDrawing {
		return nil, fmt.Errorf("%w: the picture is too busy to be a drawn signature", ErrRefused)
	}
	return out.Bytes(), nil
}

// onWhite is a picture in greys, on white where it is transparent, shrunk to fit.
func onWhite(p image.Image, most, highest int) *image.Gray {
	b := p.Bounds()
	width, height := fitted(b.Dx(), b.Dy(), most, highest)
	out := image.NewGray(image.Rect(0, 0, width, height))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.CatmullRom.Scale(out, out.Bounds(), p, b, draw.Over, nil)
	return out
}

// strokesOf makes the ground white and the strokes dark, and returns where they are.
// Ground and strokes are told apart by Otsu's threshold (1979): that which separates two
// classes of grey best.
func strokesOf(g *image.Gray) (image.Rectangle, error) {
	const contrast, most = 40, 0.2 // of 255; of all pixels
	threshold, ink, ground := otsu(g.Pix)
	if ground-ink < contrast {
		return image.Rectangle{}, errors.New("the picture is empty: no strokes stand out in it")
	}
	box, dark := image.Rectangle{}, 0
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			if float64(g.GrayAt(x, y).Y) <= threshold {
				dark++
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	if float64(dark) > most*float64(len(g.Pix)) {
		return image.Rectangle{}, errors.New(
			"the picture is too busy to be a drawn signature: take one of dark strokes on a plain ground")
	}
	white := (threshold + ground) / 2
	for i, v := range g.Pix {
		g.Pix[i] = uint8(255 * min(1, max(0, (float64(v)-ink)/(white-ink))))
	}
	margin := 2 + max(box.Dx(), box.Dy())/30
	return box.Inset(-margin).Intersect(g.Rect), nil
}

// otsu is the threshold that separates greys best, and the mean of either side.
func otsu(pixels []uint8) (threshold, dark, light float64) {
	var count [256]float64
	total, sum := float64(len(pixels)), 0.0
	for _, v := range pixels {
		count[v]++
		sum += float64(v)
	}
	best, below, sumBelow := -1.0, 0.0, 0.0
	for v := range 255 {
		below += count[v]
		sumBelow += float64(v) * count[v]
		if below == 0 || below == total {
			continue
		}
		a, b := sumBelow/below, (sum-sumBelow)/(total-below)
		if between := below * (total - below) * (b - a) * (b - a); between > best {
			best, threshold, dark, light = between, float64(v), a, b
		}
	}
	return threshold, dark, light
}

// ErrDrawing says that a kept drawing is not one that Drawing made.
var ErrDrawing = errors.New("no drawn signature")

// CheckDrawing tells whether a kept drawing is one.
func CheckDrawing(content []byte) error {
	config, err := png.DecodeConfig(bytes.NewReader(content))
	if err != nil || config.Width > drawingWidth || config.Height > drawingHeight || len(content) > maxDrawing {
		return ErrDrawing
	}
	if _, err := png.Decode(bytes.NewReader(content)); err != nil {
		return ErrDrawing
	}
	return nil
}

// fitted is a size with the same proportions inside a box; never larger than it was.
func fitted(width, height, most, highest int) (int, int) {
	scale := min(1, float64(most)/float64(width), float64(highest)/float64(height))
	return max(1, int(float64(width)*scale)), max(1, int(float64(height)*scale))
}
