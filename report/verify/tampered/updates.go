package tampered

import (
	"bytes"
	"fmt"

	"loopwitness/report/pdffile"
)

// updates are revisions that a stranger appends (ISO 32000-1, 7.5.6): the bytes that were
// signed stay, and readers show what the latest revision has.
func updates(o Original, _ span) ([]Case, error) {
	f, err := pdffile.Open(o.File)
	if err != nil {
		return nil, err
	}
	d, err := f.Objects()
	if err != nil {
		return nil, err
	}
	n := d.Numbered()
	page, content := firstPage(n)
	journal := embedded(n, "jsonl")
	stamp := "BT /F1 40 Tf 100 400 Td (APPROVED) Tj ET"
	stream := func(dict, raw string) string {
		return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", dict, len(raw), raw)
	}
	catalog := func(more string) string {
		root := string(written(n[0]))
		return root[:len(root)-2] + more + ">>"
	}
	revisions := []struct {
		name    string
		objects map[int]string
		trailer string
	}{
		{"another page content", map[int]string{content: stream("", stamp)}, ""},
		{"an empty page content", map[int]string{content: stream("", "")}, ""},
		{"no pages", map[int]string{1: "<</Type/Catalog/Pages " + fmt.Sprint(len(n)+1) + " 0 R>>",
			len(n) + 1: "<</Type/Pages/Kids[]/Count 0>>"}, ""},
		{"another page", map[int]string{page: "<</Type/Page/MediaBox[0 0 10 10]>>"}, ""},
		{"another journal", map[int]string{journal: stream("/Type/EmbeddedFile", `{"n":1}`)}, ""},
		{"a note on a page", map[int]string{len(n) + 1: "<</Type/Annot/Subtype/FreeText/Rect[0 0 300 300]/Contents(ok)>>"},
			""},
		{"an action on opening", map[int]string{1: catalog("/OpenAction<</S/JavaScript/JS(1)>>")}, ""},
		{"no permissions", map[int]string{1: catalog("/Perms<<>>")}, ""},
		{"another form", map[int]string{1: catalog("/AcroForm<</Fields[]>>")}, ""},
		{"another title", map[int]string{2: "<</Title(Satisfactory)>>"}, ""},
		{"nothing changed", map[int]string{}, ""},
		{"a hybrid table", map[int]string{}, "/XRefStm 10"},
		{"encrypted", map[int]string{}, "/Encrypt<</Filter/Standard>>"},
	}
	var all []Case
	for _, r := range revisions {
		all = append(all, Case{Name: "update: " + r.name, File: updated(o.File, len(n), r.objects, r.trailer)})
	}
	twice := updated(updated(o.File, len(n), map[int]string{2: "<</Title(a)>>"}, ""), len(n),
		map[int]string{2: string(written(n[1]))}, "")
	return append(all, Case{Name: "update: changed and changed back", File: twice}), nil
}

// updated has a revision more, of those objects.
func updated(file []byte, last int, objects map[int]string, trailer string) []byte {
	var b bytes.Buffer
	b.Write(file)
	var table bytes.Buffer
	for number := 1; number <= last+2; number++ {
		if content, there := objects[number]; there {
			fmt.Fprintf(&table, "%d 1\n%010d 00000 n \n", number, b.Len())
			fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", number, content)
		}
	}
	before := bytes.LastIndex(file, []byte("startxref\n")) + len("startxref\n")
	previous, _, _ := bytes.Cut(file[before:], []byte("\n"))
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 0\n%strailer\n<</Info 2 0 R/Root 1 0 R/Size %d/Prev %s%s>>\nstartxref\n%d\n%%%%EOF\n",
		table.String(), last+3, previous, trailer, at)
	return b.Bytes()
}

// written is an object as a file has it.
func written(o pdffile.Object) []byte {
	file := pdffile.From([]pdffile.Object{o, pdffile.Dict{}}, nil).Bytes()
	_, rest, _ := bytes.Cut(file, []byte("1 0 obj\n"))
	content, _, _ := bytes.Cut(rest, []byte("\nendobj"))
	return content
}
