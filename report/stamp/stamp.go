// Package stamp is the one check of time-stamp tokens (RFC 3161, RFC 5816): whoever seals
// asks it before a token is taken into a file, whoever verifies asks it of the token in a
// file. A token that the second would refuse is so never sealed by the first.
package stamp

import (
	"bytes"
	"crypto"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"time"

	"github.com/digitorus/pkcs7"

	"loopwitness/report/identity"
)

// What a token may have at most. Usual ones have 2 to 8 KiB, and two to four certificates.
const (
	MaxToken        = 16 << 10 // bytes
	maxCertificates = 8
)

// ClocksApart is by how much the clocks of a signer, of an authority and of whoever checks
// may differ, and how inaccurate an authority may say that its own is.
const ClocksApart = 10 * time.Minute

// Token is a time stamp that is sound: over what was given, by the certificate in it, which
// is for nothing else. Whether its authority is trusted is another question.
type Token struct {
	Time         time.Time
	Accuracy     time.Duration // of Time, either way; zero if it says none
	Policy       string        // of the authority, an object identifier
	Signer       *x509.Certificate
	Certificates []*x509.Certificate // the signer's, and those above it

	nonce *big.Int
}

// Check checks a token over a signature.
func Check(token, over []byte) (*Token, error) {
	if len(token) > MaxToken {
		return nil, fmt.Errorf("its time stamp is longer than %d bytes", MaxToken)
	}
	info, err := readInfo(token)
	if err != nil {
		return nil, err
	}
	if err := info.imprint(over); err != nil {
		return nil, err
	}
	p7, err := pkcs7.Parse(token)
	if err != nil {
		return nil, fmt.Errorf("its time stamp is no valid one: %w", err)
	}
	signer, err := signerOf(p7)
	if err != nil {
		return nil, err
	}
	if at := info.Time; at.Before(signer.NotBefore) || at.After(signer.NotAfter) {
		return nil, errors.New("its time stamp tells a time at which its certificate was not valid")
	}
	accuracy, err := info.accuracy()
	if err != nil {
		return nil, err
	}
	return &Token{Time: info.Time, Accuracy: accuracy, Policy: info.Policy.String(), Signer: signer,
		Certificates: p7.Certificates, nonce: info.Nonce}, nil
}

// signerOf is the certificate that a token was made with, which has to be in it, and fit.
func signerOf(p7 *pkcs7.PKCS7) (*x509.Certificate, error) {
	signer := p7.GetOnlySigner()
	if signer == nil {
		return nil, errors.New("its time stamp does not carry the certificate that it was made with")
	}
	if len(p7.Certificates) > maxCertificates {
		return nil, fmt.Errorf("its time stamp carries %d certificates, more than %d", len(p7.Certificates), maxCertificates)
	}
	if weakly(p7) {
		return nil, errors.New("its time stamp uses a weak digest")
	}
	if err := p7.Verify(); err != nil {
		return nil, fmt.Errorf("its time stamp is no valid one: %w", err)
	}
	if err := named(p7, signer); err != nil {
		return nil, err
	}
	if !connected(signer, p7.Certificates) {
		return nil, errors.New("its time stamp carries certificates that do not belong to it, or were altered")
	}
	if !stampsOnly(signer) {
		return nil, errors.New("its time stamp was made with a certificate that is not for time stamps alone")
	}
	if reason := identity.Weak(signer.PublicKey); reason != "" {
		return nil, fmt.Errorf("its time stamp was made with a weak key: %s", reason)
	}
	return signer, nil
}

// Answers is an error if the token is not the answer to a question with that nonce: it may
// be an old one, played again.
func (t *Token) Answers(nonce *big.Int) error {
	if t.nonce == nil || t.nonce.Cmp(nonce) != 0 {
		return errors.New("its time stamp answers another question: its nonce is not the one that was asked with")
	}
	return nil
}

// Sane is an error if the token tells a time that cannot be: later than now, or before what
// it confirms, each by more than ClocksApart and its accuracy. Zero times are not asked.
func (t *Token) Sane(now, notBefore time.Time) error {
	slack := ClocksApart + t.Accuracy
	switch {
	case !now.IsZero() && t.Time.After(now.Add(slack)):
		return fmt.Errorf("its time stamp is from the future: it tells %s, and this computer's clock has %s",
			written(t.Time), written(now))
	case !notBefore.IsZero() && t.Time.Before(notBefore.Add(-slack)):
		return fmt.Errorf("its time stamp is earlier than what it confirms: it tells %s, which was %s before",
			written(t.Time), notBefore.Sub(t.Time).Round(time.Second))
	}
	return nil
}

func written(t time.Time) string { return t.UTC().Format("2006-01-02 15:04:05 UTC") }

// strong are the digests that count, by their object identifiers (RFC 5754, section 2; *from
// memory*).
var strong = map[string]crypto.Hash{
	"2.16.840.1.101.3.4.2.1": crypto.SHA256,
	"2.16.840.1.101.3.4.2.2": crypto.SHA384,
	"2.16.840.1.101.3.4.2.3": crypto.SHA512,
}

// weakly tells whether a token was signed over a digest that does not count.
func weakly(p7 *pkcs7.PKCS7) bool {
	by := p7.Signers[0]
	withSHA1 := []asn1.ObjectIdentifier{pkcs7.OIDEncryptionAlgorithmRSASHA1, pkcs7.OIDDigestAlgorithmECDSASHA1}
	return strong[by.DigestAlgorithm.Algorithm.String()] == 0 ||
		slices.ContainsFunc(withSHA1, by.DigestEncryptionAlgorithm.Algorithm.Equal)
}

// stampsOnly tells whether a certificate is for time stamps and nothing else, as RFC
// 3161, 2.3, demands.
func stampsOnly(c *x509.Certificate) bool {
	usage := asn1.ObjectIdentifier{2, 5, 29, 37}
	critical := slices.ContainsFunc(c.Extensions, func(e pkix.Extension) bool { return e.Id.Equal(usage) && e.Critical })
	return critical && len(c.UnknownExtKeyUsage) == 0 &&
		slices.Equal(c.ExtKeyUsage, []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping})
}

// connected tells whether all certificates are the one given or issued each other above
// it.
func connected(leaf *x509.Certificate, all []*x509.Certificate) bool {
	left := slices.Clone(all)
	for at := leaf; ; {
		left = slices.DeleteFunc(left, at.Equal)
		if len(left) == 0 {
			return !bytes.Equal(at.RawIssuer, at.RawSubject) || at.CheckSignatureFrom(at) == nil
		}
		i := slices.IndexFunc(left, func(c *x509.Certificate) bool { return at.CheckSignatureFrom(c) == nil })
		if i < 0 {
			return false
		}
		at = left[i]
	}
}
