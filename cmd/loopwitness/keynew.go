package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/report/identity"
)

func newKeyNew(s streams) *cobra.Command {
	var o keyOptions
	var who identity.Subject
	var years int
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Make a key with a self-signed certificate",
		Long: "Make a key (ECDSA P-256) with a self-signed certificate for signing documents. A key that is there\n" +
			"already is never overwritten. Nobody has checked the name in a self-signed certificate: it is known by\n" +
			"its fingerprint.",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return makeKey(ctx, s, o, who, years) }),
	}
	keyFlags(cmd, &o)
	cmd.Flags().StringVar(&who.Name, "name", "", "name of the person or company that signs (needed)")
	cmd.Flags().StringVar(&who.Organisation, "organisation", "", "company, if the name is a person's")
	cmd.Flags().StringVar(&who.Country, "country", "", "two letters, such as NZ")
	cmd.Flags().IntVar(&years, "years", 10, "how long the certificate is valid")
	return cmd
}

func makeKey(ctx context.Context, s streams, o keyOptions, who identity.Subject, years int) error {
	path, err := o.file()
	if err != nil {
		return err
	}
	if err := identity.Free(path); err != nil {
		return err
	}
	id, err := identity.New(who, time.Now(), years)
	if err != nil {
		if who.Name == "" {
			return fmt.Errorf("%w; give one with --name", err)
		}
		return err
	}
	passphrase, err := s.newPassphrase(ctx, o)
	if err != nil {
		return err
	}
	if err := identity.Save(path, id, passphrase); err != nil {
		return err
	}
	s.describe(id, path)
	s.wrapped(
		"Keep a copy of the file, and the passphrase apart from it: without both nothing more can be signed with this key.",
	)
	return nil
}
