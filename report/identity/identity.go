// Package identity keeps the key that certificates are signed with.
//
// An identity is a private key with its X.509 certificate, and the certificates
// of who issued it. It is stored as one PKCS#12 file, encrypted under a
// passphrase. What counts of an identity is the fingerprint of its certificate,
// never the name in it: anybody can write any name.
package identity

import (
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"software.sslmate.com/src/go-pkcs12"
)

var (
	// ErrPassphrase says that the passphrase does not open the file.
	ErrPassphrase = errors.New("wrong passphrase")
	// ErrUnfit says that the key or certificate is not one to sign documents with.
	ErrUnfit = errors.New("not fit to sign certificates with")
)

// DocumentSigning is the extended key usage for signing documents, id-kp-documentSigning
// of RFC 9336.
var DocumentSigning = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 36}

// Identity is a key with its certificate.
type Identity struct {
	Signer      crypto.Signer
	Certificate *x509.Certificate
	Issuers     []*x509.Certificate // who issued it, the nearest first; may be empty
}

// Subject is who an identity claims to be. Nobody checks it.
type Subject struct {
	Name         string // of a person or a company
	Organisation string
	Country      string // two letters, may be empty
}

// check tells what a certificate cannot hold (upper bounds of X.520).
func (s Subject) check() error {
	switch {
	case strings.TrimSpace(s.Name) == "":
		return errors.New("an identity needs a name")
	case len([]rune(s.Name)) > 64:
		return errors.New("the name is longer than the 64 characters that a certificate holds")
	case len([]rune(s.Organisation)) > 64:
		return errors.New("the organisation is longer than the 64 characters that a certificate holds")
	case s.Country != "" && (len(s.Country) != 2 || strings.Trim(s.Country, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != ""):
		return errors.New("the country is two capital letters, such as DE or NZ")
	case strings.ContainsFunc(s.Name+s.Organisation, isControl):
		return errors.New("a name has no control characters")
	}
	return nil
}

// isControl tells that a character is not seen, or changes how others are.
func isControl(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) }

func (s Subject) name() pkix.Name {
	n := pkix.Name{CommonName: s.Name}
	if s.Organisation != "" {
		n.Organization = []string{s.Organisation}
	}
	if s.Country != "" {
		n.Country = []string{s.Country}
	}
	return n
}

// New makes an ECDSA P-256 key with a self-signed certificate that is valid for
// some years from at, for digital signatures on documents only.
func New(s Subject, at time.Time, years int) (*Identity, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if years < 1 || years > 30 {
		return nil, fmt.Errorf("%d years: an identity is valid for 1 to 30", years)
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber: serial.Add(serial, big.NewInt(1)),
		Subject:      s.name(),
		NotBefore:    at.Add(-time.Minute), // a reader's clock may be a little behind
		NotAfter:     at.AddDate(years, 0, 0),
		KeyUsage:     x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
		UnknownExtKeyUsage: []asn1.ObjectIdentifier{
			DocumentSigning,
		},
		BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return nil, err
	}
	cert, err := x509.ParseCertificate(der)
	return &Identity{Signer: key, Certificate: cert}, err
}

// Read opens a PKCS#12 file, or ends with the context. Errors wrap ErrPassphrase, ErrCostly or
// ErrUnfit where that is the reason.
func Read(ctx context.Context, p12 []byte, passphrase string) (*Identity, error) {
	id, err := opened(ctx, p12, passphrase)
	if err != nil {
		return nil, err
	}
	return id, id.fit()
}

// ordered is the chain above a certificate, the nearest first. What does not
// belong to it is left out.
func ordered(cert *x509.Certificate, all []*x509.Certificate) []*x509.Certificate {
	var chain []*x509.Certificate
	for at := cert; ; {
		i := slices.IndexFunc(all, func(c *x509.Certificate) bool { return !c.Equal(at) && at.CheckSignatureFrom(c) == nil })
		if i < 0 || slices.Contains(chain, all[i]) {
			return chain
		}
		at = all[i]
		chain = append(chain, at)
	}
}

// Weak tells why a key is not strong enough, or of an unknown kind, "" when it is
// strong.
func Weak(public any) string {
	switch key := public.(type) {
	case *ecdsa.PublicKey:
		if key.Curve != elliptic.P256() && key.Curve != elliptic.P384() && key.Curve != elliptic.P521() {
			return "its curve is too short or unknown"
		}
	case *rsa.PublicKey:
		if key.N.BitLen() < 2048 {
			return fmt.Sprintf("an RSA key of %d bits is too short, 2048 is the least", key.N.BitLen())
		}
	default:
		return "its key is neither an ECDSA nor an RSA key"
	}
	return ""
}

// fit refuses keys that a certificate should not, or cannot, be signed with.
func (id *Identity) fit() error {
	if reason := Weak(id.Signer.Public()); reason != "" {
		return fmt.Errorf("%w: %s", ErrUnfit, reason)
	}
	if !belongs(id.Certificate, id.Signer) {
		return fmt.Errorf("%w: the certificate belongs to another key", ErrUnfit)
	}
	if reason := MayNotSign(id.Certificate); reason != "" {
		return fmt.Errorf("%w: %s", ErrUnfit, reason)
	}
	return nil
}

// belongs tells whether a certificate is for a key.
func belongs(c *x509.Certificate, key crypto.Signer) bool {
	public, ok := c.PublicKey.(interface{ Equal(crypto.PublicKey) bool })
	return ok && public.Equal(key.Public())
}

// MayNotSign tells why a certificate says of itself that it is not for signing
// documents, "" when it may: it names no usage, or one that covers documents (RFC
// 9336), or mail, which older companies' authorities issue for it.
func MayNotSign(c *x509.Certificate) string {
	if c.KeyUsage != 0 && c.KeyUsage&(x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment) == 0 {
		return "its certificate is not for digital signatures"
	}
	return MayNotCover(c)
}

// MayNotCover is MayNotSign for what a certificate or an authority may be used for at
// all, its own key usage apart.
func MayNotCover(c *x509.Certificate) string {
	if len(c.ExtKeyUsage)+len(c.UnknownExtKeyUsage) == 0 {
		return ""
	}
	for _, u := range c.ExtKeyUsage {
		if u == x509.ExtKeyUsageAny || u == x509.ExtKeyUsageEmailProtection {
			return ""
		}
	}
	if slices.ContainsFunc(c.UnknownExtKeyUsage, DocumentSigning.Equal) {
		return ""
	}
	return "its certificate is issued for other purposes than signing documents"
}

// ShortestPassphrase is the least length of a passphrase that a key is stored under, in
// characters: whoever finds the file can try many.
const ShortestPassphrase = 10

// ErrShort says that a passphrase is too short to store a key under.
var ErrShort = fmt.Errorf("the passphrase is too short: whoever finds the key's file can try many, so take at least "+
	"%d characters", ShortestPassphrase)

// LongEnough is ErrShort where a passphrase is too short to store a key under, however the key
// came.
func LongEnough(passphrase string) error {
	if utf8.RuneCountInString(passphrase) < ShortestPassphrase {
		return ErrShort
	}
	return nil
}

// Store is the identity as a PKCS#12 file, encrypted under the passphrase. The error is
// ErrShort where that is too short.
func (id *Identity) Store(passphrase string) ([]byte, error) {
	if err := LongEnough(passphrase); err != nil {
		return nil, err
	}
	return pkcs12.Modern2023.WithIterations(OwnIterations).Encode(id.Signer, id.Certificate, id.Issuers, passphrase)
}

// Request is a certificate signing request (PKCS#10, PEM) for this key, that asks
// for the document-signing usage.
func (id *Identity) Request() ([]byte, error) {
	usage, err := asn1.Marshal([]asn1.ObjectIdentifier{DocumentSigning})
	if err != nil {
		return nil, err
	}
	der, err := x509.CreateCertificateRequest(rand.Reader, &x509.CertificateRequest{
		Subject:         id.Certificate.Subject,
		ExtraExtensions: []pkix.Extension{{Id: asn1.ObjectIdentifier{2, 5, 29, 37}, Value: usage}},
	}, id.Signer)
	if err != nil {
		return nil, err
	}
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE REQUEST", Bytes: der}), nil
}

// Adopt is the same key with the certificate that an authority issued for it,
// from PEM, and those above it, in any order.
func (id *Identity) Adopt(pemBytes []byte) (*Identity, error) {
	certs, err := Certificates(pemBytes)
	if err != nil {
		return nil, err
	}
	own := slices.IndexFunc(certs, func(c *x509.Certificate) bool { return belongs(c, id.Signer) })
	if own < 0 {
		return nil, fmt.Errorf("%w: the certificate belongs to another key", ErrUnfit)
	}
	adopted := &Identity{Signer: id.Signer, Certificate: certs[own], Issuers: ordered(certs[own], certs)}
	return adopted, adopted.fit()
}

// PEM is the certificate, to be handed to those who verify.
func (id *Identity) PEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: id.Certificate.Raw})
}

// Name is who the identity claims to be.
func (id *Identity) Name() string { return Claimed(id.Certificate) }

// Fingerprint is the SHA-256 of the certificate, in hexadecimal.
func (id *Identity) Fingerprint() string { return Fingerprint(id.Certificate) }

// Claimed is the name in a certificate, and the organisation if it has one.
func Claimed(c *x509.Certificate) string {
	parts := []string{c.Subject.CommonName}
	for _, o := range c.Subject.Organization {
		if o != c.Subject.CommonName {
			parts = append(parts, o)
		}
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
}

// Fingerprint is the SHA-256 of a certificate, in hexadecimal.
func Fingerprint(c *x509.Certificate) string {
	sum := sha256.Sum256(c.Raw)
	return hex.EncodeToString(sum[:])
}

// Certificates reads all certificates of a PEM file, at least one.
func Certificates(pemBytes []byte) ([]*x509.Certificate, error) {
	var out []*x509.Certificate
	for {
		block, rest := pem.Decode(pemBytes)
		if block == nil {
			break
		}
		pemBytes = rest
		if block.Type != "CERTIFICATE" {
			continue
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, fmt.Errorf("certificate %d: %w", len(out)+1, err)
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return nil, errors.New("no certificate in PEM form (-----BEGIN CERTIFICATE-----) is in it")
	}
	return out, nil
}
