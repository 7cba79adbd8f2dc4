package logo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
)

const leastPixels = 8 // a side

// readPNG decodes any PNG, whatever its depth and order, onto white.
func readPNG(file []byte) (*Logo, error) {
	c, err := png.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		return nil, &Refusal{What: "the PNG picture is damaged", Hint: "save it again"}
	}
	if c.Width > MaxPixels || c.Height > MaxPixels || c.Width < leastPixels || c.Height < leastPixels {
		return nil, &Refusal{What: fmt.Sprintf("it has %d × %d pixels", c.Width, c.Height),
			Hint: fmt.Sprintf("from %d to %d a side are taken; save it in another size", leastPixels, MaxPixels)}
	}
	decoded, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, &Refusal{What: "the PNG picture is damaged", Hint: "save it again"}
	}
	onto := image.NewRGBA(image.Rect(0, 0, c.Width, c.Height))
	draw.Draw(onto, onto.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(onto, onto.Bounds(), decoded, decoded.Bounds().Min, draw.Over)
	return &Logo{Width: float64(c.Width), Height: float64(c.Height), Picture: onto}, nil
}

// Smaller is the picture in whole steps of its pixels, each the mean of so many: as small as it
// can be and still have so many pixels either way. Only whole numbers are computed with: every
// machine makes the same.
func Smaller(p *image.RGBA, width, height int) *image.RGBA {
	b := p.Bounds()
	by := max(1, min(b.Dx()/max(1, width), b.Dy()/max(1, height)))
	across, down := (b.Dx()+by-1)/by, (b.Dy()+by-1)/by
	out := image.NewRGBA(image.Rect(0, 0, across, down))
	for y := range down {
		for x := range across {
			out.SetRGBA(x, y, mean(p, image.Rect(x*by, y*by, (x+1)*by, (y+1)*by).Intersect(b)))
		}
	}
	return out
}

// mean is that of the colours of an opaque picture in a rectangle.
func mean(p *image.RGBA, in image.Rectangle) color.RGBA {
	var red, green, blue int
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for x := in.Min.X; x < in.Max.X; x++ {
			c := p.RGBAAt(x, y)
			red, green, blue = red+int(c.R), green+int(c.G), blue+int(c.B)
		}
	}
	n := in.Dx() * in.Dy()
	return color.RGBA{uint8((red + n/2) / n), uint8((green + n/2) / n), uint8((blue + n/2) / n), 255}
}
