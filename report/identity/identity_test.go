package identity

import (
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"encoding/asn1"
	"math/big"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var at = time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)

func TestNew(t *testing.T) {
	id, err := New(Subject{Name: "Ignace Brûlé", Organisation: "Bellbird Alarm Services", Country: "NZ"}, at, 10)
	require.NoError(t, err)
	c := id.Certificate
	assert.Equal(t, "P-256", id.Signer.Public().(*ecdsa.PublicKey).Curve.Params().Name)
	assert.Equal(t, "Ignace Brûlé, Bellbird Alarm Services", id.Name())
	// RFC 9336: id-kp-documentSigning is 1.3.6.1.5.5.7.3.36 (looked up).
	require.Len(t, c.UnknownExtKeyUsage, 1)
	assert.Equal(t, "1.3.6.1.5.5.7.3.36", c.UnknownExtKeyUsage[0].String())
	assert.Empty(t, c.ExtKeyUsage)
	assert.False(t, c.IsCA, "it issues nothing")
	assert.Equal(t, x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment, c.KeyUsage)
	assert.True(t, c.NotAfter.Equal(at.AddDate(10, 0, 0)))
	assert.Len(t, id.Fingerprint(), 64)
	assert.Positive(t, c.SerialNumber.Sign())
	assert.NoError(t, id.fit())
}

func TestSubjects(t *testing.T) {
	for want, s := range map[string]Subject{
		"an identity needs a name":  {},
		"the name is longer":        {Name: strings.Repeat("é", 65)},
		"the organisation is long":  {Name: "a", Organisation: strings.Repeat("é", 65)},
		"two capital letters":       {Name: "a", Country: "nz"},
		"two capital letters ":      {Name: "a", Country: "12"},
		"no control characters ":    {Name: "a\u202eb"},
		"no control characters":     {Name: "a\nb"},
		"valid for 1 to 30":         {Name: "a"},
		"an identity needs a name ": {Name: "  "},
	} {
		_, err := New(s, at, 31)
		assert.ErrorContains(t, err, strings.TrimSuffix(strings.TrimSuffix(want, " "), " is long"), want)
	}
}

func TestStoredAndLoaded(t *testing.T) {
	id, err := New(Subject{Name: "x"}, at, 1)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "keys", "k.p12")
	_, err = Load(t.Context(), path, "")
	assert.ErrorIs(t, err, ErrNone)

	require.NoError(t, Save(path, id, "Töpfer 窯 7"))
	if runtime.GOOS != "windows" { // which has no such modes
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	back, err := Load(t.Context(), path, "Töpfer 窯 7")
	require.NoError(t, err)
	assert.Equal(t, id.Fingerprint(), back.Fingerprint())

	for _, wrong := range []string{"", "Töpfer 窯 8", "Topfer 窯 7"} {
		_, err = Load(t.Context(), path, wrong)
		assert.ErrorIs(t, err, ErrPassphrase)
		if wrong != "" {
			assert.NotContains(t, err.Error(), wrong, "an error never tells a passphrase")
		}
	}
	assert.ErrorIs(t, Save(path, id, "another one"), ErrExists)
	_, err = Load(t.Context(), path, "Töpfer 窯 7")
	assert.NoError(t, err, "the key that was there is untouched")

	stored, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, damage := range [][]byte{nil, []byte("no key"), stored[:len(stored)/2]} {
		_, err = Read(t.Context(), damage, "Töpfer 窯 7")
		assert.ErrorContains(t, err, "not a PKCS#12 file")
	}
}

// Any flipped bit of a stored key is refused, or changes nothing.
func TestDamagedKeyFileIsRefused(t *testing.T) {
	id, err := New(Subject{Name: "x"}, at, 1)
	require.NoError(t, err)
	stored, err := id.Store("tall blue vase")
	require.NoError(t, err)
	for i := 40; i < len(stored); i += len(stored) / 7 {
		damaged := append([]byte{}, stored...)
		damaged[i] ^= 1
		if back, err := Read(t.Context(), damaged, "tall blue vase"); err == nil {
			assert.Equal(t, id.Fingerprint(), back.Fingerprint())
		}
	}
}

func TestCertificatesOfPEM(t *testing.T) {
	id, err := New(Subject{Name: "x"}, at, 1)
	require.NoError(t, err)
	all, err := Certificates(append([]byte("a remark\n"), append(id.PEM(), id.PEM()...)...))
	require.NoError(t, err)
	assert.Len(t, all, 2)
	_, err = Certificates([]byte("no certificate"))
	assert.ErrorContains(t, err, "no certificate in PEM form")
	_, err = Certificates([]byte("-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"))
	assert.ErrorContains(t, err, "certificate 1:")
}

// Whose certificate may sign documents: RFC 9336 (documents), RFC 5280, 4.2.1.12 (mail,
// any) and 4.2.1.3 (key usage); looked up for the first, from memory for the others.
func TestMayNotSign(t *testing.T) {
	for name, test := range map[string]struct {
		c   x509.Certificate
		may bool
	}{
		"says nothing":      {x509.Certificate{}, true},
		"documents":         {x509.Certificate{UnknownExtKeyUsage: []asn1.ObjectIdentifier{DocumentSigning}}, true},
		"mail":              {x509.Certificate{ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageEmailProtection}}, true},
		"anything":          {x509.Certificate{ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageAny}}, true},
		"servers":           {x509.Certificate{ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}, false},
		"something unknown": {x509.Certificate{UnknownExtKeyUsage: []asn1.ObjectIdentifier{{1, 2, 3}}}, false},
		"signatures":        {x509.Certificate{KeyUsage: x509.KeyUsageDigitalSignature}, true},
		"commitment":        {x509.Certificate{KeyUsage: x509.KeyUsageContentCommitment}, true},
		"encryption alone":  {x509.Certificate{KeyUsage: x509.KeyUsageKeyEncipherment}, false},
		"issuing alone":     {x509.Certificate{KeyUsage: x509.KeyUsageCertSign}, false},
		"documents, not key": {x509.Certificate{KeyUsage: x509.KeyUsageKeyAgreement,
			UnknownExtKeyUsage: []asn1.ObjectIdentifier{DocumentSigning}}, false},
	} {
		assert.Equal(t, test.may, MayNotSign(&test.c) == "", name)
	}
}

// The least sizes of keys follow NIST SP 800-57 part 1, table 2: 112 bits (from memory).
func TestWeakKeys(t *testing.T) {
	short := &rsa.PublicKey{N: new(big.Int).Lsh(big.NewInt(1), 1023), E: 65537}
	long := &rsa.PublicKey{N: new(big.Int).Lsh(big.NewInt(1), 2047), E: 65537}
	old, err := ecdsa.GenerateKey(elliptic.P224(), rand.Reader)
	require.NoError(t, err)
	assert.Contains(t, Weak(short), "1024 bits is too short")
	assert.Empty(t, Weak(long))
	assert.Contains(t, Weak(old.Public()), "too short")
	assert.NotEmpty(t, Weak(ed25519.PublicKey{}))
}
