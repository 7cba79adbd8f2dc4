package site

import (
	"fmt"

	"loopwitness/commission/kit/strictyaml"
)

// Printed is a second name for one that the fonts of a certificate lack: pages show As wherever Typed was typed.
type Printed struct{ Typed, As string }

const mostPrinted = 500

var keysOfPrinted = []Key{
	{Path: "printed[]", Takes: asList, Means: "second names, for names in scripts that certificates cannot show",
		Changes: "pages show the second; the record keeps the first"},
	{Path: "printed[].typed", Takes: asText, Need: "the name as it stands in this file", Example: "窯の間",
		Means: "the name as it is typed"},
	{Path: "printed[].as", Takes: asText, Need: "the same in letters that certificates show",
		Example: "Kama-no-ma (kiln room)", Means: "what is printed in its place", Changes: printed},
}

// printed reads second names.
func (r *reader) printed(top section) {
	names := map[string]int{}
	for i, item := range top.List("printed") {
		if i == mostPrinted {
			r.Problem(item, fmt.Sprintf("there are more than %d second names", mostPrinted), "leave out what is not needed")
			return
		}
		f := r.item(item, "printed[]", "second name")
		p := Printed{f.need("typed"), f.need("as")}
		unique(r, f, "typed", names, p.Typed, p.Typed != "", "second name")
		r.site.Printed = append(r.site.Printed, p)
	}
}

func (w *writer) printed(all []Printed) {
	if len(all) == 0 {
		return
	}
	w.line("printed:")
	for _, p := range all {
		w.line("  - {typed: " + strictyaml.Quote(p.Typed) + ", as: " + strictyaml.Quote(p.As) + "}")
	}
}
