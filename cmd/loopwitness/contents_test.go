package main

import (
	"go/parser"
	"go/token"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// listening is English that remembers what it was asked to say, by codes.
type listening struct {
	words.English
	said map[string][]string
}

func (l *listening) add(code, text string) {
	if text != "" {
		l.said[code] = append(l.said[code], text)
	}
}

// Say says a phrase, and remembers it and those in its arguments.
func (l *listening) Say(p words.Phrase) string {
	l.hear(reflect.ValueOf(p))
	return l.English.Say(p)
}

// Computed says a computed row, and remembers it by its own code.
func (l *listening) Computed(c judge.Computed) words.Row {
	row := l.English.Computed(c)
	l.add("row/"+c.Row.Code(), row.About)
	return row
}

func (l *listening) hear(v reflect.Value) {
	if v.Kind() == reflect.Interface || v.Kind() == reflect.Pointer {
		if !v.IsNil() {
			l.hear(v.Elem())
		}
		return
	}
	if p, is := v.Interface().(words.Phrase); is {
		l.phrase(p)
	}
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			l.hear(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				l.hear(v.Field(i))
			}
		}
	}
}

// phrase remembers a phrase that can be said by itself.
func (l *listening) phrase(p words.Phrase) {
	defer func() { _ = recover() }() // a part of another phrase has no words of its own
	text := l.English.Say(p)
	l.add(p.Code(), text)
}

// demonstrated are the certificates of the demonstration's visits, whose site file has every key that is printed.
func demonstrated(t *testing.T) map[string]*pages {
	t.Helper()
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer null.Close()
	s, f := streams{in: null, out: null, err: null, lost: new(error)}, job.At(t.TempDir())
	today := time.Now()
	begun := today.AddDate(-1, 0, 0)
	require.NoError(t, layOut(f, fittedBefore(begun)))
	text, err := os.ReadFile(f.SitePath())
	require.NoError(t, err)
	for key, value := range map[string]string{"design": "proposal P-31", "authority": "nobody", "controls": "keypad",
		"interfaces": "none", "supply.adapter.fuse": "T 2 A", "supply.adapter.circuit": "of its own",
		"agreed.records": "ten years"} {
		text, err = dryrun.SetKey(text, key, value)
		require.NoError(t, err, key)
	}
	require.NoError(t, os.WriteFile(f.SitePath(), text, 0o600))
	for i, at := range []time.Time{begun, today} {
		of := attendances[i]
		of.at = at
		require.NoError(t, s.demonstrates(t.Context(), f, of))
	}
	visits, err := f.Visits()
	require.NoError(t, err)
	all := map[string]*pages{}
	for _, v := range visits {
		c, err := journal.ReadFile(v.Journal())
		require.NoError(t, err)
		r, err := record.Fold(c.Entries)
		require.NoError(t, err)
		all[string(r.Opened().Visit)] = pagesOf(t, judge.Assess(r), today)
	}
	return all
}

// pages are a certificate: what its language was asked to say, and what each section states.
type pages struct {
	said     map[string][]string
	sections map[string]string // by the code of the heading; outside of them, "page"
}

func pagesOf(t *testing.T, a *judge.Assessment, at time.Time) *pages {
	t.Helper()
	l, drawn := &listening{said: map[string][]string{}}, &listening{said: map[string][]string{}}
	d := certificate.Write(a, certificate.Options{Language: l, Revision: 2, Tool: tool, Journal: strings.Repeat("01", 32),
		SealedBy: certificate.Sealer{Kind: certificate.KeyHolder, Name: "key", Fingerprint: strings.Repeat("23", 32)}})
	d.Language = drawn
	_, err := certificate.Render(d, at)
	require.NoError(t, err)
	p := &pages{l.said, map[string]string{}}
	page := []string{d.Banner.Word, d.Banner.Sentence}
	for _, s := range (certificate.Document{Front: d.Front}).Stated() {
		page = append(page, s.Key+": "+s.Text)
	}
	for code, texts := range drawn.said { // what is drawn beside the texts: numbers of pages
		p.said[code] = append(p.said[code], texts...)
		page = append(page, texts...)
	}
	p.sections["page"] = strings.Join(page, "\n")
	for code, titles := range l.said {
		name, heading := strings.CutPrefix(code, "heading/")
		if !heading {
			if name, heading = strings.CutSuffix(code, "/heading"); !heading {
				continue
			}
		}
		for _, s := range d.Sections {
			if slices.Contains(titles, s.Title) {
				p.sections[name] = stated(s)
			}
		}
	}
	return p
}

// stated is what a section states, a line each, with the labels and heads that it stands under.
func stated(s certificate.Section) string {
	var b strings.Builder
	for _, one := range (certificate.Document{Sections: []certificate.Section{s}}).Stated() {
		b.WriteString(one.Key + ": " + one.Text + "\n")
	}
	return b.String()
}

// has tells whether a section says a phrase. Very short texts prove nothing.
func (p *pages) has(section, code string) bool {
	return slices.ContainsFunc(p.said[code], func(text string) bool {
		if strings.HasPrefix(code, "label/") || strings.HasPrefix(code, "column/") {
			text = "/" + text + ": "
		}
		return len(text) > 3 && strings.Contains(p.sections[section], text)
	})
}

// asked is one row of the table in the documentation of report/certificate.
type asked struct {
	number int
	needed bool
	places []place
	none   string // why it has no place
}

// place is where something stands: in the hand-over, in the maintenance, or, with "", in both.
type place struct {
	visit, section string
	codes          []string
}

var (
	fieldRow = regexp.MustCompile(`^\s?(\d+) ([NO]) ([^|]+) \| ([^|]+) \|(.*)$`)
	placeOf  = regexp.MustCompile(`^(?:(handover|maintenance) )?([a-z-]+): (.+)$`)
)

// fields reads the table. A place that cannot be read fails.
func fields(t *testing.T, doc string) (all []asked) {
	t.Helper()
	var rows [][]string
	for _, line := range strings.Split(doc, "\n") {
		line, table := strings.CutPrefix(line, "\t")
		if !table {
			continue
		}
		if row := fieldRow.FindStringSubmatch(line); row != nil {
			rows = append(rows, row)
			continue
		}
		require.NotEmpty(t, rows, line)
		rows[len(rows)-1][5] += " " + strings.TrimSpace(line)
	}
	for _, row := range rows {
		n, err := strconv.Atoi(row[1])
		require.NoError(t, err)
		f := asked{number: n, needed: row[2] == "N"}
		for _, text := range strings.Split(row[5], ";") {
			if reason, none := strings.CutPrefix(strings.TrimSpace(text), "none: "); none {
				f.none = reason
				continue
			}
			at := placeOf.FindStringSubmatch(strings.TrimSpace(text))
			require.NotNil(t, at, "%d: %q is no place", n, text)
			f.places = append(f.places, place{at[1], at[2], strings.Split(at[3], ", ")})
		}
		all = append(all, f)
	}
	return all
}

// missing are the codes of a place that do not stand there.
func (p place) missing(visits map[string]*pages) (codes []string) {
	for kind, v := range visits {
		if p.visit != "" && p.visit != kind {
			continue
		}
		for _, code := range p.codes {
			if !v.has(p.section, code) {
				codes = append(codes, kind+" "+p.section+": "+code)
			}
		}
	}
	return codes
}

// notShown are places that the demonstration has no use for; their words exist.
var notShown = map[string]words.Phrase{"photographs: heading/photographs": words.PhotographsHeading}

// Whatever a form of record asks for stands where the documentation says. That there are 86 fields, and which 60 are
// needed: from a comparison of published forms of record, of which NFPA 72, BS 7671 and IEC 60364-6 are the longest.
func TestContents(t *testing.T) {
	files, err := parser.ParseFile(token.NewFileSet(), "../../report/certificate/doc.go", nil, parser.ParseComments)
	require.NoError(t, err)
	visits := demonstrated(t)
	require.Len(t, visits, 2)
	needed := 0
	all := fields(t, files.Doc.Text())
	require.Len(t, all, 86)
	for i, f := range all {
		assert.Equal(t, i+1, f.number)
		if f.needed {
			needed++
			assert.Empty(t, f.none, "%d is needed", f.number)
		}
		assert.True(t, (len(f.places) > 0) != (f.none != ""), "%d has a place, or the reason why not", f.number)
		for _, p := range f.places {
			if shown := notShown[p.section+": "+strings.Join(p.codes, ", ")]; shown != nil && !f.needed {
				assert.Equal(t, p.codes, []string{shown.Code()})
				assert.NotEmpty(t, words.English{}.Say(shown))
				continue
			}
			assert.Empty(t, p.missing(visits), "%d", f.number)
		}
	}
	assert.Equal(t, 60, needed)
	// The check notices what is not there: a phrase, a section, a word in another section.
	for _, p := range []place{{"", "premises", []string{"label/unheard-of"}}, {"", "unheard-of", []string{"label/premises"}},
		{"", "supply", []string{"label/premises"}}, {"handover", "checklist", []string{"faults-told"}}} {
		assert.NotEmpty(t, p.missing(visits), p)
	}
}
