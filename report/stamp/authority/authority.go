// Package authority is a time-stamping authority for tests: it stamps as RFC 3161 has it, or
// lies in one thing.
package authority

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	_ "crypto/sha1" // for a lie
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"time"

	"github.com/digitorus/pkcs7"
	"github.com/digitorus/timestamp"
)

// Authority is a key with a certificate for time stamps, and what it does with them.
type Authority struct {
	Key         crypto.Signer
	Certificate *x509.Certificate
	Root        *x509.Certificate   // whom one trusts who trusts it
	Issuers     []*x509.Certificate // that it sends

	Time          func() time.Time        // nil for now
	Accuracy      time.Duration           // whole seconds and milliseconds
	Imprint       crypto.Hash             // of the signature; zero for the one that was asked for
	Over          []byte                  // what it stamps; nil for what was asked for
	Nonce         func(*big.Int) *big.Int // nil for the one that was asked with
	Digest        asn1.ObjectIdentifier   // that it signs over; nil for SHA-256
	Kind          asn1.ObjectIdentifier   // of what it signs; nil for a time stamp
	NoCertificate bool                    // it sends none
	Further       []*x509.Certificate     // certificates that it sends besides
	NotNamed      bool                    // the signature does not name its certificate
	Names         *x509.Certificate       // that it names; nil for its own
	Critical      bool                    // an extension that nobody knows is critical
}

// The extended key usage of time stamps (RFC 3161, 2.3; *from memory*), and another.
var (
	ForStamps = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 8}
	ForMail   = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 4}
)

// Usage is the extension of a certificate that tells what it is for.
func Usage(critical bool, purposes ...asn1.ObjectIdentifier) pkix.Extension {
	value, err := asn1.Marshal(purposes)
	if err != nil {
		panic(err)
	}
	return pkix.Extension{Id: asn1.ObjectIdentifier{2, 5, 29, 37}, Critical: critical, Value: value}
}

// New is an honest authority, whose certificate is for usage and was issued by its Root.
func New(name string, usage pkix.Extension) *Authority {
	root, rootKey := certificate(&x509.Certificate{Subject: pkix.Name{CommonName: name + ", root"}, IsCA: true,
		KeyUsage: x509.KeyUsageCertSign}, nil, nil)
	leaf, key := certificate(&x509.Certificate{Subject: pkix.Name{CommonName: name},
		ExtraExtensions: []pkix.Extension{usage}}, root, rootKey)
	return &Authority{Key: key, Certificate: leaf, Root: root, Issuers: []*x509.Certificate{root}}
}

// certificate is one with a key of its own; without an issuer it is signed by itself.
func certificate(c, issuer *x509.Certificate, by crypto.Signer) (*x509.Certificate, crypto.Signer) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		panic(err)
	}
	if issuer == nil {
		issuer, by = c, key
	}
	c.SerialNumber, c.BasicConstraintsValid = big.NewInt(time.Now().UnixNano()), true
	c.NotBefore, c.NotAfter = time.Now().AddDate(-20, 0, 0), time.Now().AddDate(20, 0, 0)
	der, err := x509.CreateCertificate(rand.Reader, c, issuer, key.Public(), by)
	if err != nil {
		panic(err)
	}
	made, err := x509.ParseCertificate(der)
	if err != nil {
		panic(err)
	}
	return made, key
}

type imprint struct {
	Algorithm pkix.AlgorithmIdentifier
	Digest    []byte
}

type info struct {
	Version    int
	Policy     asn1.ObjectIdentifier
	Imprint    imprint
	Serial     *big.Int
	Time       time.Time        `asn1:"generalized"`
	Accuracy   accuracy         `asn1:"optional"`
	Nonce      *big.Int         `asn1:"optional"`
	Extensions []pkix.Extension `asn1:"optional,tag:1"`
}

type accuracy struct {
	Seconds int64 `asn1:"optional"`
	Millis  int64 `asn1:"optional,tag:0"`
}

type certID struct{ Hash []byte }

var hashes = map[crypto.Hash]asn1.ObjectIdentifier{
	crypto.SHA1:   pkcs7.OIDDigestAlgorithmSHA1,
	crypto.SHA256: pkcs7.OIDDigestAlgorithmSHA256,
	crypto.SHA384: pkcs7.OIDDigestAlgorithmSHA384,
}

// Token is a time stamp over a signature, for a question with that nonce; nil for none.
func (a *Authority) Token(signature []byte, nonce *big.Int) ([]byte, error) {
	hash := a.Imprint
	if hash == 0 {
		hash = crypto.SHA256
	}
	if a.Over != nil {
		signature = a.Over
	}
	h := hash.New()
	h.Write(signature)
	return a.token(hash, h.Sum(nil), nonce)
}

func (a *Authority) token(hash crypto.Hash, digest []byte, nonce *big.Int) ([]byte, error) {
	now := time.Now
	if a.Time != nil {
		now = a.Time
	}
	if a.Nonce != nil {
		nonce = a.Nonce(nonce)
	}
	what := info{Version: 1, Policy: asn1.ObjectIdentifier{1, 2, 3}, Serial: big.NewInt(7), Nonce: nonce,
		Imprint:  imprint{pkix.AlgorithmIdentifier{Algorithm: hashes[hash], Parameters: asn1.NullRawValue}, digest},
		Time:     now().UTC().Truncate(time.Second),
		Accuracy: accuracy{int64(a.Accuracy / time.Second), int64(a.Accuracy % time.Second / time.Millisecond)}}
	if a.Critical {
		what.Extensions = []pkix.Extension{{Id: asn1.ObjectIdentifier{1, 2, 3, 4}, Critical: true, Value: []byte{5, 0}}}
	}
	der, err := asn1.Marshal(what)
	if err != nil {
		return nil, err
	}
	return a.signed(der)
}

func (a *Authority) signed(content []byte) ([]byte, error) {
	data, err := pkcs7.NewSignedData(content)
	if err != nil {
		return nil, err
	}
	kind, digest := a.Kind, a.Digest
	if kind == nil {
		kind = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 1, 4}
	}
	if digest == nil {
		digest = pkcs7.OIDDigestAlgorithmSHA256
	}
	data.SetDigestAlgorithm(digest)
	data.SetContentType(kind)
	data.GetSignedData().Version = 3
	config := pkcs7.SignerInfoConfig{SkipCertificates: a.NoCertificate}
	if !a.NotNamed {
		config.ExtraSignedAttributes = []pkcs7.Attribute{a.names()}
	}
	if err := data.AddSignerChain(a.Certificate, a.Key, a.Issuers, config); err != nil {
		return nil, err
	}
	for _, c := range a.Further {
		data.AddCertificate(c)
	}
	return data.Finish()
}

// names is the attribute that names the certificate (RFC 5816).
func (a *Authority) names() pkcs7.Attribute {
	c := a.Names
	if c == nil {
		c = a.Certificate
	}
	h := crypto.SHA256.New()
	h.Write(c.Raw)
	return pkcs7.Attribute{Type: asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47},
		Value: struct{ Certs []certID }{[]certID{{h.Sum(nil)}}}}
}

type response struct {
	Status struct{ Status int }
	Token  asn1.RawValue
}

// ServeHTTP answers a question.
func (a *Authority) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	query, _ := io.ReadAll(r.Body)
	question, err := timestamp.ParseRequest(query)
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	hash, digest := question.HashAlgorithm, question.HashedMessage
	if a.Over != nil || a.Imprint != 0 {
		if a.Imprint != 0 {
			hash = a.Imprint
		}
		h := hash.New()
		h.Write(a.Over)
		digest = h.Sum(nil)
	}
	token, err := a.token(hash, digest, question.Nonce)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	answer, err := asn1.Marshal(response{Token: asn1.RawValue{FullBytes: token}})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	_, _ = w.Write(answer)
}

// Server serves an authority; the caller closes it.
func (a *Authority) Server() *httptest.Server { return httptest.NewServer(a) }
