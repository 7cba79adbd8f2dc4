package certificate

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"loopwitness/report/pdffile"
)

// longestPart is the longest stream that the drawing library writes for a page or a font, in
// bytes: what is longer was not drawn here.
const longestPart = 64 << 20

// finished is what the drawing library wrote, made ready to be sealed: drawn on in lines, by
// page from 0; without what it writes twice or for nothing; packed; and with what readers and
// archives want to know of a document. It is structured as ISO 19005-3 (PDF/A-3) asks, and
// does not claim to conform.
func finished(pdf []byte, d Document, at time.Time, lines map[int][]byte, marks []bookmark) ([]byte, error) {
	out, err := finish(pdf, d, at, lines, marks)
	if err != nil {
		return nil, fmt.Errorf("draw the certificate: %w", err)
	}
	return out, nil
}

func finish(pdf []byte, d Document, at time.Time, lines map[int][]byte, marks []bookmark) ([]byte, error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, err
	}
	o, err := f.Objects()
	if err != nil {
		return nil, err
	}
	for _, page := range slices.Sorted(maps.Keys(lines)) {
		if err := o.Draw(page, lines[page]); err != nil {
			return nil, err
		}
	}
	pages, _ := o.Dict(o.Dict(o.Root)["Pages"])["Kids"].(pdffile.Array)
	if err := tidied(o, pages); err != nil {
		return nil, err
	}
	if err := packed(o); err != nil {
		return nil, err
	}
	describe(o, d, at)
	outline(o, pages, marks)
	return o.Bytes(), nil
}

// tidied has the contents of pages and the fonts written anew.
func tidied(o *pdffile.Objects, pages pdffile.Array) error {
	fonts := map[pdffile.Name]pdffile.Object{}
	for _, page := range pages {
		of := o.Dict(o.Dict(o.Dict(page)["Resources"])["Font"])
		maps.Copy(fonts, of)
	}
	named := shortNames(o, fonts)
	shown := map[pdffile.Name]map[rune]bool{}
	for _, page := range pages {
		ref, _ := o.Dict(page)["Contents"].(pdffile.Ref)
		content, err := o.Unpacked(ref, longestPart)
		if err != nil {
			return err
		}
		content, err = tidy(content, named, shown)
		if err != nil {
			return err
		}
		o.Set(ref, pdffile.Packed(pdffile.Dict{}, content))
	}
	for _, page := range pages {
		resources := o.Dict(o.Dict(page)["Resources"])
		used := pdffile.Dict{}
		for name := range shown {
			used[named[name]] = fonts[name]
		}
		resources["Font"] = used
	}
	for name, runes := range shown {
		if err := subset(o, fonts[name], runes); err != nil {
			return err
		}
	}
	return nil
}

// packed packs whatever is packed by the library as well as what was built here: it does so
// fast, not small.
func packed(o *pdffile.Objects) (err error) {
	o.Each(func(ref pdffile.Ref, object pdffile.Object) {
		s, is := object.(pdffile.Stream)
		if !is || err != nil || s.Dict["Filter"] != pdffile.Name("FlateDecode") {
			return
		}
		content, failed := o.Unpacked(ref, longestPart)
		if failed != nil {
			err = failed
			return
		}
		if again := pdffile.Packed(s.Dict, content); len(again.Raw) < len(s.Raw) {
			o.Set(ref, again)
		}
	})
	return err
}
