// Package webpage writes what the pages of a certificate say as one HTML file, for those who cannot see
// pages. It is made from the same Document, so that nothing can differ, and is neither certificate nor sealed,
// which it says first. It needs nothing else: no script, no style sheet, no picture from elsewhere.
package webpage

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// Origin is where a document was taken from.
type Origin int

// The origins: a visit in the folder of a job, or the file of a certificate and what came of checking it.
const (
	Visit Origin = iota
	IntactFile
	FailedFile
	UncheckedFile
)

// checked is what is said of a file.
var checked = map[Origin]words.WebLabel{IntactFile: words.WebIntact, FailedFile: words.WebFails,
	UncheckedFile: words.WebUnchecked}

var (
	//go:embed page.gohtml
	source string
	//go:embed page.css
	style string
	parts = template.Must(template.New("").Funcs(template.FuncMap{"mark": mark, "class": class}).Parse(source))
)

// Write writes a document as a page. A block of a kind that it does not know is an error: nothing is left out.
func Write(to io.Writer, d certificate.Document, from Origin) error {
	if from == Visit {
		d.Sections = withoutSeal(d.Sections)
	}
	w := writer{d.Language}
	p := page{Document: d, Lang: d.Language.Tag(), Style: template.CSS(style), Policy: policy(),
		Heading: w.say(words.WebHeading{Number: d.Number, Certified: from != Visit}), Dangers: d.Dangers}
	if from == FailedFile {
		p.Dangers = append([]string{w.say(words.WebFailsFirst)}, p.Dangers...)
	}
	p.About = w.about(d, from)
	for i, s := range append(w.front(d.Front), d.Sections...) {
		section, err := w.section(s, i+1)
		if err != nil {
			return err
		}
		p.Parts = append(p.Parts, section)
	}
	p.Say = func(label string) string { return w.say(words.WebLabel(label)) }
	return parts.ExecuteTemplate(to, "page", p)
}

// policy lets in the one style of the page and the pictures in it, and nothing else.
func policy() string {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; img-src data:; base-uri 'none'; form-action 'none'"
}

// withoutSeal leaves out what tells how the file of a certificate is checked, where there is none.
func withoutSeal(all []certificate.Section) (out []certificate.Section) {
	for _, s := range all {
		if !hasCode(s) {
			out = append(out, s)
		}
	}
	return out
}

func hasCode(s certificate.Section) bool {
	for _, b := range s.Blocks {
		if _, is := b.(certificate.Code); is {
			return true
		}
	}
	return false
}

type page struct {
	certificate.Document
	Lang, Policy, Heading string
	Style                 template.CSS
	Dangers               []string
	About                 about
	Parts                 []section
	Say                   func(label string) string
}

type about struct {
	Says  []string
	Pairs certificate.Pairs
}

type section struct {
	ID, Title string
	Blocks    []template.HTML
}

type writer struct{ language words.Language }

func (w writer) say(p words.Phrase) string { return w.language.Say(p) }

// number is a value of a chart, as exact as it has sense.
func (w writer) number(v float64) string { return w.language.Number(v, words.AsNeeded) }

// about says what the page is worth, and with which file it goes.
func (w writer) about(d certificate.Document, from Origin) about {
	number, which := words.WebNumber, words.WebOfFile
	if from == Visit {
		number, which = words.WebVisit, words.WebOfVisit
	}
	a := about{Says: []string{w.say(words.WebForThose), w.say(which)},
		Pairs: certificate.Pairs{{Label: w.say(number), Value: d.Number}}}
	if d.Journal != "" {
		a.Pairs = append(a.Pairs, certificate.Pair{Label: w.say(words.WebJournal), Value: grouped(d.Journal)})
	}
	if said, is := checked[from]; is {
		a.Pairs = append(a.Pairs, certificate.Pair{Label: w.say(words.WebCheck), Value: w.say(said)})
	}
	return a
}

// grouped sets digits in groups of four, which can be read and heard.
func grouped(digits string) string {
	var groups []string
	for len(digits) > 4 {
		groups, digits = append(groups, digits[:4]), digits[4:]
	}
	return strings.Join(append(groups, digits), " ")
}

func (w writer) section(s certificate.Section, n int) (section, error) {
	out := section{ID: "s" + strconv.Itoa(n), Title: s.Title}
	tables := 0
	for _, b := range s.Blocks {
		if _, is := b.(certificate.Table); is {
			tables++
		}
	}
	nth := 0
	for _, b := range s.Blocks {
		caption := s.Title
		if _, is := b.(certificate.Table); is && tables > 1 {
			nth++
			caption = w.say(words.WebCaption{Title: s.Title, N: nth, Many: tables})
		}
		html, err := w.block(b, caption)
		if err != nil {
			return section{}, err
		}
		out.Blocks = append(out.Blocks, html)
	}
	return out, nil
}

// block is one as HTML. The kinds are all of them: a test holds the list against the certificate's.
func (w writer) block(b certificate.Block, caption string) (template.HTML, error) {
	switch b := b.(type) {
	case certificate.Prose:
		return rendered("prose", b)
	case certificate.Pairs:
		return rendered("pairs", b)
	case certificate.Items:
		return rendered("items", b)
	case certificate.Table:
		return rendered("table", w.table(b, caption))
	case certificate.Signatures:
		return rendered("signatures", w.signatures(b))
	case certificate.Pictures:
		return rendered("pictures", w.pictures(b))
	case certificate.Code:
		return rendered("code", code{b.Content, w.say(words.WebCode), b.Beside})
	case certificate.Charts:
		return rendered("charts", w.charts(b))
	case certificate.ThenNow:
		return rendered("charts", []chart{w.thenNow(b)})
	}
	return "", fmt.Errorf("a page of text has no form for a block %T", b)
}

type code struct {
	Content, Label string
	Beside         certificate.Pairs
}

// rendered is one part of the page; the template has escaped all of it.
func rendered(name string, of any) (template.HTML, error) {
	var b bytes.Buffer
	err := parts.ExecuteTemplate(&b, name, of)
	return template.HTML(b.String()), err //nolint:gosec // made by html/template in the same place of a page
}
