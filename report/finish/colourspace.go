package finish

import (
	"bytes"
	"encoding/binary"
	"math"
	"sync"
	"unicode/utf16"
)

// sRGB is an ICC profile (ISO 15076-1, version 4.3) of the colours in which pages are drawn,
// those of IEC 61966-2-1. It is put together here, from the numbers of that standard, and
// copied from nowhere: whoever may have the program may have it.
var sRGB = sync.OnceValue(func() []byte {
	curve := tagged("para", be16(3), be16(0), // Y = ((X+0.055)/1.055)^2.4 from 0.04045 up, X/12.92 below
		fixed16(2.4), fixed16(1/1.055), fixed16(0.055/1.055), fixed16(1/12.92), fixed16(0.04045))
	p := profile{}
	p.add("desc", localised("sRGB IEC61966-2.1"))
	p.add("cprt", localised("No copyright, use freely"))
	p.add("wtpt", xyz(whitePCS))
	p.add("chad", tagged("sf32", numbers(toPCS[0][:]), numbers(toPCS[1][:]), numbers(toPCS[2][:])))
	p.add("rXYZ", xyz(primaries[0]))
	p.add("gXYZ", xyz(primaries[1]))
	p.add("bXYZ", xyz(primaries[2]))
	p.add("rTRC", curve)
	p.add("gTRC", curve)
	p.add("bTRC", curve)
	return p.bytes()
})

// Computed from the chromaticities of IEC 61966-2-1 by the linearised Bradford transform:
// a test computes them again.
var (
	whitePCS  = [3]float64{0.9642, 1, 0.8249}
	primaries = [3][3]float64{{0.43604, 0.22248, 0.01392}, {0.38511, 0.71691, 0.09707}, {0.14305, 0.06061, 0.71391}}
	toPCS     = [3][3]float64{{1.04789, 0.02292, -0.05022}, {0.02958, 0.99048, -0.01708}, {-0.00925, 0.01507, 0.75168}}
)

// profile gathers the tags of a profile; equal ones are written once.
type profile struct {
	data bytes.Buffer
	at   map[string]int
	tags []struct {
		name   string
		at, of int
	}
}

func (p *profile) add(name string, tag []byte) {
	if p.at == nil {
		p.at = map[string]int{}
	}
	at, there := p.at[string(tag)]
	if !there {
		at = p.data.Len()
		p.at[string(tag)] = at
		p.data.Write(tag)
		p.data.Write(make([]byte, -len(tag)&3))
	}
	p.tags = append(p.tags, struct {
		name   string
		at, of int
	}{name, at, len(tag)})
}

func (p *profile) bytes() []byte {
	const head = 128
	begins := head + 4 + 12*len(p.tags)
	b := make([]byte, head)
	binary.BigEndian.PutUint32(b, uint32(begins+p.data.Len()))
	copy(b[8:], []byte{4, 0x30, 0, 0})
	copy(b[12:], "mntrRGB XYZ ")
	for i, part := range []uint16{2026, 1, 1, 0, 0, 0} { // of the profile, not of a file that has it
		binary.BigEndian.PutUint16(b[24+2*i:], part)
	}
	copy(b[36:], "acsp")
	copy(b[68:], bytes.Join([][]byte{fixed16(whitePCS[0]), fixed16(whitePCS[1]), fixed16(whitePCS[2])}, nil))
	b = binary.BigEndian.AppendUint32(b, uint32(len(p.tags)))
	for _, t := range p.tags {
		b = append(b, t.name...)
		b = binary.BigEndian.AppendUint32(b, uint32(begins+t.at))
		b = binary.BigEndian.AppendUint32(b, uint32(t.of))
	}
	return append(b, p.data.Bytes()...)
}

func tagged(kind string, parts ...[]byte) []byte {
	return append([]byte(kind+"\x00\x00\x00\x00"), bytes.Join(parts, nil)...)
}

func xyz(of [3]float64) []byte { return tagged("XYZ ", numbers(of[:])) }

func numbers(of []float64) (out []byte) {
	for _, v := range of {
		out = append(out, fixed16(v)...)
	}
	return out
}

// fixed16 is a number in 1/65536.
func fixed16(v float64) []byte {
	return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(v*65536))))
}

func be16(v uint16) []byte { return binary.BigEndian.AppendUint16(nil, v) }

// localised is a text in one language, English.
func localised(s string) []byte {
	var text []byte
	for _, unit := range utf16.Encode([]rune(s)) {
		text = binary.BigEndian.AppendUint16(text, unit)
	}
	be32 := func(v int) []byte { return binary.BigEndian.AppendUint32(nil, uint32(v)) }
	const begins = 28
	return tagged("mluc", be32(1), be32(12), []byte("enUS"), be32(len(text)), be32(begins), text)
}
