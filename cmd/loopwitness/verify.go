package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/report/identity"
	"loopwitness/report/verify"
)

const verifyExit = `
Exit status: 0 sealed, follows and shown all hold; 1 one of them fails, or the record contradicts
itself, or with --trust the signer is not trusted, or with --trust-time no time stamp confirms when it was
signed; 2 none of that, but something was not compared: it was made by other rules or another edition, is unsigned, or cannot be read.`

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
	return verifyAll(ctx, s, o, options, args)
}
