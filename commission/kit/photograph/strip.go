package photograph

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
)

var errCut = errors.New("the picture is cut short")

// Markers of JPEG (ITU-T T.81, table B.1).
const (
	markStart   = 0xd8
	markEnd     = 0xd9
	markScan    = 0xda
	markComment = 0xfe
	markApp0    = 0xe0
	markApp1    = 0xe1
	markApp2    = 0xe2
	markApp14   = 0xee
	markApp15   = 0xef
)

// stripJPEG copies a JPEG without what is hidden in it: of the application segments
// only those that colours depend on stay. How to turn it and when it was taken are
// written again.
func stripJPEG(file []byte) ([]byte, found, error) {
	var hidden found
	if len(file) < 4 || file[0] != 0xff || file[1] != markStart {
		return nil, hidden, errors.New("no JPEG")
	}
	var kept bytes.Buffer
	at := 2
	for {
		if at+2 > len(file) || file[at] != 0xff {
			return nil, hidden, errCut
		}
		mark := file[at+1]
		if mark == 0xff { // fill
			at++
			continue
		}
		if mark == markEnd {
			hidden.other = hidden.other || at+2 < len(file) // a film, a depth map, …
			break
		}
		if at+4 > len(file) {
			return nil, hidden, errCut
		}
		end := at + 2 + int(binary.BigEndian.Uint16(file[at+2:]))
		if end > len(file) || end < at+4 {
			return nil, hidden, errCut
		}
		body := file[at+4 : end]
		if err := hidden.layout.add(mark, body); err != nil {
			return nil, hidden, err
		}
		if mark == markScan {
			end = endOfScan(file, end)
		}
		if keepSegment(mark, body) {
			kept.Write(file[at:end])
		} else {
			hidden.add(mark, body)
		}
		at = end
	}
	var out bytes.Buffer
	out.Write([]byte{0xff, markStart})
	rest := kept.Bytes()
	if bytes.HasPrefix(rest, []byte{0xff, markApp0}) { // it has to come first
		n := 2 + int(binary.BigEndian.Uint16(rest[2:]))
		out.Write(rest[:n])
		rest = rest[n:]
	}
	out.Write(hidden.segment())
	out.Write(rest)
	out.Write([]byte{0xff, markEnd})
	return out.Bytes(), hidden, nil
}

// endOfScan is where the compressed pixels that begin at a place end: before the next
// marker that is no restart.
func endOfScan(file []byte, at int) int {
	for ; at+1 < len(file); at++ {
		if file[at] == 0xff && file[at+1] != 0 && (file[at+1] < 0xd0 || file[at+1] > 0xd7) {
			return at
		}
	}
	return len(file)
}

func keepSegment(mark byte, body []byte) bool {
	switch {
	case mark == markComment:
		return false
	case mark == markApp0:
		return bytes.HasPrefix(body, []byte("JFIF\x00")) && len(body) == 14 // without a small picture
	case mark == markApp2:
		return bytes.HasPrefix(body, []byte("ICC_PROFILE\x00"))
	case mark == markApp14:
		return bytes.HasPrefix(body, []byte("Adobe")) && len(body) == 12 // how its colours are coded
	}
	return mark < markApp0 || mark > markApp15
}

var exifHead = []byte("Exif\x00\x00")

// add notes what a segment held that is not kept.
func (f *found) add(mark byte, body []byte) {
	if mark == markApp1 && bytes.HasPrefix(body, exifHead) {
		f.exif(body[len(exifHead):])
		return
	}
	if bytes.Contains(body, []byte("GPSLatitude")) { // XMP
		f.location = true
	}
	if mark != markApp0 {
		f.other = true
	}
}

var pngHead = []byte("\x89PNG\r\n\x1a\n")

// pngKept are the chunks that the look of a picture depends on (PNG, 3rd edition,
// section 11).
var pngKept = map[string]bool{"IHDR": true, "PLTE": true, "IDAT": true, "IEND": true, "tRNS": true, "gAMA": true,
	"cHRM": true, "sRGB": true, "iCCP": true, "sBIT": true, "bKGD": true, "pHYs": true}

// stripPNG copies a PNG without what is hidden in it.
func stripPNG(file []byte) ([]byte, found, error) {
	var hidden found
	if !bytes.HasPrefix(file, pngHead) {
		return nil, hidden, errors.New("no PNG")
	}
	out := bytes.NewBuffer(bytes.Clone(pngHead))
	for at := len(pngHead); ; {
		if at+12 > len(file) {
			return nil, hidden, errCut
		}
		end := at + 12 + int(binary.BigEndian.Uint32(file[at:]))
		if end > len(file) || end < at {
			return nil, hidden, errCut
		}
		kind, body := string(file[at+4:at+8]), file[at+8:end-4]
		switch {
		case pngKept[kind]:
			out.Write(file[at:end])
		case kind == "eXIf":
			hidden.exif(body)
		default:
			hidden.location = hidden.location || bytes.Contains(body, []byte("GPSLatitude"))
			hidden.other = true
		}
		if kind == "IEND" {
			hidden.other = hidden.other || end < len(file)
			return hidden.intoPNG(out.Bytes()), hidden, nil
		}
		at = end
	}
}

// intoPNG puts how to turn a picture and when it was taken behind its first chunk.
func (f *found) intoPNG(stripped []byte) []byte {
	const header = 8 + 12 + 13 // signature, and the chunk IHDR
	tiff := f.tiff()
	if tiff == nil || len(stripped) < header {
		return stripped
	}
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(tiff)))
	chunk = append(append(chunk, "eXIf"...), tiff...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return append(append(bytes.Clone(stripped[:header]), chunk...), stripped[header:]...)
}
