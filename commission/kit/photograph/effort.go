package photograph

import (
	"image"
	"image/color"
)

// Effort is what it takes to decode a picture of that kind ("jpeg" or "png") and form, for
// each of its pixels: in units of time of the simplest kind, and in bytes of memory.
func Effort(content []byte, kind string, c image.Config) (time, memory int) {
	if kind == "png" {
		switch c.ColorModel {
		case color.RGBA64Model, color.NRGBA64Model, color.Gray16Model:
			return 4, 8
		}
		return 2, 4
	}
	if _, found, err := stripJPEG(content); err == nil && found.layout.progressive {
		return 4, 5 * max(1, found.layout.components) // a coefficient takes four bytes, a sample one
	}
	return 1, 3
}
