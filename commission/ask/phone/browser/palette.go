package browser

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/png"
	"maps"
	"path/filepath"
	"slices"

	"loopwitness/commission/kit/atomicfile"
)

// mostColours is what a palette of PNG holds.
const mostColours = 256

// KeepPicture writes a picture, a PNG, into a folder, in few bytes.
func KeepPicture(folder, name string, data []byte) error {
	data, err := lean(data)
	if err == nil {
		err = atomicfile.MakeFolder(folder, 0o755)
	}
	if err == nil {
		err = atomicfile.Replace(filepath.Join(folder, name+".png"), data, 0o644)
	}
	return err
}

// lean writes a picture of a screen with its most frequent colours only, and any other as the
// nearest of them: a screen has few, and shades at the edges of letters.
func lean(data []byte) ([]byte, error) {
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	box := picture.Bounds()
	at := func(x, y int) color.RGBA { return color.RGBAModel.Convert(picture.At(x, y)).(color.RGBA) }
	count := map[color.RGBA]int{}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			count[at(x, y)]++
		}
	}
	all := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	palette := color.Palette{}
	for _, c := range all[:min(len(all), mostColours)] {
		palette = append(palette, c)
	}
	index := map[color.RGBA]uint8{}
	for _, c := range all {
		index[c] = uint8(palette.Index(c)) // under mostColours
	}
	few := image.NewPaletted(box, palette)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			few.SetColorIndex(x, y, index[at(x, y)])
		}
	}
	var out bytes.Buffer
	err = (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, few)
	return out.Bytes(), err
}
