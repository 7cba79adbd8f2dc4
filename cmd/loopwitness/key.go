package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/rsa"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/kit/readfile"
	"loopwitness/report/identity"
)

func newKey(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "key", Short: "The key that certificates are signed with",
		Long: "The key that certificates are signed with. It is kept encrypted in a file of yours (PKCS#12). What\n" +
			"counts of it is the fingerprint: give it to your customers and their insurers by another way than the\n" +
			"certificate."}
	cmd.AddCommand(newKeyNew(s), newKeyImport(s), newKeyShow(s), newKeyRequest(s))
	return cmd
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
	switch k := id.Certificate.PublicKey.(type) {
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

// readSmall reads a file that is no longer than keys and certificates are.
func readSmall(path string) ([]byte, error) {
	const longest = 1 << 20
	return readfile.All(path, longest)
}
