// Package logo reads a company's logo: a PNG picture, or an SVG of plain shapes. What is taken is
// bounded, refers to nothing outside itself, and looks the same wherever it is drawn; everything
// else is refused with what to do about it.
package logo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"

	"loopwitness/commission/kit/readfile"
)

// Bounds of a logo.
const (
	MaxBytes    = 64 << 10
	MaxPixels   = 1200 // of a PNG, a side
	MaxSegments = 5000 // of an SVG: lines and curves
)

// ErrRefused is wrapped by every refusal.
var ErrRefused = errors.New("it cannot be used as a logo")

// Refusal says why a logo is refused, where in an SVG, and what to do. Line and column count from
// 1; 0 for the file as a whole.
type Refusal struct {
	Line, Column int
	What, Hint   string
}

// Error is what and where.
func (r *Refusal) Error() string {
	if r.Line == 0 {
		return r.What
	}
	return fmt.Sprintf("line %d, column %d: %s", r.Line, r.Column, r.What)
}

// Unwrap is ErrRefused.
func (r *Refusal) Unwrap() error { return ErrRefused }

// Logo is a picture or shapes; the other of both is nil. Its size is in pixels or in the units of
// the shapes: only its proportions mean anything.
type Logo struct {
	Width, Height float64
	Picture       *image.RGBA // opaque: on white
	Shapes        []Shape
}

// File reads a file, and no more of it than shows that it is too long for a logo.
func File(path string) ([]byte, error) { return readfile.Beginning(path, MaxBytes+1) }

// Digest is the SHA-256 of a logo's file, in hexadecimal.
func Digest(file []byte) string {
	sum := sha256.Sum256(file)
	return hex.EncodeToString(sum[:])
}

var beginningOfPNG = []byte("\x89PNG\r\n\x1a\n")

// Read reads a logo. Its errors are *Refusal.
func Read(file []byte) (*Logo, error) {
	if len(file) > MaxBytes {
		return nil, &Refusal{What: fmt.Sprintf("it is larger than %d KiB", MaxBytes>>10),
			Hint: "save it smaller: fewer pixels, or fewer points"}
	}
	if bytes.HasPrefix(file, beginningOfPNG) {
		return readPNG(file)
	}
	if bytes.Contains(file[:min(len(file), 4096)], []byte("<svg")) {
		return readSVG(file)
	}
	return nil, &Refusal{What: "it is neither a PNG picture nor an SVG", Hint: "save it as one of both"}
}
