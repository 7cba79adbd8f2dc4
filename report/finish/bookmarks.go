package finish

import (
	"math"

	"loopwitness/report/pdffile"
)

// outline lists the sections beside the pages (ISO 32000-1, 12.3.3).
func outline(o *pdffile.Objects, pages pdffile.Array, marks []Bookmark) {
	if len(marks) == 0 {
		return
	}
	list := pdffile.Dict{"Type": pdffile.Name("Outlines"), "Count": whole(len(marks))}
	of := o.Add(list)
	var items []pdffile.Dict
	var refs []pdffile.Ref
	for _, m := range marks {
		high, _ := pdffile.Float(mediaBox(o, pages[m.Page])[3])
		item := pdffile.Dict{"Title": textString(m.Title), "Parent": of,
			"Dest": pdffile.Array{pages[m.Page], pdffile.Name("XYZ"), nil,
				whole(int(math.Round(high - m.Down*72/25.4))), nil}}
		items, refs = append(items, item), append(refs, o.Add(item))
	}
	for i := 1; i < len(items); i++ {
		items[i-1]["Next"], items[i]["Prev"] = refs[i], refs[i-1]
	}
	list["First"], list["Last"] = refs[0], refs[len(refs)-1]
	o.Dict(o.Root)["Outlines"] = of
}

// mediaBox is that of a page, or of the tree that it stands in.
func mediaBox(o *pdffile.Objects, page pdffile.Object) pdffile.Array {
	for _, of := range []pdffile.Dict{o.Dict(page), o.Dict(o.Dict(o.Root)["Pages"])} {
		if box, is := of["MediaBox"].(pdffile.Array); is && len(box) == 4 {
			return box
		}
	}
	return pdffile.Array{nil, nil, nil, nil}
}
