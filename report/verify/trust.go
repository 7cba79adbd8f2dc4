package verify

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/report/identity"
	"loopwitness/report/stamp"
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
	Policy    string    `json:"policy"`    // that it was made by, an object identifier of the authority
	Trusted   bool      `json:"trusted"`
	Reason    string    `json:"reason"`

	odd bool // its time cannot be
}

// checkStamp checks the time-stamp token over a signature. a are the trusted authorities
// of time stamps. A sound one may count for nothing yet: Reason tells why.
func (a Anchors) checkStamp(s *signature, now time.Time) (*Stamp, error) {
	t, err := stamp.Check(s.token, s.value)
	if err != nil {
		return nil, err
	}
	out := &Stamp{Time: t.Time, Authority: identity.Claimed(t.Signer), Policy: t.Policy,
		Reason: "no trusted authority of time stamps was named"}
	notSane := t.Sane(now, s.claimed)
	switch {
	case bytes.Equal(t.Signer.RawSubjectPublicKeyInfo, s.signer.RawSubjectPublicKeyInfo):
		out.Reason = "whoever signed has made it, too"
	case notSane != nil:
		out.Reason, out.odd = notSane.Error(), true
	case a != nil:
		by, err := a.by(t.Signer, t.Certificates, t.Time, mayIssueStamps)
		out.Trusted = err == nil
		if out.Reason = by; err != nil {
			out.Reason = err.Error()
		}
	}
	return out, nil
}

func mayIssueStamps(c *x509.Certificate) bool {
	return len(c.ExtKeyUsage)+len(c.UnknownExtKeyUsage) == 0 ||
		slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageTimeStamping) ||
		slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageAny)
}
