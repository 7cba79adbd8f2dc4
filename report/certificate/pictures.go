package certificate

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"

	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"golang.org/x/image/draw"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/kit/qr"
)

// A small picture, in mm on the page and in pixels: about 300 to the inch.
const (
	pictureWidth  = 57.0
	pictureHeight = 43.0
	pictureAcross = 680
	pictureDown   = 512
)

// SmallPicture is a photograph as it is printed: upright, as a JPEG. A photograph that
// cannot be decoded is an error.
func SmallPicture(content []byte, media string) ([]byte, error) {
	picture, err := photograph.Decode(content, media)
	if err != nil {
		return nil, err
	}
	bounds := picture.Bounds()
	orientation := photograph.Orientation(content)
	across, down := pictureAcross, pictureDown
	if orientation >= 5 {
		across, down = down, across
	}
	scale := min(1, float64(across)/float64(bounds.Dx()), float64(down)/float64(bounds.Dy()))
	scaled := func(pixels int) int { return max(1, int(scale*float64(pixels))) }
	small := image.NewRGBA(image.Rect(0, 0, scaled(bounds.Dx()), scaled(bounds.Dy())))
	draw.Draw(small, small.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(small, small.Bounds(), picture, bounds, draw.Over, nil)
	var out bytes.Buffer
	err = jpeg.Encode(&out, upright(small, orientation), &jpeg.Options{Quality: 82})
	return out.Bytes(), err
}

// upright turns a picture that is stored as an orientation of Exif says (tag 0x0112).
func upright(in *image.RGBA, orientation int) image.Image {
	if orientation <= 1 {
		return in
	}
	w, h := in.Bounds().Dx(), in.Bounds().Dy()
	outW, outH := w, h
	if orientation >= 5 {
		outW, outH = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, outW, outH))
	for y := range outH {
		for x := range outW {
			fromX, fromY := source(x, y, w, h, orientation)
			out.SetRGBA(x, y, in.RGBAAt(fromX, fromY))
		}
	}
	return out
}

// source is where the pixel at x, y of the upright picture is stored, in a picture
// of that stored width and height.
func source(x, y, w, h, orientation int) (int, int) {
	switch orientation {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return w - 1 - y, x
	}
	return x, y
}

// pictureSize is the size in mm that a picture has in a box.
func pictureSize(content []byte, width, height float64) (float64, float64) {
	config, _, err := image.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return width, height
	}
	scale := min(width/float64(config.Width), height/float64(config.Height))
	return scale * float64(config.Width), scale * float64(config.Height)
}

// layPictures sets pictures in rows of three.
func layPictures(all Pictures) flow {
	const across = 3
	const space = (body - across*pictureWidth) / (across - 1)
	f := flow{before: gap}
	for i := 0; i < len(all); i += across {
		row := all[i:min(i+across, len(all))]
		height := 0.0
		for _, b := range row {
			title, text := pictureLines(b)
			below := float64(len(title))*lineHeight(sizeText) + float64(len(text))*lineHeight(sizeSmall)
			height = max(height, pictureHeight+2+below+3)
		}
		p := newPart(height)
		for j, b := range row {
			x := float64(j) * (pictureWidth + space)
			p.fill(x, 0, pictureWidth, pictureHeight, wash)
			if b.Image != nil {
				w, h := pictureSize(b.Image, pictureWidth, pictureHeight)
				p.image(b.Image, extension.Jpg, x+(pictureWidth-w)/2, (pictureHeight-h)/2, w, h)
			}
			title, text := pictureLines(b)
			y := p.lines(title, x, pictureHeight+1.2, sizeText, ink)
			p.lines(text, x, y+0.3, sizeSmall, grey)
		}
		f.parts = append(f.parts, p)
	}
	return f
}

func pictureLines(b Picture) (title, text []line) {
	title, text = typeset(b.Title, sizeText, true, pictureWidth-1), typeset(b.Text, sizeSmall, false, pictureWidth-1)
	return title[:min(len(title), 4)], text[:min(len(text), maxLines)]
}

// layCode draws a QR code module by module, sharp at any size, with pairs beside it.
func layCode(b Code) flow {
	const side, beside, label = 34.0, 42.0, 20.0
	p := newPart(side + 2)
	drawCode(p, b.Content, 0, 1, side)
	y := 0.0
	for _, pair := range b.Beside {
		value := typeset(pair.Value, sizeText, false, body-beside-label)
		p.fill(beside, y, body-beside, 0.2, hair)
		below := p.lines(typeset(pair.Label, sizeSmall, false, label-2), beside, y+padRow+0.5, sizeSmall, grey)
		y = max(below, p.lines(value, beside+label, y+padRow, sizeText, ink)+padRow)
	}
	if y > p.height {
		taller := newPart(y)
		taller.draws, taller.texts = p.draws, p.texts
		p = taller
	}
	return flow{parts: []*part{p}, before: gap}
}

// drawCode draws the dark modules of a row as bars. The quiet zone of four modules
// (ISO/IEC 18004) is left white around it.
func drawCode(p *part, content string, x, y, side float64) {
	code, err := qr.Encode(content, qr.Medium)
	if err != nil {
		return // too long for a code; what it holds stands beside it
	}
	const quiet = 4
	n := code.Side
	module := side / float64(n+2*quiet)
	for j := range n {
		for i := 0; i < n; i++ {
			from := i
			for i < n && code.Dark(i, j) {
				i++
			}
			if i > from {
				const overlap = 0.01 // so that no hair line shows between rows
				p.fill(x+float64(from+quiet)*module, y+float64(j+quiet)*module, float64(i-from)*module, module+overlap, ink)
			}
		}
	}
}
