package photograph

import (
	"bytes"
	"encoding/binary"
)

// Tags of Exif 2.32 (CIPA DC-008).
const (
	tagOrientation = 0x0112
	tagExif        = 0x8769
	tagGPS         = 0x8825
	tagTaken       = 0x9003 // DateTimeOriginal

	typeASCII = 2
	typeShort = 3
	typeLong  = 4
)

// exif reads of Exif data what is told or kept. Whatever cannot be read is as good
// as absent: none of it is kept anyway.
func (f *found) exif(tiff []byte) {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(tiff, []byte("II*\x00")):
		order = binary.LittleEndian
	case bytes.HasPrefix(tiff, []byte("MM\x00*")):
		order = binary.BigEndian
	default:
		f.other = true
		return
	}
	if len(tiff) < 8 {
		f.other = true
		return
	}
	f.directory(tiff, order, order.Uint32(tiff[4:]), true)
}

// directory reads one directory of tags, and from the first one also the one with
// the time.
func (f *found) directory(tiff []byte, order binary.ByteOrder, at uint32, first bool) {
	if int64(at)+2 > int64(len(tiff)) {
		return
	}
	count := int(order.Uint16(tiff[at:]))
	for i := range count {
		from := int(at) + 2 + 12*i
		if from+12 > len(tiff) {
			return
		}
		entry := tiff[from : from+12]
		value := order.Uint32(entry[8:])
		switch tag := order.Uint16(entry); {
		case tag == tagOrientation && first:
			f.orientation = int(order.Uint16(entry[8:]))
		case tag == tagGPS:
			f.location = true
		case tag == tagExif && first:
			f.directory(tiff, order, value, false)
		case tag == tagTaken:
			if n := order.Uint32(entry[4:]); n == 20 && int64(value)+20 <= int64(len(tiff)) {
				f.taken = fromExifTime(string(tiff[value : value+20]))
			}
		default:
			f.other = true
		}
	}
}

// tiff is Exif data that hold how to turn the picture and when it was taken, and
// nothing else; nil if neither is known.
func (f *found) tiff() []byte {
	upright := f.orientation < 2 || f.orientation > 8
	if upright && f.taken == "" {
		return nil
	}
	const head = 8
	const inner = head + 2 + 2*12 + 4
	var b bytes.Buffer
	put := func(values ...any) {
		for _, v := range values {
			_ = binary.Write(&b, binary.BigEndian, v) // a Buffer takes all
		}
	}
	b.WriteString("MM\x00*")
	put(uint32(head), uint16(2))
	orientation := uint16(1)
	if !upright {
		orientation = uint16(f.orientation)
	}
	put(uint16(tagOrientation), uint16(typeShort), uint32(1), orientation, uint16(0))
	put(uint16(tagExif), uint16(typeLong), uint32(1), uint32(inner), uint32(0))
	if f.taken == "" {
		put(uint16(0), uint32(0))
	} else {
		put(uint16(1), uint16(tagTaken), uint16(typeASCII), uint32(20), uint32(inner+2+12+4), uint32(0))
		b.WriteString(f.taken[:4] + ":" + f.taken[5:7] + ":" + f.taken[8:] + "\x00")
	}
	return b.Bytes()
}

// segment is a JPEG segment with that; nil for none.
func (f *found) segment() []byte {
	tiff := f.tiff()
	if tiff == nil {
		return nil
	}
	out := []byte{0xff, markApp1, 0, 0}
	binary.BigEndian.PutUint16(out[2:], uint16(2+len(exifHead)+len(tiff)))
	return append(append(out, exifHead...), tiff...)
}
