package certificate

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/johnfercher/maroto/v2"
	"github.com/johnfercher/maroto/v2/pkg/components/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/invented"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/programme"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
	"loopwitness/report/wordboxes"
)

func documentOf(t testing.TB, l invented.Large, kind programme.VisitKind, in words.Language) Document {
	t.Helper()
	f := l.Files()
	a, err := dryrun.Visit{Site: f.Site, Controller: f.Controller, Answers: f.Answers, Kind: kind}.Run(t.Context())
	require.NoError(t, err)
	return Write(a, Options{Language: in, Revision: 1, Tool: "loopwitness test",
		Journal:  strings.Repeat("0123456789abcdef", 4),
		SealedBy: Sealer{Kind: KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

// A large site is a handful of pages, and each of its pages is sound.
func TestLargeSites(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("nothing runs side by side in laying out, and it takes minutes")
	}
	for name, c := range map[string]struct {
		site invented.Large
		most int // pages
	}{
		"3 zones":         {invented.Large{Zones: 3, Detectors: 3}, 9},
		"30 zones":        {invented.Large{Zones: 30, Detectors: 40}, 11},
		"300 zones":       {invented.Large{Zones: 300, Detectors: 390, Spoilt: true}, 20},
		"1,000 detectors": {invented.Large{Zones: 500, Detectors: 1000}, 40},
	} {
		for _, kind := range []programme.VisitKind{programme.Handover, programme.Maintenance} {
			for _, in := range languages.All() {
				if in.Tag() != "en" && (c.site.Zones > 300 || c.site.Zones < 300 && kind == programme.Maintenance) {
					continue // they differ in words alone, which the smaller sites show
				}
				d := documentOf(t, c.site, kind, in)
				sheets := paginate(d)
				about := fmt.Sprintf("%s, %s, %s", name, kind, in.Tag())
				assert.LessOrEqual(t, len(sheets), c.most, about)
				soundPages(t, about, d, sheets)
				if dir := os.Getenv("LOOPWITNESS_SHOW"); dir != "" {
					pdf, err := Render(d, made)
					require.NoError(t, err)
					file := fmt.Sprintf("%d-%s-%s.pdf", c.site.Detectors, kind, in.Tag())
					require.NoError(t, os.WriteFile(filepath.Join(dir, file), pdf, 0o600))
				}
			}
		}
	}
}

// A unit at the beginning of a line and a number at the end of the line above it.
var (
	endsInNumber   = regexp.MustCompile(`(^|[ (])[+−<>±≤≥-]?\d+([.,]\d+)?$`)
	beginsWithUnit = regexp.MustCompile(`^(mV|V|mA|A|Ah|Wh|VA|W|Ω|kΩ|Mohm|kohm|ohm|s|ms|min|h|m|mm²|mm2|AWG|°C|` +
		`dB|dB\(A\)|Hz|kHz|%|±)([ ,;.)]|$)`)
	endsInZone      = regexp.MustCompile(`(^|[ (])([Zz]ones?|Meldelinien?)$`)
	beginsInNumber  = regexp.MustCompile(`^\d`)
	endsInDay       = regexp.MustCompile(`(^| )\d{1,2}\.?$`)
	beginsWithMonth = regexp.MustCompile(`^(January|November|Januar|November)`)
)

// parted tells whether a number and its unit, or a zone and its number, stand on two lines.
func parted(above, below string) bool {
	return endsInNumber.MatchString(above) && beginsWithUnit.MatchString(below) ||
		endsInZone.MatchString(above) && beginsInNumber.MatchString(below) ||
		endsInDay.MatchString(above) && beginsWithMonth.MatchString(below) || strings.HasSuffix(above, "±")
}

// partedOn are the pairs of lines of a part that are parted: those that begin at the same place, a line apart.
func partedOn(p *part) (all []string) {
	at := map[string]placed{}
	place := func(x, y float64) string { return fmt.Sprintf("%.2f %.2f", x, y) }
	for _, t := range p.texts {
		at[place(t.x, t.y)] = t
	}
	for _, t := range p.texts {
		below, is := at[place(t.x, t.y+lineHeight(t.size))]
		if is && below.size == t.size && parted(t.text, below.text) {
			all = append(all, t.text+" | "+below.text)
		}
	}
	return all
}

// headOnly tells whether a part is a title, or the head of a table.
func headOnly(p *part) bool {
	return len(p.texts) > 0 && !slices.ContainsFunc(p.texts, func(t placed) bool {
		bold := slices.Contains(faces()[true], t.face)
		return !bold || t.size != sizeHead && t.size != sizeSmall
	})
}

func soundPages(t *testing.T, about string, d Document, sheets [][]*part) {
	t.Helper()
	for i, sheet := range sheets {
		where := fmt.Sprintf("%s, page %d", about, i+1)
		used := 0.0
		var last *part
		for _, p := range append(slices.Clone(sheet), foot(d, i+1, len(sheets))) {
			assert.Empty(t, tooSmall(p), where)
			assert.Empty(t, partedOn(p), where)
		}
		for _, p := range sheet {
			used += p.height
			if len(p.texts) > 0 {
				last = p
			}
		}
		assert.LessOrEqual(t, used, d.Paper.room()+0.01, where)
		assert.False(t, headOnly(last), "%s: %q stands at the foot", where, wordsOf(last))
	}
	assert.False(t, sparse(d.Paper, sheets), "%s: next to nothing on the last page", about)
}

// What the checks of pages look for, they find.
func TestUnsoundPagesAreFound(t *testing.T) {
	for _, lines := range [][2]string{{"held against 12.5", "V at the least"}, {"in all 5", "s."}, {"of zone", "3, Till"},
		{"on 3", "November"}, {"13.65 V ±", "0.02 V"}} {
		p := newPart(10)
		p.lines([]line{one(lines[0], sizeText, false, body), one(lines[1], sizeText, false, body)}, 3, 0, sizeText, ink)
		assert.Len(t, partedOn(p), 1, lines)
	}
	assert.True(t, headOnly(heading("Supply", slate)))
	assert.True(t, headOnly(tableHead(Table{Columns: []Column{{Head: "Kind", Width: 40}, {Head: "Result", Width: 20}}})))
	row := tableRow(Table{Columns: []Column{{Width: 40}}}, Row{Head: "Zone 3", Cells: []Cell{{Text: "x"}}}, false, tight)
	assert.False(t, headOnly(row[0]))
}

// boxed are the words of a PDF with their boxes, as a program of others finds them.
func boxed(t *testing.T, path string) []wordboxes.Page {
	t.Helper()
	out, err := exec.Command(outsidetool.Find(t, "pdftotext"), "-bbox", path, "-").Output()
	require.NoError(t, err)
	pages, err := wordboxes.Read(bytes.NewReader(out))
	require.NoError(t, err)
	return pages
}

// No word stands outside of a page or on another one; a page that is spoilt is found.
func TestWordsHaveTheirPlace(t *testing.T) {
	documents := map[string]Document{"pottery": pottery(t),
		"30 zones": documentOf(t, invented.Large{Zones: 30, Detectors: 40}, programme.Handover, words.English{}),
		"300 zones": documentOf(t, invented.Large{Zones: 300, Detectors: 390, Spoilt: true}, programme.Handover,
			words.English{})}
	for name, d := range documents {
		pages := boxed(t, render(t, d))
		require.Len(t, pages, len(paginate(d)), name)
		assert.Empty(t, wordboxes.Faults(pages, wordboxes.Usual), name)
	}
	for name, spoil := range map[string]func(p *part, l line){
		"on another": func(p *part, l line) { p.text(l, 4, 1.5, sizeText, ink) },
		"outside":    func(p *part, l line) { p.text(l, body, 20, sizeText, ink) },
		"below":      func(p *part, l line) { p.text(l, 0, A4.usable(), sizeText, ink) },
	} {
		p := newPart(60)
		l := one("a long name of a detector", sizeText, false, body)
		p.text(l, 0, 0, sizeText, ink)
		path := filepath.Join(t.TempDir(), "spoilt.pdf")
		for _, spoilt := range []bool{false, true} {
			if spoilt {
				spoil(p, l)
			}
			m := maroto.New(settings(large(1), made))
			m.AddPages(page.New().Add(p.row()))
			drawn, err := m.Generate()
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path, drawn.GetBytes(), 0o600))
			assert.Equal(t, spoilt, len(wordboxes.Faults(boxed(t, path), wordboxes.Usual)) > 0, name)
		}
	}
}

// rowsOf is a document of one table of so many rows.
func rowsOf(n int) Document {
	table := Table{Columns: []Column{{Head: "Point", Width: 30}, {Head: "Detector", Width: 150}}}
	for i := range n {
		table.Rows = append(table.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(i)}, {Text: "Motion detector"}}})
	}
	d := large(0)
	d.Sections = []Section{{Title: "Zone schedule", Blocks: []Block{table}}}
	return d
}

// Twenty times as many rows are laid out with twenty times the memory, not with four hundred times. How long it takes
// is for BenchmarkLayingOut to tell: no test depends on what else the computer does.
func TestLayingOutIsLinear(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("nothing runs side by side in laying out, and it takes minutes")
	}
	allocated := func(rows int) float64 {
		d := rowsOf(rows)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		pages := paginate(d)
		runtime.ReadMemStats(&after)
		require.NotEmpty(t, pages)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	allocated(100) // the widths of glyphs are measured
	assert.Less(t, allocated(20000), 30*allocated(1000))
}

// The times by row are alike.
func BenchmarkLayingOut(b *testing.B) {
	for _, rows := range []int{1000, 20000} {
		d := rowsOf(rows)
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			for b.Loop() {
				paginate(d)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(rows), "ns/row")
		})
	}
}

// Ten times as many detectors are written with ten times the memory, not with a hundred times.
func TestWritingIsLinear(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("nothing runs side by side in laying out, and it takes minutes")
	}
	allocated := func(detectors int) float64 {
		f := invented.Large{Zones: detectors, Detectors: detectors}.Files()
		a, err := dryrun.Visit{Site: f.Site, Controller: f.Controller, Answers: f.Answers}.Run(t.Context())
		require.NoError(t, err)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		d := Write(a, Options{Language: words.English{}})
		runtime.ReadMemStats(&after)
		require.NotEmpty(t, d.Sections)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	few, many := allocated(60), allocated(600)
	assert.Less(t, many, 15*few)
}
