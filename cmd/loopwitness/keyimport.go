package main

import (
	"bytes"
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/report/identity"
)

func newKeyImport(s streams) *cobra.Command {
	var o keyOptions
	cmd := &cobra.Command{
		Use:   "import FILE",
		Short: "Take over a company's key (PKCS#12), or the certificate that was issued for your key (PEM)",
		Long: "Take over a key from a PKCS#12 file; it is stored under the passphrase that opens the file, or under\n" +
			"a longer one where that is shorter than a new one may be, as strongly encrypted as a new key. Or, with a PEM\n" +
			"file, put the certificate that an authority issued after: loopwitness key request, in the place of\n" +
			"the self-signed one.",
		Args: cobra.ExactArgs(1),
		RunE: withContext(func(ctx context.Context, args []string) error { return importKey(ctx, s, o, args[0]) }),
	}
	keyFlags(cmd, &o)
	return cmd
}

func importKey(ctx context.Context, s streams, o keyOptions, file string) error {
	path, err := o.file()
	if err != nil {
		return err
	}
	data, err := readSmall(file)
	if err != nil {
		return err
	}
	if bytes.Contains(data, []byte("-----BEGIN ")) {
		return adoptCertificate(ctx, s, o, path, data)
	}
	if err := identity.Free(path); err != nil {
		return err
	}
	passphrase, err := s.passphrase(ctx, o, "passphrase of "+file+":")
	if err != nil {
		return err
	}
	id, err := identity.Read(ctx, data, passphrase)
	if err != nil {
		return fmt.Errorf("%s: %w; nothing was stored", file, err)
	}
	if passphrase, err = s.fitPassphrase(ctx, o, passphrase); err != nil {
		return err
	}
	if err := identity.Save(path, id, passphrase); err != nil {
		return err
	}
	s.describe(id, path)
	return nil
}

func adoptCertificate(ctx context.Context, s streams, o keyOptions, path string, pem []byte) error {
	id, passphrase, err := s.identity(ctx, o)
	if err != nil {
		return err
	}
	adopted, err := id.Adopt(pem)
	if err != nil {
		return fmt.Errorf("the certificate was not taken: %w", err)
	}
	if passphrase, err = s.fitPassphrase(ctx, o, passphrase); err != nil {
		return err
	}
	if err := identity.Replace(path, adopted, passphrase); err != nil {
		return err
	}
	s.describe(adopted, path)
	if adopted.Fingerprint() != id.Fingerprint() {
		s.wrapped("The fingerprint has changed with the certificate: tell the new one to those who check yours. " +
			"Certificates that were signed before keep the old one.")
	}
	return nil
}
