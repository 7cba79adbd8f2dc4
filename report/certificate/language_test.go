package certificate

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/alltexts"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/commission/words/pseudo"
)

// recorded are the entries of the pottery's visit, as many as are asked for, and more.
func recorded(t testing.TB, n int, more ...record.Fact) []journal.Entry {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	entries := contents.Entries
	if n > 0 {
		entries = entries[:n]
	}
	for _, fact := range more {
		e := entries[len(entries)-1]
		e.N, e.Kind = e.N+1, fact.Kind()
		if _, resumes := fact.(record.Resumed); resumes {
			e.Run, e.Elapsed = e.Run+1, 0
		}
		e.Body, err = json.Marshal(fact)
		require.NoError(t, err)
		entries = append(entries, e)
	}
	return entries
}

var value = regexp.MustCompile(`,"value":"[^"]*"`)

// altered has other answers: every third item is a defect, every third was left out, and
// the rest is as bad as it can be.
func altered(t testing.TB, more ...record.Fact) []journal.Entry {
	entries := recorded(t, 0, more...)
	for i := range entries {
		e := &entries[i]
		body := string(e.Body)
		switch {
		case strings.Contains(body, `"`+programme.IDIsolated+`"`): // else no cable could have been measured
		case e.Kind == "answer" && !strings.Contains(body, "supply/"):
			body = strings.Replace(body, "works", "fails", 1)
			other := []string{"done", "defect", "not tested"}[i/2%3]
			body = strings.Replace(body, `"result":"done"`, `"result":"`+other+`","remark":"as typed"`, 1)
			if other != "done" { // nothing else has a value
				body = value.ReplaceAllString(body, "")
			}
		case e.Kind == "answer":
			body = strings.Replace(body, `"yes"`, `"no"`, 1)
		case e.Kind == "instrument":
			body = strings.Replace(body, "0.05", "0", 1)
		case e.Kind == "reading":
			body = strings.Replace(body, `"uncertainty":0.05`, `"uncertainty":0`, 1)
		}
		e.Body = []byte(body)
	}
	return entries
}

func photographOf(about record.About, n int) record.Photographed {
	return record.Photographed{Name: fmt.Sprintf("photograph-%d.jpg", n), About: about, Caption: "as typed",
		SHA256: strings.Repeat("0123456789abcdef", 4), Media: "image/jpeg", Width: 60, Height: 40, Bytes: 500,
		Taken: "2026-11-25 21:20:00", Removed: []photograph.Hidden{photograph.Location}}
}

// visits are records that show as much as possible of what a certificate can say.
func visits(t testing.TB) map[string]*judge.Assessment {
	all := map[string]*judge.Assessment{}
	for name, entries := range map[string][]journal.Entry{
		"whole": recorded(t, 0),
		"again": altered(t, record.Paused{By: record.StopByTechnician}, record.Resumed{Tool: "loopwitness test"},
			record.Resumed{Tool: "loopwitness test"}, record.Reopened{Step: "inspection/mains"},
			record.Answer{Step: "inspection/mains", Result: record.NotApplicable, Remark: "as typed"},
			photographOf("zone/3", 1), photographOf("detector/3.1", 2), photographOf("output/Sounder", 3),
			photographOf("supply", 4)),
		"begun":   recorded(t, 1),
		"broken":  recorded(t, 60, record.Paused{By: record.StopByError}),
		"standby": recorded(t, 150),
	} {
		r, err := record.Fold(entries)
		require.NoError(t, err, name)
		all[name] = judge.Assess(r)
	}
	for _, name := range []string{"roamed", "reported", "keys"} {
		all[name] = assessed(t, name)
	}
	return all
}

// typedIn are the texts that people typed: those of the site file that are of no type of
// their own, as codes are, and those of the visit.
func typedIn(a *judge.Assessment) map[string]bool {
	all := map[string]bool{}
	add := func(_, text string) { all[text] = true }
	s := a.Record().Site()
	for _, v := range []any{s.Premises, s.Customer, s.Installer, s.Insurer, s.Declared, s.Controller.Description} {
		alltexts.Each(v, "", add)
	}
	for _, z := range s.Zones {
		for _, d := range z.Detectors {
			add("", d.Name)
		}
	}
	for _, o := range s.Outputs {
		add("", o.Name)
	}
	for _, o := range a.Record().Outcomes() {
		if signed := o.Signed(); signed != nil {
			add("", signed.Name)
			add("", signed.Position)
		}
	}
	add("", a.Record().Opened().Number)
	return all
}

// bare has no words: numbers, times, digits of a hash, a dash for nothing, and the marks
// of findings, which are the same in every language.
var bare = regexp.MustCompile(`^[−–\d,.:+ -]*$|^[0-9a-f \n]+$|^[FLN]\d+$`)

// withoutWords are places where no language stands: numbers of documents, name and version of the program, what a
// scanner reads, and the company whose certificate it is.
var withoutWords = []string{"Document.Number", "Document.Tool", "Document.Installer", "Code.Content"}

// bracketed is the certificate of a visit in the language of brackets.
func bracketed(a *judge.Assessment, l words.Language) Document {
	return Write(a, Options{Language: l, Tool: "loopwitness test", Journal: strings.Repeat("0123456789abcdef", 4),
		SealedBy: Sealer{Kind: KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

// Every text of a certificate comes from the catalogue, was typed, or has no words.
func TestEveryTextComesFromTheCatalogue(t *testing.T) {
	for name, a := range visits(t) {
		d := bracketed(a, pseudo.Language{})
		typed, said := typedIn(a), 0
		alltexts.Each(d, "Document", func(place, text string) {
			whole := strings.HasPrefix(text, pseudo.Open) && strings.HasSuffix(text, pseudo.Close)
			if whole {
				said++
				assert.NotContains(t, text[len(pseudo.Open):], pseudo.Close+pseudo.Open, "%s: put together of phrases", place)
				return
			}
			assert.True(t, bare.MatchString(text) || typed[text] || slices.Contains(withoutWords, place),
				"%s: %s: %q", name, place, text)
		})
		assert.Greater(t, said, 60, name)
	}
}

// A language changes words only: neither tones nor bars, nor which rows there are.
func TestLanguageChangesWordsOnly(t *testing.T) {
	for name, a := range visits(t) {
		english, other := bracketed(a, words.English{}), bracketed(a, pseudo.Language{})
		require.Len(t, other.Sections, len(english.Sections), name)
		assert.Equal(t, skeleton(english), skeleton(other), name)
		assert.Len(t, other.Stated(), len(english.Stated()), name)
	}
}

// skeleton is a document without its texts.
func skeleton(d Document) string {
	d.Language = nil
	encoded, _ := json.Marshal(d) // plain values
	return string(regexp.MustCompile(`"(?:[^"\\]|\\.)*"(:?)`).ReplaceAll(encoded, []byte(`"$1`)))
}

// longer is a language whose every phrase is a third longer, as other languages are.
type longer struct{ pseudo.Language }

func (l longer) Say(p words.Phrase) string {
	text := l.Language.Say(p)
	return text + strings.Repeat("~", utf8.RuneCountInString(text)/3)
}

// Longer words are drawn whole, and pages hold them.
func TestLongerWordsAreLaidOut(t *testing.T) {
	for name, a := range visits(t) {
		d := bracketed(a, longer{})
		_, err := Render(d, made)
		require.NoError(t, err, name)
		for i, sheet := range paginate(d) {
			used := 0.0
			for _, p := range sheet {
				used += p.height
				for _, w := range wordsOf(p) {
					if i == 0 {
						continue // page one is always one: TestPageOneIsOnePage
					}
					assert.False(t, strings.HasSuffix(w, "…") && strings.Contains(w, pseudo.Open), "%s: %q is cut", name, w)
				}
			}
			assert.LessOrEqual(t, used, A4.usable()-footHeight+0.01, "%s, page %d", name, i+1)
		}
	}
}

// A head, a status and a label that break are given the room for it.
func TestBrokenLinesTakeRoom(t *testing.T) {
	table := func(head, status string) Table {
		return Table{Columns: []Column{{Head: head, Width: 20}}, Rows: []Row{{Cells: []Cell{{Text: status, Tone: Good}}}}}
	}
	brief, long := layTable(table("Verdict", "proved")), layTable(table("Verdict on all of it", "proved more or less"))
	assert.InDelta(t, lineHeight(sizeSmall), long.head.height-brief.head.height, 0.02)
	assert.InDelta(t, lineHeight(sizeText), long.parts[0].height-brief.parts[0].height, 0.02)
	banner := func(label string) float64 {
		return firstHead(Document{Banner: Banner{Figures: []Figure{{"0", label}, {"1", "a"}, {"2", "b"}, {"3", "c"}}}}).height
	}
	assert.Greater(t, banner("findings that have to be put right before anything else"), banner("findings"))
}

// What nobody signed, nobody confirms.
func TestNobodyConfirmsWhatIsNotSigned(t *testing.T) {
	all := visits(t)
	confirms := words.English{}.Say(words.TechnicianNote)
	assert.Contains(t, bracketed(all["whole"], words.English{}).PlainText(), confirms)
	for _, name := range []string{"again", "broken"} {
		text := bracketed(all[name], words.English{}).PlainText()
		assert.Contains(t, text, "not signed", name)
		assert.NotContains(t, text, confirms, name)
	}
}

// notSaid are texts in the source that no reader of a certificate reads as words: an error,
// the values of Seal.Kind, keys of statements, the number of a document (the same in every
// language), what a scanner reads, names for the drawing library, and those of scripts.
var notSaid = []string{"draw the certificate: %w", "draw the sheets: %w",
	"\x89PNG\r\n\x1a\n", "IHDR", "IDAT", "IEND", // of a picture
	"cells of %v mm × %v mm fit on no page of %v mm × %v mm", `/ModDate \(D:\d{14}\)`, "/ModDate (D:", "signed",
	"throw-away", "number", "title", "subtitle", "notice",
	"danger", "result", "count/", "/remark", "%s rev. %d", " summary", "front/", "front/outstanding",
	"front/alarm", "front/summary", "front/caution", "\njournal sha256:", "\nkey sha256:", "part", "text",
	"liberation", "dejavu", "utf8", "Common", "Inherited", "symbol",
	"\n/XObject <<\n", "\nq\n%.2f w 1 J 1 j\n0.133 0.149 0.169 RG\n", "RG", "rg"}

// No words stand in the source but those of the catalogue.
func TestNoWordsInTheSource(t *testing.T) {
	wordlike := regexp.MustCompile(`\p{L}{2}`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	unused := slices.Clone(notSaid)
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.Field:
				n.Tag = nil
			case *ast.BasicLit:
				text, _ := strconv.Unquote(n.Value) // "" for a number
				if n.Kind == token.STRING && wordlike.MatchString(text) {
					assert.Contains(t, notSaid, text, file)
					unused = slices.DeleteFunc(unused, func(s string) bool { return s == text })
				}
			}
			return true
		})
	}
	assert.Empty(t, unused, "listed, but not there any more")
}
