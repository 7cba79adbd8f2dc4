// Package photograph takes photographs and drawn signatures into a visit.
//
// A photograph is kept as it was taken, but for hidden data: where it was taken
// is nobody's business who reads a certificate. Its pixels are not touched.
package photograph

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"time"

	"loopwitness/commission/kit/readfile"
)

// ErrRefused says that the file is not a photograph that can be kept.
var ErrRefused = errors.New("not taken")

// Limits of one photograph, and of all that a visit keeps.
const (
	MaxBytes   = 8 << 20
	MaxPixels  = 40_000_000
	Most       = 48
	MostBytes  = 96 << 20
	MostPixels = 600_000_000
)

// Media types.
const (
	JPEG = "image/jpeg"
	PNG  = "image/png"
)

// Photograph is a picture without its hidden data.
type Photograph struct {
	Content       []byte
	Media         string
	Width, Height int      // in pixels, as stored
	Taken         string   // when, by the camera's clock: 2026-11-24 09:10:11; "" if it does not say
	Removed       []Hidden // what was hidden in the file and is not any more
}

// Take checks a file and strips it. Errors wrap ErrRefused and say what to do.
func Take(file []byte) (Photograph, error) {
	if len(file) > MaxBytes {
		return Photograph{}, fmt.Errorf("%w: it is larger than the %d MiB of one photograph; save it smaller",
			ErrRefused, MaxBytes>>20)
	}
	config, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || kind != "jpeg" && kind != "png" { // other decoders may be linked in
		return Photograph{}, fmt.Errorf("%w: it is neither a JPEG nor a PNG picture", ErrRefused)
	}
	if config.Width < 8 || config.Height < 8 || config.Height > MaxPixels/config.Width {
		return Photograph{}, fmt.Errorf("%w: %d × %d pixels; from 8 × 8 to %d million in all are kept", ErrRefused,
			config.Width, config.Height, MaxPixels/1_000_000)
	}
	p := Photograph{Width: config.Width, Height: config.Height}
	var hidden found
	switch kind {
	case "jpeg":
		p.Media = JPEG
		p.Content, hidden, err = stripJPEG(file)
	default:
		p.Media = PNG
		p.Content, hidden, err = stripPNG(file)
	}
	if err != nil {
		return Photograph{}, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	if _, err := Decode(p.Content, p.Media); err != nil {
		return Photograph{}, fmt.Errorf("%w: the picture is damaged: %w", ErrRefused, err)
	}
	p.Taken, p.Removed = hidden.taken, hidden.removed()
	return p, nil
}

// ReadFile reads a file, and no more of it than shows that it is too long for a photograph.
func ReadFile(path string) ([]byte, error) {
	return readfile.Beginning(path, MaxBytes+1)
}

// Size is that of a picture in pixels, as stored; zero if it cannot be told.
func Size(content []byte) (width, height int) {
	config, _, err := image.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return 0, 0
	}
	return config.Width, config.Height
}

// Decode is the picture as stored, without turning it.
func Decode(content []byte, media string) (image.Image, error) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(content))
	switch {
	case err != nil:
		return nil, err
	case "image/"+kind != media:
		return nil, fmt.Errorf("it is a %s picture", kind)
	case config.Width < 1 || config.Height > MaxPixels/config.Width:
		return nil, errors.New("it has too many pixels")
	case config.ColorModel == color.CMYKModel:
		return nil, errors.New("its colours are those of printing (CMYK); save it in RGB")
	case media == JPEG:
		if _, _, err := stripJPEG(content); err != nil { // before it is decoded, at whatever cost
			return nil, err
		}
		return jpeg.Decode(bytes.NewReader(content))
	}
	return png.Decode(bytes.NewReader(content))
}

// found is what a file held beside its pixels.
type found struct {
	location, other bool
	taken           string
	orientation     int
	layout          layout
}

// Hidden is what a file may hold beside the picture.
type Hidden string

// What may be hidden.
const (
	Location  Hidden = "location" // where it was taken
	OtherData Hidden = "other-data"
)

// Code names it.
func (h Hidden) Code() string { return "hidden/" + string(h) }

func (f found) removed() []Hidden {
	var out []Hidden
	if f.location {
		out = append(out, Location)
	}
	if f.other {
		out = append(out, OtherData)
	}
	return out
}

// Plain tells whether a JPEG is of the simplest kind: one scan, nothing beside what its
// pixels need, nothing behind it. Every reader sees the same in it.
func Plain(content []byte) bool {
	stripped, hidden, err := stripJPEG(content)
	return err == nil && bytes.Equal(stripped, content) && hidden.layout.scans == 1 && !hidden.layout.progressive &&
		hidden.layout.marked == 0
}

// Ending is the ending of a file of that media type.
func Ending(media string) string {
	return map[string]string{JPEG: ".jpg", PNG: ".png"}[media]
}

// Orientation is how a stored picture has to be turned to stand upright, as in
// Exif: 1 for not at all, to 8.
func Orientation(content []byte) int {
	strip := stripJPEG
	if bytes.HasPrefix(content, pngHead) {
		strip = stripPNG
	}
	if _, hidden, err := strip(content); err == nil && hidden.orientation >= 1 && hidden.orientation <= 8 {
		return hidden.orientation
	}
	return 1
}

// fromExifTime is a time of Exif (2026:11:24 09:10:11) in the usual form, "" if it is
// none.
func fromExifTime(s string) string {
	t, err := time.Parse("2006:01:02 15:04:05", strings.TrimRight(s, "\x00 "))
	if err != nil {
		return ""
	}
	return t.Format(time.DateTime)
}
