// Package verify checks certificates, for people who trust nobody.
//
// It needs the file only. It checks the one signature over the whole file, takes the
// record out of it, folds and judges it again with this version's rules, makes the
// certificate again from it, and compares every verdict, count, figure and word with
// what the file states and draws. What a file claims of itself is never believed
// where it can be computed.
//
// What it cannot show: that what was recorded is true, and who holds a key. For the
// second, Anchors or a fingerprint that is known by another way have to be given.
package verify

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"loopwitness/commission"
	"loopwitness/commission/journal"
	"loopwitness/commission/photograph"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// NotRead is the report of a file that could not be read.
func NotRead(name string, err error) *Report {
	return &Report{File: name, Outcome: Unchecked, Problems: []Problem{{Unreadable, fmt.Sprintf("it could not be read: %v", err)}}}
}

// Check checks a file. It does not fail: what hinders it stands in the report.
func Check(name string, file []byte, o Options) (r *Report) {
	r = &Report{File: name, Problems: []Problem{}}
	defer func() {
		if p := recover(); p != nil {
			r.problem(Unreadable, "checking it stopped at a fault of this program: %v", p)
		}
		r.conclude()
	}()
	sealed, at := r.checkSeal(file, o)
	f, err := pdffile.Open(sealed)
	if err == nil {
		err = r.checkForm(f, sealed)
	}
	if err != nil {
		r.unreadable(err)
		return r
	}
	if r.Signature != nil {
		if err := certifies(f, at); err != nil {
			r.problem(BadSeal, "%v", err)
		}
	}
	if err := r.checkContents(f, sealed, at, o); err != nil {
		r.problem(kindOf(err), "%v", err)
	}
	return r
}

// unreadable tells that a file cannot be read, with the likely reason first.
func (r *Report) unreadable(err error) {
	if errors.Is(err, pdffile.ErrEnd) && !r.has(CutShort) {
		r.Problems = slices.DeleteFunc(r.Problems, func(p Problem) bool { return p.Kind == NoSeal })
		r.problem(Unreadable, "its end is missing: it is not complete, ask for it again")
		return
	}
	r.problem(Unreadable, "it cannot be read: %v", err)
}

// checkForm demands that the file is written as this tool writes: the same objects in
// any other form might be another document for another reader.
func (r *Report) checkForm(f *pdffile.File, sealed []byte) error {
	d, err := f.Document()
	if err != nil {
		return err
	}
	if !bytes.Equal(d.Bytes(), sealed) {
		r.problem(Form, "it is not written as this tool writes: other readers may show something else than was checked here")
	}
	return nil
}

func kindOf(err error) Kind {
	switch {
	case errors.Is(err, evidence.ErrNewer), errors.Is(err, journal.ErrNewer), errors.Is(err, commission.ErrUnknownKind):
		return Newer
	case errors.Is(err, journal.ErrDamaged), errors.Is(err, commission.ErrNoSense):
		return BadRecord
	case errors.Is(err, evidence.ErrPhotograph):
		return BadPicture
	}
	return Unreadable
}

// conclude draws the outcome from the problems. A file that was changed stays one,
// even if what is left of it cannot be read.
func (r *Report) conclude() {
	switch {
	case r.has(CutShort, Appended, Changed, BadSeal, OtherKey, Form, BadRecord, BadPicture, Statement, Pages, Untrusted, Mismatch):
		r.Outcome = Differs
	case len(r.Problems) > 0:
		r.Outcome = Unchecked
	default:
		r.Outcome = Intact
	}
}

// checkSeal checks the signature and returns the part of the file that was signed.
func (r *Report) checkSeal(file []byte, o Options) ([]byte, place) {
	at, err := findSignature(file)
	switch {
	case errors.Is(err, errUnsigned):
		if bytes.HasPrefix(file, []byte("%PDF-")) {
			r.problem(NoSeal, "it is not signed: nothing shows who made it, or whether it was changed since")
		}
		return file, place{}
	case err != nil:
		r.problem(BadSeal, "%v", err)
		return file, place{}
	case at.end > len(file):
		r.problem(CutShort, "it was cut short: %d of the %d bytes that were signed are missing", at.end-len(file), at.end)
		return file, place{}
	case at.end < len(file):
		r.problem(Appended, "%d bytes were appended after it was signed; below only the signed part is checked", len(file)-at.end)
	}
	s, err := checkSignature(file, at)
	switch {
	case errors.Is(err, errChanged):
		r.problem(Changed, "%v: bytes that were signed have been changed", err)
	case err != nil:
		r.problem(BadSeal, "its signature is not sound: %v", err)
	default:
		r.signedBy(s, o)
	}
	return file[:at.end], at
}

func (r *Report) signedBy(s *signature, o Options) {
	r.Signature = &Signer{Name: identity.Claimed(s.signer), Fingerprint: identity.Fingerprint(s.signer), Claimed: s.claimed}
	if !bytes.Equal(s.signer.RawIssuer, s.signer.RawSubject) {
		r.Signature.Issuer = s.signer.Issuer.String()
	}
	if s.token != nil {
		stamp, err := o.TrustTime.checkStamp(s)
		if err != nil {
			r.problem(BadSeal, "%v", err)
		}
		r.Signature.Stamp = stamp
	}
	for _, at := range []time.Time{s.claimed, r.Signature.When()} {
		if err := wellKept(s, at); err != nil {
			r.problem(BadSeal, "%v", err)
			break
		}
	}
	r.Signature.Trust = o.Trust.trust(s, r.Signature.When())
	if t := r.Signature.Trust; t.Asked && !t.Trusted {
		r.problem(Untrusted, "its signer is not trusted: %s", t.Reason)
	}
}

// When is the time of signing: of the time stamp if there is a trusted one, else as
// claimed.
func (s *Signer) When() time.Time {
	if s.Stamp != nil && s.Stamp.Trusted {
		return s.Stamp.Time
	}
	return s.Claimed
}

// checkContents takes the record out, judges it again, makes the certificate again,
// and compares.
func (r *Report) checkContents(f *pdffile.File, sealed []byte, at place, o Options) error {
	files, err := f.Attachments()
	if err != nil {
		return err
	}
	if files[seal.JournalName].Dict == nil || files[seal.StatementName].Dict == nil {
		return fmt.Errorf("it is no certificate of this tool: it carries no %s and %s", seal.JournalName, seal.StatementName)
	}
	raw, err := f.Inflate(files[seal.StatementName], maxStatement)
	if err != nil {
		return err
	}
	statement, err := r.statement(raw)
	if err != nil {
		return err
	}
	contents, err := r.journal(f, files, statement, o)
	if err != nil {
		return err
	}
	again, err := r.again(f, files, contents, statement)
	if err != nil {
		return err
	}
	r.derived(again)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if !slices.Contains(evidence.AttachmentNames(again.Assessment.Record), name) {
			r.problem(BadRecord, "it carries %q, which does not belong to it", name)
		}
	}
	r.noteTimes(statement)
	if err := r.compareStated(raw, statement, again, o); err != nil {
		return err
	}
	return r.comparePages(f, sealed, at, statement, again)
}

// again makes the certificate again from its record.
func (r *Report) again(f *pdffile.File, files map[string]pdffile.Stream, contents journal.Contents, s evidence.Statement) (*evidence.Certificate, error) {
	shown, err := smallPictures(f)
	if err != nil {
		return nil, err
	}
	photographs := func(p commission.Picture) ([]byte, error) {
		file, there := files[p.Name]
		if !there {
			return nil, fmt.Errorf("%s: %w: it is missing", p.Name, evidence.ErrPhotograph)
		}
		r.Compared.Photographs++
		return f.Inflate(file, photograph.MaxBytes+1<<10)
	}
	return evidence.Make(contents, photographs, evidence.Making{Edition: s.Edition, Revision: s.Revision, Tool: s.Tool, Made: s.Made, Seal: s.Seal, Small: chosen(shown)})
}

func (r *Report) statement(raw []byte) (evidence.Statement, error) {
	s, err := evidence.ReadStatement(raw)
	if err != nil {
		return s, err
	}
	r.Tool = s.Tool
	switch {
	case r.Signature == nil && r.has(NoSeal) && s.Seal.Kind != certificate.Unsigned:
		r.problem(BadSeal, "it names a key on its pages, but bears no signature: that was removed")
	case r.Signature == nil:
	case s.Seal.Fingerprint != r.Signature.Fingerprint:
		r.problem(OtherKey, "it is signed by another key than it names on its pages: %s signed, %s is named", short8(r.Signature.Fingerprint), short8(s.Seal.Fingerprint))
	case s.Seal.Name != r.Signature.Name:
		r.problem(OtherKey, "its pages say that %q signed; the key says that it is %q", s.Seal.Name, r.Signature.Name)
	default:
		r.Signature.ThrowAway = s.Seal.Kind == certificate.ThrowAway
	}
	return s, nil
}

// short8 is enough of a fingerprint to tell two apart in a sentence.
func short8(fingerprint string) string {
	if fingerprint == "" {
		return "no key"
	}
	return fingerprint[:min(8, len(fingerprint))] + "…"
}

func (r *Report) journal(f *pdffile.File, files map[string]pdffile.Stream, s evidence.Statement, o Options) (journal.Contents, error) {
	raw, err := f.Inflate(files[seal.JournalName], maxJournal)
	if err != nil {
		return journal.Contents{}, err
	}
	r.Fingerprint = evidence.Digest(raw)
	r.matchFingerprint(o.Fingerprint)
	contents, err := journal.Read(bytes.NewReader(raw))
	if err != nil {
		return contents, fmt.Errorf("its record: %w", err)
	}
	if len(contents.Torn) > 0 {
		r.problem(BadRecord, "its record ends in an unfinished line")
	}
	if how := s.Record.Differs(contents); how != "" {
		r.problem(BadRecord, "the attached record is not the one that the certificate was made with: %s", how)
	}
	r.Compared.Entries = len(contents.Entries)
	return contents, nil
}

// shortestFingerprint is how many digits of a fingerprint have to be given: those at
// the foot of every page.
const shortestFingerprint = 16

// CleanFingerprint is a fingerprint as typed from paper, without blanks, colons and
// dots; an error if it is none.
func CleanFingerprint(typed string) (string, error) {
	digits := strings.ToLower(strings.NewReplacer(" ", "", ":", "", "…", "", ".", "", "-", "").Replace(typed))
	if strings.Trim(digits, "0123456789abcdef") != "" || len(digits) < shortestFingerprint || len(digits) > 64 {
		return "", fmt.Errorf("%q is no fingerprint: take %d to 64 of the hexadecimal digits that the certificate prints", typed, shortestFingerprint)
	}
	return digits, nil
}

// EnoughDigits is how many digits of a fingerprint prove what it fits: nobody makes two
// records, or another key, with as many alike. So many stand at the foot of each page.
const EnoughDigits = 32

// matchFingerprint tells what a fingerprint fits. That of a key tells who signed, as a
// trusted certificate would.
func (r *Report) matchFingerprint(want string) {
	if want == "" {
		return
	}
	r.Paper = &Paper{Digits: len(want)}
	switch {
	case strings.HasPrefix(r.Fingerprint, want):
		r.Paper.Fits = "record"
	case r.Signature != nil && strings.HasPrefix(r.Signature.Fingerprint, want):
		r.Paper.Fits = "key"
		if t := &r.Signature.Trust; !t.Asked && len(want) >= EnoughDigits {
			*t = Trust{Asked: true, Trusted: true, Reason: fmt.Sprintf("its key is the one whose fingerprint was given (%d of 64 digits)", len(want))}
		}
	default:
		r.problem(Mismatch, "the fingerprint is neither that of its record nor that of its key: it belongs to another certificate")
	}
}

func (r *Report) derived(c *evidence.Certificate) {
	a := c.Assessment
	r.Document, r.Result, r.Premises = c.Document.Number, string(a.Result), a.Record.Site.Premises.Name
	r.Simulated, r.Unfinished = a.Record.Simulated(), !a.Record.Done()
	r.Findings, r.Limitations, r.Assessment = len(a.Findings), len(a.Limitations), a
}

// noteTimes tells what clocks have against each other. They may be wrong without fault,
// so it is no difference, but whoever judges has to know.
func (r *Report) noteTimes(s evidence.Statement) {
	if r.Signature == nil {
		return
	}
	latest, signed := r.Assessment.Record.Latest, r.Signature.When()
	if !r.Simulated && latest.After(signed.Add(clocksApart)) {
		r.Notes = append(r.Notes, fmt.Sprintf("its record ends on %s, which is later than it was signed", latest.UTC().Format(time.DateTime)))
	}
	if d := r.Signature.Claimed.Sub(s.Made); d.Abs() > clocksApart {
		r.Notes = append(r.Notes, fmt.Sprintf("it says that it was made on %s, and was signed on %s", s.Made.UTC().Format(time.DateTime), r.Signature.Claimed.UTC().Format(time.DateTime)))
	}
}

// compareStated compares what the certificate states, and then certificate.json as a
// whole: another program may read in it what this one passes over.
func (r *Report) compareStated(raw []byte, s evidence.Statement, again *evidence.Certificate, o Options) error {
	r.Differences = differencesOf(s.Stated, again.Statement.Stated)
	r.Compared.Statements = len(again.Statement.Stated)
	if s.Result != again.Statement.Result {
		r.Differences = append([]Difference{{"result", s.Result, again.Statement.Result}}, r.Differences...)
	}
	if s.Document != again.Statement.Document {
		r.Differences = append([]Difference{{"document", s.Document, again.Statement.Document}}, r.Differences...)
	}
	if n := len(r.Differences); n > 0 {
		r.problem(Statement, "%d of its statements do not follow from its record", n)
		if o.Tool != "" && s.Tool != o.Tool {
			r.Notes = append(r.Notes, fmt.Sprintf("it says that %s wrote it; rules of judging may have changed until %s: check it with both", s.Tool, o.Tool))
		}
		return nil
	}
	fresh, err := again.Statement.Encode()
	if err == nil && !bytes.Equal(raw, fresh) && !r.has(BadRecord) {
		r.problem(Statement, "its %s is not the one that its record gives", seal.StatementName)
	}
	return err
}

// comparePages compares the file with the one made again from its record.
func (r *Report) comparePages(f *pdffile.File, sealed []byte, at place, s evidence.Statement, again *evidence.Certificate) error {
	pages, err := f.Pages()
	if err != nil {
		return err
	}
	r.Compared.Pages = len(pages)
	pdf, err := remade(at, s, again)
	if err != nil {
		return fmt.Errorf("make it again: %w", err)
	}
	if samePages(sealed, pdf, at) {
		r.Compared.Drawn = true
		return nil
	}
	fresh, err := pdffile.Open(pdf)
	if err != nil {
		return fmt.Errorf("make it again: %w", err)
	}
	differences, err := differingWords(f, fresh)
	if err != nil {
		return err
	}
	for _, d := range differences {
		r.problem(Pages, "%s", d)
	}
	if len(differences) > 0 {
		return nil
	}
	if err := drawnAlike(f, fresh); err != nil {
		r.problem(Pages, "its words are those of the record, but something else was drawn: %v", err)
		return nil
	}
	r.Compared.Drawn = true
	return nil
}

// remade is the file as it was before it was signed.
func remade(at place, s evidence.Statement, again *evidence.Certificate) ([]byte, error) {
	if at.end == 0 {
		return seal.Unsigned(again.Contents)
	}
	return seal.Template(again.Contents, (at.secondBegin-at.firstEnd-2)/2, s.Seal.Name)
}

func day(t time.Time) string { return t.UTC().Format(time.DateOnly) }
