// Package labels makes sheets of labels for the cables and terminals of a site, to be printed
// and cut apart. What stands on them is the site file's, and what was seen of the cables.
package labels

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// Paper is a size of paper, in mm.
type Paper struct {
	Name          string
	Width, Height float64
}

// Papers are those that sheets are made for: ISO 216, and ANSI/ASME Y14.1 (8.5 by 11 inches).
var Papers = []Paper{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

// PaperOf is the paper of that name, in any case of letters.
func PaperOf(name string) (Paper, error) {
	for _, p := range Papers {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("no paper is called %q: a4 or letter", name)
}

// The size of one label, in mm: round a cable with room to fold, or beside a terminal.
const (
	Width  = 64.0
	Height = 33.0
)

// undated is the date of every sheet: the same site gives the same bytes.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// Sheets are the labels of some zones (all, where none is named) as a PDF: three for each, for
// both ends of its cable and for its terminal. Seen is what is known of a zone's cable, by its
// number. An unknown zone is an error.
func Sheets(s *site.Site, zones []int, seen map[int]checks.CableSeen, paper Paper, l words.Language) ([]byte, error) {
	g := certificate.Grid{PageWidth: paper.Width, PageHeight: paper.Height, CellWidth: Width, CellHeight: Height,
		Title: s.Reference, Author: s.Installer.Company, Foot: func(page, of int) string {
			return l.Say(words.LabelSheet{Reference: s.Reference, Width: Width, Height: Height, Page: page, Pages: of})
		}}
	if len(zones) == 0 {
		for _, z := range s.Zones {
			zones = append(zones, z.Number)
		}
	}
	for _, number := range zones {
		z := s.Zone(number)
		if z == nil {
			return nil, fmt.Errorf("the site has no zone %d", number)
		}
		var cores *checks.CableSeen
		if c, known := seen[number]; known {
			cores = &c
		}
		for _, place := range []words.LabelPlace{words.AtController, words.AtFarEnd, words.AtTerminal} {
			g.Cells = append(g.Cells, cell(s, z, place, cores, l))
		}
	}
	return certificate.RenderGrid(g, undated)
}

// cell is one label. Its lines have room: 33 mm less the padding.
func cell(s *site.Site, z *site.Zone, place words.LabelPlace, cores *checks.CableSeen,
	l words.Language) certificate.GridCell {
	return certificate.GridCell{
		{Text: l.Say(words.LabelHead{Zone: z.Number, Place: place}), Most: 10, Lines: 1, Bold: true},
		{Text: l.Say(words.Named(z.Name)), Most: 8.5, Lines: 2, Bold: true},
		{Text: l.Say(words.LabelCores{Seen: cores}), Most: 7, Lines: 2},
		{Text: l.Say(words.LabelTerminal{Address: z.Address}), Most: 7, Lines: 1},
		{Text: l.Say(words.LabelEnd{Wiring: z.Wiring, Hint: programme.HintOf(z)}), Most: 7, Lines: 1},
		{Text: l.Say(words.Named(s.Reference)), Most: 6, Lines: 1},
	}
}

// Pick reads which zones are meant: "1-5, 7". Of a range, those that the site has.
func Pick(s *site.Site, text string) ([]int, error) {
	var zones []int
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
		from, to, several := strings.Cut(part, "-")
		if !several {
			to = from
		}
		first, err := strconv.Atoi(from)
		last, err2 := strconv.Atoi(to)
		if err != nil || err2 != nil || first > last {
			return nil, fmt.Errorf("%q is no zone and no range of zones: 1-5, 7", part)
		}
		before := len(zones)
		for _, z := range s.Zones {
			if z.Number >= first && z.Number <= last && !slices.Contains(zones, z.Number) {
				zones = append(zones, z.Number)
			}
		}
		if !several && len(zones) == before && !slices.Contains(zones, first) {
			return nil, fmt.Errorf("the site has no zone %d", first)
		}
	}
	if len(zones) == 0 {
		return nil, fmt.Errorf("the site has none of the zones %s", text)
	}
	slices.SortFunc(zones, func(a, b int) int { return a - b })
	return zones, nil
}
