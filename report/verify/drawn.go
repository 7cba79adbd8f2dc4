package verify

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"loopwitness/report/pdffile"
)

// maxDrawing is the longest drawing of one page that is looked at, in bytes.
const maxDrawing = 8 << 20

// maxPart is the longest of the other streams: fonts and the like.
const maxPart = 4 << 20

// wordsOf are the words on each page.
func wordsOf(f *pdffile.File, budget int) ([][]string, error) {
	pages, err := f.Pages()
	if err != nil {
		return nil, err
	}
	var out [][]string
	for _, p := range pages {
		drawing, err := f.Drawing(p, min(maxDrawing, budget))
		if err != nil {
			return nil, err
		}
		budget -= len(drawing)
		words, err := pdffile.Words(drawing)
		if err != nil {
			return nil, err
		}
		out = append(out, words)
	}
	return out, nil
}

// differingWords compares the words of pages one by one and tells the differences,
// at most a few.
func differingWords(is, want [][]string) []string {
	const enough = 5
	var out []string
	if len(is) != len(want) {
		out = append(out, fmt.Sprintf("it has %d pages; the record gives %d", len(is), len(want)))
	}
	for i := range min(len(is), len(want)) {
		for j := range max(len(is[i]), len(want[i])) {
			a, b := wordAt(is[i], j), wordAt(want[i], j)
			if a == b {
				continue
			}
			if len(out) == enough {
				return append(out, "and more")
			}
			out = append(out, fmt.Sprintf("page %d reads %q where the record gives %q", i+1, a, b))
			if len(is[i]) != len(want[i]) {
				break // everything behind it has moved
			}
		}
	}
	return out
}

func wordAt(words []string, i int) string {
	if i < len(words) {
		return words[i]
	}
	return ""
}

// drawing compares what two files draw: every object that can be reached from their
// catalogues, whatever its number.
type drawing struct {
	is, want *pdffile.File
	seen     map[[2]pdffile.Ref]bool
	work     int
}

// drawnAlike tells where the file draws something else than the one made again from
// its record, nil for nowhere. Signatures and attachments are compared elsewhere.
func drawnAlike(is, want *pdffile.File) error {
	a, err := is.Root()
	if err != nil {
		return err
	}
	b, err := want.Root()
	if err != nil {
		return err
	}
	d := &drawing{is: is, want: want, seen: map[[2]pdffile.Ref]bool{}}
	root, _ := is.Trailer["Root"].(pdffile.Ref)
	info, _ := is.Trailer["Info"].(pdffile.Ref)
	reached := map[int]bool{int(root): true, int(info): true}
	if err := d.dicts("the document", a, b); err != nil {
		return err
	}
	if err := d.information(); err != nil {
		return err
	}
	for pair := range d.seen {
		reached[int(pair[0])] = true
	}
	objects, err := is.Objects()
	if err != nil {
		return err
	}
	for _, n := range objects {
		if !reached[n] {
			return fmt.Errorf("it has an object, %d, that belongs to nothing", n)
		}
	}
	return nil
}

// information compares what readers show in the title of their window, but for times
// and the names of programs.
func (d *drawing) information() error {
	a, errA := d.is.Dict(d.is.Trailer["Info"])
	b, errB := d.want.Dict(d.want.Trailer["Info"])
	if err := errors.Join(errA, errB); err != nil {
		return err
	}
	return d.keys("its information", a, b, []pdffile.Name{"CreationDate", "ModDate", "Producer", "Creator"})
}

// without is what is not compared in a dictionary of that type.
var without = map[pdffile.Name][]pdffile.Name{
	"Sig":          {"ByteRange", "Contents", "Name", "M"},
	"EmbeddedFile": {"Params", "Length"},
}

func other(path string) error {
	return fmt.Errorf("%s is not what this tool draws from the record", path)
}

func (d *drawing) same(path string, a, b pdffile.Object) error {
	ra, isA := a.(pdffile.Ref)
	rb, isB := b.(pdffile.Ref)
	if isA != isB {
		return other(path)
	}
	if isA {
		pair := [2]pdffile.Ref{ra, rb}
		if d.seen[pair] {
			return nil
		}
		d.seen[pair] = true
		var err error
		if a, err = d.is.Resolve(ra); err != nil {
			return err
		}
		if b, err = d.want.Resolve(rb); err != nil {
			return err
		}
	}
	if d.work++; d.work > 5_000_000 {
		return errors.New("it is too large to compare")
	}
	switch a := a.(type) {
	case pdffile.Dict:
		if b, is := b.(pdffile.Dict); is {
			return d.dicts(path, a, b)
		}
		return other(path)
	case pdffile.Array:
		return d.arrays(path, a, b)
	case pdffile.Stream:
		if b, is := b.(pdffile.Stream); is {
			return d.streams(path, a, b)
		}
		return other(path)
	case pdffile.String:
		if b, is := b.(pdffile.String); is && bytes.Equal(a.Bytes, b.Bytes) {
			return nil
		}
		return other(path)
	case pdffile.Number:
		if b, is := b.(pdffile.Number); is && near(string(a), string(b)) {
			return nil
		}
		return other(path)
	}
	if a != b {
		return other(path)
	}
	return nil
}

func (d *drawing) arrays(path string, a pdffile.Array, object pdffile.Object) error {
	b, is := object.(pdffile.Array)
	if !is || len(a) != len(b) {
		return other(path)
	}
	for i := range a {
		if err := d.same(fmt.Sprintf("%s[%d]", path, i), a[i], b[i]); err != nil {
			return err
		}
	}
	return nil
}

func (d *drawing) dicts(path string, a, b pdffile.Dict) error {
	kind, _ := a["Type"].(pdffile.Name)
	if kind == "Page" {
		return d.pages(path, a, b)
	}
	return d.keys(path, a, b, without[kind])
}

// keys compares dictionaries key by key, but for some.
func (d *drawing) keys(path string, a, b pdffile.Dict, except []pdffile.Name) error {
	names := map[pdffile.Name]bool{}
	for k := range maps.Keys(a) {
		names[k] = true
	}
	for k := range maps.Keys(b) {
		names[k] = true
	}
	for _, k := range slices.Sorted(maps.Keys(names)) {
		if slices.Contains(except, k) {
			continue
		}
		if err := d.same(path+"/"+string(k), a[k], b[k]); err != nil {
			return err
		}
	}
	return nil
}

func (d *drawing) streams(path string, a, b pdffile.Stream) error {
	kind, _ := a.Dict["Type"].(pdffile.Name)
	if err := d.keys(path, a.Dict, b.Dict, append(slices.Clone(without[kind]), "Length")); err != nil {
		return err
	}
	if kind == "EmbeddedFile" || bytes.Equal(a.Raw, b.Raw) {
		return nil
	}
	x, err := d.is.Inflate(a, maxPart)
	if err != nil {
		return err
	}
	y, err := d.want.Inflate(b, maxPart)
	if err != nil {
		return err
	}
	if !bytes.Equal(x, y) {
		return other(path)
	}
	return nil
}

// pages compares two pages: their keys, their content, and the pictures that it
// shows. Names of pictures may differ, since they are made from the picture.
func (d *drawing) pages(path string, a, b pdffile.Dict) error {
	if err := d.keys(path, a, b, []pdffile.Name{"Contents", "Resources"}); err != nil {
		return err
	}
	d.reach(a["Contents"])
	d.reach(a["Resources"])
	ra, errA := d.is.Dict(a["Resources"])
	rb, errB := d.want.Dict(b["Resources"])
	if err := errors.Join(errA, errB); err != nil {
		return err
	}
	if err := d.keys(path+"/Resources", ra, rb, []pdffile.Name{"XObject"}); err != nil {
		return err
	}
	x, errA := d.is.Drawing(a, maxDrawing)
	y, errB := d.want.Drawing(b, maxDrawing)
	if err := errors.Join(errA, errB); err != nil {
		return err
	}
	shownA, shownB, ok := alike(x, y)
	if !ok {
		return other("what is drawn on a page")
	}
	return d.pictures(path, ra, rb, shownA, shownB)
}

// reach notes that an object of the file belongs to something, where it is compared in
// another way than key by key.
func (d *drawing) reach(o pdffile.Object) {
	if ref, is := o.(pdffile.Ref); is {
		d.seen[[2]pdffile.Ref{ref, -1}] = true
	}
}

// tolerance is by how much numbers of a drawing may differ, in points: machines round
// differently in the last digit.
const tolerance = 0.06

func near(a, b string) bool {
	if a == b {
		return true
	}
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	return errA == nil && errB == nil && math.Abs(x-y) <= tolerance
}

// alike compares two drawings word by word, numbers with a tolerance, and returns
// the names of the pictures that each shows.
func alike(a, b []byte) (shownA, shownB []string, ok bool) {
	x, y := strings.Fields(string(a)), strings.Fields(string(b))
	if len(x) != len(y) {
		return nil, nil, false
	}
	for i := range x {
		if i+1 < len(x) && x[i+1] == "Do" && y[i+1] == "Do" {
			shownA, shownB = append(shownA, x[i]), append(shownB, y[i])
			continue
		}
		if !near(x[i], y[i]) {
			return nil, nil, false
		}
	}
	return shownA, shownB, true
}

// pictures compares the pictures that two pages show, in their order.
func (d *drawing) pictures(path string, ra, rb pdffile.Dict, shownA, shownB []string) error {
	if len(shownA) == 0 {
		return nil
	}
	d.reach(ra["XObject"])
	xa, errA := d.is.Dict(ra["XObject"])
	xb, errB := d.want.Dict(rb["XObject"])
	if err := errors.Join(errA, errB); err != nil {
		return err
	}
	if len(xa) != len(xb) {
		return other(path + "/XObject")
	}
	for i := range shownA {
		named := xa[pdffile.Name(strings.TrimPrefix(shownA[i], "/"))]
		d.reach(named)
		a, errA := d.is.Resolve(named)
		b, errB := d.want.Resolve(xb[pdffile.Name(strings.TrimPrefix(shownB[i], "/"))])
		if err := errors.Join(errA, errB); err != nil {
			return err
		}
		x, okA := a.(pdffile.Stream)
		y, okB := b.(pdffile.Stream)
		if !okA || !okB {
			return other("a picture")
		}
		if err := d.keys("a picture", x.Dict, y.Dict, []pdffile.Name{"Length"}); err != nil {
			return err
		}
		if !bytes.Equal(x.Raw, y.Raw) && !similar(x.Raw, y.Raw) {
			return other("a picture")
		}
	}
	return nil
}

// similar tells whether two JPEGs show the same: decoders and encoders of different
// versions differ by a shade.
func similar(a, b []byte) bool {
	x, errA := decodeSmall(a)
	y, errB := decodeSmall(b)
	if errA != nil || errB != nil || x.Bounds() != y.Bounds() {
		return false
	}
	const shade, apart = 3.0, 64.0 // of 255: on average, and at most
	sum, most := 0.0, 0.0
	bounds := x.Bounds()
	for j := bounds.Min.Y; j < bounds.Max.Y; j++ {
		for i := bounds.Min.X; i < bounds.Max.X; i++ {
			r1, g1, b1, _ := x.At(i, j).RGBA()
			r2, g2, b2, _ := y.At(i, j).RGBA()
			for _, pair := range [][2]uint32{{r1, r2}, {g1, g2}, {b1, b2}} {
				diff := math.Abs(float64(pair[0])-float64(pair[1])) / 257
				sum += diff
				most = max(most, diff)
			}
		}
	}
	return most <= apart && sum/float64(3*bounds.Dx()*bounds.Dy()) <= shade
}

func decodeSmall(content []byte) (image.Image, error) {
	config, err := jpeg.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return nil, err
	}
	const most = 2000
	if config.Width > most || config.Height > most {
		return nil, errors.New("a picture is too large")
	}
	return jpeg.Decode(bytes.NewReader(content))
}
