package certificate

import (
	"fmt"
	"strings"
)

func (w writer) photographs() Section {
	var pictures Pictures
	for i, p := range w.r.Photographs() {
		about, err := p.About.Title(w.r.Site())
		if err != nil {
			about = string(p.About) // the record has checked it
		}
		text := joined("; ", p.Caption, labelled("taken", p.Taken), "added "+w.clock(p.Added), removed(p.Removed), "SHA-256 "+grouped(p.SHA256[:16])+" …")
		pictures = append(pictures, Picture{Image: w.o.Pictures[p.SHA256], Title: fmt.Sprintf("P%d  %s", i+1, about), Text: text})
	}
	if len(pictures) == 0 {
		return Section{}
	}
	return Section{"Photographs", []Block{pictures, Prose{Text: "Each is attached to this file in its full size. The time of taking is that of the camera's clock.", Quiet: true}}}
}

func removed(what []string) string {
	if len(what) == 0 {
		return ""
	}
	return strings.Join(what, " and ") + " removed from the file"
}
