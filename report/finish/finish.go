// Package finish makes what the drawing library wrote ready to be sealed: small, and with what
// readers and archives want to know of a document. What is drawn stays what it was.
package finish

import (
	"maps"
	"runtime"
	"slices"
	"time"

	"loopwitness/report/pdffile"

	"golang.org/x/sync/errgroup"
)

// longestPart is the longest stream that the drawing library writes for a page or a font, in
// bytes: what is longer was not drawn here.
const longestPart = 64 << 20

// Document is what a document has beside what the library drew.
type Document struct {
	Faces     map[string]Face // by the library's names
	Lines     map[int][]byte  // operators to be drawn over a page, by its number from 0
	Bookmarks []Bookmark
	Tool      string // name and version of what made it; "" for none
	Language  string // a BCP 47 tag
	Made      time.Time
}

// Face is a font that the library may have written.
type Face struct {
	Name  string             // of the font itself, as PostScript has it
	Width func(rune) float64 // of a character, in ems; below zero for one that the font lacks
}

// Bookmark is where a section begins: on which page, from 0, and how far below its upper
// edge, in mm.
type Bookmark struct {
	Title string
	Page  int
	Down  float64
}

// Finish is the document, drawn on in lines; without what the library writes twice or for
// nothing; packed; and described. It is structured as ISO 19005-3 (PDF/A-3) asks, and does not
// claim to conform. Errors wrap pdffile.ErrNotRead: it was not written by that library.
func Finish(pdf []byte, d Document) ([]byte, error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return nil, err
	}
	o, err := f.Objects()
	if err != nil {
		return nil, err
	}
	for _, page := range slices.Sorted(maps.Keys(d.Lines)) {
		if err := o.Draw(page, d.Lines[page]); err != nil {
			return nil, err
		}
	}
	pages, _ := o.Dict(o.Dict(o.Root)["Pages"])["Kids"].(pdffile.Array)
	if err := tidied(o, pages, d.Faces); err != nil {
		return nil, err
	}
	describe(o, d)
	outline(o, pages, d.Bookmarks)
	return o.Bytes(), nil
}

// tidied has the contents of pages and the fonts written anew.
func tidied(o *pdffile.Objects, pages pdffile.Array, faces map[string]Face) error {
	fonts := map[pdffile.Name]pdffile.Object{}
	for _, page := range pages {
		of := o.Dict(o.Dict(o.Dict(page)["Resources"])["Font"])
		maps.Copy(fonts, of)
	}
	named := shortNames(o, fonts)
	shown := map[pdffile.Name]map[rune]bool{}
	contents := map[pdffile.Ref][]byte{}
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
		contents[ref] = content
	}
	packAll(o, contents)
	for _, page := range pages {
		resources := o.Dict(o.Dict(page)["Resources"])
		used := pdffile.Dict{}
		for name := range shown {
			used[named[name]] = fonts[name]
		}
		resources["Font"] = used
	}
	for name, runes := range shown {
		if err := subset(o, fonts[name], runes, faces); err != nil {
			return err
		}
	}
	return nil
}

// packAll packs the contents of pages side by side: that takes a tenth of the time in which a certificate is made.
func packAll(o *pdffile.Objects, contents map[pdffile.Ref][]byte) {
	refs := slices.Sorted(maps.Keys(contents))
	packed := make([]pdffile.Stream, len(refs))
	var packing errgroup.Group
	packing.SetLimit(runtime.GOMAXPROCS(0))
	for i, ref := range refs {
		packing.Go(func() error {
			packed[i] = pdffile.Packed(pdffile.Dict{}, contents[ref])
			return nil
		})
	}
	_ = packing.Wait() // packing in memory does not fail
	for i, ref := range refs {
		o.Set(ref, packed[i])
	}
}
