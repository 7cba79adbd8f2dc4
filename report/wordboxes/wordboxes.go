// Package wordboxes finds words that stand outside of a page, or on each other, in what `pdftotext -bbox` says of a
// PDF. It is for tests.
package wordboxes

import (
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Page is one page, in points of 1/72 inch, from its upper left corner.
type Page struct {
	Width, Height float64
	Words         []Word
}

// Word is where a word stands. Its box is as high as the font reaches, not as the letters do.
type Word struct {
	Text                   string
	Left, Top, Right, Foot float64
}

// Tolerance is what is not yet a fault, in points.
type Tolerance struct {
	Margin  float64 // a word stands at least so far from the edge of the page
	Overlap float64 // boxes may reach into each other so far, in the direction in which they do less
}

// Usual is a margin of 5 mm, which printers keep, and an overlap of 1 pt: boxes of neighbouring lines may touch.
// Common practice, no source.
var Usual = Tolerance{Margin: 14, Overlap: 1}

// Fault is a word that stands where it must not. On is the other word, zero for the edge of the page.
type Fault struct {
	Page     int // from 1
	Word, On Word
}

func (f Fault) String() string {
	if f.On == (Word{}) {
		return fmt.Sprintf("page %d: %q stands outside, at %.0f,%.0f to %.0f,%.0f", f.Page, f.Word.Text, f.Word.Left,
			f.Word.Top, f.Word.Right, f.Word.Foot)
	}
	return fmt.Sprintf("page %d: %q at %.0f,%.0f stands on %q at %.0f,%.0f", f.Page, f.Word.Text, f.Word.Left, f.Word.Top,
		f.On.Text, f.On.Left, f.On.Top)
}

// Read reads what pdftotext -bbox writes: XHTML of pages with words.
func Read(from io.Reader) (pages []Page, err error) {
	d := xml.NewDecoder(from)
	d.Strict = false
	d.Entity = xml.HTMLEntity
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return pages, nil
		} else if err != nil {
			return nil, fmt.Errorf("read the boxes of words: %w", err)
		}
		start, is := token.(xml.StartElement)
		switch {
		case is && start.Name.Local == "page":
			n := numbers(start)
			pages = append(pages, Page{Width: n["width"], Height: n["height"]})
		case is && start.Name.Local == "word":
			var text string
			if err := d.DecodeElement(&text, &start); err != nil {
				return nil, fmt.Errorf("read the box of a word: %w", err)
			}
			n := numbers(start)
			if len(pages) == 0 {
				return nil, errors.New("a word stands on no page")
			}
			p := &pages[len(pages)-1]
			p.Words = append(p.Words, Word{text, n["xMin"], n["yMin"], n["xMax"], n["yMax"]})
		}
	}
}

func numbers(e xml.StartElement) map[string]float64 {
	all := map[string]float64{}
	for _, a := range e.Attr {
		var v float64
		if _, err := fmt.Sscan(strings.TrimSpace(a.Value), &v); err == nil {
			all[a.Name.Local] = v
		}
	}
	return all
}

// Faults are all words that stand outside of their page or on another word.
func Faults(pages []Page, t Tolerance) (all []Fault) {
	for i, p := range pages {
		for _, w := range p.Words {
			if w.Left < t.Margin || w.Top < t.Margin || w.Right > p.Width-t.Margin || w.Foot > p.Height-t.Margin {
				all = append(all, Fault{Page: i + 1, Word: w})
			}
		}
		all = append(all, overlaps(p, i+1, t.Overlap)...)
	}
	return all
}

// overlaps compares each word with those that begin above its foot.
func overlaps(p Page, number int, least float64) (all []Fault) {
	words := slices.SortedFunc(slices.Values(p.Words), func(a, b Word) int { return cmp.Compare(a.Top, b.Top) })
	for i, w := range words {
		for _, on := range words[i+1:] {
			if on.Top >= w.Foot-least {
				break
			}
			if min(w.Foot, on.Foot)-on.Top > least && min(w.Right, on.Right)-max(w.Left, on.Left) > least {
				all = append(all, Fault{number, w, on})
			}
		}
	}
	return all
}
