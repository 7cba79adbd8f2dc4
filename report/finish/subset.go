package finish

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"loopwitness/report/pdffile"
)

// shortNames are names for fonts of pages, in the order of their own names.
func shortNames(o *pdffile.Objects, fonts map[pdffile.Name]pdffile.Object) map[pdffile.Name]pdffile.Name {
	base := func(name pdffile.Name) string { return fmt.Sprint(o.Dict(fonts[name])["BaseFont"]) }
	sorted := slices.SortedFunc(maps.Keys(fonts), func(a, b pdffile.Name) int { return strings.Compare(base(a), base(b)) })
	out := map[pdffile.Name]pdffile.Name{}
	for i, name := range sorted {
		out[name] = pdffile.Name(fmt.Sprintf("F%d", i+1))
	}
	return out
}

// subset lets a font say that it has these characters only: its name bears a tag (ISO 32000-1,
// 9.6.4), and its widths and its map to Unicode are of them. The glyphs were chosen by the
// library.
func subset(o *pdffile.Objects, font pdffile.Object, runes map[rune]bool, faces map[string]Face) error {
	library, _ := o.Dict(font)["BaseFont"].(pdffile.Name)
	f, known := faces[string(library)]
	below, _ := o.Dict(font)["DescendantFonts"].(pdffile.Array)
	if !known || len(below) != 1 {
		return fmt.Errorf("%w: it has a font of another making", pdffile.ErrNotRead)
	}
	used := slices.Sorted(maps.Keys(runes))
	name := pdffile.Name(subsetTag(used) + "+" + f.Name)
	whole, inner := o.Dict(font), o.Dict(below[0])
	descriptor := o.Dict(inner["FontDescriptor"])
	whole["BaseFont"], inner["BaseFont"], descriptor["FontName"] = name, name, name
	inner["W"] = f.widthsOf(used)
	toUnicode, _ := whole["ToUnicode"].(pdffile.Ref)
	o.Set(toUnicode, pdffile.Packed(pdffile.Dict{}, unicodeMap(used)))
	return hintless(o, descriptor)
}

// subsetTag is six capitals that tell one choice of characters from another.
func subsetTag(used []rune) string {
	sum := sha256.Sum256([]byte(string(used)))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag)
}

// runs are the characters that follow each other.
func runs(used []rune, together func(last, next rune) bool) (out [][]rune) {
	for i, r := range used {
		if i == 0 || !together(used[i-1], r) {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], r)
	}
	return out
}

// widthsOf are the widths of characters in thousandths of an em (ISO 32000-1, 9.7.4.3).
func (f Face) widthsOf(used []rune) pdffile.Array {
	var out pdffile.Array
	for _, run := range runs(used, func(last, next rune) bool { return next == last+1 }) {
		var widths pdffile.Array
		for _, r := range run {
			widths = append(widths, whole(int(math.Round(1000*max(0, f.Width(r))))))
		}
		out = append(out, whole(int(run[0])), widths)
	}
	return out
}

func whole(n int) pdffile.Number { return pdffile.Number(fmt.Sprint(n)) }

// unicodeMap says which character each code is: itself (ISO 32000-1, 9.10.3). A range stays
// within one upper byte, and there are at most a hundred to a list.
func unicodeMap(used []rune) []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe)/Ordering (UCS)/Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	ranges := runs(used, func(last, next rune) bool { return next == last+1 && last>>8 == next>>8 })
	for some := range slices.Chunk(ranges, 100) {
		fmt.Fprintf(&b, "%d beginbfrange\n", len(some))
		for _, r := range some {
			fmt.Fprintf(&b, "<%04X> <%04X> <%04[1]X>\n", r[0], r[len(r)-1])
		}
		b.WriteString("endbfrange\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}
