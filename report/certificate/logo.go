package certificate

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"loopwitness/commission/kit/colour"
	"loopwitness/commission/kit/logo"
)

// The box of a logo, in mm, and how finely a picture in it is printed at least.
const (
	logoWidth  = 45.0
	logoHeight = 12.0
	logoDots   = 300 / 25.4 // by mm
)

// accent is the colour of rules and headings.
func (d Document) accent() *props.Color {
	if d.Colour == nil {
		return slate
	}
	return inkOf(*d.Colour)
}

func inkOf(c colour.RGB) *props.Color {
	return &props.Color{Red: int(c.Red), Green: int(c.Green), Blue: int(c.Blue)}
}

// logoSize is that of a logo as large as fits into its box, in mm; zero for none.
func logoSize(l *logo.Logo) (width, height float64) {
	if l == nil {
		return 0, 0
	}
	scale := min(logoWidth/l.Width, logoHeight/l.Height)
	return l.Width * scale, l.Height * scale
}

// besideLogo is how much is left of the width of a page beside a logo, in mm.
func besideLogo(l *logo.Logo) float64 {
	if l == nil {
		return body
	}
	width, _ := logoSize(l)
	return body - width - 5
}

// logo draws the company's logo with its upper right corner at a place: shapes as shapes, a
// picture as one.
func (p *part) logo(l *logo.Logo, right, top float64) {
	if l == nil {
		return
	}
	width, height := logoSize(l)
	if l.Picture != nil {
		small := logo.Smaller(l.Picture, int(width*logoDots), int(height*logoDots))
		p.image(plainPNG(small), extension.Png, right-width, top, width, height)
		return
	}
	p.vector(func(at func(x, y float64) string) string {
		scale := width / l.Width
		on := func(q logo.Point) string { return at(right-width+q.X*scale, top+q.Y*scale) }
		var b strings.Builder
		// Nothing is drawn outside of the box, whatever the file has there.
		fmt.Fprintf(&b, "q\n%s m\n%s l\n%s l\n%s l\nh\nW n\n[] 0 d\n", on(logo.Point{}), on(logo.Point{X: l.Width}),
			on(logo.Point{X: l.Width, Y: l.Height}), on(logo.Point{Y: l.Height}))
		for _, s := range l.Shapes {
			shape(&b, s, on, scale)
		}
		b.WriteString("Q\n")
		return b.String()
	})
}

// painted are the operators that paint a path: filled or not, stroked or not, by the even-odd
// rule or not (ISO 32000-1, 8.5.3).
var painted = map[[3]bool]string{{true, false, false}: "f", {true, false, true}: "f*", {true, true, false}: "B",
	{true, true, true}: "B*", {false, true, false}: "S", {false, true, true}: "S"}

// shape writes one shape as operators; scale is in mm by unit of the logo.
func shape(b *strings.Builder, s logo.Shape, on func(logo.Point) string, scale float64) {
	if s.Fill != nil {
		b.WriteString(colours(inkOf(*s.Fill), "rg"))
	}
	if s.Stroke != nil {
		fmt.Fprintf(b, "%.2f w\n%d J\n%d j\n%.2f M\n%s", s.LineWidth*scale/mmPerPoint, s.Cap, s.Join, s.Miter,
			colours(inkOf(*s.Stroke), "RG"))
	}
	for _, one := range s.Segments {
		switch one.Operator {
		case 'h':
			b.WriteString("h\n")
		case 'c':
			fmt.Fprintf(b, "%s %s %s c\n", on(one.Points[0]), on(one.Points[1]), on(one.Points[2]))
		default:
			fmt.Fprintf(b, "%s %c\n", on(one.Points[0]), one.Operator)
		}
	}
	b.WriteString(painted[[3]bool{s.Fill != nil, s.Stroke != nil, s.EvenOdd}] + "\n")
}

// plainPNG is an opaque picture as a PNG of three bytes a pixel, none of them predicted from
// others: what the library takes over as it is, and what unpacks to the same bytes whoever packs
// it (ISO/IEC 15948).
func plainPNG(p *image.RGBA) []byte {
	width, height := p.Bounds().Dx(), p.Bounds().Dy()
	var rows, packed, out bytes.Buffer
	for y := range height {
		rows.WriteByte(0) // no filter
		for x := range width {
			c := p.RGBAAt(x, y)
			rows.Write([]byte{c.R, c.G, c.B})
		}
	}
	w := zlib.NewWriter(&packed)
	_, _ = w.Write(rows.Bytes()) // into memory: it cannot fail
	_ = w.Close()
	chunk := func(kind string, data []byte) {
		body := append([]byte(kind), data...)
		out.Write(binary.BigEndian.AppendUint32(nil, uint32(len(data))))
		out.Write(binary.BigEndian.AppendUint32(body, crc32.ChecksumIEEE(body)))
	}
	out.WriteString("\x89PNG\r\n\x1a\n")
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(width)), uint32(height))
	const depth, trueColour = 8, 2
	chunk("IHDR", append(head, depth, trueColour, 0, 0, 0))
	chunk("IDAT", packed.Bytes())
	chunk("IEND", nil)
	return out.Bytes()
}
