package main

import (
	"context"

	"github.com/spf13/cobra"

	"loopwitness/report/identity"
)

func newKeyShow(s streams) *cobra.Command {
	var o keyOptions
	var pem bool
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show the key's fingerprint, or its certificate to hand out",
		Long: "Show the key's fingerprint, or its certificate to hand out. The certificate is public and kept plain " +
			"beside\nthe key's file; only where that is missing is the passphrase asked for.",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			path, err := o.file()
			if err != nil {
				return err
			}
			id, err := s.public(ctx, o, path)
			if err != nil {
				return err
			}
			if pem {
				return write(s.out, id.PEM())
			}
			s.describe(id, path)
			return nil
		}),
	}
	keyFlags(cmd, &o)
	cmd.Flags().BoolVar(&pem, "pem", false, "print the certificate in PEM form, for: loopwitness verify --trust")
	return cmd
}

// public is what is public of the key. One that was stored without a plain certificate is
// opened, and has one then.
func (s streams) public(ctx context.Context, o keyOptions, path string) (*identity.Identity, error) {
	if id, err := identity.Public(path); err == nil {
		return id, nil
	}
	id, _, err := s.identity(ctx, o)
	if err == nil {
		_ = identity.Publish(path, id) // else it is asked for again
	}
	return id, err
}
