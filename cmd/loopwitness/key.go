package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/rsa"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/report/identity"
)

func newKey(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "key", Short: "The key that certificates are signed with",
		Long: "The key that certificates are signed with. It is kept encrypted in a file of yours (PKCS#12). What counts of it is\n" +
			"the fingerprint: give it to your customers and their insurers by another way than the certificate."}
	cmd.AddCommand(newKeyNew(s), newKeyImport(s), newKeyShow(s), newKeyRequest(s))
	return cmd
}

func newKeyNew(s streams) *cobra.Command {
	var o keyOptions
	var who identity.Subject
	var years int
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Make a key with a self-signed certificate",
		Long: "Make a key (ECDSA P-256) with a self-signed certificate for signing documents. A key that is there already is\n" +
			"never overwritten. Nobody has checked the name in a self-signed certificate: it is known by its fingerprint.",
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
	s.wrapped("Keep a copy of the file, and the passphrase apart from it: without both nothing more can be signed with this key.")
	return nil
}

// describe prints what is public of a key.
func (s streams) describe(id *identity.Identity, path string) {
	c := id.Certificate
	s.pair("Name", id.Name())
	s.pair("Fingerprint", groups(id.Fingerprint()))
	s.pair("Valid", c.NotBefore.Local().Format(time.DateOnly)+" to "+c.NotAfter.Local().Format(time.DateOnly))
	issuer := "nobody else (self-signed)"
	if !bytes.Equal(c.RawIssuer, c.RawSubject) {
		issuer = c.Issuer.String()
	}
	s.pair("Issued by", issuer)
	s.pair("Key", keyKind(id))
	s.pair("File", path)
}

func keyKind(id *identity.Identity) string {
	switch k := id.Signer.Public().(type) {
	case *ecdsa.PublicKey:
		return "ECDSA " + k.Curve.Params().Name
	case *rsa.PublicKey:
		return fmt.Sprintf("RSA %d bits", k.N.BitLen())
	}
	return "unknown"
}

// groups sets a fingerprint in groups of four digits.
func groups(digits string) string {
	var b bytes.Buffer
	for i, r := range digits {
		if i > 0 && i%4 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
	}
	return b.String()
}

func newKeyImport(s streams) *cobra.Command {
	var o keyOptions
	cmd := &cobra.Command{
		Use:   "import FILE",
		Short: "Take over a company's key (PKCS#12), or the certificate that was issued for your key (PEM)",
		Long: "Take over a key from a PKCS#12 file; it is stored under the passphrase that opens the file. Or, with a PEM file, put\n" +
			"the certificate that an authority issued after: loopwitness key request, in the place of the self-signed one.",
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
	id, err := identity.Read(data, passphrase)
	if err != nil {
		return fmt.Errorf("%s: %w; nothing was stored", file, err)
	}
	if err := identity.Save(path, id, passphrase); err != nil {
		return err
	}
	s.describe(id, path)
	return nil
}

// readSmall reads a file that is no longer than keys and certificates are.
func readSmall(path string) ([]byte, error) {
	const longest = 1 << 20
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, longest+1))
	if err == nil && len(data) > longest {
		err = fmt.Errorf("%s is too long for a key or certificates", path)
	}
	return data, err
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
	if err := identity.Replace(path, adopted, passphrase); err != nil {
		return err
	}
	s.describe(adopted, path)
	if adopted.Fingerprint() != id.Fingerprint() {
		s.wrapped("The fingerprint has changed with the certificate: tell the new one to those who check yours. Certificates that were signed before keep the old one.")
	}
	return nil
}

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

func newKeyRequest(s streams) *cobra.Command {
	var o keyOptions
	cmd := &cobra.Command{
		Use:   "request",
		Short: "Print a certificate signing request (PKCS#10) for your company's authority",
		Long:  "Print a certificate signing request for this key, in PEM form. Take the certificate that comes back with: loopwitness key import FILE",
		Args:  cobra.NoArgs,
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
