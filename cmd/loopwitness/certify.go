package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/natefinch/atomic"
	"github.com/spf13/cobra"

	"bytes"

	"loopwitness/commission"
	"loopwitness/commission/journal"
	"loopwitness/report/certificate"
	"loopwitness/report/seal"
)

func newCertify(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "certify",
		Short: "Write the certificate of a visit",
		Long: "Write the certificate of a visit as a PDF into the job's folder certificates, with the journal of the visit attached. Each call writes a further revision;\n" +
			"an earlier one is never overwritten. A visit that is not finished can be certified, and says so.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return writeCertificate(s, job{o.job}, o.name) },
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	return cmd
}

// writeCertificate folds, assesses, draws and writes; the exit code tells the
// result.
func writeCertificate(s streams, j job, name string) error {
	name, _, err := j.record(name)
	if err != nil {
		return err
	}
	// Read once more, so that pages and attachment come from the same bytes even
	// while the visit goes on.
	contents, err := journal.ReadFile(j.journal(name))
	if err != nil {
		return err
	}
	r, err := commission.Fold(contents.Entries)
	if err != nil {
		return err
	}
	a := commission.Assess(r)
	path, revision, err := j.newCertificate(name)
	if err != nil {
		return err
	}
	document := certificate.Write(a, certificate.Options{Revision: revision, Unsigned: true, Tool: tool})
	now := time.Now()
	pdf, err := certificate.Render(document, now)
	if err != nil {
		return err
	}
	if pdf, err = seal.Attach(pdf, contents.Whole, now); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	if err := atomic.WriteFile(path, bytes.NewReader(pdf)); err != nil {
		return fmt.Errorf("write the certificate: %w", err)
	}
	s.say("Certificate, %s: %s", a.Result, path)
	return resultError(a)
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
