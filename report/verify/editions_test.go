package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/seal"
)

// Certificates of every format and edition that was ever written are kept, and verify:
// a change that breaks one is no change but a loss. See testdata/README.md for how
// they are made. They were looked at.
func TestKeptCertificates(t *testing.T) {
	files, err := filepath.Glob("../../testdata/certificates/*.pdf")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	newest := 0
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			file, err := os.ReadFile(path)
			require.NoError(t, err)
			r := Check(path, file, Options{})
			require.Equal(t, Intact, r.Outcome, texts(r))
			if r.Compared.Drawn {
				newest++
			}
			assert.Greater(t, r.Compared.Statements, 100)
		})
	}
	assert.Positive(t, newest, "a certificate of the present edition has to be kept: has the drawing changed? Then raise certificate.Edition and keep another file")
}

// edited is a certificate whose statement says something else.
func edited(t testing.TB, c seal.Contents, change func(*evidence.Statement)) seal.Contents {
	t.Helper()
	c.Attachments = append([]seal.Attachment{}, c.Attachments...)
	last := &c.Attachments[len(c.Attachments)-1]
	var s evidence.Statement
	require.NoError(t, json.Unmarshal(last.Content, &s))
	change(&s)
	content, err := json.Marshal(s)
	require.NoError(t, err)
	last.Content = content
	return c
}

// otherEdition is as an earlier version might have drawn it: other words where they
// only explain, another order of sections.
func otherEdition(t testing.TB, c *evidence.Certificate) (certificate.Document, seal.Contents) {
	t.Helper()
	d := c.Document
	d.Sections = append([]certificate.Section{}, d.Sections...)
	d.Sections[0], d.Sections[1] = d.Sections[1], d.Sections[0]
	d.Banner.Sentence = "As it was worded once."
	contents := edited(t, withPages(t, c.Contents, d), func(s *evidence.Statement) {
		s.Edition = 0
		s.Stated = append([]certificate.Stated{{Key: "only then", Text: "once only"}}, d.Stated()...)
	})
	return d, contents
}

// A certificate that an earlier version drew is compared by what it states.
func TestEarlierEdition(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	d, contents := otherEdition(t, c)
	contents = edited(t, contents, func(s *evidence.Statement) { s.Stated = s.Stated[1:] })
	r := Check("c.pdf", sealed(t, contents, id), Options{})
	require.Equal(t, Intact, r.Outcome, "%s %v", texts(r), r.Differences)
	assert.False(t, r.Compared.Drawn)
	assert.Contains(t, strings.Join(r.Notes, "\n"), "its pages are of edition 0")

	t.Run("a statement that is made no more", func(t *testing.T) {
		_, contents := otherEdition(t, c)
		r := Check("c.pdf", sealed(t, contents, id), Options{})
		assert.Contains(t, strings.Join(r.Notes, "\n"), "made by only one of the two versions")
		assert.Contains(t, texts(r), "do not stand on its pages, the first of them: only then")
	})
	t.Run("a verdict on the pages", func(t *testing.T) {
		forged := d
		rows := 0
		forged.Sections = append([]certificate.Section{}, d.Sections...)
		for i, s := range forged.Sections {
			for j, b := range s.Blocks {
				if table, is := b.(certificate.Table); is && rows == 0 {
					row := &certificate.Row{Cells: append([]certificate.Cell{}, table.Rows[3].Cells...)}
					row.Cells[len(row.Cells)-1].Text = "late"
					table.Rows = append([]certificate.Row{}, table.Rows...)
					table.Rows[3] = *row
					forged.Sections[i].Blocks = append([]certificate.Block{}, s.Blocks...)
					forged.Sections[i].Blocks[j] = table
					rows++
				}
			}
		}
		r := Check("c.pdf", sealed(t, withPages(t, contents, forged), id), Options{})
		assert.Equal(t, Differs, r.Outcome)
		assert.Contains(t, texts(r), "1 of its statements do not stand on its pages")
	})
	t.Run("a verdict that was judged otherwise", func(t *testing.T) {
		lenient := edited(t, contents, func(s *evidence.Statement) {
			for i := range s.Stated {
				if s.Stated[i].Key == "result" {
					s.Stated[i].Text = "Satisfactory"
				}
			}
		})
		r := Check("c.pdf", sealed(t, lenient, id), Options{})
		assert.Equal(t, Differs, r.Outcome)
		assert.Equal(t, "result", r.Differences[0].About)
	})
}

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

// An object that nothing refers to is not shown by one reader, but may be by another.
func TestObjectThatBelongsToNothing(t *testing.T) {
	pdf, err := seal.Unsigned(makeFrom(t, recorded(t), certificate.Seal{}).Contents)
	require.NoError(t, err)
	table := bytes.LastIndex(pdf, []byte("xref\n0 "))
	object := "999 0 obj\n<</Linearized 1>>\nendobj\n"
	text := string(pdf[:table]) + object + string(pdf[table:])
	text = strings.Replace(text, "trailer", fmt.Sprintf("999 1\n%010d 00000 n \ntrailer", table), 1)
	text = strings.Replace(text, fmt.Sprintf("startxref\n%d", table), fmt.Sprintf("startxref\n%d", table+len(object)), 1)
	r := Check("c.pdf", []byte(text), Options{})
	assert.Equal(t, Differs, r.Outcome)
	assert.Contains(t, texts(r), "it has an object, 999, that belongs to nothing")
}

// What a document does when it is opened, or shows beside its pages, is noticed too.
func TestHiddenParts(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	api.DisableConfigDir()
	for name, change := range map[string]func(catalog, page types.Dict){
		"action": func(catalog, _ types.Dict) {
			catalog["OpenAction"] = types.Dict{"Type": types.Name("Action"), "S": types.Name("URI"), "URI": types.StringLiteral("http://example.org")}
		},
		"other paper": func(_, page types.Dict) {
			page["MediaBox"] = types.Array{types.Integer(0), types.Integer(0), types.Integer(400), types.Integer(842)}
		},
		"cropped": func(_, page types.Dict) {
			page["CropBox"] = types.Array{types.Integer(0), types.Integer(400), types.Integer(595), types.Integer(842)}
		},
		"turned": func(_, page types.Dict) { page["Rotate"] = types.Integer(180) },
	} {
		t.Run(name, func(t *testing.T) {
			conf := model.NewDefaultConfiguration()
			ctx, err := api.ReadValidateAndOptimize(bytes.NewReader(c.Contents.Pages), conf)
			require.NoError(t, err)
			catalog, err := ctx.Catalog()
			require.NoError(t, err)
			page, _, _, err := ctx.PageDict(1, false)
			require.NoError(t, err)
			change(catalog, page)
			var out bytes.Buffer
			require.NoError(t, api.Write(ctx, &out, conf))
			contents := c.Contents
			contents.Pages = out.Bytes()
			r := Check("c.pdf", sealed(t, contents, id), Options{})
			assert.Equal(t, Differs, r.Outcome)
			assert.Contains(t, texts(r), "something else was drawn")
		})
	}
}
