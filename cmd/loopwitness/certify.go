package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/natefinch/atomic"
	"github.com/spf13/cobra"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

type certifyOptions struct {
	job, visit string
	key        keyOptions
	unsigned   bool
	timestamp  string
}

func newCertify(s streams) *cobra.Command {
	var o certifyOptions
	cmd := &cobra.Command{
		Use:   "certify",
		Short: "Write the certificate of a visit, and sign it",
		Long: "Write the certificate of a visit as a PDF into the job's folder certificates, with the journal of the visit and its\n" +
			"photographs attached, and sign all of it with your key. Each call writes a further revision; an earlier one is never\n" +
			"overwritten. A visit that is not finished can be certified, and says so. Without a key the certificate says on\n" +
			"every page that it is unsigned.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return certify(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.visit, "visit", "", "name of the visit; the newest without it")
	keyFlags(cmd, &o.key)
	cmd.Flags().BoolVar(&o.unsigned, "unsigned", false, "do not sign, though there is a key")
	cmd.Flags().StringVar(&o.timestamp, "timestamp", "", "URL of a time-stamping server (RFC 3161) that confirms when it was signed")
	return cmd
}

func certify(ctx context.Context, s streams, o certifyOptions) error {
	j := job{o.job}
	stamp := seal.Stamper{URL: o.timestamp}
	if err := stamp.Check(); err != nil {
		return err
	}
	if o.timestamp != "" && o.unsigned {
		return errors.New("a time stamp is over a signature; leave out --unsigned or --timestamp")
	}
	name, _, err := j.record(o.visit)
	if err != nil {
		return err
	}
	id, err := s.signingKey(ctx, o)
	if err != nil {
		return err
	}
	if o.timestamp != "" && id == nil {
		return errors.New("a time stamp is over a signature, and there is no key to sign with; make one with: loopwitness key new")
	}
	by := certificate.Seal{}
	if id != nil {
		by = certificate.Seal{Kind: certificate.Signed, Name: id.Name(), Fingerprint: id.Fingerprint()}
	}
	return writeCertificate(ctx, s, j, name, id, by, stamp)
}

// signingKey is the key to sign with, nil for none.
func (s streams) signingKey(ctx context.Context, o certifyOptions) (*identity.Identity, error) {
	if o.unsigned {
		return nil, nil
	}
	id, _, err := s.identity(ctx, o.key)
	if errors.Is(err, identity.ErrNone) && o.key.path == "" {
		s.say("There is no key to sign with; make one with: loopwitness key new. The certificate says that it is unsigned.")
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	now := time.Now()
	if c := id.Certificate; now.Before(c.NotBefore) || now.After(c.NotAfter) {
		return nil, fmt.Errorf("the key's certificate is valid from %s to %s only; make or import another", c.NotBefore.Format(time.DateOnly), c.NotAfter.Format(time.DateOnly))
	}
	return id, nil
}

// writeCertificate makes, seals and writes; the exit code tells the result of the
// visit. id is nil for an unsigned certificate.
func writeCertificate(ctx context.Context, s streams, j job, name string, id *identity.Identity, by certificate.Seal, stamp seal.Stamper) error {
	// Read once, so that pages and attachment come from the same bytes even while
	// the visit goes on.
	contents, err := journal.ReadFile(j.journal(name))
	if err != nil {
		return err
	}
	if len(contents.Torn) > 0 {
		s.wrapped("The journal ends in an unfinished line, as after a power cut; that line is not part of the certificate. Go on with the visit to set it aside.")
	}
	path, revision, err := j.newCertificate(name)
	if err != nil {
		return err
	}
	made, err := evidence.Make(contents, j.photographs(name), evidence.Making{Revision: revision, Tool: tool, Made: time.Now().UTC().Truncate(time.Second), Seal: by})
	if err != nil {
		return err
	}
	pdf, err := sealed(ctx, s, made, id, stamp)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	if err := atomic.WriteFile(path, bytes.NewReader(pdf)); err != nil {
		return fmt.Errorf("write the certificate: %w", err)
	}
	if err := os.Chmod(path, 0o644); err != nil { // it is to be handed out
		return err
	}
	s.say("Certificate, %s, %s: %s", made.Assessment.Result(), sealWords(by), path)
	return resultError(made.Assessment)
}

func sealWords(by certificate.Seal) string {
	switch by.Kind {
	case certificate.Signed:
		return "signed"
	case certificate.ThrowAway:
		return "sealed with a throw-away key"
	}
	return "unsigned"
}

func sealed(ctx context.Context, s streams, c *evidence.Certificate, id *identity.Identity, stamp seal.Stamper) ([]byte, error) {
	if id == nil {
		return seal.Unsigned(c.Contents)
	}
	if stamp.URL != "" {
		s.say("Asking the time-stamping server, for at most %s …", seal.StampLimit)
	}
	out, err := seal.Seal(ctx, c.Contents, id, stamp)
	if errors.Is(err, context.Canceled) {
		return nil, errors.New("broken off; nothing was written")
	}
	switch {
	case err != nil:
		return nil, err
	case out.NoStamp != nil:
		s.wrapped(fmt.Sprintf("Sealed WITHOUT a time stamp: %v. The time of signing is only claimed.", out.NoStamp))
	case out.Stamped:
		s.say("The time-stamping server has confirmed the time of signing.")
	}
	return out.PDF, nil
}

// photographs reads the photographs of a visit.
func (j job) photographs(name string) evidence.Photographs {
	return func(p record.Picture) ([]byte, error) {
		path := visit.PhotographPath(j.journal(name), p.Name)
		content, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%s is gone; put the file back, the journal tells of it", path)
		}
		return content, err
	}
}

// newCertificate is the file of the next revision.
func (j job) newCertificate(visit string) (path string, revision int, err error) {
	for revision = 1; ; revision++ {
		path = j.path("certificates", fmt.Sprintf("%s-rev%d.pdf", visit, revision))
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			return path, revision, nil
		} else if err != nil {
			return "", 0, err
		}
	}
}
