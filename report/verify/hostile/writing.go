// Package hostile makes certificates that stall or swell whoever verifies them, for tests:
// each is small for what it asks for. Nothing of it is worth an error: it panics.
package hostile

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// Forger writes certificates by hand, and signs them with a key.
type Forger struct {
	Honest []byte // journal of a visit, whose pages the certificates have
	Key    *identity.Identity
	Made   time.Time
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Writing is a journal that somebody writes by hand.
type Writing struct {
	bytes.Buffer
	Steps        []programme.Step
	entries, run int
	now, begun   time.Time
	head         string
	pictures     []seal.Attachment
}

// Begun is the beginning of a visit to a site.
func (f Forger) Begun(text string) *Writing {
	s := must(site.Read("site.yaml", []byte(text)))
	list := must(programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover)))
	w := &Writing{now: f.Made.Add(-time.Hour), Steps: programme.Of(s, list), head: strings.Repeat("0", 64)}
	w.Again()
	w.Add(record.Opened{Tool: "bench", Visit: programme.Handover, Number: "L/1", SiteName: "site.yaml", Site: text,
		Programme: w.Steps}, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7},
		signal.Connection{Up: true})
	return w
}

// Again begins another run.
func (w *Writing) Again() { w.run, w.begun = w.run+1, w.now }

// Add writes entries as commission/journal describes them.
func (w *Writing) Add(facts ...record.Fact) {
	for _, f := range facts {
		w.entries++
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		format := 0
		if w.entries == 1 {
			format = journal.Format
		}
		err := enc.Encode(struct {
			Format int         `json:"format,omitempty"`
			N      int         `json:"n"`
			At     string      `json:"at"`
			Run    int         `json:"run"`
			NS     int64       `json:"ns"`
			Kind   string      `json:"kind"`
			Body   record.Fact `json:"body"`
			Prev   string      `json:"prev"`
		}{format, w.entries, w.now.Format("2006-01-02T15:04:05.000000000Z"), w.run, w.now.Sub(w.begun).Nanoseconds(),
			f.Kind(), f, w.head})
		if err != nil {
			panic(err)
		}
		w.head = evidence.Digest(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
		w.Write(b.Bytes())
		w.now = w.now.Add(time.Millisecond)
	}
}

const siteHead = "reference: L\npremises: {name: a, address: b}\ninstaller: {company: c}\n" +
	"controller: {description: d}\nsupply: {battery: {chemistry: none}}\nzones:\n"

// SiteOf is a site of so many zones, each with detectors of these names.
func SiteOf(zones int, detectors ...string) string {
	var b strings.Builder
	b.WriteString(siteHead)
	for z := 1; z <= zones; z++ {
		fmt.Fprintf(
			&b,
			"  - {number: %d, name: z, kind: window, wiring: normally closed, address: z%[1]d, detectors: [%s]}\n",
			z,
			strings.Join(detectors, ","),
		)
	}
	return b.String()
}

// Forged is a certificate of that record, signed by the forger. Its pages and what it states
// are those of another visit, which costs its forger nothing.
func (f Forger) Forged(raw []byte, change func(*evidence.Statement, *seal.Contents)) []byte {
	by := certificate.Sealer{Kind: certificate.KeyHolder, Name: f.Key.Name(), Fingerprint: f.Key.Fingerprint()}
	c := must(evidence.Make(must(journal.Read(bytes.NewReader(f.Honest))), none,
		evidence.Making{Revision: 1, Tool: "loopwitness test", Made: f.Made, SealedBy: by}))
	s, out := c.Statement, c.Contents
	out.Attachments = slices.Clone(out.Attachments)
	s.Journal = evidence.Journal{SHA256: evidence.Digest(raw), Entries: bytes.Count(raw, []byte("\n"))}
	s.Journal.Marks = strings.Repeat("0", 8*s.Journal.Entries)
	change(&s, &out)
	for i, a := range out.Attachments {
		switch a.Name {
		case seal.JournalName:
			out.Attachments[i].Content = raw
		case seal.StatementName:
			out.Attachments[i].Content = must(s.Encode())
		}
	}
	return must(seal.Seal(context.Background(), out, f.Key, seal.Stamper{})).PDF
}

func none(record.Photograph) ([]byte, error) { return nil, os.ErrNotExist }

// AsItIs changes nothing.
func AsItIs(*evidence.Statement, *seal.Contents) {}

// Names are so many short names.
func Names(n int) []string { return slices.Repeat([]string{"a"}, n) }

// detector is the first step that tries a detector.
func (w *Writing) detector() string {
	for _, s := range w.Steps {
		if s.Kind == programme.StepDetector {
			return s.ID
		}
	}
	panic("no detector")
}

// Photographs are so many pictures of that size, and the record of a visit with them.
func (w *Writing) Photographs(n, width, height int) []byte {
	w.Again()
	p := image.NewGray(image.Rect(0, 0, width, height))
	for i := range n {
		p.Pix[0] = uint8(i)
		var b bytes.Buffer
		if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, p); err != nil {
			panic(err)
		}
		name := fmt.Sprintf("photograph-%d.png", i+1)
		w.pictures = append(w.pictures, seal.Attachment{Name: name, Media: "image/png", Content: b.Bytes()})
		w.Add(record.Photographed{Name: name, About: "site", SHA256: evidence.Digest(b.Bytes()), Bytes: b.Len(),
			Media: "image/png", Width: width, Height: height})
	}
	return w.Bytes()
}

// Attach attaches them.
func (w *Writing) Attach(_ *evidence.Statement, c *seal.Contents) {
	c.Attachments = append(c.Attachments, w.pictures...)
}
