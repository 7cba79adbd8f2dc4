// Package qr makes QR codes (ISO/IEC 18004), for pages and for terminals.
package qr

import (
	"fmt"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// Level is how much of a code may be unreadable.
type Level uint8

// The levels: some 7 % and 15 % (ISO/IEC 18004).
const (
	Low Level = iota
	Medium
)

// Code is a square of modules, without the quiet zone around it.
type Code struct {
	// Side is how many modules wide and high it is.
	Side int
	dark []bool
}

// Encode makes the code of a text. It is an error if the text is too long for one.
func Encode(text string, level Level) (Code, error) {
	correction := qr.M
	if level == Low {
		correction = qr.L
	}
	code, err := qr.Encode(text, correction, qr.Unicode)
	if err != nil {
		return Code{}, fmt.Errorf("make a QR code of %d bytes: %w", len(text), err)
	}
	c := Code{Side: code.Bounds().Dx()}
	for y := range c.Side {
		for x := range c.Side {
			r, _, _, _ := code.At(x, y).RGBA()
			c.dark = append(c.dark, r == 0)
		}
	}
	return c, nil
}

// Dark tells whether a module is dark; what lies outside is light.
func (c Code) Dark(x, y int) bool {
	return x >= 0 && y >= 0 && x < c.Side && y < c.Side && c.dark[y*c.Side+x]
}

// HalfBlocks is the code as lines of characters with a quiet zone of that many modules, two
// modules of height to a line. The blocks are the dark modules: print it black on white,
// whatever the terminal's colours are.
func (c Code) HalfBlocks(quiet int) []string {
	var lines []string
	for y := -quiet; y < c.Side+quiet; y += 2 {
		var line strings.Builder
		for x := -quiet; x < c.Side+quiet; x++ {
			switch upper, lower := c.Dark(x, y), c.Dark(x, y+1); {
			case upper && lower:
				line.WriteRune('█')
			case upper:
				line.WriteRune('▀')
			case lower:
				line.WriteRune('▄')
			default:
				line.WriteByte(' ')
			}
		}
		lines = append(lines, line.String())
	}
	return lines
}
