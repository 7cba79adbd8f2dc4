package pdffile

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"maps"
	"sync"
)

// level is how hard is packed: one more takes several times as long for a hundredth less.
const level = 7

// packers are used again: each takes most of a megabyte.
var packers = sync.Pool{New: func() any {
	w, err := zlib.NewWriterLevel(nil, level)
	if err != nil {
		panic(err) // there is such a level
	}
	return w
}}

// Packed is a stream of that content, compressed, with what else its dictionary says. The
// packed bytes may be others where the program was built with another version of Go: compare
// what they hold.
func Packed(d Dict, content []byte) Stream {
	out := Dict{"Filter": Name("FlateDecode")}
	maps.Copy(out, d)
	var b bytes.Buffer
	w := packers.Get().(*zlib.Writer)
	defer packers.Put(w)
	w.Reset(&b)
	_, _ = w.Write(content) // a buffer takes all
	_ = w.Close()
	return Stream{out, b.Bytes()}
}

// Unpacked is the content of a stream that the drawing library or this tool wrote, at most
// limit bytes.
func (d *Objects) Unpacked(ref Ref, limit int) ([]byte, error) {
	s, is := d.objects[ref].(Stream)
	if !is {
		return nil, fmt.Errorf("%w: a stream is missing", ErrNotRead)
	}
	return (&File{}).Inflate(s, limit)
}
