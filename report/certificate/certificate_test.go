package certificate

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/johnfercher/go-tree/node"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

var update = flag.Bool("update", false, "rewrite golden files; read the difference")

var made = time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)

func potteryAssessment(t testing.TB) *judge.Assessment {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	return judge.Assess(r)
}

func pottery(t testing.TB) Document {
	return Write(potteryAssessment(t), Options{Language: words.English{}, Revision: 1, Tool: "loopwitness test",
		Journal:  strings.Repeat("0123456789abcdef", 4),
		SealedBy: Sealer{Kind: KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

// The whole content of a certificate, read by a person.
func TestContent(t *testing.T) {
	const golden = "testdata/pottery.golden"
	got := pottery(t).PlainText()
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// What forms ask for and what is never claimed.
func TestContentThatMustBeThere(t *testing.T) {
	text := pottery(t).PlainText()
	for _, want := range []string{"SIMULATED", "Local codes", "does not declare", "lengthens it",
		"as declared by the installer", "JCGM 106", "common practice", "hearing",
		"for licensed persons",
		"receiving centre", "not tested: “the till drawer", "before: silent, mended: ", "licence T-0881", "accepts L1 L2",
		"± 0.02 V", "fedc fedc fedc",
		"No check shows that what was recorded is true"} {
		assert.Contains(t, text, want)
	}
	for _, never := range []string{"complies", "conforms with", "in conformity", "compliant",
		"reasonable skill", "flatter", "to show 99 %", "To show 99 %", "cut-off, which", "opened, heard", "n/s", "for 0 s"} {
		assert.NotContains(t, text, never)
	}
}

// Who seals is said; that nobody does, too, on every page and in words.
func TestSealsAreSaid(t *testing.T) {
	for _, test := range []struct {
		seal          Sealer
		notice, never string
		inWords       string
	}{
		{Sealer{}, "unsigned", "throw-away", "Nothing shows who made this file"},
		{Sealer{Kind: ThrowAwayKey, Name: "x", Fingerprint: "ab"}, "sealed with a throw-away key", "unsigned",
			"It proves nothing about who made this"},
		{Sealer{Kind: "invented"}, "unsigned", "throw-away", "Nothing shows who made this file"},
	} {
		d := Write(potteryAssessment(t),
			Options{Language: words.English{}, SealedBy: test.seal, Journal: "0123456789abcdef0123"})
		assert.Contains(t, d.Notices, test.notice)
		assert.NotContains(t, d.Notices, test.never)
		assert.Contains(t, d.PlainText(), test.inWords)
	}
	d := Write(potteryAssessment(t), Options{Language: words.English{}, Journal: "0123456789abcdef0123",
		SealedBy: Sealer{Kind: KeyHolder, Name: "x", Fingerprint: "ab"}})
	assert.Equal(t, []string{"SIMULATED: practice, no evidence of any installation"}, d.Notices)
}

// textsOf lists every text of a page's components, walking the library's tree.
func textsOf(n *node.Node[core.Structure]) []string {
	var out []string
	if s := n.GetData(); s.Type == "text" {
		out = append(out, fmt.Sprint(s.Value))
	}
	for _, child := range n.GetNexts() {
		out = append(out, textsOf(child)...)
	}
	return out
}

// large is a certificate with many rows of many lines.
func large(rows int) Document {
	d := Document{Language: words.English{}, Installer: "Bellbird", Number: "X-1", Title: "Walk-test certificate",
		Banner: Banner{Word: "Satisfactory", Sentence: "x"}}
	t := Table{Columns: []Column{{Head: "Point", Width: 30}, {Head: "Detector", Width: 150}}}
	for i := range rows {
		r := Row{Cells: []Cell{{Text: fmt.Sprintf("point-%d.", i)}, {Text: strings.Repeat("long name ", i%40)}}}
		if i%7 == 0 {
			r.Remark = strings.Repeat("a remark that goes on ", i%50)
		}
		t.Rows = append(t.Rows, r)
	}
	d.Sections = []Section{{Title: "Zone schedule", Blocks: []Block{t}},
		{Title: "Last", Blocks: []Block{Prose{Text: "the end"}}}}
	return d
}

// Every row stands on exactly one page, every page of a table repeats its head,
// nothing runs over a page's end, and no head or title stands at its foot.
func TestPages(t *testing.T) {
	d := large(300)
	pages, _, _ := marotoPages(d)
	require.Greater(t, len(pages), 10)
	seen := map[string]int{}
	for i, p := range pages {
		all := textsOf(p.GetStructure())
		for _, w := range all {
			if strings.HasPrefix(w, "point-") {
				seen[w]++
			}
		}
		assert.Contains(t, all, fmt.Sprintf("page %d of %d", i+1, len(pages)))
		assert.Contains(t, all, "X-1")
		if i < len(pages)-1 {
			assert.Contains(t, all, "Point", "the head is repeated on page %d", i+1)
		}
		height := 0.0
		for _, r := range p.GetRows() {
			height += r.GetHeight(nil, nil)
		}
		assert.LessOrEqual(t, height, A4.usable()+0.01, "page %d", i+1)
	}
	assert.Len(t, seen, 300)
	for w, n := range seen {
		assert.Equal(t, 1, n, w)
	}
	for _, sheet := range paginate(d) {
		last := wordsOf(sheet[len(sheet)-1])
		assert.NotEqual(t, []string{"Zone schedule"}, last)
		assert.NotEqual(t, []string{"Point", "Detector"}, last)
	}
}

// A text that would not fit a page is continued, and no part is higher than a
// page has room for.
func TestNothingIsHigherThanAPage(t *testing.T) {
	huge := strings.Repeat("word ", 5000)
	d := large(3)
	table := Table{Columns: []Column{{Head: "a", Width: 90}, {Head: "b", Width: 90}},
		Rows: []Row{{Cells: []Cell{{Text: huge}, {Text: "x"}}, Remark: huge}}}
	d.Sections = []Section{{Title: "A", Blocks: []Block{Prose{Text: huge}, Pairs{{"label", huge}, {"b", "c"}},
		Items{{Mark: "F1", About: huge, Text: huge}}, table}}}
	total := 0
	for _, sheet := range paginate(d) {
		used := 0.0
		for _, p := range sheet {
			used += p.height
			for _, w := range wordsOf(p) {
				total += strings.Count(w, "word")
			}
		}
		assert.LessOrEqual(t, used, A4.usable()-footHeight+0.01)
	}
	assert.Equal(t, 6*5000, total, "no word is lost")
}

func TestLegible(t *testing.T) {
	for in, want := range map[string]string{
		"Žák-Ünal Жанна Ω ≤ ±": "Žák-Ünal Жанна Ω ≤ ±",
		"kiln 🏺":               "kiln ‹symbol›",
		"👨\u200d👩":             "‹symbol›",
		"bell\a, esc\x1b[31m":  "bell¤, esc¤[31m",
		"\u202eevil":           "¤evil",
		"a\tb":                 "a b",
		"bad \xff":             "bad �",
	} {
		assert.Equal(t, want, legible(in, faceFor(in, false)), "%q", in)
	}
}

func TestTypesetFitsItsWidth(t *testing.T) {
	for _, s := range []string{"", " ", strings.Repeat("W", 200),
		"a normal sentence of some words that has to be broken", "窯元の工房", "line\nbreak", strings.Repeat("🏺", 60)} {
		for _, width := range []float64{12, 40, 170} {
			for _, l := range typeset(s, sizeText, true, width) {
				assert.LessOrEqual(t, l.width, width+0.01, "%q in %v mm", s, width)
			}
		}
	}
}

// Nothing that is typed panics, vanishes or runs over its column.
func FuzzTypeset(f *testing.F) {
	f.Add("Žák 🏺 \u202e שלום باب\x00\n", 30.0)
	f.Fuzz(func(t *testing.T, s string, width float64) {
		if !(width > 12 && width < 500) || len(s) > 2000 {
			return
		}
		for _, l := range typeset(s, sizeText, false, width) {
			if l.width > width+0.01 || strings.ContainsAny(l.text, "\n\t\x00\x1b\u202e") {
				t.Fatalf("%q: %v mm in %v", l.text, l.width, width)
			}
		}
	})
}

func render(t testing.TB, d Document) string {
	t.Helper()
	pdf, err := Render(d, made)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "certificate.pdf")
	require.NoError(t, os.WriteFile(path, pdf, 0o644))
	return path
}

// An outside reader finds the same texts on the pages.
func TestOutsideReaderFindsTheSame(t *testing.T) {
	pdftotext, pdfinfo := outsidetool.Find(t, "pdftotext"), outsidetool.Find(t, "pdfinfo")
	d := pottery(t)
	path := render(t, d)
	out, err := exec.Command(pdftotext, "-layout", path, "-").Output()
	require.NoError(t, err)
	text := strings.Join(strings.Fields(string(out)), " ")
	pages := strings.Count(string(out), "\f")
	assert.Greater(t, pages, 2)
	for i := range pages {
		assert.Contains(t, text, fmt.Sprintf("page %d of %d", i+1, pages))
	}
	for _, s := range d.Sections {
		assert.Contains(t, text, apostrophes(s.Title))
		for _, b := range s.Blocks {
			table, ok := b.(Table)
			if !ok {
				continue
			}
			for _, row := range table.Rows {
				for _, c := range row.Cells {
					if len(c.Text) < 20 { // longer ones are broken over lines
						assert.Contains(t, text, apostrophes(c.Text))
					}
				}
			}
		}
	}
	info, err := exec.Command(pdfinfo, path).Output()
	require.NoError(t, err)
	assert.Contains(t, string(info), "A4")
	assert.Contains(t, string(info), "Walk-test certificate KP-0042")
}

// randomDocument has blocks of every kind with any number of words.
func randomDocument(r *rand.Rand) Document {
	some := func(most int) string { return strings.TrimSpace(strings.Repeat("word ", 1+r.IntN(most))) }
	d := large(r.IntN(40))
	d.Notices = []string{"unsigned"}
	for range 1 + r.IntN(6) {
		items := Items{{Mark: "L1", About: some(12), Text: some(60)}, {Mark: "L2", Text: some(9)}}
		prose, pairs := Prose{Text: some(90), Quiet: r.IntN(2) == 0}, Pairs{{"a", some(20)}, {"b", some(9)}, {"c", "d"}}
		boxes := Signatures{{Role: "Technician", Name: some(5), Detail: some(30)}, {Role: "Customer", Name: "x", Detail: "y"}}
		d.Sections = append(d.Sections, Section{Title: some(4), Blocks: []Block{prose, pairs, items, boxes}})
	}
	return d
}

// The file has as many pages as its feet say, whatever stands on them.
func TestNoBlankPages(t *testing.T) {
	pdfinfo := outsidetool.Find(t, "pdfinfo")
	r := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		d := randomDocument(r)
		out, err := exec.Command(pdfinfo, render(t, d)).Output()
		require.NoError(t, err)
		assert.Regexp(t, fmt.Sprintf(`Pages:\s+%d\n`, len(paginate(d))), string(out))
	}
}

func TestOutsideCheckerFindsTheFileSound(t *testing.T) {
	qpdf := outsidetool.Find(t, "qpdf")
	out, err := exec.Command(qpdf, "--check", render(t, pottery(t))).CombinedOutput()
	assert.NoError(t, err, string(out))
}

func BenchmarkRender(b *testing.B) {
	for _, rows := range []int{10, 100, 1000} {
		d := large(rows)
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			for b.Loop() {
				if _, err := Render(d, made); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
