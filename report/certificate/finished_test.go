package certificate

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/johnfercher/maroto/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/pdffile"
)

// asTheLibraryWritesIt is a document before it is finished, with what is drawn in lines.
func asTheLibraryWritesIt(t testing.TB, d Document) []byte {
	t.Helper()
	inOrder()
	pages, lines, _ := marotoPages(d)
	m := maroto.New(settings(d, made))
	m.AddPages(pages...)
	doc, err := m.Generate()
	require.NoError(t, err)
	f, err := pdffile.Open(onceNamed(doc.GetBytes()))
	require.NoError(t, err)
	o, err := f.Objects()
	require.NoError(t, err)
	for _, page := range slices.Sorted(maps.Keys(lines)) {
		require.NoError(t, o.Draw(page, lines[page]))
	}
	return o.Bytes()
}

// What a page looks like is what the library drew, pixel by pixel, and reads the same.
func TestFinishedPagesLookTheSame(t *testing.T) {
	pdftoppm, pdftotext := outsidetool.Find(t, "pdftoppm"), outsidetool.Find(t, "pdftotext")
	for name, d := range map[string]Document{"pottery": pottery(t), "signed on glass": withPhone(t, "roamed")} {
		finished, err := Render(d, made)
		require.NoError(t, err)
		raw := asTheLibraryWritesIt(t, d)
		assert.Less(t, len(finished), len(raw)/3, name)
		pictures := func(pdf []byte) (all []string) {
			dir := t.TempDir()
			path := filepath.Join(dir, "c.pdf")
			require.NoError(t, os.WriteFile(path, pdf, 0o600))
			out, err := exec.Command(pdftoppm, "-r", "60", path, filepath.Join(dir, "p")).CombinedOutput()
			require.NoError(t, err, string(out))
			require.Empty(t, string(out))
			files, err := filepath.Glob(filepath.Join(dir, "p*.ppm"))
			require.NoError(t, err)
			for _, file := range files {
				content, err := os.ReadFile(file)
				require.NoError(t, err)
				all = append(all, string(content))
			}
			text, err := exec.Command(pdftotext, "-layout", path, "-").Output()
			require.NoError(t, err)
			return append(all, string(text))
		}
		is, want := pictures(finished), pictures(raw)
		require.Len(t, is, len(want), name)
		require.Greater(t, len(want), 3, name)
		for i := range want {
			assert.True(t, is[i] == want[i], "%s: page %d, or the text behind the last", name, i+1)
		}
	}
}

// fontsOf are the fonts of a PDF by their names, and the number of each.
func fontsOf(t testing.TB, o *pdffile.Objects) map[string]pdffile.Ref {
	t.Helper()
	out := map[string]pdffile.Ref{}
	o.Each(func(ref pdffile.Ref, object pdffile.Object) {
		if d, is := object.(pdffile.Dict); is && d["Subtype"] == pdffile.Name("Type0") {
			out[string(d["BaseFont"].(pdffile.Name))] = ref
		}
	})
	return out
}

// Each font is one that a text is drawn in; its name bears a tag; and what is shown in it has the
// width that the font file says, and the outline of the whole font.
func TestFontsSayWhatTheyHold(t *testing.T) {
	pdf, err := Render(pottery(t), made)
	require.NoError(t, err)
	f, err := pdffile.Open(pdf)
	require.NoError(t, err)
	o, err := f.Objects()
	require.NoError(t, err)
	all := fontsOf(t, o)
	require.Len(t, all, 2, "the second family is not used here")
	for name, ref := range all {
		tag, of, _ := strings.Cut(name, "+")
		assert.Regexp(t, `^[A-Z]{6}$`, tag)
		whole := map[string]*face{"LiberationSans": faces()[false][0], "LiberationSans-Bold": faces()[true][0]}[of]
		require.NotNil(t, whole, name)
		inner := o.Dict(o.Dict(ref)["DescendantFonts"].(pdffile.Array)[0])
		descriptor := o.Dict(inner["FontDescriptor"])
		assert.Equal(t, pdffile.Name(name), inner["BaseFont"])
		assert.Equal(t, pdffile.Name(name), descriptor["FontName"])
		ttf, err := o.Unpacked(descriptor["FontFile2"].(pdffile.Ref), 1<<20)
		require.NoError(t, err)
		glyphs, err := o.Unpacked(inner["CIDToGIDMap"].(pdffile.Ref), 1<<20)
		require.NoError(t, err)
		embedded, err := sfnt.Parse(ttf)
		require.NoError(t, err)
		shown := 0
		widths := inner["W"].(pdffile.Array)
		for i := 0; i < len(widths); i += 2 {
			first, _ := widths[i].(pdffile.Number).Int()
			for j, w := range widths[i+1].(pdffile.Array) {
				r := rune(first + j)
				gid := sfnt.GlyphIndex(glyphs[2*r])<<8 | sfnt.GlyphIndex(glyphs[2*r+1])
				require.NotZero(t, gid, "%s: %q", name, r)
				assert.InDelta(t, advance(t, embedded, gid), must(pdffile.Float(w)), 1, "%s: %q", name, r)
				index, err := whole.font.GlyphIndex(nil, r)
				require.NoError(t, err)
				assert.Equal(t, outline(t, whole.font, index), outline(t, embedded, gid), "%s: %q", name, r)
				shown++
			}
		}
		assert.Greater(t, shown, 40, name)
	}
}

func must(v float64, ok bool) float64 {
	if !ok {
		panic("no number")
	}
	return v
}

// advance is a glyph's width in thousandths of an em.
func advance(t testing.TB, f *sfnt.Font, of sfnt.GlyphIndex) float64 {
	t.Helper()
	units := fixed.I(int(f.UnitsPerEm()))
	a, err := f.GlyphAdvance(nil, of, units, font.HintingNone)
	require.NoError(t, err)
	return 1000 * float64(a) / float64(units)
}

func outline(t testing.TB, f *sfnt.Font, of sfnt.GlyphIndex) []sfnt.Segment {
	t.Helper()
	segments, err := f.LoadGlyph(&sfnt.Buffer{}, of, fixed.I(int(f.UnitsPerEm())), nil)
	require.NoError(t, err)
	return segments
}

// Sections are found beside the pages, each where its heading stands.
func TestBookmarksLeadToHeadings(t *testing.T) {
	d := pottery(t)
	pdf, err := Render(d, made)
	require.NoError(t, err)
	f, err := pdffile.Open(pdf)
	require.NoError(t, err)
	pages, err := f.Pages()
	require.NoError(t, err)
	root, err := f.Root()
	require.NoError(t, err)
	list, err := f.Dict(root["Outlines"])
	require.NoError(t, err)
	var titles []string
	for next := list["First"]; next != nil; {
		item, err := f.Dict(next)
		require.NoError(t, err)
		title := pdffile.Text(item["Title"].(pdffile.String))
		titles = append(titles, title)
		to := item["Dest"].(pdffile.Array)
		page, err := f.Dict(to[0])
		require.NoError(t, err)
		at := slices.IndexFunc(pages, func(p pdffile.Dict) bool { return p["Contents"] == page["Contents"] })
		content, err := f.Content(pages[at], 1<<20)
		require.NoError(t, err)
		said, err := pdffile.Words(content, 1<<16)
		require.NoError(t, err)
		assert.Contains(t, said, title)
		next = item["Next"]
	}
	var sections []string
	for _, s := range d.Sections {
		sections = append(sections, s.Title)
	}
	assert.Equal(t, sections, titles)
}
