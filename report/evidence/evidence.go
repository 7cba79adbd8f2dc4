// Package evidence puts together what a certificate carries: its pages, the record
// of the visit, the photographs, and a statement of what the pages say. To write
// a certificate and to verify one are the same move up to here.
package evidence

import (
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
	"loopwitness/report/certificate"
	"loopwitness/report/seal"
)

// Making is what a certificate does not take from the record.
type Making struct {
	Language words.Language // of the pages, in whatever units; nil for that of the visit
	Revision int
	Summary  bool   // page one alone; photographs stay with the full certificate of that revision
	Tool     string // name and version that writes it
	Made     time.Time
	SealedBy certificate.Sealer
	// TimeStamped promises a time stamp over the signature: one that is missing was taken away.
	TimeStamped bool
	// Small gives the small picture of a photograph; nil for one that is made now.
	Small func(made []byte) []byte
}

// Parts is all of a certificate but the signature.
type Parts struct {
	Assessment *judge.Assessment
	Document   certificate.Document
	Statement  Statement
	Contents   seal.Contents
}

// Photographs gives the content of a photograph of the record.
type Photographs func(record.Photograph) ([]byte, error)

// ErrPhotograph says that a photograph is not the one that the journal tells of.
var ErrPhotograph = errors.New("the photograph is not the one that the journal tells of")

// ErrLost is what Photographs answers for one that is not there any more as it was added.
// The certificate is made without it, and says so.
var ErrLost = errors.New("the photograph is lost")

// Make folds and judges a journal and puts a certificate of it together. Nothing but
// its arguments goes into it.
func Make(c journal.Contents, photographs Photographs, m Making) (*Parts, error) {
	r, err := record.Fold(c.Entries)
	if err != nil {
		return nil, err
	}
	var lost []string
	for _, p := range r.Photographs() {
		if _, err := photographs(p); errors.Is(err, ErrLost) {
			lost = append(lost, p.Name)
		}
	}
	return Of(judge.Without(r, lost...), c, photographs, m)
}

// ErrDiscarded says that the visit was set aside: it gets no certificate.
var ErrDiscarded = errors.New("the visit was set aside and cannot be certified")

// Judge folds and judges a journal, of whose photographs some may be lost, by their names.
func Judge(c journal.Contents, lost ...string) (*judge.Assessment, error) {
	r, err := record.Fold(c.Entries)
	if err != nil {
		return nil, err
	}
	return judge.Without(r, lost...), nil
}

// Of puts a certificate of an assessment of that journal together. Its pages are of the
// present edition: no other can be drawn.
func Of(a *judge.Assessment, c journal.Contents, photographs Photographs, m Making) (*Parts, error) {
	if d := a.Record().Discarded(); d != nil {
		return nil, fmt.Errorf("%w: %s", ErrDiscarded, d.Reason)
	}
	if m.Language == nil {
		m.Language = languages.OfVisit(a.Record())
	}
	m.Language = m.Language.In(a.Record().Site().Units)
	record := journalOf(c)
	options := certificate.Options{
		Language: m.Language,
		Revision: m.Revision,
		Summary:  m.Summary,
		Tool:     m.Tool,
		SealedBy: m.SealedBy,
		Journal:  record.SHA256,
		Pictures: map[string][]byte{},
	}
	attachments := []seal.Attachment{
		{Name: seal.JournalName, Media: "application/jsonl",
			Description: "The record of the visit, as it was written", Content: c.Whole},
	}
	var hashes []string
	for _, p := range keptIn(a, m.Summary) {
		content, err := photographs(p)
		if err != nil {
			return nil, err
		}
		if Digest(content) != p.SHA256 || len(content) != p.Bytes {
			return nil, fmt.Errorf("%s: %w", p.Name, ErrPhotograph)
		}
		if width, height := photograph.Size(content); width != p.Width || height != p.Height {
			return nil, fmt.Errorf("%s: %w: its size is another", p.Name, ErrPhotograph)
		}
		small, err := certificate.SmallPicture(content, p.Media)
		if err != nil {
			return nil, fmt.Errorf("%s: %w: %w", p.Name, ErrPhotograph, err)
		}
		if m.Small != nil {
			small = m.Small(small)
		}
		options.Pictures[p.SHA256] = small
		hashes = append(hashes, p.SHA256)
		attachments = append(attachments, seal.Attachment{Name: p.Name, Media: p.Media,
			Description: description(m.Language, p), Content: content})
	}
	document := certificate.Write(a, options)
	stated := document.Stated()
	if err := within(stated); err != nil {
		return nil, err
	}
	judged, err := judgedIn(a)
	if err != nil {
		return nil, err
	}
	statement := Statement{Format: Format, Rules: judge.Rules, Edition: certificate.Edition, Language: m.Language.Tag(),
		Tool: m.Tool, Made: m.Made, Document: document.Number, Revision: m.Revision, Summary: m.Summary, SealedBy: m.SealedBy,
		TimeStamped: m.TimeStamped, Journal: record, Photographs: hashes, Lost: namesOf(a.Lost()), Judged: judged, Stated: stated}
	encoded, err := statement.Encode()
	if err != nil {
		return nil, err
	}
	pages, err := certificate.Render(document, m.Made)
	if err != nil {
		return nil, tooMany(err)
	}
	attachments = append(attachments, seal.Attachment{Name: seal.StatementName, Media: "application/json",
		Description: "What was judged, and what the pages state", Content: encoded})
	return &Parts{a, document, statement, seal.Contents{Pages: pages, Attachments: attachments, Made: m.Made}}, nil
}

func description(l words.Language, p record.Photograph) string {
	return l.Say(words.AttachedPhotograph{Shows: p.Shows})
}

// AttachmentNames are what a certificate of that assessment carries, or its summary.
func AttachmentNames(a *judge.Assessment, summary bool) []string {
	return append([]string{seal.JournalName, seal.StatementName}, namesOf(keptIn(a, summary))...)
}

// keptIn are the photographs that a certificate carries: a summary has none.
func keptIn(a *judge.Assessment, summary bool) []record.Photograph {
	if summary {
		return nil
	}
	return a.Kept()
}

func namesOf(all []record.Photograph) (names []string) {
	for _, p := range all {
		names = append(names, p.Name)
	}
	return names
}
