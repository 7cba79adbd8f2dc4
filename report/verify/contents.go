package verify

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
	"loopwitness/commission/words/languages"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
	"loopwitness/report/stamp"
)

// checkContents takes the record out and judges it again, makes the certificate again,
// and compares: what was attached, what was judged, and what is shown.
func (r *Report) checkContents(f *pdffile.File, sealed []byte, at place, o Options) error {
	files, err := f.Attachments()
	if err != nil {
		return err
	}
	if files[seal.JournalName].Dict == nil || files[seal.StatementName].Dict == nil {
		return fmt.Errorf("it is no certificate of this tool: it carries no %s and %s", seal.JournalName, seal.StatementName)
	}
	u := &unpacking{f, mostUnpacked}
	raw, err := u.inflate(files[seal.StatementName], maxStatement)
	if err != nil {
		return err
	}
	statement, err := r.statement(raw)
	if err != nil {
		return err
	}
	contents, err := r.journal(u, files, statement, o)
	if err != nil {
		return err
	}
	assessment, err := evidence.Judge(contents, statement.Lost...)
	if errors.Is(err, record.ErrNoSense) && r.ofOtherRules(statement) {
		return nil // what makes no sense here may make sense by those
	}
	if err != nil {
		return err
	}
	r.derived(assessment)
	r.noteTimes(statement)
	r.noteFuture(o)
	otherRules := r.ofOtherRules(statement)
	if !otherRules {
		if err := r.compareJudged(statement, assessment); err != nil {
			return err
		}
	}
	again, err := r.again(u, files, assessment, contents, statement)
	if err != nil {
		return err
	}
	if o.Written {
		r.Written = &again.Document
	}
	r.compareAttached(files, statement, again)
	if otherRules || r.ofOtherEdition(statement) {
		if key := keyTwice(raw); key != "" {
			r.problem(Form, "its %s has %q twice: programs may read either", seal.StatementName, key)
		}
		return nil
	}
	r.compareStated(statement, again, o)
	r.compareForm(raw, again)
	return r.comparePages(f, sealed, at, raw, files, again)
}

// again makes the certificate again from its record. In a language that we do not have
// nothing of it is compared but what is attached.
func (r *Report) again(u *unpacking, files map[string]pdffile.Stream, a *judge.Assessment,
	contents journal.Contents, s evidence.Statement) (*evidence.Parts, error) {
	shown, err := smallPictures(u.file)
	if err != nil {
		return nil, err
	}
	looked := looking{mostPixels, mostCompared}
	photographs := func(p record.Photograph) ([]byte, error) {
		file, there := files[p.Name]
		if !there {
			return nil, fmt.Errorf("%s: %w: it is missing", p.Name, evidence.ErrPhotograph)
		}
		r.Compared.Photographs++
		content, err := u.inflate(file, photograph.MaxBytes+1<<10)
		if err == nil {
			err = looked.charge(p.Name, content)
		}
		return content, err
	}
	language, _ := languages.ByTag(s.Language) // nil for one that we do not have: that of the visit
	parts, err := evidence.Of(a, contents, photographs, evidence.Making{Language: language, Revision: s.Revision, Summary: s.Summary,
		Tool: s.Tool, Made: s.Made, SealedBy: s.SealedBy, TimeStamped: s.TimeStamped, Small: looked.chosen(shown)})
	if err == nil && !looked.mayCompare() {
		err = fmt.Errorf("%w: its pictures are too many to tell which is which", errTooMuch)
	}
	return parts, err
}

// compareAttached demands that what is attached is what belongs to the record.
func (r *Report) compareAttached(files map[string]pdffile.Stream, s evidence.Statement, again *evidence.Parts) {
	r.Document = again.Document.Number
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if !slices.Contains(evidence.AttachmentNames(again.Assessment, s.Summary), name) {
			r.problem(BadRecord, "it carries %q, which does not belong to it", name)
		}
	}
	if !slices.Equal(s.Photographs, again.Statement.Photographs) {
		r.problem(BadPicture, "its %s names other photographs than its record", seal.StatementName)
	}
}

func (r *Report) statement(raw []byte) (evidence.Statement, error) {
	s, err := evidence.ReadStatement(raw)
	if err != nil {
		return s, err
	}
	r.Tool, r.Rules = s.Tool, s.Rules
	switch {
	case r.Signature == nil && r.has(NoSeal) && s.SealedBy.Kind != certificate.Nobody:
		r.problem(BadSeal, "it names a key on its pages, but bears no signature: that was removed")
	case r.Signature == nil:
	case s.SealedBy.Fingerprint != r.Signature.Fingerprint:
		r.problem(OtherKey, "it is signed by another key than it names on its pages: %s signed, %s is named",
			short8(r.Signature.Fingerprint), short8(s.SealedBy.Fingerprint))
	case s.SealedBy.Name != r.Signature.Name:
		r.problem(OtherKey, "its pages say that %q signed; the key says that it is %q", s.SealedBy.Name, r.Signature.Name)
	default:
		r.Signature.ThrowAway = s.SealedBy.Kind == certificate.ThrowAwayKey
	}
	if r.Signature != nil && s.TimeStamped && !r.Signature.stamped {
		r.problem(BadSeal, "a time stamp was promised and is missing: it was taken away")
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

func (r *Report) journal(u *unpacking, files map[string]pdffile.Stream, s evidence.Statement,
	o Options) (journal.Contents, error) {
	raw, err := u.inflate(files[seal.JournalName], maxJournal)
	if err != nil {
		return journal.Contents{}, err
	}
	r.Fingerprint = evidence.Digest(raw)
	r.matchFingerprint(o.Fingerprint)
	contents, err := journal.Read(bytes.NewReader(raw))
	if err != nil {
		return contents, fmt.Errorf("its record: %w", err)
	}
	if err := boundedRecord(contents); err != nil {
		return contents, err
	}
	if len(contents.Torn) > 0 {
		r.problem(BadRecord, "its record ends in an unfinished line")
	}
	if how := s.Journal.Differs(contents); how != "" {
		r.problem(BadRecord, "the attached record is not the one that the certificate was made with: %s", how)
	}
	r.Compared.Entries = len(contents.Entries)
	return contents, nil
}

func (r *Report) derived(a *judge.Assessment) {
	r.Result, r.Premises = string(a.Result()), a.Record().Site().Premises.Name
	r.Simulated, r.Unfinished = a.Record().Simulated(), !a.Record().Done()
	r.Findings, r.Limitations, r.Assessment = len(a.Findings()), len(a.Limitations()), a
	r.Contradicts = len(a.Record().Breaches()) > 0
}

// noteTimes tells what clocks have against each other. They may be wrong without fault,
// so it is no difference, but whoever judges has to know.
func (r *Report) noteTimes(s evidence.Statement) {
	if r.Signature == nil {
		return
	}
	latest := r.Assessment.Record().Latest()
	if st := r.Signature.Stamp; st != nil && !r.Simulated && st.Time.Before(latest.Add(-stamp.ClocksApart)) {
		st.Trusted, st.Reason = false, "it is earlier than the end of the record that it confirms"
	}
	signed := r.Signature.When()
	if !r.Simulated && latest.After(signed.Add(stamp.ClocksApart)) {
		r.Notes = append(r.Notes,
			fmt.Sprintf("its record ends on %s, which is later than it was signed", latest.UTC().Format(time.DateTime)))
	}
	if d := r.Signature.Claimed.Sub(s.Made); d.Abs() > stamp.ClocksApart {
		r.Notes = append(
			r.Notes,
			fmt.Sprintf("it says that it was made on %s, and was signed on %s", s.Made.UTC().Format(time.DateTime),
				r.Signature.Claimed.UTC().Format(time.DateTime)),
		)
	}
}

// noteFuture tells that a record ends later than it is. Where time was simulated, it may.
func (r *Report) noteFuture(o Options) {
	now := o.now()
	of := r.Assessment.Record()
	if of.TimeSimulated() || !of.Latest().After(now.Add(stamp.ClocksApart)) {
		return
	}
	r.Ahead = true
	r.Notes = append(r.Notes, fmt.Sprintf("its record ends on %s, and this computer's clock shows %s",
		of.Latest().UTC().Format(time.DateTime), now.UTC().Format(time.DateTime)))
}

// compareStated compares what the certificate states with what its pages have to say.
func (r *Report) compareStated(s evidence.Statement, again *evidence.Parts, o Options) {
	var d differing
	if s.Document != again.Statement.Document {
		d.add("document", s.Document, again.Statement.Document)
	}
	d.statements(s.Stated, again.Statement.Stated)
	r.Shown.tell(d)
	r.Compared.Statements = len(again.Statement.Stated)
	if n := d.count(); n > 0 {
		r.problem(Statement, "%d of its statements are not what its record gives", n)
	}
	if o.Tool != "" && s.Tool != o.Tool && r.has(Judgement, Statement) {
		r.Notes = append(r.Notes, fmt.Sprintf("it says that %s wrote it, of the same rules and edition as %s: "+
			"check it with that one, too", s.Tool, o.Tool))
	}
}

// compareForm compares certificate.json as a whole: another program may read in it what
// this one passes over. Where it differs in what was compared, that has been told.
func (r *Report) compareForm(raw []byte, again *evidence.Parts) {
	i := slices.IndexFunc(again.Contents.Attachments,
		func(a seal.Attachment) bool { return a.Name == seal.StatementName })
	if !bytes.Equal(raw, again.Contents.Attachments[i].Content) &&
		!r.has(BadRecord, BadPicture, Judgement, Statement) {
		r.problem(Form, "its %s is not the one that its record gives", seal.StatementName)
	}
}

// comparePages compares the file with the one made again from its record.
func (r *Report) comparePages(f *pdffile.File, sealed []byte, at place, statement []byte,
	files map[string]pdffile.Stream, again *evidence.Parts) error {
	pages, err := f.Pages()
	if err != nil {
		return err
	}
	r.Compared.Pages = len(pages)
	pdf, err := remade(at, statement, files, again)
	if err != nil {
		return fmt.Errorf("make it again: %w", err)
	}
	r.Shown.holds()
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

// remade is the file as it was before it was signed, with the certificate.json that it
// carries: that is compared by itself. What is attached was unpacked from the file, so it is
// as it is packed there.
func remade(at place, statement []byte, files map[string]pdffile.Stream, again *evidence.Parts) ([]byte, error) {
	c := again.Contents
	c.Attachments = slices.Clone(c.Attachments)
	for i := range c.Attachments {
		if c.Attachments[i].Name == seal.StatementName {
			c.Attachments[i].Content = statement
		}
		if s := files[c.Attachments[i].Name]; s.Dict["Filter"] == pdffile.Name("FlateDecode") {
			c.Attachments[i].Packed = s.Raw
		}
	}
	if at.end == 0 {
		return seal.Unsigned(c)
	}
	return seal.Template(c, (at.secondBegin-at.firstEnd-2)/2, again.Statement.SealedBy.Name)
}
