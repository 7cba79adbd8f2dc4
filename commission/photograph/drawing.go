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

// Drawing is the picture of a drawn signature, small and grey, as a PNG without
// hidden data: it is kept in the journal itself. Errors wrap ErrRefused.
func Drawing(file []byte) ([]byte, error) {
	p, err := Take(file)
	if err != nil {
		return nil, err
	}
	picture, err := Decode(p.Content, p.Media)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	width, height := fitted(p.Width, p.Height, drawingWidth, drawingHeight)
	small := image.NewGray(image.Rect(0, 0, width, height))
	draw.Draw(small, small.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src) // behind what is transparent
	draw.CatmullRom.Scale(small, small.Bounds(), picture, picture.Bounds(), draw.Over, nil)
	for i, v := range small.Pix { // 16 greys are enough for a line, and pack well
		small.Pix[i] = v&0xf0 | v>>4
	}
	if blank(small) {
		return nil, fmt.Errorf("%w: the picture is empty", ErrRefused)
	}
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, small); err != nil {
		return nil, err
	}
	if out.Len() > maxDrawing {
		return nil, fmt.Errorf("%w: a drawn signature is lines on a plain ground; this picture is too busy to be one", ErrRefused)
	}
	return out.Bytes(), nil
}

// ErrDrawing: a kept drawing is not one that Drawing made.
var ErrDrawing = errors.New("no drawn signature")

// CheckDrawing tells whether a kept drawing is one.
func CheckDrawing(content []byte) error {
	config, err := png.DecodeConfig(bytes.NewReader(content))
	if err != nil || config.Width > drawingWidth || config.Height > drawingHeight || len(content) > maxDrawing {
		return ErrDrawing
	}
	return nil
}

// fitted is a size with the same proportions inside a box; never larger than it was.
func fitted(width, height, most, highest int) (int, int) {
	scale := min(1, float64(most)/float64(width), float64(highest)/float64(height))
	return max(1, int(float64(width)*scale)), max(1, int(float64(height)*scale))
}

func blank(g *image.Gray) bool {
	for _, v := range g.Pix {
		if v != g.Pix[0] {
			return false
		}
	}
	return true
}
