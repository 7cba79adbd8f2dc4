package main

import (
	"context"
	"errors"
	"os"

	"github.com/spf13/cobra"
)

func newKeyRequest(s streams) *cobra.Command {
	var o keyOptions
	cmd := &cobra.Command{
		Use:   "request",
		Short: "Print a certificate signing request (PKCS#10) for your company's authority",
		Long: "Print a certificate signing request for this key, in PEM form. Take the certificate that comes back\n" +
			"with: loopwitness key import FILE",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			id, _, err := s.identity(ctx, o)
			if err != nil {
				return err
			}
			request, err := id.Request()
			return errors.Join(err, write(s.out, request))
		}),
	}
	keyFlags(cmd, &o)
	return cmd
}

func write(to *os.File, what []byte) error {
	_, err := to.Write(what)
	return err
}
