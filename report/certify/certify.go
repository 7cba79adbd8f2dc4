// Package certify writes the certificate of a job's visit: the journal is read once, and
// what is drawn, attached and signed comes from those bytes even while the visit goes on.
// It tells nobody anything; what happened is returned.
package certify

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// ErrBrokenOff says that the context ended, and nothing was written.
var ErrBrokenOff = errors.New("broken off; nothing was written")

// Key is what is signed with. The zero Key signs nothing.
type Key struct {
	*identity.Identity
	ThrowAway bool // made for one demonstration and kept nowhere
}

// seal is what the pages say of the key.
func (k Key) seal() certificate.Sealer {
	if k.Identity == nil {
		return certificate.Sealer{}
	}
	kind := certificate.KeyHolder
	if k.ThrowAway {
		kind = certificate.ThrowAwayKey
	}
	return certificate.Sealer{Kind: kind, Name: k.Name(), Fingerprint: k.Fingerprint()}
}

// validAt is an error if the key's certificate is not valid at that time.
func (k Key) validAt(now time.Time) error {
	if k.Identity == nil {
		return nil
	}
	if c := k.Certificate; now.Before(c.NotBefore) || now.After(c.NotAfter) {
		return fmt.Errorf("the key's certificate is valid from %s to %s only; make or import another",
			c.NotBefore.Format(time.DateOnly), c.NotAfter.Format(time.DateOnly))
	}
	return nil
}

// Options are with what, and by whom, a visit is certified.
type Options struct {
	Key   Key
	Stamp seal.Stamper // stamps a signature only
	Tool  string       // name and version that writes
	Clock clock.Clock
	// Language of the pages; nil for that of the visit.
	Language words.Language
}

// Certified is what was written.
type Certified struct {
	Path       string
	Revision   int
	Summary    bool // page one alone
	Assessment *judge.Assessment
	Seal       certificate.SealerKind
	Stamped    bool
	NoStamp    error // why there is no time stamp though one was asked for
	Torn       bool  // the journal ended in an unfinished line, which is no part of it
	Journal    journal.Contents
}

// Visit writes the next revision of a visit's certificate. One that is there is never
// replaced: whoever loses a race for a revision makes the one after.
func Visit(ctx context.Context, v job.Visit, o Options) (Certified, error) {
	if err := o.Key.validAt(o.Clock.Now()); err != nil {
		return Certified{}, err
	}
	contents, err := v.Contents()
	if err != nil {
		return Certified{}, err
	}
	return further(ctx, v, contents, o)
}

// further writes the revision after the last.
func further(ctx context.Context, v job.Visit, contents journal.Contents, o Options) (Certified, error) {
	for revision := 0; ; {
		last, err := v.LastRevision()
		if err != nil {
			return Certified{}, err
		}
		revision = max(revision, last) + 1
		done, err := write(ctx, v, contents, revision, o)
		if !errors.Is(err, errTaken) {
			return done, err
		}
	}
}

// errTaken says that somebody else has written that revision meanwhile.
var errTaken = errors.New("the revision is taken")

// write makes and writes one revision, or returns errTaken.
func write(ctx context.Context, v job.Visit, contents journal.Contents, revision int, o Options) (Certified, error) {
	return create(ctx, v, o, Certified{Path: v.CertificatePath(revision), Revision: revision, Seal: o.Key.seal().Kind,
		Torn: len(contents.Torn) > 0, Journal: contents})
}

// create makes what is described and writes it, or returns errTaken.
func create(ctx context.Context, v job.Visit, o Options, done Certified) (Certified, error) {
	file, err := made(ctx, v, done.Journal, o, &done)
	if err != nil {
		return Certified{}, err
	}
	// It holds names and how a building is guarded; whoever may have it is handed it.
	if err := atomicfile.MakeFolder(filepath.Dir(done.Path), 0o700); err != nil {
		return Certified{}, fmt.Errorf("write the certificate: %w", err)
	}
	err = atomicfile.Create(done.Path, file, 0o600)
	switch {
	case errors.Is(err, fs.ErrExist):
		return Certified{}, errTaken
	case err != nil:
		return Certified{}, fmt.Errorf("write the certificate: %w", err)
	}
	return done, nil
}

// KeptBy gives the photographs of a visit. One that is gone is lost.
func KeptBy(v job.Visit) evidence.Photographs {
	return func(p record.Photograph) ([]byte, error) {
		content, err := v.Photograph(p)
		if errors.Is(err, job.ErrPhotographGone) {
			err = fmt.Errorf("%w: %s", evidence.ErrLost, p.Name)
		}
		return content, err
	}
}

// made is the file, sealed. The time stamp that it promises may not be had: then it is made
// again and promises none.
func made(ctx context.Context, v job.Visit, contents journal.Contents, o Options, done *Certified) ([]byte, error) {
	parts, err := evidence.Make(contents, KeptBy(v),
		evidence.Making{Language: o.Language, Revision: done.Revision, Summary: done.Summary, Tool: o.Tool,
			Made: o.Clock.Now().UTC().Truncate(time.Second), SealedBy: o.Key.seal(),
			TimeStamped: o.Key.Identity != nil && o.Stamp.URL != ""})
	if err != nil {
		return nil, err
	}
	done.Assessment = parts.Assessment
	if o.Key.Identity == nil {
		return seal.Unsigned(parts.Contents)
	}
	o.Stamp.Now = o.Clock.Now
	if r := parts.Assessment.Record(); !r.Simulated() {
		o.Stamp.After = r.Latest()
	}
	file, err := seal.Seal(ctx, parts.Contents, o.Key.Identity, o.Stamp)
	var none seal.NoStamp
	switch {
	case errors.Is(err, context.Canceled):
		return nil, ErrBrokenOff
	case errors.As(err, &none):
		done.NoStamp, o.Stamp = none.Why, seal.Stamper{}
		return made(ctx, v, contents, o, done)
	}
	done.Stamped = file.Stamped
	return file.PDF, err
}
