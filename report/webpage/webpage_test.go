package webpage

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/invented"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/alltexts"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/commission/words/german"
	"loopwitness/commission/words/pseudo"
	"loopwitness/report/certificate"
)

// documentOf is a certificate in a language.
func documentOf(a *judge.Assessment, l words.Language) certificate.Document {
	return certificate.Write(a, certificate.Options{Language: l, Revision: 1, Tool: "loopwitness test",
		Journal: strings.Repeat("0123456789abcdef", 4), SealedBy: certificate.Sealer{Kind: certificate.KeyHolder,
			Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

func ofJournal(name string) func(testing.TB) *judge.Assessment {
	return func(t testing.TB) *judge.Assessment {
		contents, err := journal.ReadFile("../../testdata/journals/" + name + ".jsonl")
		require.NoError(t, err)
		r, err := record.Fold(contents.Entries)
		require.NoError(t, err)
		return judge.Assess(r)
	}
}

// ran is a visit of the small shop, its site file changed.
func ran(change func(site string) string) func(testing.TB) *judge.Assessment {
	return func(t testing.TB) *judge.Assessment {
		const base = "../../testdata/visits/base"
		site, err := os.ReadFile(base + "/site.yaml")
		require.NoError(t, err)
		controller, err := os.ReadFile(base + "/controller.yaml")
		require.NoError(t, err)
		answers, err := os.ReadFile(base + "/answers.yaml")
		require.NoError(t, err)
		a, err := dryrun.Run([]byte(change(string(site))), controller, answers)
		require.NoError(t, err)
		return a
	}
}

// ofZones is a pottery of so many zones; of 40 or more, some of its detectors fail.
func ofZones(n int) func(testing.TB) *judge.Assessment {
	return func(t testing.TB) *judge.Assessment {
		f := invented.Large{Zones: n, Detectors: n, Spoilt: n >= 40}.Files()
		a, err := dryrun.Run(f.Site, f.Controller, f.Answers)
		require.NoError(t, err)
		return a
	}
}

const (
	script   = `<script>document.title=1</script>`
	closing  = `</td></table><img src=x onerror=alert(1)>`
	quoting  = `" onmouseover="alert(1)" x="`
	hebrew   = "חלון הגג הצפוני"
	arabic   = "باب الساحة الخلفية"
	override = "\u202eevil"
)

// hostile has names that are markup, right to left, or long.
func hostile(site string) string {
	for _, of := range [][2]string{{"[Shop door contact]", "['" + script + "']"},
		{"name: Windows", "name: '" + closing + "'"},
		{"name: Left window", "name: '" + quoting + "'"}, {"name: Right window", "name: '" + hebrew + "'"},
		{"name: Saltglaze Shop", "name: '" + script + arabic + "'"},
		{"name: Kiln smoke", "name: '" + strings.Repeat("Töpferscheibe", 8) + "'"},
		{"company: Bellbird Alarm Services", "company: '" + closing + "'"}, {"Ottoline Marsh-Tanaka", "'{{.Language}}'"},
		{"use: shop", "use: 'javascript:alert(1)&lt;b&gt;'"}} {
		site = strings.Replace(site, of[0], of[1], 1)
	}
	return site
}

// drawn keeps what documents gives: nobody changes it.
var drawn map[string]certificate.Document

// documents are of visits that differ, in several languages.
func documents(t testing.TB) map[string]certificate.Document {
	if drawn != nil {
		return drawn
	}
	all := map[string]certificate.Document{}
	for name, of := range map[string]func(testing.TB) *judge.Assessment{
		"demonstration": ofJournal("pottery-handover"), "unfinished": ofJournal("unfinished"),
		"reported": ofJournal("reported"),
		"retest":   ofJournal("retest"), "roamed": ofJournal("roamed"), "inline": ofJournal("inline"), "3 zones": ofZones(3),
		"300 zones": ofZones(300), "hostile": ran(hostile)} {
		all[name] = documentOf(of(t), words.English{})
	}
	all["German"] = documentOf(ofJournal("pottery-handover")(t), german.Language{})
	all["brackets"] = documentOf(ofJournal("pottery-handover")(t), pseudo.Language{})
	all["every block"] = everyBlock()
	drawn = all
	return all
}

// everyBlock has all that a document can hold.
func everyBlock() certificate.Document {
	axis := func(name string) certificate.Axis { return certificate.Axis{Name: name, From: 0, To: 10} }
	return certificate.Document{Language: words.English{}, Installer: "Bellbird", Number: "X-1", Title: "Certificate",
		Subtitle: "of a visit", Notices: []string{"unsigned"}, Dangers: []string{"the battery gases"},
		Journal: strings.Repeat("ab", 32), Banner: certificate.Banner{Tone: certificate.Bad, Word: "Unsatisfactory",
			Sentence: "see below", Figures: []certificate.Figure{{Value: "3", Label: "findings"}}},
		Sections: []certificate.Section{{Title: "Everything", Blocks: []certificate.Block{
			certificate.Prose{Text: "a paragraph", Quiet: true},
			certificate.Pairs{{Label: "label", Value: "two\nlines"}},
			certificate.Items{{Mark: "F1", Grade: "danger", Tone: certificate.Bad, About: "Battery",
				Text: "gases", Then: "renew"}},
			certificate.Table{Columns: []certificate.Column{{Head: "Point"}, {Head: "Response", Unit: "s"}, {},
				{Head: "Verdict"}},
				Rows: []certificate.Row{{Head: "Zone 1", Remark: "a remark",
					Cells: []certificate.Cell{{Text: "1.1"}, {Text: "0.71"},
						{Bar: &certificate.Bar{Value: 0.71, Limit: 2, Full: 3}}, {Text: "late", Tone: certificate.Bad}}}}},
			certificate.Charts{{X: axis("time / s"), Y: axis("share / %"), Says: "half of them",
				Areas:  []certificate.Area{{From: 1, To: 2.5, Name: "mains off"}},
				Guides: []certificate.Guide{{X: 1, Y: 5, Text: "1 s"}},
				Lines: []certificate.Line{
					{Name: "readings", Points: []certificate.ChartPoint{{X: 1.23456, Y: 3, Within: 0.25}}},
				}}},
			certificate.ThenNow{Axis: axis("share / %"), LimitAt: 10, Limit: "limit", Then: "2025", Now: "2026", Says: "slower",
				Rows: []certificate.ThenNowRow{{Mark: "5.1", Name: "Motion", Then: 2, Now: 8, Text: "1 → 4 s", Marked: true}}},
			certificate.Signatures{{Role: "Technician", Name: "Bea", Detail: "today", Strokes: &record.Strokes{Width: 600,
				Height: 200, Lines: [][]int16{{0, 0, 90, 80}, {10, 10}}}}, {Role: "Customer", Name: "Cy", Drawing: []byte("png")}},
			certificate.Pictures{{Image: []byte("jpeg"), Title: "P1 Supply", Text: "as found"}},
			certificate.Code{Content: "X-1 sha256", Beside: certificate.Pairs{{Label: "Journal", Value: "abab"}}},
		}}}}
}

func written(t testing.TB, d certificate.Document, from Origin) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, d, from))
	return b.String()
}

func parsed(t testing.TB, page string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	return root
}

func each(n *html.Node, do func(*html.Node)) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode {
			do(d)
		}
	}
}

func all(n *html.Node, name string) (out []*html.Node) {
	each(n, func(e *html.Node) {
		if e.Data == name {
			out = append(out, e)
		}
	})
	return out
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// textOf is what is read of an element, marks left out, its blanks made one.
func textOf(n *html.Node) string {
	var b strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		switch {
		case n.Type == html.TextNode:
			b.WriteString(n.Data)
		case n.Data == "style" || attr(n, "aria-hidden") == "true":
			return
		}
		for c := range n.ChildNodes() {
			walk(c)
		}
	}
	walk(n)
	return blanks(b.String())
}

func blanks(s string) string { return strings.Join(strings.Fields(s), " ") }

// All that a certificate states is read on the page.
func TestSaysAllThatIsStated(t *testing.T) {
	for name, d := range documents(t) {
		text := textOf(parsed(t, written(t, d, IntactFile)))
		stated := d.Stated()
		require.NotEmpty(t, stated)
		for _, s := range stated {
			for part := range partsOf(text, s.Text) {
				assert.True(t, strings.Contains(text, part), "%s: %s: %q", name, s.Key, part)
			}
		}
	}
}

// partsOf are what a statement is put together of (certificate/stated.go), where it does not stand whole in the text.
func partsOf(text, statement string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, by := range []string{"\x00", ": ", ", "} {
			parts := strings.Split(blanks(statement), by)
			whole := !slices.ContainsFunc(parts, func(p string) bool { return !strings.Contains(text, p) })
			if whole || by == ", " {
				slices.Values(parts)(yield)
				return
			}
		}
	}
}

// notRead are texts of a document that no page needs.
var notRead = []string{"Document.Language", "Document.Journal", "Document.Tool",
	// of page one: what is said where rows have no room, and a drawing's scale
	"FrontRow.Rest", "Timeline.OffScale", "Axis.Ticks",
	// of entries that paper leaves out: the page has them
	"Section.Elsewhere",
	// of a level line: its value, which stands among the points of the chart
	"Line.End"}

// Every text of a document is read on the page: one of a kind that is new, too.
func TestReadsEveryText(t *testing.T) {
	for name, d := range documents(t) {
		text := textOf(parsed(t, written(t, d, FailedFile)))
		seen := 0
		alltexts.Each(d, "Document", func(place, s string) {
			seen++
			assert.True(t, strings.Contains(text, blanks(s)), "%s: %s: %q", name, place, s)
		}, notRead...)
		assert.Greater(t, seen, 30, name)
	}
}

// Tables have the same cells in the same places, each below the head of its column.
func TestTablesHaveTheirCells(t *testing.T) {
	for name, d := range documents(t) {
		var want []certificate.Table
		for _, s := range append((writer{d.Language}).front(d.Front), d.Sections...) {
			for _, b := range s.Blocks {
				if table, is := b.(certificate.Table); is {
					want = append(want, table)
				}
			}
		}
		var got []*html.Node
		for _, table := range all(parsed(t, written(t, d, IntactFile)), "table") {
			if table.Parent.Data != "details" {
				got = append(got, table)
			}
		}
		require.Len(t, got, len(want), name)
		for i, table := range want {
			sameTable(t, name, table, got[i])
		}
	}
}

func sameTable(t *testing.T, name string, want certificate.Table, got *html.Node) {
	t.Helper()
	var heads []*html.Node
	each(all(got, "tr")[0], func(e *html.Node) { heads = append(heads, e) })
	require.Len(t, heads, len(want.Columns), name)
	for i, c := range want.Columns {
		assert.True(t, strings.HasPrefix(textOf(heads[i]), c.Head), name)
	}
	var rows [][]string
	for _, tr := range all(got, "tr")[1:] {
		var cells []string
		each(tr, func(e *html.Node) {
			if e.Data == "td" || e.Data == "th" {
				cells = append(cells, textOf(e))
			}
		})
		rows = append(rows, cells)
	}
	var flat [][]string
	for _, r := range want.Rows {
		if r.Head != "" {
			flat = append(flat, []string{blanks(r.Head)})
		}
		var cells []string
		for _, c := range r.Cells {
			if c.Bar != nil {
				c.Text = words.English{}.Number(c.Bar.Limit, words.AsNeeded)
			}
			cells = append(cells, blanks(c.Says()))
		}
		flat = append(flat, cells)
		if r.Remark != "" {
			flat = append(flat, []string{blanks(r.Remark)})
		}
	}
	if name != "brackets" { // which writes numbers otherwise
		assert.Equal(t, flat, rows, name)
	}
}

// The page is sound: one language, landmarks, headings in order, every id once and every link to one, each table with
// a caption and heads that say of what, each picture with a text, and nothing from elsewhere.
func TestIsSound(t *testing.T) {
	for name, d := range documents(t) {
		root := parsed(t, written(t, d, IntactFile))
		ids, level := map[string]bool{}, 0
		each(root, func(e *html.Node) {
			if id := attr(e, "id"); id != "" {
				assert.False(t, ids[id], "%s: id %s twice", name, id)
				ids[id] = true
			}
			if len(e.Data) == 2 && e.Data[0] == 'h' && e.Data[1] >= '1' && e.Data[1] <= '6' {
				now := int(e.Data[1] - '0')
				assert.LessOrEqual(t, now, level+1, "%s: %s", name, textOf(e))
				level = now
			}
			for _, a := range e.Attr {
				assert.False(t, strings.HasPrefix(a.Key, "on") || a.Key == "style", "%s: %s", name, a.Key)
				assert.False(t, a.Key == "lang" && e.Data != "html", name)
				if a.Key == "src" || a.Key == "href" {
					assert.Regexp(t, `^(data:image/(png|jpeg);base64,|#)`, a.Val, name)
				}
			}
		})
		each(root, func(e *html.Node) {
			if to := strings.TrimPrefix(attr(e, "href"), "#"); e.Data == "a" {
				assert.True(t, ids[to], "%s: a link to %s", name, to)
			}
		})
		assert.Len(t, all(root, "h1"), 1, name)
		for _, landmark := range []string{"header", "main", "nav", "footer", "title"} {
			assert.Len(t, all(root, landmark), 1, name)
		}
		for _, never := range []string{"script", "link", "iframe", "object", "form", "base"} {
			assert.Empty(t, all(root, never), name)
		}
		assert.Equal(t, d.Language.Tag(), attr(all(root, "html")[0], "lang"))
		for _, table := range all(root, "table") {
			require.NotNil(t, table.FirstChild.NextSibling, name)
			assert.NotEmpty(t, textOf(all(table, "caption")[0]), name)
			for _, th := range all(table, "th") {
				assert.Contains(t, []string{"col", "row", "rowgroup"}, attr(th, "scope"), name)
			}
		}
		for _, img := range all(root, "img") {
			assert.True(t, slices.ContainsFunc(img.Attr, func(a html.Attribute) bool { return a.Key == "alt" }), name)
		}
		assert.GreaterOrEqual(t, len(all(all(root, "nav")[0], "li")), len(d.Sections), name)
		assert.Empty(t, all(root, "h3"), name)
	}
}

// What a parser takes for an error it mends in silence: it reads the page as it was written.
func TestIsWrittenAsItIsRead(t *testing.T) {
	tag := regexp.MustCompile(`<(/?)([a-z0-9]+)`)
	void := map[string]bool{"meta": true, "img": true}
	for name, d := range documents(t) {
		page := written(t, d, IntactFile)
		var open []string
		for _, m := range tag.FindAllStringSubmatch(page, -1) {
			switch {
			case m[1] == "" && !void[m[2]] && m[2] != "path":
				open = append(open, m[2])
			case m[1] != "":
				require.NotEmpty(t, open, name)
				require.Equal(t, open[len(open)-1], m[2], name)
				open = open[:len(open)-1]
			}
		}
		assert.Empty(t, open, name)
	}
}

// Names are texts, and never markup.
func TestNamesAreTexts(t *testing.T) {
	page := written(t, documentOf(ran(hostile)(t), words.English{}), IntactFile)
	root := parsed(t, page)
	text := textOf(root)
	for _, name := range []string{script, closing, quoting, hebrew, arabic, "{{.Language}}",
		"javascript:alert(1)&lt;b&gt;"} {
		want := blanks(strings.ReplaceAll(name, `"`, ""))
		assert.True(t, strings.Contains(strings.ReplaceAll(text, `"`, ""), want), name)
	}
	assert.Empty(t, all(root, "script"))
	assert.Empty(t, all(root, "img"))
	assert.NotContains(t, page, "<script")
	// A name that is read from the right does not turn the sentence around it.
	assert.Contains(t, text, words.FirstStrongIsolate+hebrew+words.PopIsolate)
	assert.NotContains(t, written(t, everyNamed(override), IntactFile), "\u202e")
}

// everyNamed is a document with a text that somebody typed.
func everyNamed(name string) certificate.Document {
	d := everyBlock()
	d.Subtitle = words.English{}.Say(words.Named(name))
	return d
}

// It says first that it is no certificate, of which file it speaks, and what came of checking that.
func TestSaysWhatItIs(t *testing.T) {
	l := words.English{}
	for from, said := range map[Origin]words.WebLabel{IntactFile: words.WebIntact, FailedFile: words.WebFails,
		UncheckedFile: words.WebUnchecked, Visit: words.WebOfVisit} {
		root := parsed(t, written(t, everyBlock(), from))
		text := textOf(root)
		assert.Contains(t, text, l.Say(said))
		assert.Contains(t, text, l.Say(words.WebForThose))
		assert.Contains(t, text, grouped(strings.Repeat("ab", 32)))
		assert.Equal(t, from == FailedFile, strings.Contains(text, l.Say(words.WebFailsFirst)))
		for _, other := range checked {
			assert.Equal(t, other == said, strings.Contains(text, l.Say(other)))
		}
		// Dangers stand before all else, whatever the file is worth.
		heads := all(root, "h2")
		assert.Equal(t, l.Say(words.WebDangers), textOf(heads[0]))
		assert.Equal(t, l.Say(words.WebAbout), textOf(heads[1]))
		// No file was looked at: nothing is said of how it is checked.
		assert.Equal(t, from != Visit, strings.Contains(written(t, documents(t)["3 zones"], from), l.Say(words.FollowNote)))
	}
}

// A block of every kind has its form: a kind that has none fails here before it fails for a reader.
func TestEveryBlockHasAForm(t *testing.T) {
	kinds, cases := map[string]bool{}, map[string]bool{}
	inSource(t, "../certificate", func(n ast.Node) {
		if f, is := n.(*ast.FuncDecl); is && f.Name.Name == "block" && f.Recv != nil && len(f.Recv.List) == 1 {
			if of, is := f.Recv.List[0].Type.(*ast.Ident); is && f.Type.Results == nil {
				kinds[of.Name] = true
			}
		}
	})
	delete(kinds, "stating") // states blocks, and is none
	inSource(t, ".", func(n ast.Node) {
		if c, is := n.(*ast.CaseClause); is {
			for _, of := range c.List {
				if s, is := of.(*ast.SelectorExpr); is {
					cases[s.Sel.Name] = true
				}
			}
		}
	})
	require.Greater(t, len(kinds), 8)
	for kind := range kinds {
		assert.True(t, cases[kind], "a page of text has no form for certificate.%s", kind)
	}
	shown := map[string]bool{}
	for _, b := range everyBlock().Sections[0].Blocks {
		shown[reflect.TypeOf(b).Name()] = true
	}
	assert.Equal(t, kinds, shown, "everyBlock has one of each")
	d := everyBlock()
	d.Sections[0].Blocks = append(d.Sections[0].Blocks, struct{ certificate.Block }{})
	assert.ErrorContains(t, Write(&bytes.Buffer{}, d, IntactFile), "no form")
}

func inSource(t *testing.T, folder string, do func(ast.Node)) {
	t.Helper()
	files, err := filepath.Glob(folder + "/*.go")
	require.NoError(t, err)
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool { do(n); return true })
	}
}

// Values of charts are as exact as the drawing, and no more.
func TestValuesOfCharts(t *testing.T) {
	for _, c := range []struct{ v, from, to, want float64 }{{1.23456, 0, 10, 1.23}, {13.204, 12, 14, 13.204},
		{18.7664, 0, 110, 18.8}, {1234.5, 0, 5000, 1235}, {7.5, 0, 0, 7.5}} {
		assert.InDelta(t, c.want, rounded(c.v, certificate.Axis{From: c.from, To: c.to}), 1e-9, "%v", c)
	}
}

// No words stand in the source but those of the catalogue: in templates no letter stands between tags.
func TestNoWordsInTheTemplates(t *testing.T) {
	source, err := fs.ReadFile(os.DirFS("."), "page.gohtml")
	require.NoError(t, err)
	text := string(source)
	for _, of := range []string{`(?s)\{\{.*?\}\}`, `<[^>]*>`, `&nbsp;`} {
		text = regexp.MustCompile(of).ReplaceAllString(text, " ")
	}
	classes := []string{"good", "warn", "bad"} // which stand within the quotation marks of an attribute
	for word := range strings.FieldsSeq(text) {
		assert.True(t, slices.Contains(classes, word) || !regexp.MustCompile(`\p{L}`).MatchString(word), word)
	}
}

func BenchmarkWrite(b *testing.B) {
	d := documentOf(ofZones(1000)(b), words.English{})
	b.ReportAllocs()
	for b.Loop() {
		written(b, d, IntactFile)
	}
}

// For the tests in a browser, which are outside of the package.

// Documents are those of all tests.
func Documents(t testing.TB) map[string]certificate.Document { return documents(t) }

// Written is a page.
func Written(t testing.TB, d certificate.Document, from Origin) string { return written(t, d, from) }
