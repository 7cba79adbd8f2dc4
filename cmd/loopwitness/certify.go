package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/collecting"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
	"loopwitness/report/certify"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

type certifyOptions struct {
	job, visit string
	key        keyOptions
	unsigned   bool
	summary    bool
	timestamp  string
	language   string
}

func newCertify(s streams) *cobra.Command {
	var o certifyOptions
	cmd := &cobra.Command{
		Use:   "certify",
		Short: "Write the certificate of a visit, and sign it",
		Long: "Write the certificate of a visit as a PDF into the job's folder certificates, with the journal of the\n" +
			"visit and its photographs attached, and sign all of it with your key. Each call writes a further\n" +
			"revision; an earlier one is never overwritten. A visit that is not finished can be certified, and says\n" +
			"so. Without a key the certificate says on every page that it is unsigned.\n" +
			"With --summary its first page alone is written, too, as a certificate of its own over the same record:\n" +
			"of the last revision where that is of this record, else of a further one, which is written first.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return certifyVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.visit, "visit", "", "name of the visit; the newest without it")
	languageFlag(cmd, &o.language, "that of the visit")
	keyFlags(cmd, &o.key)
	cmd.Flags().BoolVar(&o.unsigned, "unsigned", false, "do not sign, though there is a key")
	cmd.Flags().BoolVar(&o.summary, "summary", false, "write page one as a certificate of its own, of one page")
	cmd.Flags().
		StringVar(&o.timestamp, "timestamp", "", "URL of a time-stamping server (RFC 3161) that confirms when it was signed")
	return cmd
}

func certifyVisit(ctx context.Context, s streams, o certifyOptions) error {
	stamp := seal.Stamper{URL: o.timestamp}
	if err := stamp.Check(); err != nil {
		return err
	}
	if o.timestamp != "" && o.unsigned {
		return errors.New("a time stamp is over a signature; leave out --unsigned or --timestamp")
	}
	language, err := languageOf(o.language)
	if err != nil {
		return err
	}
	f := job.At(o.job)
	v, err := f.Visit(o.visit)
	if err != nil {
		return advised(f, err)
	}
	if err := s.twins(f, v); err != nil {
		return err
	}
	id, err := s.signingKey(ctx, o)
	if err != nil {
		return err
	}
	if o.timestamp != "" && id == nil {
		return errors.New(
			"a time stamp is over a signature, and there is no key to sign with; make one with: loopwitness key new")
	}
	options := certify.Options{
		Key:      certify.Key{Identity: id},
		Stamp:    stamp,
		Tool:     tool,
		Clock:    clock.Real{},
		Language: language,
	}
	if o.summary {
		return writeSummary(ctx, s, v, options)
	}
	return writeCertificate(ctx, s, v, options)
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
	return id, err
}

// writeCertificate certifies and tells what came of it; the exit code tells the result of
// the visit.
func writeCertificate(ctx context.Context, s streams, v job.Visit, o certify.Options) error {
	if o.Stamp.URL != "" {
		s.say("Asking the time-stamping server, for at most %s …", seal.StampLimit)
	}
	defer collecting.WhileWriting()()
	c, err := certify.Visit(ctx, v, o)
	if err != nil {
		return err
	}
	s.certified(c)
	return resultError(c.Assessment)
}

// writeSummary certifies by page one, and tells what was written.
func writeSummary(ctx context.Context, s streams, v job.Visit, o certify.Options) error {
	if o.Stamp.URL != "" {
		s.say("Asking the time-stamping server, for at most %s …", seal.StampLimit)
	}
	full, c, err := certify.Summary(ctx, v, o)
	if full != nil {
		s.certified(*full)
	}
	if err != nil {
		return err
	}
	s.certified(c)
	return resultError(c.Assessment)
}

// certified tells what was written, and what has to be known of it.
func (s streams) certified(c certify.Certified) {
	if c.Torn {
		s.wrapped(tornJournal(c.Journal))
	}
	if c.NoStamp != nil {
		s.wrapped(fmt.Sprintf("Sealed WITHOUT a time stamp: %v. The time of signing is only claimed.", c.NoStamp))
	}
	if c.Stamped {
		s.say("The time-stamping server has confirmed the time of signing.")
	}
	s.contradictions(c.Assessment)
	what := "Certificate"
	if c.Summary {
		what = fmt.Sprintf("Summary of revision %d", c.Revision)
	}
	s.say("%s, %s, %s: %s", what, c.Assessment.Result(), sealWords(c.Seal), c.Path)
}

// tornJournal says what a broken-off write left of a journal, "" for nothing.
func tornJournal(c journal.Contents) string {
	if len(c.Torn) == 0 {
		return ""
	}
	return words.TornJournal(len(c.Torn), c.TornLines, len(c.Entries)) + " Go on with the visit to set it aside."
}

func sealWords(kind certificate.SealerKind) string {
	switch kind {
	case certificate.KeyHolder:
		return "signed"
	case certificate.ThrowAwayKey:
		return "sealed with a throw-away key"
	}
	return "unsigned"
}
