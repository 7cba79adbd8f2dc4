// Package pdffile reads and writes the PDFs of certificates, in the one form that Objects
// describes, and reads no others.
//
// A certificate is checked by people who trust nobody, on files from anybody. So
// this reader understands as little as it can: one revision, a classical
// cross-reference table, no object streams, no encryption (ISO 32000-1, 7.5).
// Whatever else a PDF may be is refused in words. Its work and memory are bounded
// by the size of the file; a stream is inflated only up to a limit that the caller
// gives.
package pdffile

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
)

var (
	// ErrNotRead says that the file is not one that this reader understands.
	ErrNotRead = errors.New("not a PDF as this tool writes them")
	// ErrEnd says that the end of the file is missing.
	ErrEnd = errors.New("it does not end as a PDF")
	// ErrTooLarge says that a stream is longer than its limit.
	ErrTooLarge = errors.New("longer than its limit")
)

// Object is one of: nil, bool, Number, Name, String, Array, Dict, Ref, Stream.
type Object any

// Number is a number as it is written.
type Number string

// Name is a name without its slash.
type Name string

// String is a string with the place of its delimiters in the file: At is that of the
// opening one, End is behind the closing one.
type String struct {
	Bytes   []byte
	Hex     bool
	At, End int
}

// Array is an array.
type Array []Object

// Dict is a dictionary.
type Dict map[Name]Object

// Ref refers to an object by its number.
type Ref int

// Stream is a dictionary with bytes, as they stand in the file.
type Stream struct {
	Dict Dict
	Raw  []byte
}

// Int is a whole number, false if it is none or has more than 15 digits.
func (n Number) Int() (int, bool) {
	if len(n) > 15 {
		return 0, false
	}
	i, err := strconv.Atoi(string(n))
	return i, err == nil
}

// File is a PDF whose cross-reference table was read.
type File struct {
	data    []byte
	offsets map[int]int
	parsed  map[int]Object
	work    int // bytes that were parsed
	budget  int // of objects that may still be parsed
	Trailer Dict
}

// most is how many objects are parsed of one file, nested ones counted: each takes
// some memory, whatever it takes in the file.
const most = 1_000_000

// mostWork is how often the bytes of a file may be parsed, on average: objects that
// overlap each other are no reason to read for hours.
const mostWork = 8

var ending = regexp.MustCompile(`startxref\r?\n(\d{1,10})\r?\n%%EOF\r?\n?$`)

// Open reads the cross-reference table. Errors wrap ErrNotRead.
func Open(data []byte) (*File, error) {
	if !bytes.HasPrefix(data, []byte("%PDF-1.")) {
		return nil, fmt.Errorf("%w: it does not begin as a PDF", ErrNotRead)
	}
	m := ending.FindSubmatch(data[max(0, len(data)-64):])
	if m == nil {
		return nil, fmt.Errorf("%w: %w", ErrNotRead, ErrEnd)
	}
	at, _ := Number(m[1]).Int()
	f := &File{data: data, offsets: map[int]int{}, parsed: map[int]Object{}, budget: most}
	if err := f.table(at); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNotRead, err)
	}
	return f, nil
}

// table reads the cross-reference table and the trailer (ISO 32000-1, 7.5.4 and 7.5.5).
func (f *File) table(at int) error {
	if at >= len(f.data) || !bytes.HasPrefix(f.data[at:], []byte("xref")) {
		return errors.New("no cross-reference table stands where its end says")
	}
	p := &parser{data: f.data, at: at + len("xref"), budget: &f.budget}
	for {
		first, err := p.object()
		if err != nil {
			return fmt.Errorf("cross-reference table: %w", err)
		}
		if first == keyword("trailer") {
			break
		}
		from, ok := whole(first)
		count, okCount := whole(p.must())
		if !ok || !okCount {
			return errors.New("cross-reference table: a section has no numbers")
		}
		for n := from; n < from+count; n++ { // each takes its bytes, so the file bounds the loop
			offset, ok := whole(p.must())
			generation, okGeneration := whole(p.must())
			if !ok || !okGeneration {
				return errors.New("cross-reference table: an entry cannot be read")
			}
			_, twice := f.offsets[n]
			switch kind := p.must(); {
			case kind == keyword("f"):
			case kind != keyword("n"):
				return errors.New("cross-reference table: an entry is neither used nor free")
			case twice || generation != 0:
				return fmt.Errorf("cross-reference table: object %d has several versions", n)
			default:
				f.offsets[n] = offset
			}
		}
	}
	trailer, ok := p.must().(Dict)
	if !ok {
		return errors.New("it has no trailer")
	}
	for _, key := range []Name{"Prev", "XRefStm", "Encrypt"} {
		if trailer[key] != nil {
			return fmt.Errorf("its trailer has /%s: it has several revisions or is encrypted", key)
		}
	}
	f.Trailer = trailer
	if !bytes.HasPrefix(bytes.TrimLeft(f.data[p.at:], "\r\n"), []byte("startxref")) {
		return errors.New("something stands behind its trailer")
	}
	return nil
}

func whole(o Object) (int, bool) {
	n, ok := o.(Number)
	if !ok {
		return 0, false
	}
	i, ok := n.Int()
	return i, ok && i >= 0
}

// Get is an object by its number.
func (f *File) Get(n int) (Object, error) {
	if o, done := f.parsed[n]; done {
		return o, nil
	}
	at, known := f.offsets[n]
	if !known {
		return nil, fmt.Errorf("%w: it has no object %d", ErrNotRead, n)
	}
	if at >= len(f.data) {
		return nil, fmt.Errorf("%w: object %d lies behind its end", ErrNotRead, n)
	}
	p := &parser{data: f.data, at: at, budget: &f.budget}
	number, ok := whole(p.must())
	if p.must() != Number("0") || !ok || number != n || p.must() != keyword("obj") {
		return nil, fmt.Errorf("%w: object %d is not where the table says", ErrNotRead, n)
	}
	o, err := p.object()
	if f.work += p.at - at; f.work > mostWork*len(f.data) {
		return nil, fmt.Errorf("%w: its objects overlap each other", ErrNotRead)
	}
	if err != nil {
		return nil, fmt.Errorf("%w: object %d: %w", ErrNotRead, n, err)
	}
	if d, isDict := o.(Dict); isDict && p.keyword("stream") {
		if o, err = f.stream(n, d, p); err != nil {
			return nil, err
		}
	}
	if !p.keyword("endobj") {
		return nil, fmt.Errorf("%w: object %d does not end where it should", ErrNotRead, n)
	}
	f.parsed[n] = o
	return o, nil
}

// stream reads what follows the dictionary of a stream. Its length stands in it, not in
// another object.
func (f *File) stream(n int, d Dict, p *parser) (Object, error) {
	length, ok := whole(d["Length"])
	switch {
	case bytes.HasPrefix(p.data[p.at:], []byte("\r\n")):
		p.at += 2
	case bytes.HasPrefix(p.data[p.at:], []byte("\n")):
		p.at++
	default:
		ok = false
	}
	if !ok || length > len(p.data)-p.at {
		return nil, fmt.Errorf("%w: object %d claims more bytes than the file has", ErrNotRead, n)
	}
	raw := p.data[p.at : p.at+length]
	p.at += length
	if !p.keyword("endstream") {
		return nil, fmt.Errorf("%w: the stream of object %d does not end where it says", ErrNotRead, n)
	}
	return Stream{d, raw}, nil
}

// Resolve follows a reference; anything else is returned as it is.
func (f *File) Resolve(o Object) (Object, error) {
	const longest = 8 // references to references
	for range longest {
		ref, is := o.(Ref)
		if !is {
			return o, nil
		}
		var err error
		if o, err = f.Get(int(ref)); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%w: its references go in circles", ErrNotRead)
}

// Dict resolves to a dictionary; that of a stream counts.
func (f *File) Dict(o Object) (Dict, error) {
	o, err := f.Resolve(o)
	if err != nil {
		return nil, err
	}
	if d := DictOf(o); d != nil {
		return d, nil
	}
	return nil, fmt.Errorf("%w: a dictionary is missing", ErrNotRead)
}

// DictOf is an object that is a dictionary, or that of a stream; nil if it is neither.
func DictOf(o Object) Dict {
	switch o := o.(type) {
	case Dict:
		return o
	case Stream:
		return o.Dict
	}
	return nil
}

// Inflate is the content of a stream: as it stands, or with the one filter that
// this tool writes. More than limit bytes are ErrTooLarge.
func (f *File) Inflate(s Stream, limit int) ([]byte, error) {
	filter, err := f.Resolve(s.Dict["Filter"])
	if err != nil {
		return nil, err
	}
	if a, is := filter.(Array); is && len(a) == 1 {
		filter = a[0]
	}
	for _, key := range []Name{"DecodeParms", "DP", "F", "Fl", "FFilter"} {
		if s.Dict[key] != nil {
			return nil, fmt.Errorf("%w: a stream is packed in an unknown way", ErrNotRead)
		}
	}
	raw := bytes.NewReader(s.Raw)
	var r io.Reader = raw
	switch filter {
	case nil, Name("DCTDecode"): // a JPEG is its own content
		if len(s.Raw) > limit {
			return nil, fmt.Errorf("a stream is %w of %d bytes", ErrTooLarge, limit)
		}
		return s.Raw, nil
	case Name("FlateDecode"):
		if r, err = zlib.NewReader(r); err != nil {
			return nil, fmt.Errorf("%w: a stream cannot be unpacked: %w", ErrNotRead, err)
		}
	default:
		return nil, fmt.Errorf("%w: a stream is packed in an unknown way", ErrNotRead)
	}
	out, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	switch {
	case err == nil && len(out) <= limit && raw.Len() > 0:
		return nil, fmt.Errorf("%w: something stands behind what a stream holds", ErrNotRead)
	case err != nil:
		return nil, fmt.Errorf("%w: a stream cannot be unpacked: %w", ErrNotRead, err)
	case len(out) > limit:
		return nil, fmt.Errorf("a stream is %w of %d bytes", ErrTooLarge, limit)
	}
	return out, nil
}
