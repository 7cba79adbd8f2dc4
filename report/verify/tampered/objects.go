package tampered

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwitness/report/pdffile"
)

// objects are changes of what the file holds, written in the tool's own form and signed
// again with the right key.
func objects(o Original, _ span) ([]Case, error) {
	f, err := pdffile.Open(o.File)
	if err != nil {
		return nil, err
	}
	d, err := f.Objects()
	if err != nil {
		return nil, err
	}
	every := strokesChanged(d.Numbered())
	maps.Copy(every, logoChanged(d.Numbered()))
	maps.Copy(every, changes)
	maps.Copy(every, descriptions)
	var all []Case
	for name, change := range every {
		f, err := pdffile.Open(o.File)
		if err != nil {
			return nil, err
		}
		d, err := f.Objects()
		if err != nil {
			return nil, err
		}
		file, err := rewritten(change(d.Numbered()), d.ID)
		if err == nil {
			file, err = signedAgain(file, o.Key)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, Case{Name: "objects: " + name, File: file, Keyed: true})
	}
	further, err := identified(o)
	return append(all, further...), err
}

// rewritten is a file of those objects, with the byte range that fits it.
func rewritten(n []pdffile.Object, id []byte) ([]byte, error) {
	i := indexOf(n, func(d pdffile.Dict) bool { return d["Type"] == pdffile.Name("Sig") })
	if i < 0 {
		return nil, fmt.Errorf("the signature is lost")
	}
	signature := n[i].(pdffile.Dict)
	number := func(v int) pdffile.Number { return pdffile.Number(fmt.Sprint(v)) }
	empty := pdffile.String{Bytes: make([]byte, len(signature["Contents"].(pdffile.String).Bytes))}
	signature["Contents"] = empty
	for range 8 {
		file := pdffile.From(n, id).Bytes()
		at := bytes.Index(file, fmt.Appendf(nil, "<%x>", empty.Bytes))
		if at < 0 {
			return nil, fmt.Errorf("the place of the signature is lost")
		}
		to := at + 2*len(empty.Bytes) + 2
		want := pdffile.Array{number(0), number(at), number(to), number(len(file) - to)}
		if slices.Equal(want, signature["ByteRange"].(pdffile.Array)) {
			return file, nil
		}
		signature["ByteRange"] = want
	}
	return nil, fmt.Errorf("the byte range does not settle")
}

func indexOf(n []pdffile.Object, is func(pdffile.Dict) bool) int {
	return slices.IndexFunc(n, func(o pdffile.Object) bool { return is(pdffile.DictOf(o)) })
}

// firstPage are the numbers of the first page and of its content.
func firstPage(n []pdffile.Object) (page, content int) {
	pages := pdffile.DictOf(n[int(pdffile.DictOf(n[0])["Pages"].(pdffile.Ref))-1])
	first := pages["Kids"].(pdffile.Array)[0].(pdffile.Ref)
	return int(first), int(pdffile.DictOf(n[first-1])["Contents"].(pdffile.Ref))
}

// embedded is the number of the attached file whose media type ends so.
func embedded(n []pdffile.Object, media string) int {
	return 1 + indexOf(n, func(d pdffile.Dict) bool {
		kind, _ := d["Subtype"].(pdffile.Name)
		return d["Type"] == pdffile.Name("EmbeddedFile") && strings.HasSuffix(string(kind), media)
	})
}

// box is a small part of a page.
var box = pdffile.Array{number("0"), number("0"), number("200"), number("200")}

// changes are changes of numbered objects; what is added is reached from what is there.
var changes = map[string]func(n []pdffile.Object) []pdffile.Object{
	"a word more on a page": drawing(func(s string) string {
		return s + "\nBT 1 0 0 1 100 400 Tm (APPROVED) Tj ET\n"
	}),
	"a white bar over a page":     drawing(func(s string) string { return s + "\n1 1 1 rg 0 0 600 800 re f\n" }),
	"an empty page":               drawing(func(string) string { return "" }),
	"a page drawn twice":          drawing(func(s string) string { return s + s }),
	"a blank more in the drawing": drawing(func(s string) string { return s + " " }),
	"pages in another order": pages(func(kids pdffile.Array) pdffile.Array {
		kids[0], kids[1] = kids[1], kids[0]
		return kids
	}),
	"a page less":  pages(func(kids pdffile.Array) pdffile.Array { return kids[:len(kids)-1] }),
	"a page twice": pages(func(kids pdffile.Array) pdffile.Array { return append(kids, kids[0]) }),
	"content of another page": func(n []pdffile.Object) []pdffile.Object {
		kids := pdffile.DictOf(n[pdffile.DictOf(n[0])["Pages"].(pdffile.Ref)-1])["Kids"].(pdffile.Array)
		a, b := pdffile.DictOf(n[kids[0].(pdffile.Ref)-1]), pdffile.DictOf(n[kids[1].(pdffile.Ref)-1])
		a["Contents"], b["Contents"] = b["Contents"], a["Contents"]
		return n
	},
	"a smaller page":          firstPages("MediaBox", box),
	"a part of the page only": firstPages("CropBox", box),
	"a page turned":           firstPages("Rotate", number("180")),
	"a unit of its own":       firstPages("UserUnit", number("2")),
	"an action on opening":    catalogs("OpenAction", pdffile.Dict{"S": pdffile.Name("JavaScript"), "JS": text("1")}),
	"actions of the document": catalogs("AA", pdffile.Dict{"WC": pdffile.Dict{"S": pdffile.Name("Named")}}),
	"optional content":        catalogs("OCProperties", pdffile.Dict{"OCGs": pdffile.Array{}, "D": pdffile.Dict{}}),
	"another language":        catalogs("Lang", text("xx")),
	"metadata": func(n []pdffile.Object) []pdffile.Object {
		pdffile.DictOf(n[0])["Metadata"] = pdffile.Ref(len(n) + 1)
		return append(n, pdffile.Stream{Dict: pdffile.Dict{"Type": pdffile.Name("Metadata")}, Raw: []byte("<x/>")})
	},
	"hidden content beside a page's": func(n []pdffile.Object) []pdffile.Object {
		page, _ := firstPage(n)
		pdffile.DictOf(n[page-1])["LastModified"] = pdffile.Ref(len(n) + 1)
		return append(n, pdffile.Stream{Dict: pdffile.Dict{}, Raw: []byte("BT (Satisfactory) Tj ET")})
	},
	"a note on a page": func(n []pdffile.Object) []pdffile.Object {
		page, _ := firstPage(n)
		annots, _ := pdffile.DictOf(n[page-1])["Annots"].(pdffile.Array)
		note := pdffile.Dict{"Type": pdffile.Name("Annot"), "Subtype": pdffile.Name("FreeText"), "Contents": text("ok")}
		pdffile.DictOf(n[page-1])["Annots"] = append(slices.Clone(annots), note)
		return n
	},
	"a second field": func(n []pdffile.Object) []pdffile.Object {
		form := pdffile.DictOf(n[0])["AcroForm"].(pdffile.Dict)
		further := pdffile.Dict{"FT": pdffile.Name("Tx"), "T": text("a")}
		form["Fields"] = append(slices.Clone(form["Fields"].(pdffile.Array)), further)
		return n
	},
	"no permissions": func(n []pdffile.Object) []pdffile.Object {
		delete(pdffile.DictOf(n[0]), "Perms")
		return n
	},
	"another title": func(n []pdffile.Object) []pdffile.Object {
		pdffile.DictOf(n[1])["Title"] = text("Satisfactory")
		return n
	},
	"a font exchanged":    exchangedStreams("FontFile2"),
	"a picture exchanged": exchangedPictures,
	"names that do not rise": func(n []pdffile.Object) []pdffile.Object {
		names := pdffile.DictOf(n[0])["Names"].(pdffile.Dict)["EmbeddedFiles"].(pdffile.Dict)["Names"].(pdffile.Array)
		names[0], names[1], names[2], names[3] = names[2], names[3], names[0], names[1]
		return n
	},
	"names swapped": func(n []pdffile.Object) []pdffile.Object {
		names := pdffile.DictOf(n[0])["Names"].(pdffile.Dict)["EmbeddedFiles"].(pdffile.Dict)["Names"].(pdffile.Array)
		names[1], names[3] = names[3], names[1]
		return n
	},
}

func number(s string) pdffile.Number { return pdffile.Number(s) }

func text(s string) pdffile.String { return pdffile.String{Bytes: []byte(s)} }

func catalogs(key pdffile.Name, value pdffile.Object) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		pdffile.DictOf(n[0])[key] = value
		return n
	}
}

func firstPages(key pdffile.Name, value pdffile.Object) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		page, _ := firstPage(n)
		pdffile.DictOf(n[page-1])[key] = value
		return n
	}
}

func pages(change func(pdffile.Array) pdffile.Array) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		tree := pdffile.DictOf(n[pdffile.DictOf(n[0])["Pages"].(pdffile.Ref)-1])
		kids := change(slices.Clone(tree["Kids"].(pdffile.Array)))
		tree["Kids"], tree["Count"] = kids, number(fmt.Sprint(len(kids)))
		return n
	}
}

// drawing changes what is drawn on the first page.
func drawing(change func(string) string) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		_, content := firstPage(n)
		return changed(n, content-1, change)
	}
}

// changed has another content in a stream, packed where it was.
func changed(n []pdffile.Object, i int, change func(string) string) []pdffile.Object {
	s := n[i].(pdffile.Stream)
	n[i] = packed(s, change(unpacked(s)))
	return n
}

// exchangedStreams swaps the first two streams that are referred to by that key.
func exchangedStreams(key pdffile.Name) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		var with []pdffile.Dict
		for _, o := range n {
			if d := pdffile.DictOf(o); d[key] != nil {
				with = append(with, d)
			}
		}
		with[0][key], with[1][key] = with[1][key], with[0][key]
		return n
	}
}

// exchangedPictures swaps the first two pictures that pages show.
func exchangedPictures(n []pdffile.Object) []pdffile.Object {
	var at []int
	for i, o := range n {
		if s, is := o.(pdffile.Stream); is && s.Dict["Subtype"] == pdffile.Name("Image") {
			at = append(at, i)
		}
	}
	n[at[0]], n[at[1]] = n[at[1]], n[at[0]]
	return n
}
