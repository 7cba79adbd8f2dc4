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
}

// Certified is what was written.
type Certified struct {
	Path       string
	Revision   int
	Assessment *judge.Assessment
	Seal       certificate.SealerKind
	Stamped    bool
	NoStamp    error // why there is no time stamp though one was asked for
	Torn       bool  // the journal ended in an unfinished line, which is no part of it
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
	now := o.Clock.Now().UTC().Truncate(time.Second)
	made, err := evidence.Make(contents, v.Photograph,
		evidence.Making{Revision: revision, Tool: o.Tool, Made: now, SealedBy: o.Key.seal()})
	if err != nil {
		return Certified{}, err
	}
	file, err := sealed(ctx, made.Contents, o)
	if err != nil {
		return Certified{}, err
	}
	path := v.CertificatePath(revision)
	if err := atomicfile.MakeFolder(filepath.Dir(path), 0o755); err != nil {
		return Certified{}, fmt.Errorf("write the certificate: %w", err)
	}
	err = atomicfile.Create(path, file.PDF, 0o644) // it is to be handed out
	switch {
	case errors.Is(err, fs.ErrExist):
		return Certified{}, errTaken
	case err != nil:
		return Certified{}, fmt.Errorf("write the certificate: %w", err)
	}
	return Certified{Path: path, Revision: revision, Assessment: made.Assessment, Seal: o.Key.seal().Kind,
		Stamped: file.Stamped, NoStamp: file.NoStamp, Torn: len(contents.Torn) > 0}, nil
}

func sealed(ctx context.Context, c seal.Contents, o Options) (seal.Sealed, error) {
	if o.Key.Identity == nil {
		pdf, err := seal.Unsigned(c)
		return seal.Sealed{PDF: pdf}, err
	}
	out, err := seal.Seal(ctx, c, o.Key.Identity, o.Stamp)
	if errors.Is(err, context.Canceled) {
		err = ErrBrokenOff
	}
	return out, err
}
