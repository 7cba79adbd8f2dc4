package verify

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// edited is a certificate whose statement says something else.
func edited(t testing.TB, c seal.Contents, change func(*evidence.Statement)) seal.Contents {
	t.Helper()
	c.Attachments = append([]seal.Attachment{}, c.Attachments...)
	last := &c.Attachments[len(c.Attachments)-1]
	var s evidence.Statement
	require.NoError(t, json.Unmarshal(last.Content, &s))
	change(&s)
	content, err := s.Encode()
	require.NoError(t, err)
	last.Content = content
	return c
}

// rejudged is a judgement that says something else in one place.
func rejudged(t testing.TB, s *evidence.Statement, old, new string) {
	t.Helper()
	require.Contains(t, string(s.Judged), old)
	s.Judged = json.RawMessage(strings.Replace(string(s.Judged), old, new, 1))
}

// verdicts are those on the three questions.
func verdicts(r *Report) []Reply {
	return []Reply{r.Sealed.Reply, r.Follows.Reply, r.Shown.Reply}
}

// Each question has its own answer: files made with the right key that fail one of them
// and no other.
func TestThreeQuestions(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	shown := c.Document
	shown.Banner.Word = "Satisfactory"
	result := `"result": "satisfactory with limitations"`
	another := func(contents seal.Contents) seal.Contents {
		approval := seal.Attachment{Name: "approval.txt", Content: []byte("approved")}
		contents.Attachments = append(slices.Clone(contents.Attachments), approval)
		return contents
	}
	says := func(old, new string) seal.Contents {
		return edited(t, c.Contents, func(s *evidence.Statement) { rejudged(t, s, old, new) })
	}
	before := func(text string) seal.Contents {
		whole := bytes.Replace(statementOf(c.Contents), []byte("{"), []byte("{"+text), 1)
		return exchanged(c.Contents, seal.StatementName, whole)
	}
	noHash := func(s *evidence.Statement) { s.Journal.SHA256 = strings.Repeat("0", 64) }
	for name, test := range map[string]struct {
		contents               seal.Contents
		sealed, follows, shown Reply
		why                    string
	}{
		"as it was made": {c.Contents, Holds, Holds, Holds, ""},
		"judged otherwise": {says(result, `"result": "satisfactory"`),
			Holds, Fails, Holds, "1 of its verdicts and figures do not follow"},
		"a figure more": {says(result, result+`, "approved": true`),
			Holds, Fails, Holds, "1 of its verdicts and figures do not follow"},
		"a verdict twice": {says(result, `"result": "satisfactory", `+result),
			Holds, Fails, Holds, "written otherwise than this tool writes them"},
		"a figure as a text": {says(`"confidence": 0.95`, `"confidence": "0.95"`),
			Holds, Fails, Holds, "written otherwise than this tool writes them"},
		"a key more, of nothing": {says(result, result+`, "approved": null`),
			Holds, Fails, Holds, "written otherwise than this tool writes them"},
		"no judgement": {edited(t, c.Contents, func(s *evidence.Statement) { s.Judged = nil }),
			Holds, Fails, Holds, "1 of its verdicts and figures do not follow"},
		"other pages": {withPages(t, c.Contents, shown), Holds, Holds, Fails, `where the record gives "with limitations"`},
		"other statements": {edited(t, c.Contents, func(s *evidence.Statement) { s.Stated[4].Text = "Satisfactory" }),
			Holds, Holds, Fails, "1 of its statements are not what its record gives"},
		"an attachment more": {another(c.Contents), Fails, Holds, Fails, `it carries "approval.txt"`},
		"another hash":       {edited(t, c.Contents, noHash), Fails, Holds, Holds, "the attached record is not the one"},
		"a judgement twice": {before(`"Judged":{"result":"satisfactory"},`),
			Fails, Holds, Holds, "its certificate.json is not the one that its record gives"},
	} {
		t.Run(name, func(t *testing.T) {
			r := Check("c.pdf", sealed(t, test.contents, id), Options{})
			assert.Equal(t, []Reply{test.sealed, test.follows, test.shown}, verdicts(r), texts(r))
			assert.Contains(t, r.Sealed.Why+r.Follows.Why+r.Shown.Why, test.why)
			assert.Equal(t, test.why == "", r.Outcome == Intact)
			if test.why != "" {
				assert.Equal(t, Failed, r.Outcome)
			}
		})
	}

	// A record that no visit can have written is sealed all the same, and nothing follows.
	lines := linesOf(recorded(t))
	i := find(t, lines, `"result":"done"`, 1)
	lines[i] = strings.Replace(lines[i], `"result":"done"`, `"result":"works"`, 1)
	r := Check("c.pdf", sealed(t, makeSenseless(t, c.Contents, chained(t, lines)), id), Options{})
	assert.Equal(t, []Reply{Holds, Fails, NotCompared}, verdicts(r), texts(r))
	assert.Contains(t, r.Follows.Why, "the journal makes no sense")
}

// makeSenseless attaches a journal, with its hash and marks, that cannot be judged.
func makeSenseless(t testing.TB, c seal.Contents, raw []byte) seal.Contents {
	t.Helper()
	return edited(t, withJournal(c, raw), func(s *evidence.Statement) { s.Journal.SHA256 = evidence.Digest(raw) })
}

// What was made by other rules or another edition is not compared, and never said to
// differ. Nobody escapes comparison by claiming so: it is no green line either.
func TestOtherRulesAndEditionsAreNotCompared(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	d := c.Document
	d.Banner.Word = "Satisfactory"
	rules := func(n int) func(*evidence.Statement) { return func(s *evidence.Statement) { s.Rules = n } }
	edition := func(n int) func(*evidence.Statement) { return func(s *evidence.Statement) { s.Edition = n } }
	language := func(tag string) func(*evidence.Statement) {
		return func(s *evidence.Statement) { s.Language = tag }
	}
	for name, test := range map[string]struct {
		change  func(*evidence.Statement)
		follows Reply
		why     string
	}{
		"newer rules": {rules(judge.Rules + 1), NotCompared,
			fmt.Sprintf("made by other rules (version %d, this program has %d)", judge.Rules+1, judge.Rules)},
		"newer edition": {edition(certificate.Edition + 1), Holds, fmt.Sprintf(
			"made by another edition (number %d, this program draws %d)", certificate.Edition+1, certificate.Edition)},
		"other language": {language("eo"), Holds, `made by another edition (in the language "eo"`},
	} {
		t.Run(name, func(t *testing.T) {
			// A forger who holds the right key draws what he likes.
			contents := edited(t, withPages(t, c.Contents, d), func(s *evidence.Statement) {
				test.change(s)
				s.Stated = nil
				if test.follows == NotCompared {
					rejudged(t, s, `"result": "satisfactory with limitations"`, `"result": "satisfactory"`)
				}
			})
			r := Check("c.pdf", sealed(t, contents, id), Options{Trust: Anchors{id.Certificate}})
			assert.Equal(t, Unchecked, r.Outcome, texts(r))
			assert.Equal(t, []Reply{Holds, test.follows, NotCompared}, verdicts(r))
			assert.Contains(t, r.Shown.Why, test.why)
			assert.Contains(t, r.Shown.Why, "check it with the version of the program that wrote it: loopwitness test")
			assert.NotContains(t, texts(r), "differ")
			assert.False(t, r.Compared.Drawn)
			assert.Zero(t, r.Compared.Pages)
			assert.Equal(t, "satisfactory with limitations", r.Result, "as this program judges it")

			// Nor does a second judgement hide behind that claim.
			second := bytes.Replace(statementOf(contents), []byte("{"), []byte(`{"Judged":{"result":"satisfactory"},`), 1)
			r = Check("c.pdf", sealed(t, exchanged(contents, seal.StatementName, second), id), Options{})
			assert.Equal(t, Failed, r.Outcome)
			assert.Contains(t, r.Sealed.Why, `its certificate.json has "judged" twice`)

			// What was changed after it was sealed is told all the same.
			swapped := linesOf(recorded(t))
			i := find(t, swapped, `"result":"done"`, 2)
			swapped[i] = strings.Replace(swapped[i], `"result":"done"`, `"result":"defect"`, 1)
			r = Check("c.pdf", sealed(t, withJournal(contents, chained(t, swapped)), id), Options{})
			assert.Equal(t, Failed, r.Outcome)
			assert.Equal(t, Fails, r.Sealed.Reply)
		})
	}
	// What makes no sense by our rules may make sense by others, which changed the programme.
	lines := linesOf(recorded(t))
	i := find(t, lines, `"result":"done"`, 1)
	lines[i] = strings.Replace(lines[i], `"result":"done"`, `"result":"works"`, 1)
	senseless := edited(t, makeSenseless(t, c.Contents, chained(t, lines)), rules(judge.Rules+1))
	r := Check("c.pdf", sealed(t, senseless, id), Options{})
	assert.Equal(t, Unchecked, r.Outcome, texts(r))
	assert.Equal(t, []Reply{Holds, NotCompared, NotCompared}, verdicts(r))
	assert.Contains(t, r.Follows.Why, "made by other rules")
	for name, change := range map[string]func(*evidence.Statement){
		"there is no edition 0 of pages": edition(0), "there is no edition -7 of pages": edition(-7),
		"by rules 0": rules(0), "by rules -1": rules(-1), `in the language ""`: language(""), `"en\nus"`: language("en\nus"),
	} {
		r := Check("c.pdf", sealed(t, edited(t, c.Contents, change), id), Options{})
		assert.Equal(t, Unchecked, r.Outcome)
		assert.Contains(t, texts(r), name)
		assert.Equal(t, NotCompared, r.Follows.Reply)
	}
}

// What a certificate claims of itself beside its record is compared, too.
func TestForgedClaims(t *testing.T) {
	id := newIdentity(t, "Mallory")
	c := makeFrom(t, recorded(t), by(id))
	check := func(contents seal.Contents) *Report { return Check("c.pdf", sealed(t, contents, id), Options{}) }

	asIf := makeFrom(t, recorded(t),
		certificate.Sealer{Kind: certificate.KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: id.Fingerprint()})
	r := check(asIf.Contents)
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(
		t,
		texts(r),
		`other key: its pages say that "Bellbird Alarm Services" signed; the key says that it is "Mallory"`,
	)

	r = check(edited(t, c.Contents, func(s *evidence.Statement) { s.Document = "OTHER-SITE/2030 rev. 7" }))
	assert.Equal(t, Failed, r.Outcome)
	assert.Regexp(t, `^KP-0042/20\d\d-\d\d-\d\d-handover rev\. 1$`, r.Document, "as the record gives it")

	r = check(edited(t, c.Contents, func(s *evidence.Statement) { s.Photographs = []string{"none"} }))
	assert.Contains(t, texts(r), "its certificate.json names other photographs than its record")

	whole := bytes.Replace(statementOf(c.Contents), []byte("{"), []byte(`{"Revision":7,`), 1)
	twice := exchanged(c.Contents, seal.StatementName, whole)
	assert.Contains(t, texts(check(twice)), "its certificate.json is not the one that its record gives")

	r = Check("c.pdf", sealed(t, edited(t, c.Contents, func(s *evidence.Statement) {
		rejudged(t, s, `"result": "satisfactory with limitations"`, `"result": "unsatisfactory"`)
	}), id), Options{Tool: "loopwitness 9"})
	assert.Equal(t, Failed, r.Outcome, "whichever version it says that wrote it")
	assert.Contains(t, strings.Join(r.Notes, "\n"),
		"loopwitness test wrote it, of the same rules and edition as loopwitness 9: check it with that one, too")

	for _, change := range []func(*evidence.Statement){
		func(s *evidence.Statement) { s.Tool = "loopwitness 9\nEverything approved" },
		func(s *evidence.Statement) { s.Revision = -5 },
	} {
		assert.Contains(t, texts(check(edited(t, c.Contents, change))), "certificate.json cannot be understood")
	}

	r = check(edited(t, c.Contents, func(s *evidence.Statement) { s.Stated = nil }))
	assert.Contains(t, texts(r), "of its statements are not what its record gives")
}

func statementOf(c seal.Contents) []byte { return c.Attachments[len(c.Attachments)-1].Content }

func TestLaterVersionsAreRefusedByName(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	r := Check("c.pdf", sealed(t, edited(t, c.Contents, func(s *evidence.Statement) { s.Format = 2 }), id), Options{})
	assert.Equal(t, Unchecked, r.Outcome)
	assert.Contains(t, texts(r), "newer: the certificate was written by a later version: format 2")

	lines := linesOf(recorded(t))
	i := find(t, lines, `"kind":"signal"`, 3)
	lines[i] = strings.Replace(lines[i], `"kind":"signal"`, `"kind":"hologram"`, 1)
	r = Check("c.pdf", sealed(t, withJournal(c.Contents, chained(t, lines)), id), Options{})
	assert.Contains(t, texts(r), `unknown kind of entry "hologram"; a later version of the tool may read it`)
}

// rebuilt is a sealed file that was taken apart, changed, and signed again with the right
// key: change gets all objects as they are numbered.
func rebuilt(t testing.TB, file []byte, id *identity.Identity, change func([]pdffile.Object)) []byte {
	t.Helper()
	f, err := pdffile.Open(file)
	require.NoError(t, err)
	d, err := f.Objects()
	require.NoError(t, err)
	all := d.Numbered()
	change(all)
	return resigned(t, pdffile.From(all, d.ID).Bytes(), id)
}

// resigned gives a file whose bytes were changed a byte range and a signature that fit.
func resigned(t testing.TB, file []byte, id *identity.Identity) []byte {
	t.Helper()
	var at place
	for range 8 {
		begin := bytes.Index(file, []byte("/Contents <3082"))
		if begin < 0 {
			begin = bytes.Index(file, []byte("/Contents <0000"))
		}
		require.Positive(t, begin)
		at.firstEnd = begin + len("/Contents ")
		at.secondBegin = at.firstEnd + bytes.IndexByte(file[at.firstEnd:], '>') + 1
		at.end = len(file)
		wanted := fmt.Appendf(nil, "/ByteRange [0 %d %d %d]", at.firstEnd, at.secondBegin, at.end-at.secondBegin)
		is := byteRanges.Find(file)
		if bytes.Equal(is, wanted) {
			break
		}
		table := bytes.LastIndex(file, []byte("xref\n0 "))
		moved := len(wanted) - len(is)
		place := bytes.Index(file, is)
		file = append(append(bytes.Clone(file[:place]), wanted...), file[place+len(is):]...)
		if moved != 0 { // everything behind it has moved
			file = shifted(t, file, place, moved, table)
		}
	}
	content := append(bytes.Clone(file[:at.firstEnd]), file[at.secondBegin:]...)
	der, err := seal.Sign(content, id, nil)
	require.NoError(t, err)
	out := bytes.Clone(file)
	copy(out[at.firstEnd+1:at.secondBegin-1], bytes.Repeat([]byte{'0'}, at.secondBegin-at.firstEnd-2))
	hex.Encode(out[at.firstEnd+1:], der)
	return out
}

// shifted moves the offsets of a cross-reference table that point behind a place.
func shifted(t testing.TB, file []byte, behind, by, table int) []byte {
	t.Helper()
	head, tail := file[:table+by], string(file[table+by:])
	tail = regexp.MustCompile(`(?m)^\d{10} 00000 n|^\d+\n%%EOF`).ReplaceAllStringFunc(tail, func(s string) string {
		n, err := strconv.Atoi(strings.Fields(s)[0])
		require.NoError(t, err)
		if n > behind {
			n += by
		}
		if strings.HasSuffix(s, "n") {
			return fmt.Sprintf("%010d 00000 n", n)
		}
		return fmt.Sprintf("%d\n%%%%EOF", n)
	})
	return append(bytes.Clone(head), tail...)
}

// findObject is the first object that fits.
func findObject[T pdffile.Object](t testing.TB, all []pdffile.Object, fits func(T) bool) T {
	t.Helper()
	for _, o := range all {
		if is, ok := o.(T); ok && fits(is) {
			return is
		}
	}
	t.Fatal("no such object")
	panic("unreachable")
}

func ofType(name pdffile.Name) func(pdffile.Dict) bool {
	return func(d pdffile.Dict) bool { return d["Type"] == name }
}

// The signer holds the right key and takes the finished file apart: what another reader
// shows or does is noticed, wherever it is hidden.
func TestHiddenParts(t *testing.T) {
	id := newIdentity(t, "x")
	file := sealed(t, photographed(t, id).Contents, id)
	r := Check("c.pdf", rebuilt(t, file, id, func([]pdffile.Object) {}), Options{})
	require.Equal(t, Intact, r.Outcome, "taking apart alone changes nothing: %s", texts(r))

	name := func(s string) pdffile.Name { return pdffile.Name(s) }
	number := func(s string) pdffile.Number { return pdffile.Number(s) }
	text := func(s string) pdffile.String { return pdffile.String{Bytes: []byte(s)} }
	page, catalog, sig := ofType("Page"), ofType("Catalog"), ofType("Sig")
	for what, change := range map[string]func([]pdffile.Object){
		"an action": func(all []pdffile.Object) {
			findObject(t, all, catalog)["OpenAction"] = pdffile.Dict{"S": name("URI"), "URI": text("http://example.org")}
		},
		"another paper": func(all []pdffile.Object) {
			findObject(t, all, page)["MediaBox"] = pdffile.Array{number("0"), number("0"), number("400"), number("842")}
		},
		"a turned page": func(all []pdffile.Object) { findObject(t, all, page)["Rotate"] = number("180") },
		"a cropped page": func(all []pdffile.Object) {
			findObject(t, all, page)["CropBox"] = pdffile.Array{number("0"), number("400"), number("595"), number("842")}
		},
		"an annotation": func(all []pdffile.Object) {
			findObject(t, all, page)["Annots"] = pdffile.Array{pdffile.Dict{"Subtype": name("Stamp")}}
		},
		"no annotation": func(all []pdffile.Object) { delete(findObject(t, all, page), "Annots") },
		"other fonts": func(all []pdffile.Object) {
			for _, o := range all {
				if d, is := o.(pdffile.Dict); is && d["Font"] != nil {
					fonts := d["Font"].(pdffile.Dict)
					keys := slices.Sorted(maps.Keys(fonts))
					fonts[keys[0]], fonts[keys[1]] = fonts[keys[1]], fonts[keys[0]]
					return
				}
			}
			t.Fatal("no fonts")
		},
		"the title": func(all []pdffile.Object) { all[1].(pdffile.Dict)["Title"] = text("Satisfactory, approved") },
		"a later allowance": func(all []pdffile.Object) {
			reference := findObject(t, all, sig)["Reference"].(pdffile.Array)[0].(pdffile.Dict)
			reference["TransformParams"].(pdffile.Dict)["P"] = number("3")
		},
		"the signer's name for readers": func(all []pdffile.Object) {
			findObject(t, all, sig)["Name"] = text("National Approval Board")
		},
		"the time for readers": func(all []pdffile.Object) {
			findObject(t, all, sig)["M"] = text("D:20120101000000Z")
		},
		"no permission of the document": func(all []pdffile.Object) { delete(findObject(t, all, catalog), "Perms") },
		"two fields": func(all []pdffile.Object) {
			form := findObject(t, all, catalog)["AcroForm"].(pdffile.Dict)
			form["Fields"] = append(form["Fields"].(pdffile.Array), form["Fields"].(pdffile.Array)[0])
		},
		"a field of another kind": func(all []pdffile.Object) {
			findObject(t, all, func(d pdffile.Dict) bool { return d["FT"] != nil })["FT"] = name("Tx")
		},
		"a mask over a photograph": func(all []pdffile.Object) {
			isImage := func(s pdffile.Stream) bool { return s.Dict["Subtype"] == name("Image") }
			findObject(t, all, isImage).Dict["SMask"] = pdffile.Dict{"Width": number("1")}
		},
		"another reading of a page": func(all []pdffile.Object) {
			isContent := func(s pdffile.Stream) bool { return len(s.Dict) == 1 && s.Dict["Filter"] != nil }
			findObject(t, all, isContent).Dict["DP"] = pdffile.Dict{"Predictor": number("15")}
		},
	} {
		t.Run(what, func(t *testing.T) {
			r := Check("c.pdf", rebuilt(t, file, id, change), Options{})
			assert.Equal(t, Failed, r.Outcome)
			assert.Nil(t, findKind(r, Changed), "the signature itself is sound")
			assert.False(t, r.Compared.Drawn)
			if want := asToTheSignature[what]; want != "" {
				assert.Contains(t, texts(r), want)
			}
		})
	}
}

// asToTheSignature is what is said where the signature does not hold the document.
var asToTheSignature = map[string]string{
	"no permission of the document": "a dictionary is missing",
	"two fields":                    "its form does not have exactly one field",
	"a field of another kind":       "its signature does not certify the document",
}

func findKind(r *Report, kind ProblemKind) *Problem {
	for i := range r.Problems {
		if r.Problems[i].Kind == kind {
			return &r.Problems[i]
		}
	}
	return nil
}

// The same document in another form, signed with the right key: another reader may
// find another document in it.
func TestOtherForms(t *testing.T) {
	id := newIdentity(t, "x")
	file := potterySealed(t, id)
	exchange := func(old, new string) []byte {
		require.Contains(t, string(file), old)
		return []byte(strings.Replace(string(file), old, new, 1))
	}
	table := bytes.LastIndex(file, []byte("xref\n0 "))
	object := "999 0 obj\n<</Linearized 1>>\nendobj\n"
	unreached := string(file[:table]) + object + string(file[table:])
	unreached = strings.Replace(unreached, "trailer", fmt.Sprintf("999 1\n%010d 00000 n \ntrailer", table), 1)
	unreached = strings.Replace(unreached, fmt.Sprintf("startxref\n%d", table),
		fmt.Sprintf("startxref\n%d", table+len(object)), 1)
	for what, changed := range map[string][]byte{
		"an object that belongs to nothing": []byte(unreached),
		"another head":                      exchange("%PDF-1.7", "%PDF-1.4"),
		"a comment":                         exchange("%\xe2\xe3\xcf\xd3", "%abcd"),
		"a string in parentheses":           exchange("/Lang <656e>", "/Lang (en)  "),
	} {
		t.Run(what, func(t *testing.T) {
			r := Check("c.pdf", resigned(t, changed, id), Options{})
			assert.Equal(t, Failed, r.Outcome, texts(r))
			assert.Nil(t, findKind(r, Changed))
		})
	}
}

// Numbers may differ by a hair between machines, nothing else.
func TestDrawingsAreCompared(t *testing.T) {
	const drawing = "q 0.200 g BT 42.52 804.74 Td (\x00A\x001) Tj ET /I1 Do Q\n-1.50 0 l\n"
	for changed, want := range map[string]bool{
		drawing: true,
		strings.Replace(drawing, "804.74", "804.75", 1):      true,
		strings.Replace(drawing, "804.74", "804.80", 1):      true,
		strings.Replace(drawing, "804.74", "804.81", 1):      false,
		strings.Replace(drawing, "804.74", "8 04.74", 1):     false,
		strings.Replace(drawing, "804.74", "804.74 ", 1):     false,
		strings.Replace(drawing, "Td (", "Td\v(", 1):         false,
		strings.Replace(drawing, "0.200 g", "0.200\x00g", 1): false,
		strings.Replace(drawing, "A\x001", "A\x002", 1):      false,
		strings.Replace(drawing, "/I1 Do", "/I2 Do", 1):      false,
		strings.Replace(drawing, "-1.50", "1.50", 1):         false,
		strings.Replace(drawing, "-1.50", "-1.5e0", 1):       false,
		drawing + "0 0 m": false,
		drawing[:20]:      false,
		strings.Replace(drawing, "804.74", "0804.74", 1):      false,
		strings.Replace(drawing, "804.74", "804.740", 1):      false,
		strings.Replace(drawing, "0.200 g", "0.203 g", 1):     false,
		strings.Replace(drawing, "0.200 g", "0.201 g", 1):     true,
		strings.Replace(drawing, "42.52", "0000000042.52", 1): false,
		strings.Replace(drawing, "q ", "q\n", 1):              false,
	} {
		assert.Equal(t, want, alike([]byte(changed), []byte(drawing)), "%q", changed)
	}
}
