package labels

import (
	"encoding/xml"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// longest is a name of 80 characters without a blank, and one with some.
var (
	longest = strings.Repeat("Brennofenlüftungsklappe", 4)[:80]
	long    = "Window above the second wheel in the throwing studio, north wall, behind the rac"
	mixed   = "Студия / Εργαστήριο 窯場 / حجرة الفرن / ก"
)

// siteOf is a site of n zones; some of them have names that are long, or in other scripts.
func siteOf(t *testing.T, n int) *site.Site {
	t.Helper()
	var text strings.Builder
	text.WriteString("reference: KP-0042\npremises: {name: Saltglaze, address: 7 Kiln Yard}\ninstaller: {company: " +
		"Bellbird}\ncontroller: {description: controller}\nsupply: {battery: {chemistry: none}}\nzones:\n")
	names := []string{"Shop door", long, longest, mixed}
	for i := range n {
		wiring := "normally closed"
		if i%2 == 1 {
			wiring = "three resistors, end_of_line: 4k7, contact_resistor: 4k7, fault_resistor: 2k2"
		}
		fmt.Fprintf(&text, "  - {number: %d, name: %q, kind: door, wiring: %s, address: z%03d, detectors: [a]}\n", i+1,
			names[i%len(names)], wiring, i+1)
	}
	s, err := site.Read("site.yaml", []byte(text.String()))
	require.NoError(t, err)
	return s
}

// word is a word on a page as pdftotext finds it, in mm.
type word struct{ left, top, right, bottom float64 }

type wordsOf []struct {
	XMin float64 `xml:"xMin,attr"`
	YMin float64 `xml:"yMin,attr"`
	XMax float64 `xml:"xMax,attr"`
	YMax float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

// found are the pages of a PDF with their words, by Poppler.
func found(t *testing.T, pdf []byte) []wordsOf {
	t.Helper()
	tool := outsidetool.Find(t, "pdftotext")
	path := filepath.Join(t.TempDir(), "labels.pdf")
	require.NoError(t, os.WriteFile(path, pdf, 0o600))
	out, err := exec.Command(tool, "-bbox", path, "-").Output()
	require.NoError(t, err)
	var doc struct {
		Pages []struct {
			Words wordsOf `xml:"word"`
		} `xml:"body>doc>page"`
	}
	require.NoError(t, xml.Unmarshal(out, &doc))
	var pages []wordsOf
	for _, p := range doc.Pages {
		pages = append(pages, p.Words)
	}
	return pages
}

const mm = 25.4 / 72

// Every word of a label stands inside its cell, and each cell has those of its own zone;
// whatever the names, on both papers.
func TestEveryWordStandsInItsCell(t *testing.T) {
	for _, paper := range Papers {
		t.Run(paper.Name, func(t *testing.T) {
			s := siteOf(t, 9)
			seen := map[int]checks.CableSeen{1: {Cores: 4, Colours: []string{"red", "black", "green", "white"}},
				2: {Cores: 12, Colours: strings.Fields(strings.Repeat("brown/white ", 12))}}
			pdf, err := Sheets(s, nil, seen, paper, words.English{})
			require.NoError(t, err)
			columns, rows := 3, map[string]int{"a4": 8, "letter": 7}[paper.Name]
			left := (paper.Width - float64(columns)*Width) / 2
			cells := map[int][]string{}
			for page, all := range found(t, pdf) {
				for _, w := range all {
					at := word{w.XMin * mm, w.YMin * mm, w.XMax * mm, w.YMax * mm}
					c, r := int((at.left-left)/Width), int((at.top-6)/Height)
					if r == rows {
						continue // the foot
					}
					assert.True(t, at.left >= left+float64(c)*Width && at.right <= left+float64(c+1)*Width,
						"%q sticks out sideways: %v", w.Text, at)
					assert.True(t, at.top >= 6+float64(r)*Height && at.bottom <= 6+float64(r+1)*Height,
						"%q sticks out: %v", w.Text, at)
					cell := page*columns*rows + r*columns + c
					cells[cell] = append(cells[cell], w.Text)
				}
			}
			require.Len(t, cells, 27)
			for i := range 27 {
				text := strings.Join(cells[i], " ")
				zone := i/3 + 1
				assert.Contains(t, text, fmt.Sprintf("Zone %d ", zone))
				assert.Contains(t, text, fmt.Sprintf("Terminal z%03d", zone))
				assert.Contains(t, text, "KP-0042")
				assert.Contains(t, text, []string{"cable, controller end", "cable, far end", "terminal"}[i%3])
				assert.Contains(t, text, map[bool]string{true: "End of line 4k7, contact 4k7, fault 2k2",
					false: "Normally closed, no resistor"}[zone%2 == 0])
			}
			assert.Contains(t, strings.Join(cells[0], " "), "4 cores: red, black, green, white")
			assert.Contains(t, strings.Join(cells[3], " "), long, "80 characters are all there")
			whole := strings.ReplaceAll(strings.Join(cells[6], ""), "-", "") // broken with hyphens
			assert.Contains(t, whole, strings.ReplaceAll(longest, "-", ""), "without a blank, too")
			assert.Contains(t, strings.Join(cells[6], " "), "Cores ____", "what nobody has seen is written by hand")
		})
	}
}

// The size of the paper by Poppler; the sizes are those of ISO 216 and of 8.5 by 11 inches
// (looked up in no place: from memory).
func TestPapersAndPages(t *testing.T) {
	tool := outsidetool.Find(t, "pdfinfo")
	for _, tc := range []struct {
		paper string
		zones int
		pages int // three labels a zone, 24 or 21 a page
		size  string
	}{{"A4", 3, 1, "595.28 x 841.89"}, {"letter", 3, 1, "612 x 792"}, {"a4", 300, 38, "595.28 x 841.89"},
		{"Letter", 300, 43, "612 x 792"}} {
		paper, err := PaperOf(tc.paper)
		require.NoError(t, err)
		pdf, err := Sheets(siteOf(t, tc.zones), nil, nil, paper, words.English{})
		require.NoError(t, err)
		path := filepath.Join(t.TempDir(), "labels.pdf")
		require.NoError(t, os.WriteFile(path, pdf, 0o600))
		out, err := exec.Command(tool, path).Output()
		require.NoError(t, err)
		assert.Contains(t, string(out), "Page size:       "+tc.size)
		assert.Contains(t, string(out), "Pages:           "+strconv.Itoa(tc.pages))
	}
	_, err := PaperOf("a5")
	assert.ErrorContains(t, err, "a4 or letter")
}

func TestSheetsAreTheSameAgain(t *testing.T) {
	first, err := Sheets(siteOf(t, 5), nil, nil, Papers[0], words.English{})
	require.NoError(t, err)
	again, err := Sheets(siteOf(t, 5), nil, nil, Papers[0], words.English{})
	require.NoError(t, err)
	assert.Equal(t, first, again)
	assert.NotContains(t, string(first), "(D:202", "no clock is in it")
	_, err = Sheets(siteOf(t, 5), []int{6}, nil, Papers[0], words.English{})
	assert.ErrorContains(t, err, "no zone 6")
}

func TestPick(t *testing.T) {
	s := siteOf(t, 9)
	for text, want := range map[string][]int{"1-5": {1, 2, 3, 4, 5}, "7, 2": {2, 7}, "8-20": {8, 9},
		"3,2-4,3": {2, 3, 4}} {
		zones, err := Pick(s, text)
		require.NoError(t, err, text)
		assert.Equal(t, want, zones, text)
	}
	for text, why := range map[string]string{"12": "no zone 12", "5-1": "no range", "a": "no zone and no range",
		"20-30": "none of the zones", ",": "none of the zones", "1-": "no range"} {
		_, err := Pick(s, text)
		assert.ErrorContains(t, err, why, text)
	}
}
