package finish

import (
	"encoding/binary"
	"fmt"
	"slices"

	"loopwitness/report/pdffile"
)

// errFont says that a font is not as the library writes it.
var errFont = fmt.Errorf("%w: a font cannot be read", pdffile.ErrNotRead)

// onPaper are the tables of a font that are kept (OpenType 1.9, "Font tables"). The others help
// to fit letters to coarse pixels, as nobody has them any more, or name the font: a third of it.
var onPaper = []string{"OS/2", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "post"}

// withoutHints is a TrueType font that has the same outlines and widths and no instructions.
func withoutHints(ttf []byte) (out []byte, err error) {
	defer func() {
		if recover() != nil { // it ends in the middle
			out, err = nil, errFont
		}
	}()
	tables := tablesOf(ttf)
	if len(tables["head"]) < 54 || len(tables["maxp"]) < 6 {
		return nil, errFont
	}
	glyphs := int(binary.BigEndian.Uint16(tables["maxp"][4:]))
	long := binary.BigEndian.Uint16(tables["head"][50:]) == 1
	place := func(i int) uint32 {
		if long {
			return binary.BigEndian.Uint32(tables["loca"][4*i:])
		}
		return 2 * uint32(binary.BigEndian.Uint16(tables["loca"][2*i:]))
	}
	var outlines, places []byte
	for i := range glyphs + 1 {
		if long {
			places = binary.BigEndian.AppendUint32(places, uint32(len(outlines)))
		} else {
			places = binary.BigEndian.AppendUint16(places, uint16(len(outlines)/2))
		}
		if i == glyphs {
			break
		}
		glyph, err := plainGlyph(tables["glyf"][place(i):place(i+1)])
		if err != nil {
			return nil, err
		}
		outlines = append(append(outlines, glyph...), make([]byte, -len(glyph)&3)...)
	}
	tables["glyf"], tables["loca"] = outlines, places
	return fontOf(tables), nil
}

func tablesOf(ttf []byte) map[string][]byte {
	out := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(ttf[4:])) {
		entry := ttf[12+16*i:]
		at, length := binary.BigEndian.Uint32(entry[8:]), binary.BigEndian.Uint32(entry[12:])
		out[string(entry[:4])] = slices.Clone(ttf[at : at+length])
	}
	return out
}

// plainGlyph is a glyph without instructions (OpenType 1.9, "glyf").
func plainGlyph(glyph []byte) ([]byte, error) {
	if len(glyph) == 0 {
		return nil, nil
	}
	const head = 10
	contours := int(int16(binary.BigEndian.Uint16(glyph)))
	if contours >= 0 {
		at := head + 2*contours
		behind := at + 2 + int(binary.BigEndian.Uint16(glyph[at:]))
		return slices.Concat(glyph[:at], []byte{0, 0}, glyph[behind:]), nil
	}
	const words, scale, more, both, matrix, instructions = 1 << 0, 1 << 3, 1 << 5, 1 << 6, 1 << 7, 1 << 8
	for at := head; ; {
		flags := binary.BigEndian.Uint16(glyph[at:])
		binary.BigEndian.PutUint16(glyph[at:], flags&^instructions)
		at += 6
		if flags&words != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&both != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
		if flags&more == 0 {
			return glyph[:at], nil
		}
	}
}

// fontOf is a font of tables, with the sums that belong to it.
func fontOf(tables map[string][]byte) []byte {
	const head = 12
	log := 0
	for 2<<log <= len(onPaper) {
		log++
	}
	out := []byte{0, 1, 0, 0}
	for _, n := range []int{len(onPaper), 16 << log, log, 16 * (len(onPaper) - 1<<log)} {
		out = binary.BigEndian.AppendUint16(out, uint16(n))
	}
	at := head + 16*len(onPaper)
	var data []byte
	adjusted := 0
	for _, name := range onPaper {
		table := tables[name]
		if name == "head" {
			adjusted = at + len(data) + 8
			binary.BigEndian.PutUint32(table[8:], 0)
		}
		padded := append(slices.Clone(table), make([]byte, -len(table)&3)...)
		out = append(out, name...)
		for _, n := range []uint32{sum(padded), uint32(at + len(data)), uint32(len(table))} {
			out = binary.BigEndian.AppendUint32(out, n)
		}
		data = append(data, padded...)
	}
	out = append(out, data...)
	const whole = 0xB1B0AFBA
	binary.BigEndian.PutUint32(out[adjusted:], whole-sum(out))
	return out
}

func sum(b []byte) (all uint32) {
	for i := 0; i+4 <= len(b); i += 4 {
		all += binary.BigEndian.Uint32(b[i:])
	}
	return all
}

// hintless puts the font file of a descriptor without hints in its place.
func hintless(o *pdffile.Objects, descriptor pdffile.Dict) error {
	ref, _ := descriptor["FontFile2"].(pdffile.Ref)
	ttf, err := o.Unpacked(ref, longestPart)
	if err != nil {
		return err
	}
	ttf, err = withoutHints(ttf)
	if err != nil {
		return err
	}
	o.Set(ref, pdffile.Packed(pdffile.Dict{"Length1": whole(len(ttf))}, ttf))
	return nil
}
