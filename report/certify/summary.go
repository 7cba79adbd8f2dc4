package certify

import (
	"context"
	"errors"
	"fmt"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/readfile"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// ErrSummaryThere says that the summary of a revision has been written.
var ErrSummaryThere = errors.New("the summary of this revision is there already")

// Summary writes page one of a visit's certificate as a certificate of its own. It is the summary of the last revision
// where that is of the same record; else the full certificate is written first, as a further revision, and returned,
// too: full is nil where none was written. What is there is never replaced: ErrSummaryThere.
func Summary(ctx context.Context, v job.Visit, o Options) (full *Certified, summary Certified, err error) {
	if err := o.Key.validAt(o.Clock.Now()); err != nil {
		return nil, summary, err
	}
	contents, err := v.Contents()
	if err != nil {
		return nil, summary, err
	}
	revision, err := v.LastRevision()
	if err != nil {
		return nil, summary, err
	}
	if revision == 0 || !ofRecord(v.CertificatePath(revision), contents) {
		written, err := further(ctx, v, contents, o)
		if err != nil {
			return nil, summary, err
		}
		full, revision = &written, written.Revision
	}
	summary, err = create(ctx, v, o, Certified{Path: v.SummaryPath(revision), Revision: revision, Summary: true,
		Seal: o.Key.seal().Kind, Torn: len(contents.Torn) > 0, Journal: contents})
	if errors.Is(err, errTaken) {
		err = fmt.Errorf("%w: %s", ErrSummaryThere, v.SummaryPath(revision))
	}
	return full, summary, err
}

// mostRead is how long a certificate is at most that is looked at: verify takes no longer one.
const mostRead = 256 << 20

// ofRecord tells whether a file is a full certificate that says that it is of these entries. Whether that is true is
// for verify: here it only decides which revision a summary names.
func ofRecord(path string, c journal.Contents) bool {
	file, err := readfile.All(path, mostRead)
	if err != nil {
		return false
	}
	f, err := pdffile.Open(file)
	if err != nil {
		return false
	}
	files, err := f.Attachments()
	if err != nil {
		return false
	}
	const longest = 64 << 20
	raw, err := f.Inflate(files[seal.StatementName], longest)
	if err != nil {
		return false
	}
	s, err := evidence.ReadStatement(raw)
	return err == nil && !s.Summary && s.Journal.SHA256 == evidence.Digest(c.Whole)
}
