package phone

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"math/big"
	"net"
	"net/netip"
	"strings"
	"time"
)

const (
	// validFor is no longer than browsers take: 398 days (from memory).
	validFor = 397 * 24 * time.Hour
	// validStill is how long one that was kept must go on, for a visit.
	validStill = 24 * time.Hour
	// skew is by how much a phone's clock may be behind.
	skew = 24 * time.Hour
)

// Certificate is what the page at an address is served with: the one that was kept, if it
// is still of use, else a new one, which nobody but this program has signed. fresh is what
// is to be kept then, key and certificate, else nil.
func Certificate(kept []byte, at netip.Addr, now time.Time) (c tls.Certificate, fresh []byte, err error) {
	if c, err := tls.X509KeyPair(kept, kept); err == nil && usable(c, at, now) {
		return c, nil, nil
	}
	fresh, err = made(at, now)
	if err != nil {
		return c, nil, err
	}
	c, err = tls.X509KeyPair(fresh, fresh)
	return c, fresh, err
}

func usable(c tls.Certificate, at netip.Addr, now time.Time) bool {
	key, is := c.PrivateKey.(*ecdsa.PrivateKey)
	return is && key.Curve == elliptic.P256() && c.Leaf != nil && c.Leaf.VerifyHostname(at.WithZone("").String()) == nil &&
		!now.Before(c.Leaf.NotBefore) && now.Add(validStill).Before(c.Leaf.NotAfter)
}

func made(at netip.Addr, now time.Time) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{SerialNumber: serial, Subject: pkix.Name{CommonName: "loopwitness " + at.String()},
		NotBefore: now.Add(-skew), NotAfter: now.Add(validFor - skew), KeyUsage: x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true,
		IPAddresses: []net.IP{at.AsSlice()}}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = errors.Join(pem.Encode(&out, &pem.Block{Type: "PRIVATE KEY", Bytes: secret}),
		pem.Encode(&out, &pem.Block{Type: "CERTIFICATE", Bytes: der}))
	return out.Bytes(), err
}

// Fingerprint is the SHA-256 of a certificate, as a person compares it: in groups.
func Fingerprint(c tls.Certificate) string {
	sum := sha256.Sum256(c.Certificate[0])
	text := strings.ToUpper(hex.EncodeToString(sum[:]))
	var groups []string
	for i := 0; i < len(text); i += 4 {
		groups = append(groups, text[i:i+4])
	}
	return strings.Join(groups, " ")
}
