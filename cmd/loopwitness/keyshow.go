package main

import (
	"context"

	"github.com/spf13/cobra"
)

func newKeyShow(s streams) *cobra.Command {
	var o keyOptions
	var pem bool
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show the key's fingerprint, or its certificate to hand out",
		Args:  cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			id, _, err := s.identity(ctx, o)
			if err != nil {
				return err
			}
			if pem {
				_, err = s.out.Write(id.PEM())
				return err
			}
			path, err := o.file()
			s.describe(id, path)
			return err
		}),
	}
	keyFlags(cmd, &o)
	cmd.Flags().BoolVar(&pem, "pem", false, "print the certificate in PEM form, for: loopwitness verify --trust")
	return cmd
}
