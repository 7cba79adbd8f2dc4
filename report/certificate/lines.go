package certificate

import (
	"bytes"
	"fmt"

	"loopwitness/commission/record"
)

// drawnLines is a drawing in lines in a box of a part, in mm from its upper left corner. The library
// of the pages draws level and upright lines only: these are added to what it has made, as
// operators of the page (ISO 32000-1, 8.5), sharp at any size.
type drawnLines struct {
	of                  *record.Strokes
	x, y, width, height float64
}

const (
	inkWidth = 0.9 // of a line, in points
	// smallest is the share of its sheet that a drawing counts for at least: a dot does not
	// fill its box.
	smallest = 4
)

// bounds are the corners of what is drawn on the sheet.
func bounds(s *record.Strokes) (left, top, right, bottom float64) {
	left, top = float64(s.Width), float64(s.Height)
	for _, line := range s.Lines {
		for i := 0; i+1 < len(line); i += 2 {
			x, y := float64(line[i]), float64(line[i+1])
			left, right, top, bottom = min(left, x), max(right, x), min(top, y), max(bottom, y)
		}
	}
	return left, top, right, bottom
}

// operators draw it as large as fits, in the middle of its box; used is how far below the
// margin of the page its part begins, in mm.
func (k drawnLines) operators(paper Paper, used float64) []byte {
	left, top, right, bottom := bounds(k.of)
	across := max(right-left, float64(k.of.Width)/smallest, 1)
	down := max(bottom-top, float64(k.of.Height)/smallest, 1)
	scale := min(k.width/across, k.height/down) // mm by unit of the sheet
	x0 := k.x + (k.width-scale*(right-left))/2
	y0 := used + k.y + (k.height-scale*(bottom-top))/2
	var b bytes.Buffer
	fmt.Fprintf(&b, "\nq\n%.2f w 1 J 1 j\n0.133 0.149 0.169 RG\n", inkWidth)
	for _, line := range k.of.Lines {
		at := func(i int) string {
			x, y := paper.point(x0+scale*(float64(line[i])-left), y0+scale*(float64(line[i+1])-top))
			return fmt.Sprintf("%.2f %.2f", x, y)
		}
		fmt.Fprintf(&b, "%s m\n", at(0))
		for i := 2; i+1 < len(line); i += 2 {
			fmt.Fprintf(&b, "%s l\n", at(i))
		}
		if len(line) == 2 {
			fmt.Fprintf(&b, "%s l\n", at(0)) // a dot: its round ends
		}
		b.WriteString("S\n")
	}
	b.WriteString("Q\n")
	return b.Bytes()
}
