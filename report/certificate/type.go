package certificate

import (
	"bytes"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"github.com/johnfercher/maroto/v2/pkg/consts/fontstyle"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"

	"loopwitness/commission/words"
	"loopwitness/report/finish"
)

// mmPerPoint is exact: 25.4 mm to the inch, 72 points.
const mmPerPoint = 25.4 / 72

// face is one font with its metrics.
type face struct {
	family string
	style  fontstyle.Type
	ttf    []byte
	font   *sfnt.Font
	mu     sync.Mutex
	buffer sfnt.Buffer
	widths map[rune]float64 // of a unit em; −1 for a missing glyph
	usual  [usual]float64   // the same of the first characters, of which nearly all texts are
}

// usual is how many widths are known from the beginning: Latin with what other languages add.
const usual = 0x250

func newFace(family string, style fontstyle.Type, ttf []byte) *face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the font is part of the program
	}
	out := &face{family: family, style: style, ttf: ttf, font: f, widths: map[rune]float64{}}
	for r := range out.usual {
		out.usual[r] = out.measured(rune(r))
	}
	return out
}

// width is that of a rune at one point per em, −1 if the font has no glyph.
func (f *face) width(r rune) float64 {
	if r >= 0 && r < usual {
		return f.usual[r]
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	w, known := f.widths[r]
	if !known {
		w = f.measured(r)
		f.widths[r] = w
	}
	return w
}

// measured is what the font says.
func (f *face) measured(r rune) float64 {
	w := -1.0
	units := f.font.UnitsPerEm()
	if i, err := f.font.GlyphIndex(&f.buffer, r); err == nil && i != 0 && r <= 0xffff {
		if advance, err := f.font.GlyphAdvance(&f.buffer, i, fixed.I(int(units)), font.HintingNone); err == nil {
			w = float64(advance) / 64 / float64(units)
		}
	}
	return w
}

// The text font, and a second one for scripts that it lacks.
var faces = sync.OnceValue(func() map[bool][]*face {
	return map[bool][]*face{
		false: {newFace("liberation", fontstyle.Normal, liberationsansregular.TTF),
			newFace("dejavu", fontstyle.Normal, dejavusanscondensed.TTF)},
		true: {newFace("liberation", fontstyle.Bold, liberationsansbold.TTF),
			newFace("dejavu", fontstyle.Bold, dejavusanscondensedbold.TTF)},
	}
})

func customFonts() []*entity.CustomFont {
	var out []*entity.CustomFont
	for _, bold := range []bool{false, true} {
		for _, f := range faces()[bold] {
			own := bytes.Clone(f.ttf) // the drawing library writes into it
			out = append(out, &entity.CustomFont{Family: f.family, Style: f.style, Bytes: own})
		}
	}
	return out
}

// written are the faces by the names that the drawing library writes.
var written = sync.OnceValue(func() map[string]finish.Face {
	out := map[string]finish.Face{}
	for bold, of := range faces() {
		for _, f := range of {
			name, err := f.font.Name(nil, sfnt.NameIDPostScript)
			if err != nil {
				panic(err) // the font is part of the program
			}
			library := "utf8" + f.family
			if bold {
				library += "B"
			}
			out[library] = finish.Face{Name: name, Width: f.width}
		}
	}
	return out
})

// faceFor is the first font that has every character, else the one that lacks
// the fewest.
func faceFor(s string, bold bool) *face {
	best, missing := faces()[bold][0], len(s)+1
	for _, f := range faces()[bold] {
		n := 0
		for _, r := range s {
			if f.width(r) < 0 {
				n++
			}
		}
		if n < missing {
			best, missing = f, n
		}
	}
	return best
}

// line is one line of text, ready to draw.
type line struct {
	text  string
	width float64 // mm
	face  *face
}

func (f *face) measure(s string, size float64) float64 {
	total := 0.0
	for _, r := range s {
		total += max(0, f.width(r))
	}
	return total * size * mmPerPoint
}

// typeset breaks a text into lines of at most a width in mm. A word that is longer is broken where it must be; no
// paragraph ends in one short word, if the line above it has words to spare.
func typeset(s string, size float64, bold bool, width float64) []line {
	return typesetAs(s, size, bold, width, true)
}

// typesetAs balances the last two lines of a paragraph, or fills all lines as far as they go, as what is cut needs it.
func typesetAs(s string, size float64, bold bool, width float64, balanced bool) []line {
	f := faceFor(s, bold)
	var out []line
	for _, paragraph := range strings.Split(legible(s, f), "\n") {
		for _, text := range inOrderSeen(paragraph, f.breakLines(paragraph, size, width, balanced)) {
			out = append(out, line{text, f.measure(text, size), f})
		}
	}
	return out
}

// breakLines breaks a paragraph between words, but not between those that stay together as far as they fit on a line.
func (f *face) breakLines(paragraph string, size, width float64, balanced bool) []string {
	var lines []string
	now, used := "", 0.0
	before, last := "", "" // the last word of the line above, and of this one, if it is not all of it
	blank := f.measure(" ", size)
	end := func() {
		lines, before, now, last = append(lines, now), last, "", ""
	}
	for _, word := range f.unparted(paragraph, size, width) {
		wide := f.measure(word, size)
		for wide > width {
			if now != "" {
				end()
			}
			head, mark := f.head(word, size, width)
			lines, before, word = append(lines, head+mark), "", word[len(head):]
			wide = f.measure(word, size)
		}
		switch {
		case word == "":
		case now == "":
			now, used = word, wide
		case used+blank+wide > width:
			end()
			now, used = word, wide
		default:
			now, last = now+" "+word, word
			used += blank + wide
		}
	}
	if now != "" || len(lines) == 0 {
		lines = append(lines, now)
		if balanced && last == "" && before != "" {
			f.balance(lines, before, size, width)
		}
	}
	return lines
}

// balance takes a word from the line above into a last line that is one short word.
func (f *face) balance(lines []string, word string, size, width float64) {
	const short = 12 // characters
	n := len(lines) - 1
	above := strings.TrimSuffix(lines[n-1], " "+word)
	longer := word + " " + lines[n]
	if utf8.RuneCountInString(lines[n]) >= short || f.measure(longer, size) > width ||
		2*f.measure(above, size) < f.measure(longer, size) {
		return
	}
	lines[n-1], lines[n] = above, longer
}

// unparted are the words of a paragraph, those that belong together as one, as far as it fits into a width.
func (f *face) unparted(paragraph string, size, width float64) []string {
	var all []string
	last, wide := "", 0.0 // the last word, and the width of what it belongs to
	blank := f.measure(" ", size)
	for _, word := range strings.Fields(paragraph) {
		takes := f.measure(word, size)
		if n := len(all); n > 0 && wide+blank+takes <= width && words.Together(last, word) {
			all[n-1] += " " + word
			wide += blank + takes
		} else {
			all, wide = append(all, word), takes
		}
		last = word
	}
	return all
}

// head is the longest beginning of a word that fits, at least one character, up to a hyphen or a slash in it if there
// is one; a word of letters that is broken elsewhere gets the hyphen that is returned as its mark. What has digits gets
// none: it would seem to be part of a number.
func (f *face) head(word string, size, width float64) (begins, mark string) {
	end, joint := 0, 0
	used, digits := 0.0, strings.ContainsFunc(word, unicode.IsDigit)
	hyphen := max(0, f.width('-')) * size * mmPerPoint
	ends := []int{0} // where characters end before which a hyphen has room
	for i, r := range word {
		wide := max(0, f.width(r)) * size * mmPerPoint
		if i > 0 && used+wide > width {
			break
		}
		end, used = i+utf8.RuneLen(r), used+wide
		if strings.ContainsRune("-/–—", r) && i > 0 && end < len(word) {
			joint = end
		}
		if used+hyphen <= width {
			ends = append(ends, end)
		}
	}
	const least = 3 // letters on both sides of a hyphen
	switch at := ends[len(ends)-1]; {
	case joint > 0:
		return word[:joint], ""
	case end < len(word) && !digits && len(ends) > least && hyphened(word, at):
		if n := utf8.RuneCountInString(word[at:]); n < least && len(ends)-least+n > least {
			at = ends[len(ends)-1-least+n]
		}
		return word[:at], "-"
	}
	return word[:end], ""
}

// hyphened tells whether letters of a script that knows hyphens stand on both sides of a place in a word.
func hyphened(word string, at int) bool {
	before, _ := utf8.DecodeLastRuneInString(word[:at])
	after, _ := utf8.DecodeRuneInString(word[at:])
	in := func(r rune) bool { return unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic) }
	return in(before) && in(after)
}
