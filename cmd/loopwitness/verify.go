package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"loopwitness/commission/kit/readfile"
	"loopwitness/report/identity"
	"loopwitness/report/verify"
)

const verifyExit = `
Exit status: 0 sealed, follows and shown all hold; 1 one of them fails, or with --trust the signer is not
trusted; 2 none fails, but something was not compared: it was made by other rules or another edition, is
unsigned, or cannot be read.`

type verifyOptions struct {
	trust, trustTime []string
	fingerprint      string
	json             bool
}

func newVerify(s streams) *cobra.Command {
	var o verifyOptions
	cmd := &cobra.Command{
		Use:   "verify FILE…",
		Short: "Check certificates: who signed, what was changed, whether the verdicts follow from the record",
		Long: "Check certificates, or all that lie in a folder. It needs no key and no job folder. Three questions have\n" +
			"each its own answer:\n" +
			"  sealed   are the bytes as they were signed by that key?\n" +
			"  follows  does the record in it, judged again by the same rules, give the same verdicts and figures?\n" +
			"  shown    do the pages show that, every word and mark of them?\n" +
			"What was made by other rules, or by another edition of the pages, is not compared, and never said to\n" +
			"differ: check it with the version that wrote it. Nothing here can show that what was recorded is true. A\n" +
			"name in a signature is only a claim: what counts is the fingerprint of the key, or an authority that you\n" +
			"trust.\n" + verifyExit,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("fingerprint") && o.fingerprint == "" {
				return errors.New("--fingerprint is empty; give the digits that the certificate prints")
			}
			return verifyFiles(cmd.Context(), s, o, args)
		},
	}
	trustFlag(cmd, &o.trust)
	trustTimeFlag(cmd, &o.trustTime)
	cmd.Flags().StringVar(&o.fingerprint, "fingerprint", "",
		"digits of the record's or the key's fingerprint, from paper:\n"+
			"which file holds that record, was signed with that key?")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the reports as JSON")
	return cmd
}

func trustFlag(cmd *cobra.Command, files *[]string) {
	cmd.Flags().StringArrayVar(files, "trust", nil,
		"certificates (PEM) of signers or authorities that you trust;\ncan be given more than once")
}

func trustTimeFlag(cmd *cobra.Command, files *[]string) {
	cmd.Flags().StringArrayVar(files, "trust-time", nil, "certificates (PEM) of time-stamping authorities that you trust")
}

// anchors reads the files of trusted certificates; nil if there are none.
func anchors(files []string) (verify.Anchors, error) {
	var all verify.Anchors
	for _, file := range files {
		if file == "" {
			return nil, errors.New("--trust and --trust-time need the name of a file")
		}
		pem, err := readSmall(file)
		if err != nil {
			return nil, err
		}
		certs, err := identity.Certificates(pem)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		all = append(all, certs...)
	}
	return all, nil
}

func verifyFiles(ctx context.Context, s streams, o verifyOptions, args []string) error {
	options := verify.Options{Tool: tool}
	var err error
	if options.Trust, err = anchors(o.trust); err != nil {
		return err
	}
	if options.TrustTime, err = anchors(o.trustTime); err != nil {
		return err
	}
	if o.fingerprint != "" {
		if options.Fingerprint, err = verify.CleanFingerprint(o.fingerprint); err != nil {
			return err
		}
	}
	files, err := certificateFiles(args)
	if err != nil {
		return err
	}
	reports, err := checkAll(ctx, files, options)
	if err != nil {
		return err
	}
	if options.Fingerprint != "" && len(reports) > 1 {
		if reports, err = fitting(s, reports, o.json); err != nil {
			return err
		}
	}
	count := map[verify.Outcome]int{}
	practice := 0
	for _, r := range reports {
		count[r.Outcome]++
		if r.Simulated {
			practice++
		}
	}
	if o.json {
		err = printReports(s, reports, count)
	} else {
		for i, r := range reports {
			if i > 0 {
				s.say("")
			}
			s.report(r)
		}
		if len(reports) > 1 {
			s.say("\n%d files: %d intact, %d fail, %d not wholly checked", len(reports),
				count[verify.Intact], count[verify.Failed], count[verify.Unchecked])
			if practice > 0 {
				s.say("%d of them of PRACTICE visits, no evidence of any installation", practice)
			}
		}
	}
	return errors.Join(err, outcomeError(count))
}

var errUnchecked = told{errors.New("a certificate was not wholly checked")}

// outcomeError gives the outcomes their exit code; they were printed.
func outcomeError(count map[verify.Outcome]int) error {
	switch {
	case count[verify.Failed] > 0:
		return told{errUnsatisfactory}
	case count[verify.Unchecked] > 0:
		return errUnchecked
	}
	return nil
}

// certificateFiles are the files that arguments name: themselves, or all PDFs below a
// folder.
func certificateFiles(args []string) ([]string, error) {
	var out []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil || !info.IsDir() {
			out = append(out, arg) // its own report tells what hinders
			continue
		}
		before := len(out)
		err = filepath.WalkDir(arg, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && strings.EqualFold(filepath.Ext(path), ".pdf") {
				out = append(out, path)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
		if len(out) == before {
			return nil, fmt.Errorf("there is no PDF in %s", arg)
		}
	}
	return out, nil
}

// fitting are the reports of files that a fingerprint fits; which others there are is
// no matter. It is an error if it fits none.
func fitting(s streams, all []*verify.Report, quiet bool) ([]*verify.Report, error) {
	var fit []*verify.Report
	for _, r := range all {
		if r.Paper != nil && r.Paper.Fits != "" {
			fit = append(fit, r)
		}
	}
	if len(fit) == 0 {
		fmt.Fprintf(s.err, "the fingerprint fits none of the %d files\n", len(all))
		return nil, told{errUnsatisfactory}
	}
	if !quiet {
		s.say("The fingerprint fits %d of %d files:\n", len(fit), len(all))
	}
	return fit, nil
}

// checkAll checks files side by side; the reports keep their order. When the context
// ends it returns at once.
func checkAll(ctx context.Context, files []string, o verify.Options) ([]*verify.Report, error) {
	reports := make([]*verify.Report, len(files))
	var g errgroup.Group
	g.SetLimit(max(1, min(runtime.NumCPU(), 8)))
	done := make(chan struct{})
	go func() {
		for i, file := range files {
			g.Go(func() error {
				if ctx.Err() == nil {
					reports[i] = checkFile(file, o)
				}
				return nil
			})
		}
		_ = g.Wait() // none of them fails
		close(done)
	}()
	select {
	case <-done:
	case <-ctx.Done(): // what is being checked ends with the program
	}
	if ctx.Err() != nil {
		return nil, errors.New("broken off; nothing was checked to the end")
	}
	return reports, nil
}

func checkFile(file string, o verify.Options) *verify.Report {
	data, err := readCertificate(file)
	if err != nil {
		return verify.NotRead(file, err)
	}
	return verify.Check(file, data, o)
}

func readCertificate(path string) ([]byte, error) { return readfile.All(path, verify.MaxFile) }
