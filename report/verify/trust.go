package verify

import (
	"bytes"
	"crypto"
	"crypto/x509"
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

// By tells how a certificate is trusted at a time: itself, or through an authority.
// It is an error if it is not.
func (a Anchors) By(c *x509.Certificate, issuers []*x509.Certificate, at time.Time, usage x509.ExtKeyUsage) (string, error) {
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
	chains, err := c.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{usage}})
	if err != nil {
		return "", errors.New("no trusted authority issued its certificate")
	}
	root := chains[0][len(chains[0])-1]
	return fmt.Sprintf("issued by a trusted authority, %s", identity.Claimed(root)), nil
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
	by, err := a.By(s.signer, s.issuers, at, x509.ExtKeyUsageAny)
	if err != nil {
		return Trust{Asked: true, Reason: err.Error()}
	}
	if reason := identity.MayNotSign(s.signer); reason != "" {
		return Trust{Asked: true, Reason: reason}
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

// checkStamp checks a time-stamp token (RFC 3161) over a signature.
func (a Anchors) checkStamp(token, signature []byte) (*Stamp, error) {
	stamped, err := timestamp.Parse(token) // checks the signature if there is a certificate
	if err != nil {
		return nil, fmt.Errorf("its time stamp is no valid one: %w", err)
	}
	h := stamped.HashAlgorithm
	if h < crypto.SHA256 || !h.Available() {
		return nil, errors.New("its time stamp uses a weak digest")
	}
	digest := h.New()
	digest.Write(signature)
	if !bytes.Equal(digest.Sum(nil), stamped.HashedMessage) {
		return nil, errors.New("its time stamp is for another signature")
	}
	p7, err := pkcs7.Parse(token)
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
	if !slices.Contains(signer.ExtKeyUsage, x509.ExtKeyUsageTimeStamping) {
		return nil, errors.New("its time stamp was made with a certificate that is not for time stamps")
	}
	out := &Stamp{Time: stamped.Time, Authority: identity.Claimed(signer), Reason: "no trusted authority was named"}
	if a != nil {
		by, err := a.By(signer, stamped.Certificates, stamped.Time, x509.ExtKeyUsageTimeStamping)
		out.Trusted = err == nil
		if out.Reason = by; err != nil {
			out.Reason = err.Error()
		}
	}
	return out, nil
}
