package certificate

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/report/pdffile"
)

// assessed is what follows from one of the small journals.
func assessed(t testing.TB, name string) *judge.Assessment {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/" + name + ".jsonl")
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	return judge.Assess(r)
}

func withPhone(t testing.TB, name string) Document {
	return Write(assessed(t, name), Options{Language: words.English{}, Journal: strings.Repeat("0123456789abcdef", 4)})
}

// rowOf is the row of a point in the first table that has it, its cells joined.
func rowOf(t testing.TB, d Document, point string) string {
	t.Helper()
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			table, is := b.(Table)
			for _, r := range table.Rows {
				if is && r.Cells[0].Text == point {
					var cells []string
					for _, c := range r.Cells {
						cells = append(cells, c.Says())
					}
					return strings.Join(cells, "|")
				}
			}
		}
	}
	return ""
}

// What was reported only is not as well as what was timed, and has the colour of what limits.
func TestReportedHasNotTheColourOfProved(t *testing.T) {
	tones := map[string]Tone{}
	for _, s := range withPhone(t, "roamed").Sections {
		for _, b := range s.Blocks {
			table, _ := b.(Table)
			for _, r := range table.Rows {
				last := r.Cells[len(r.Cells)-1]
				tones[last.Text] = last.Tone
			}
		}
	}
	assert.Equal(t, []Tone{Warn, Good}, []Tone{tones["reported"], tones["passed"]})
}

// What was not timed says so: no nought and no dash alone.
func TestTimesOfAPhone(t *testing.T) {
	d := withPhone(t, "roamed")
	for point, want := range map[string]string{
		"1.1": "1.1|left|not timed||not timed||1|reported", "1.3": "1.3|right|t 0.40||not timed|0.21|1|passed",
		"3.1": "3.1|near its limit|t 2.10||not timed|0.21|1|undecided", "7.1": "7.1|counted|c 0.80||0.40|0.21|1|passed",
		"8.1": "8.1|told|0.40||0.40|0.05|1|passed", "4.1": "4.1|crossed|–||–||1|failed: crossed",
		"6.2": "6.2|never heard of|–||–||0|not tested", "5.1": "5.1|chatters|not timed||not timed||1|failed: unsteady",
	} {
		assert.Equal(t, want, rowOf(t, d, point))
	}
	text := d.PlainText()
	for _, want := range []string{"t: timed from a touch", "c: timed from the end of the phone's count", "Not timed:",
		"Of 12 trials that were carried to their end, 1 cued by this program, 3 cued by a touch of the phone, 1 cued by " +
			"the count of the phone and 7 not timed.",
		"± 0.031 s at worst, ± 0.020 s typically", "up to 0.2 s", "“Bramble 7, 360 × 780”", "reported, not timed",
		"drawn on the glass", "09:00:", "89.969 to 90.031"} {
		assert.Contains(t, text, want)
	}
	for _, never := range []string{"by one clock"} {
		assert.NotContains(t, text, never)
	}
	assert.Contains(t, withPhone(t, "keys").PlainText(), "by one clock")
	const bank = "which of them was operated is as the technician said"
	assert.Contains(t, text, bank)
	assert.NotContains(t, withPhone(t, "keys").PlainText(), bank, "each was told to be operated")
	plain := pottery(t).PlainText()
	for _, never := range []string{"the phone", "|not timed|", "t: timed", "on the glass"} {
		assert.NotContains(t, plain, never, "no phone was there")
	}
}

var penned = regexp.MustCompile(`(?m)^(-?[\d.]+) (-?[\d.]+) ([ml])$`)

// Signatures that were drawn on glass are drawn in lines, point by point, in their boxes, in the
// proportions of their sheet.
func TestSignaturesAreLines(t *testing.T) {
	d := withPhone(t, "roamed")
	pdf, err := Render(d, made)
	require.NoError(t, err)
	f, err := pdffile.Open(pdf)
	require.NoError(t, err)
	pages, err := f.Pages()
	require.NoError(t, err)
	var points [][2]float64
	inks := 0
	for _, page := range pages {
		content, err := f.Content(page, 1<<20)
		require.NoError(t, err)
		for _, block := range bytes.Split(content, []byte("\nq\n0.90 w 1 J 1 j\n"))[1:] {
			block, _, ends := bytes.Cut(block, []byte("\nQ\n"))
			require.True(t, ends)
			inks++
			assert.NotContains(t, string(block), "Do", "no picture")
			for _, m := range penned.FindAllStringSubmatch(string(block), -1) {
				x, _ := strconv.ParseFloat(m[1], 64)
				y, _ := strconv.ParseFloat(m[2], 64)
				points = append(points, [2]float64{x, y})
			}
		}
	}
	assert.Equal(t, 2, inks)
	r := assessed(t, "roamed").Record()
	technician := r.Find("sign-off/technician").Signed().Strokes
	n := 0
	for _, line := range technician.Lines {
		n += len(line) / 2
	}
	require.Len(t, points, 2*n)
	// The technician's box: 87 mm wide from the margin of 15 mm, 27 mm of it for the role.
	const point = 72 / 25.4
	for i, p := range points[:n] {
		assert.Greater(t, p[0], (15+27.0)*point, i)
		assert.Less(t, p[0], (15+87-3.0)*point, i)
	}
	first := technician.Lines[0]
	dx, dy := points[1][0]-points[0][0], points[1][1]-points[0][1]
	assert.InDelta(t, float64(first[3]-first[1])/float64(first[2]-first[0]), -dy/dx, 0.01, "in proportion, and upright")
}

// A drawing keeps in its box, whatever was drawn on whatever sheet.
func TestADrawingKeepsInItsBox(t *testing.T) {
	for name, s := range map[string]record.Strokes{
		"a level line":   {Width: 600, Height: 200, Lines: [][]int16{{0, 100, 600, 100}}},
		"an upright one": {Width: 600, Height: 200, Lines: [][]int16{{300, 0, 300, 200}}},
		"dots":           {Width: 600, Height: 200, Lines: [][]int16{{300, 100}, {301, 100}}},
		"a tall sheet":   {Width: 10, Height: 4096, Lines: [][]int16{{0, 0, 10, 4096}}},
		"a sheet of one": {Width: 1, Height: 1, Lines: [][]int16{{0, 0, 1, 1}}},
	} {
		drawn := drawnLines{of: &s, x: 30, y: 2, width: 50, height: 12}.operators(A4, 100)
		all := penned.FindAllStringSubmatch(string(drawn), -1)
		require.NotEmpty(t, all, name)
		for _, m := range all {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			x, y = x/72*25.4-A4.margin(), 297-y/72*25.4-marginTop-100
			assert.True(t, x >= 30-0.01 && x <= 80.01 && y >= 2-0.01 && y <= 14.01, "%s: %.2f, %.2f", name, x, y)
		}
	}
}

// Where lines are drawn, by hand: in a box of 50 by 12 mm, 30 mm from the margin and 2 mm below
// the top of its part.
func TestWhereLinesAreDrawn(t *testing.T) {
	for name, test := range map[string]struct {
		of   record.Strokes
		want string // mm in the part
	}{
		// 12 mm for 200 units: 36 mm across, in the middle of 50.
		"all of a sheet": {record.Strokes{Width: 600, Height: 200, Lines: [][]int16{{0, 0, 600, 200}}},
			"37.0,2.0 m 73.0,14.0 l S"},
		// What is drawn counts, not the sheet: 50 mm for 300 units, 1.7 mm high.
		"a low line": {record.Strokes{Width: 600, Height: 200, Lines: [][]int16{{200, 100, 500, 110}}},
			"30.0,7.2 m 80.0,8.8 l S"},
		// A dot counts for a quarter of its sheet: it stands in the middle.
		"a dot, and another": {record.Strokes{Width: 600, Height: 200, Lines: [][]int16{{300, 100}, {310, 100}}},
			"53.8,8.0 m 53.8,8.0 l S 56.2,8.0 m 56.2,8.0 l S"},
		"three points": {record.Strokes{Width: 600, Height: 200, Lines: [][]int16{{0, 0, 600, 0, 600, 200}}},
			"37.0,2.0 m 73.0,2.0 l 73.0,14.0 l S"},
	} {
		drawn := string(drawnLines{of: &test.of, x: 30, y: 2, width: 50, height: 12}.operators(A4, 100))
		_, drawn, _ = strings.Cut(drawn, "RG\n")
		drawn, _, _ = strings.Cut(drawn, "Q\n")
		var got []string
		for _, operator := range strings.Split(strings.TrimSpace(drawn), "\n") {
			m := penned.FindStringSubmatch(operator)
			if m == nil {
				got = append(got, operator)
				continue
			}
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			got = append(got, fmt.Sprintf("%.1f,%.1f %s", x/72*25.4-15, 297-y/72*25.4-10-100, m[3]))
		}
		assert.Equal(t, test.want, strings.Join(got, " "), name)
	}
}

// A legend explains what stands above it, and nothing else.
func TestLegendsOfATable(t *testing.T) {
	touched, counted, untimed := "t: timed", "c: timed", "Not timed:"
	for name, want := range map[string][]string{
		"roamed": {touched, counted, untimed}, "keys": {counted}, "reported": {untimed}, "detectors": nil,
	} {
		text := withPhone(t, name).PlainText()
		for _, legend := range []string{touched, counted, untimed} {
			assert.Equal(t, slices.Contains(want, legend), strings.Contains(text, legend), "%s: %s", name, legend)
		}
	}
}

// Poppler sees no picture in a certificate that was signed on glass, and dark lines where the
// technician signed.
func TestPopplerSeesLines(t *testing.T) {
	pdfimages := outsidetool.Find(t, "pdfimages")
	for _, name := range []string{"roamed", "reported", "keys"} {
		pdf, err := Render(withPhone(t, name), made)
		require.NoError(t, err)
		path := filepath.Join(t.TempDir(), name+".pdf")
		require.NoError(t, os.WriteFile(path, pdf, 0o600))
		out, err := exec.Command(pdfimages, "-list", path).CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Len(t, strings.Split(strings.TrimSpace(string(out)), "\n"), 2, "a head and no picture:\n%s", out)
		if folder := os.Getenv("LOOPWITNESS_PAGES"); folder != "" {
			require.NoError(t, os.WriteFile(filepath.Join(folder, fmt.Sprint(name, ".pdf")), pdf, 0o600))
		}
	}
}
