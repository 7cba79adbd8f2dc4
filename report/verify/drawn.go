package verify

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/kit/photograph"
	"loopwitness/report/pdffile"
)

// maxPart is the longest stream beside attachments that is looked at, in bytes.
const maxPart = 8 << 20

// mostOf is how much is unpacked of a stream that should have so many bytes: a small file
// cannot claim to hold much more than the one that is made again.
func mostOf(length int) int { return 2*length + 64<<10 }

// wordsOf are the words on a page, at most so many.
func wordsOf(f *pdffile.File, page pdffile.Dict, longest, most int) (words []string, length int, err error) {
	drawing, err := f.Content(page, longest)
	if err != nil {
		return nil, 0, err
	}
	words, err = pdffile.Words(drawing, most)
	return words, len(drawing), err
}

// differingWords tells, at most a few, where the pages of a file read otherwise than
// those made again.
func differingWords(is, want *pdffile.File) ([]string, error) {
	a, errA := is.Pages()
	b, errB := want.Pages()
	if err := errors.Join(errA, errB); err != nil {
		return nil, err
	}
	var out []string
	if len(a) != len(b) {
		out = append(out, fmt.Sprintf("it has %d pages; the record gives %d", len(a), len(b)))
	}
	for i := range min(len(a), len(b)) {
		wanted, length, err := wordsOf(want, b[i], maxPart, math.MaxInt32)
		if err != nil {
			return nil, err
		}
		const more = 20 // a page that says much more need not be read to its end
		words, _, err := wordsOf(is, a[i], mostOf(length), len(wanted)+more)
		if err != nil {
			return append(out, fmt.Sprintf("page %d cannot be read: %v", i+1, err)), nil
		}
		const enough = 5
		for j := range max(len(words), len(wanted)) {
			if x, y := wordAt(words, j), wordAt(wanted, j); x != y {
				if len(out) >= enough {
					return append(out, "and more"), nil
				}
				out = append(out, fmt.Sprintf("page %d reads %q where the record gives %q", i+1, x, y))
				if len(words) != len(wanted) {
					break // everything behind it has moved
				}
			}
		}
	}
	return out, nil
}

func wordAt(words []string, i int) string {
	if i < len(words) {
		return words[i]
	}
	return ""
}

// samePages compares what a file is with the one made again from its record: byte by
// byte, but for the signature itself.
func samePages(file, again []byte, p place) bool {
	if len(file) != len(again) {
		return false
	}
	return bytes.Equal(file[:p.firstEnd], again[:p.firstEnd]) && bytes.Equal(file[p.secondBegin:], again[p.secondBegin:])
}

// errOther says that something else was drawn.
type errOther struct{ what string }

func (e errOther) Error() string { return e.what + " is not what this tool makes of the record" }

// drawnAlike compares what two files hold, object by object. Only what machines may
// compute otherwise in the last digit may differ: how a stream is packed, and numbers
// on a page by a hair. Attachments are compared elsewhere. errOther tells where it
// differs.
func drawnAlike(is, want *pdffile.File) error {
	a, err := is.Objects()
	if err != nil {
		return err
	}
	b, err := want.Objects()
	if err != nil {
		return err
	}
	if !bytes.Equal(a.ID, b.ID) {
		return errOther{"what tells the file from others"}
	}
	x, y := a.Numbered(), b.Numbered()
	if len(x) != len(y) {
		return errOther{"the number of its objects"}
	}
	contents := map[pdffile.Ref]bool{}
	for _, o := range y {
		if page, is := o.(pdffile.Dict); is && page["Type"] == pdffile.Name("Page") {
			if ref, is := page["Contents"].(pdffile.Ref); is {
				contents[ref] = true
			}
		}
	}
	for i := range y {
		if err := sameObject(is, want, x[i], y[i], contents[pdffile.Ref(i+1)]); err != nil {
			return err
		}
	}
	return nil
}

func sameObject(is, want *pdffile.File, a, b pdffile.Object, page bool) error {
	x, isStream := a.(pdffile.Stream)
	y, wantStream := b.(pdffile.Stream)
	if isStream != wantStream || !isStream {
		return same("an object", a, b)
	}
	if y.Dict["Type"] == pdffile.Name("EmbeddedFile") {
		return same("an attachment", x.Dict, y.Dict)
	}
	if err := same("a part of a page", x.Dict, y.Dict); err != nil {
		return err
	}
	if bytes.Equal(x.Raw, y.Raw) {
		return nil
	}
	if y.Dict["Subtype"] == pdffile.Name("Image") {
		return errOther{"a picture"}
	}
	d, err := want.Inflate(y, maxPart)
	if err != nil {
		return err
	}
	c, err := is.Inflate(x, mostOf(len(d)))
	if errors.Is(err, pdffile.ErrTooLarge) {
		return errOther{"how much is drawn on a page"}
	}
	if err != nil {
		return err
	}
	if page && !alike(c, d) || !page && !bytes.Equal(c, d) {
		return errOther{"what is drawn on a page"}
	}
	return nil
}

// same compares two objects that are no streams. What a signature fills in is compared
// where it is checked.
func same(what string, a, b pdffile.Object) error {
	switch b := b.(type) {
	case pdffile.Dict:
		a, is := a.(pdffile.Dict)
		if !is || len(a) != len(b) {
			return errOther{what}
		}
		signature := b["Type"] == pdffile.Name("Sig")
		for _, k := range slices.Sorted(maps.Keys(b)) {
			if signature && (k == "ByteRange" || k == "Contents") {
				continue
			}
			if _, there := a[k]; !there {
				return errOther{what + ", /" + string(k)}
			}
			if err := same(what+", /"+string(k), a[k], b[k]); err != nil {
				return err
			}
		}
		return nil
	case pdffile.Array:
		a, is := a.(pdffile.Array)
		if !is || len(a) != len(b) {
			return errOther{what}
		}
		for i := range b {
			if err := same(what, a[i], b[i]); err != nil {
				return err
			}
		}
		return nil
	case pdffile.String:
		if a, is := a.(pdffile.String); is && bytes.Equal(a.Bytes, b.Bytes) {
			return nil
		}
		return errOther{what}
	}
	if a != b {
		return errOther{what}
	}
	return nil
}

// tolerance is by how much a number of a drawing may differ: in points, and for what has
// three decimals, as colours have, in shares.
const (
	tolerance = 0.06
	inColours = 0.002
)

var drawnNumber = regexp.MustCompile(`^-?(?:0|[1-9]\d{0,4})(?:\.\d{1,5})?$`)

// alike compares two drawings byte by byte, but for numbers that stand between blanks:
// those may differ by a hair.
func alike(a, b []byte) bool {
	i, j := 0, 0
	for i < len(a) && j < len(b) {
		x, y := numberAt(a, i), numberAt(b, j)
		if len(x) > 0 && len(y) > 0 {
			if !near(string(x), string(y)) {
				return false
			}
			i, j = i+len(x), j+len(y)
			continue
		}
		if a[i] != b[j] {
			return false
		}
		i, j = i+1, j+1
	}
	return i == len(a) && j == len(b)
}

// numberAt is the number that begins at a place, behind a blank or a line end and
// before one; empty for none.
func numberAt(b []byte, at int) []byte {
	blank := func(c byte) bool { return c == ' ' || c == '\n' }
	if at > 0 && !blank(b[at-1]) {
		return nil
	}
	end := at
	for end < len(b) && (b[end] >= '0' && b[end] <= '9' || b[end] == '.' || b[end] == '-') {
		end++
	}
	if end < len(b) && !blank(b[end]) {
		return nil
	}
	return b[at:end]
}

func near(a, b string) bool {
	decimals := func(s string) int { _, behind, _ := strings.Cut(s, "."); return len(behind) }
	if a == b {
		return true
	}
	if !drawnNumber.MatchString(a) || !drawnNumber.MatchString(b) || decimals(a) != decimals(b) {
		return false
	}
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	most := tolerance
	if decimals(a) > 2 {
		most = inColours
	}
	return errA == nil && errB == nil && math.Abs(x-y) <= most+1e-9
}

// smallPictures are the pictures that a file shows, as they stand in it: those made of
// photographs. Only small ones are taken.
func smallPictures(f *pdffile.File) ([][]byte, error) {
	d, err := f.Objects()
	if err != nil {
		return nil, err
	}
	const most, longest = 64, 1 << 20
	var out [][]byte
	for _, o := range d.Numbered() {
		s, is := o.(pdffile.Stream)
		if is && s.Dict["Subtype"] == pdffile.Name("Image") && s.Dict["Filter"] == pdffile.Name("DCTDecode") &&
			len(s.Raw) <= longest &&
			len(out) < most {
			out = append(out, s.Raw)
		}
	}
	return out, nil
}

// chosen gives, for a small picture that was made now, the one of the file that shows
// the same: encoders of other versions make other bytes of it. Only the plainest JPEGs
// are taken, which every reader shows alike.
func (l *looking) chosen(shown [][]byte) func(made []byte) []byte {
	decoded := make([]image.Image, len(shown))
	for i, s := range shown {
		if photograph.Plain(s) {
			decoded[i], _ = decodeSmall(s) // nil if it cannot be decoded
		}
	}
	return func(made []byte) []byte {
		for _, s := range shown {
			if bytes.Equal(s, made) {
				return s
			}
		}
		own, err := decodeSmall(made)
		if err != nil {
			return made
		}
		for i, d := range decoded {
			if d != nil && l.mayCompare() && similar(d, own, &l.compare) {
				return shown[i]
			}
		}
		return made
	}
}

// similar tells whether two pictures show the same: they differ by a shade at most, on
// the whole, in each small block, and in each pixel. What is compared is taken from pixels.
func similar(x, y image.Image, pixels *int) bool {
	if x.Bounds() != y.Bounds() {
		return false
	}
	const block, whole, inBlock, inPixel = 8, 1.5, 6.0, 40.0 // pixels; of 255
	bounds, total := x.Bounds(), 0.0
	for top := bounds.Min.Y; top < bounds.Max.Y; top += block {
		for left := bounds.Min.X; left < bounds.Max.X; left += block {
			sum, n := 0.0, 0
			for j := top; j < min(top+block, bounds.Max.Y); j++ {
				for i := left; i < min(left+block, bounds.Max.X); i++ {
					d := apart(x, y, i, j)
					if d > inPixel {
						return false
					}
					sum += d
					n++
				}
			}
			if *pixels -= n; sum/float64(n) > inBlock {
				return false
			}
			total += sum
		}
	}
	return total/float64(bounds.Dx()*bounds.Dy()) <= whole
}

// apart is by how much a pixel differs, of 255, on average of its colours.
func apart(x, y image.Image, i, j int) float64 {
	r1, g1, b1, _ := x.At(i, j).RGBA()
	r2, g2, b2, _ := y.At(i, j).RGBA()
	diff := func(a, b uint32) float64 { return math.Abs(float64(a)-float64(b)) / 257 }
	return (diff(r1, r2) + diff(g1, g2) + diff(b1, b2)) / 3
}

func decodeSmall(content []byte) (image.Image, error) {
	config, err := jpeg.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return nil, err
	}
	const most = 700 // pixels: small pictures have 680 at most
	if config.Width > most || config.Height > most {
		return nil, errors.New("a picture is too large")
	}
	return jpeg.Decode(bytes.NewReader(content))
}
