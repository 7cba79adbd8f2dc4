package tampered

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"loopwitness/report/pdffile"
)

// descriptions are changes of what a document says of itself beside its pages.
var descriptions = map[string]func(n []pdffile.Object) []pdffile.Object{
	"another title in the metadata": streamOf("Metadata", func(s string) string {
		return strings.Replace(s, `"x-default">`, `"x-default">Satisfactory: `, 1)
	}),
	"another tool in the metadata": streamOf("Metadata", func(s string) string {
		return strings.Replace(s, "<xmp:CreatorTool>", "<xmp:CreatorTool>x", 1)
	}),
	"metadata that claim conformance": streamOf("Metadata", func(s string) string {
		claim := `<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">` +
			"<pdfaid:part>3</pdfaid:part></rdf:Description></rdf:RDF>"
		return strings.Replace(s, "</rdf:RDF>", claim, 1)
	}),
	"no metadata":         lacking("Metadata"),
	"no title shown":      lacking("ViewerPreferences"),
	"no bookmarks":        lacking("Outlines"),
	"no colours named":    lacking("OutputIntents"),
	"no associated files": lacking("AF"),
	"other colours": streamOf("", func(s string) string {
		return s[:len(s)-8] + "\x00\x01\x00\x00" + s[len(s)-4:]
	}),
	"a bookmark less":  firstBookmark(func(b, list pdffile.Dict) { list["First"] = b["Next"] }),
	"another bookmark": firstBookmark(func(b, _ pdffile.Dict) { b["Title"] = text("Approved") }),
	"a bookmark that does more": firstBookmark(func(b, _ pdffile.Dict) {
		b["A"] = pdffile.Dict{"S": pdffile.Name("Named")}
	}),
	"a bookmark to another page": firstBookmark(func(b, list pdffile.Dict) {
		to := slices.Clone(b["Dest"].(pdffile.Array))
		to[3] = number("1")
		b["Dest"] = to
	}),
	"an associated file less": func(n []pdffile.Object) []pdffile.Object {
		files := pdffile.DictOf(n[0])["AF"].(pdffile.Array)
		pdffile.DictOf(n[0])["AF"] = files[:len(files)-1]
		return n
	},
	"a file associated otherwise": func(n []pdffile.Object) []pdffile.Object {
		i := indexOf(n, func(d pdffile.Dict) bool { return d["AFRelationship"] == pdffile.Name("Source") })
		pdffile.DictOf(n[i])["AFRelationship"] = pdffile.Name("Alternative")
		return n
	},
	"another name of a font": func(n []pdffile.Object) []pdffile.Object {
		i := indexOf(n, func(d pdffile.Dict) bool { return d["Subtype"] == pdffile.Name("Type0") })
		pdffile.DictOf(n[i])["BaseFont"] = pdffile.Name("ABCDEF+Other")
		return n
	},
	"other characters behind a font": func(n []pdffile.Object) []pdffile.Object {
		i := indexOf(n, func(d pdffile.Dict) bool { return d["ToUnicode"] != nil })
		return changed(n, int(pdffile.DictOf(n[i])["ToUnicode"].(pdffile.Ref))-1, func(s string) string {
			return strings.Replace(s, "> <00", "> <01", 1)
		})
	},
	"other widths": func(n []pdffile.Object) []pdffile.Object {
		i := indexOf(n, func(d pdffile.Dict) bool { return d["CIDToGIDMap"] != nil })
		widths := slices.Clone(pdffile.DictOf(n[i])["W"].(pdffile.Array))
		widths[1] = append(slices.Clone(widths[1].(pdffile.Array)[1:]), number("1"))
		pdffile.DictOf(n[i])["W"] = widths
		return n
	},
}

func lacking(key pdffile.Name) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		delete(pdffile.DictOf(n[0]), key)
		return n
	}
}

// streamOf changes the stream of that type; without one, the profile of colours.
func streamOf(kind pdffile.Name, change func(string) string) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		i := slices.IndexFunc(n, func(o pdffile.Object) bool {
			s, is := o.(pdffile.Stream)
			return is && (kind != "" && s.Dict["Type"] == kind || kind == "" && s.Dict["N"] != nil)
		})
		return changed(n, i, change)
	}
}

func firstBookmark(change func(bookmark, list pdffile.Dict)) func([]pdffile.Object) []pdffile.Object {
	return func(n []pdffile.Object) []pdffile.Object {
		list := pdffile.DictOf(n[pdffile.DictOf(n[0])["Outlines"].(pdffile.Ref)-1])
		change(pdffile.DictOf(n[list["First"].(pdffile.Ref)-1]), list)
		return n
	}
}

// identified is the file with another identifier, or none, signed again.
func identified(o Original) ([]Case, error) {
	var all []Case
	for name, id := range map[string][]byte{"another identifier": bytes.Repeat([]byte{1}, 16), "no identifier": nil} {
		f, err := pdffile.Open(o.File)
		if err != nil {
			return nil, err
		}
		d, err := f.Objects()
		if err != nil {
			return nil, err
		}
		file, err := rewritten(d.Numbered(), id)
		if err == nil {
			file, err = signedAgain(file, o.Key)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, Case{Name: "objects: " + name, File: file, Keyed: true})
	}
	return all, nil
}

// Repacked is the file with every stream that is packed packed otherwise, as another version
// of the same packer may do, and signed again: it says the same.
func Repacked(o Original, pack func(content []byte) []byte) ([]byte, error) {
	f, err := pdffile.Open(o.File)
	if err != nil {
		return nil, err
	}
	d, err := f.Objects()
	if err != nil {
		return nil, err
	}
	n := d.Numbered()
	for i, object := range n {
		s, is := object.(pdffile.Stream)
		if !is || s.Dict["Filter"] != pdffile.Name("FlateDecode") {
			continue
		}
		n[i] = pdffile.Stream{Dict: maps.Clone(s.Dict), Raw: pack([]byte(unpacked(s)))}
	}
	file, err := rewritten(n, d.ID)
	if err != nil {
		return nil, err
	}
	return signedAgain(file, o.Key)
}
