package verify

import (
	"bytes"
	"crypto"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/digitorus/pkcs7"
	"github.com/digitorus/timestamp"

	"loopwitness/report/identity"
)

// Anchors are the certificates that whoever checks trusts: of signers, or of
// authorities that issue them.
type Anchors []*x509.Certificate

// by tells how a certificate is trusted at a time: itself, or through an authority
// whose certificates may be used so. It is an error if it is not.
func (a Anchors) by(c *x509.Certificate, issuers []*x509.Certificate, at time.Time,
	mayIssue func(*x509.Certificate) bool) (string, error) {
	if slices.ContainsFunc(a, c.Equal) {
		return "its certificate is among the trusted ones", nil
	}
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	for _, t := range a {
		if t.IsCA {
			roots.AddCert(t)
		}
	}
	for _, i := range issuers {
		between.AddCert(i)
	}
	chains, err := c.Verify(
		x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: at,
			KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageAny}},
	)
	if invalid := new(x509.CertificateInvalidError); errors.As(err, invalid) && invalid.Reason == x509.Expired {
		return "", errors.New("its certificate, or that of its authority, was not valid at that time")
	}
	if err != nil {
		return "", errors.New("no trusted authority issued its certificate")
	}
	for _, chain := range chains {
		if !slices.ContainsFunc(chain[1:], func(c *x509.Certificate) bool { return !mayIssue(c) }) {
			return fmt.Sprintf("issued by a trusted authority, %s; whether it was withdrawn is not asked",
				identity.Claimed(chain[len(chain)-1])), nil
		}
	}
	return "", errors.New("its authority issues certificates for other purposes only")
}

// Trust is whether the signer is trusted. Reason says why not, or why.
type Trust struct {
	Asked   bool   `json:"asked"`
	Trusted bool   `json:"trusted"`
	Reason  string `json:"reason"`
}

func (a Anchors) trust(s *signature, at time.Time) Trust {
	if a == nil {
		return Trust{Reason: "nobody was named who is trusted; compare the fingerprint with one that you know"}
	}
	forDocuments := func(c *x509.Certificate) bool { return identity.MayNotCover(c) == "" }
	by, err := a.by(s.signer, s.issuers, at, forDocuments)
	if err != nil {
		return Trust{Asked: true, Reason: err.Error()}
	}
	for _, reason := range []string{identity.MayNotSign(s.signer), identity.Weak(s.signer.PublicKey)} {
		if reason != "" {
			return Trust{Asked: true, Reason: reason}
		}
	}
	return Trust{Asked: true, Trusted: true, Reason: by}
}

// Stamp is a time stamp over the signature.
type Stamp struct {
	Time      time.Time `json:"time"`
	Authority string    `json:"authority"` // as its certificate calls it
	Trusted   bool      `json:"trusted"`
	Reason    string    `json:"reason"`
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

// checkStamp checks the time-stamp token (RFC 3161) over a signature. a are the trusted
// authorities of time stamps.
func (a Anchors) checkStamp(s *signature) (*Stamp, error) {
	stamped, err := timestamp.Parse(s.token) // checks the signature if there is a certificate
	if err != nil {
		return nil, fmt.Errorf("its time stamp is no valid one: %w", err)
	}
	h := stamped.HashAlgorithm
	if h < crypto.SHA256 || !h.Available() {
		return nil, errors.New("its time stamp uses a weak digest")
	}
	digest := h.New()
	digest.Write(s.value)
	if !bytes.Equal(digest.Sum(nil), stamped.HashedMessage) {
		return nil, errors.New("its time stamp is for another signature")
	}
	p7, err := pkcs7.Parse(s.token)
	if err != nil {
		return nil, fmt.Errorf("its time stamp is no valid one: %w", err)
	}
	signer := p7.GetOnlySigner()
	if signer == nil {
		return nil, errors.New("its time stamp does not carry the certificate that it was made with")
	}
	if !connected(signer, stamped.Certificates) {
		return nil, errors.New("its time stamp carries certificates that do not belong to it, or were altered")
	}
	if !stampsOnly(signer) {
		return nil, errors.New("its time stamp was made with a certificate that is not for time stamps alone")
	}
	out := &Stamp{Time: stamped.Time, Authority: identity.Claimed(signer),
		Reason: "no trusted authority of time stamps was named"}
	switch {
	case bytes.Equal(signer.RawSubjectPublicKeyInfo, s.signer.RawSubjectPublicKeyInfo):
		out.Reason = "whoever signed has made it, too"
	case stamped.Time.Before(s.claimed.Add(-clocksApart)):
		out.Reason = "it is earlier than the signature says that it was made"
	case a != nil:
		by, err := a.by(signer, stamped.Certificates, stamped.Time, mayIssueStamps)
		out.Trusted = err == nil
		if out.Reason = by; err != nil {
			out.Reason = err.Error()
		}
	}
	return out, nil
}

// clocksApart is by how much the clocks of a signer and of an authority may differ.
const clocksApart = 10 * time.Minute

// stampsOnly tells whether a certificate is for time stamps and nothing else, as RFC
// 3161, 2.3, demands.
func stampsOnly(c *x509.Certificate) bool {
	usage := asn1.ObjectIdentifier{2, 5, 29, 37}
	critical := slices.ContainsFunc(c.Extensions, func(e pkix.Extension) bool { return e.Id.Equal(usage) && e.Critical })
	return critical && len(c.UnknownExtKeyUsage) == 0 &&
		slices.Equal(c.ExtKeyUsage, []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping})
}

func mayIssueStamps(c *x509.Certificate) bool {
	return len(c.ExtKeyUsage)+len(c.UnknownExtKeyUsage) == 0 ||
		slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageTimeStamping) ||
		slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageAny)
}
