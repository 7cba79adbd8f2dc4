package stamp

import (
	"bytes"
	"crypto"
	"crypto/sha1" // the hash that names a certificate in an older token, nothing else
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"math/big"
	"slices"
	"time"

	"github.com/digitorus/pkcs7"

	"loopwitness/report/cms"
)

// tokenType is the type of what a token signs, id-ct-TSTInfo (RFC 3161, 2.4.2).
var tokenType = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 1, 4}

// signingCertificate is the older attribute that names the certificate (RFC 2634), by SHA-1.
var signingCertificate = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 12}

// tokenData is the beginning of signed data (RFC 5652, 5.1), as far as it tells of what.
type tokenData struct {
	Version      int
	Digests      asn1.RawValue
	Encapsulated struct {
		Type    asn1.ObjectIdentifier
		Content []byte `asn1:"explicit,tag:0"`
	}
}

// tokenInfo is what a token says (TSTInfo; RFC 3161, 2.4.2).
type tokenInfo struct {
	Version int
	Policy  asn1.ObjectIdentifier
	Imprint struct {
		Algorithm pkix.AlgorithmIdentifier
		Digest    []byte
	}
	Serial   *big.Int
	Time     time.Time `asn1:"generalized"`
	Accuracy struct {
		Seconds int64 `asn1:"optional"`
		Millis  int64 `asn1:"optional,tag:0"`
		Micros  int64 `asn1:"optional,tag:1"`
	} `asn1:"optional"`
	Ordering   bool             `asn1:"optional"`
	Nonce      *big.Int         `asn1:"optional"`
	Authority  asn1.RawValue    `asn1:"optional,tag:0"`
	Extensions []pkix.Extension `asn1:"optional,tag:1"`
}

var errNone = errors.New("its time stamp is no valid one: it cannot be read")

func readInfo(token []byte) (*tokenInfo, error) {
	var outer cms.ContentInfo
	rest, err := asn1.Unmarshal(token, &outer)
	if err != nil || len(rest) > 0 || !outer.Type.Equal(cms.SignedDataType) {
		return nil, errNone
	}
	var data tokenData
	if rest, err := asn1.Unmarshal(outer.Content.Bytes, &data); err != nil || len(rest) > 0 {
		return nil, errNone
	}
	if !data.Encapsulated.Type.Equal(tokenType) {
		return nil, errors.New("its time stamp is no valid one: it is a signature over something else")
	}
	var info tokenInfo
	if rest, err := asn1.Unmarshal(data.Encapsulated.Content, &info); err != nil || len(rest) > 0 || info.Version != 1 {
		return nil, errNone
	}
	if slices.ContainsFunc(info.Extensions, func(e pkix.Extension) bool { return e.Critical }) {
		return nil, errors.New("its time stamp has a condition that this version does not know")
	}
	return &info, nil
}

// imprint demands that the token is for a signature, by a strong digest.
func (i *tokenInfo) imprint(over []byte) error {
	hash := strong[i.Imprint.Algorithm.Algorithm.String()]
	if !hash.Available() {
		return errors.New("its time stamp uses a weak digest")
	}
	if !bytes.Equal(digest(hash, over), i.Imprint.Digest) {
		return errors.New("its time stamp is for another signature")
	}
	return nil
}

func digest(hash crypto.Hash, of []byte) []byte {
	h := hash.New()
	h.Write(of)
	return h.Sum(nil)
}

// accuracy is how well the authority says that it knows the time. One that knows it worse
// than clocks agree confirms nothing.
func (i *tokenInfo) accuracy() (time.Duration, error) {
	a := i.Accuracy
	thousandths := func(n int64) bool { return n >= 0 && n < 1000 }
	if a.Seconds < 0 || a.Seconds > int64(ClocksApart/time.Second) || !thousandths(a.Millis) || !thousandths(a.Micros) {
		return 0, errors.New("its time stamp says that its time is worth nothing")
	}
	return time.Duration(a.Seconds)*time.Second + time.Duration(a.Millis)*time.Millisecond +
		time.Duration(a.Micros)*time.Microsecond, nil
}

// certID names a certificate by its hash (ESSCertIDv2; RFC 5035, section 4).
type certID struct {
	Algorithm    pkix.AlgorithmIdentifier `asn1:"optional"` // SHA-256 if it says none
	Hash         []byte
	IssuerSerial asn1.RawValue `asn1:"optional"`
}

// olderCertID is ESSCertID (RFC 2634), by SHA-1.
type olderCertID struct {
	Hash         []byte
	IssuerSerial asn1.RawValue `asn1:"optional"`
}

// named demands that what is signed names the signing certificate first (RFC 5816, 2.2.1),
// and is of a time stamp. Some authorities name it by SHA-1 still, or by both; each name
// has to be right.
func named(p7 *pkcs7.PKCS7, signer *x509.Certificate) error {
	other := errors.New("its time stamp names another certificate than the one that it was made with, or none")
	var kind asn1.ObjectIdentifier
	if p7.UnmarshalSignedAttribute(cms.ContentType, &kind) != nil || !kind.Equal(tokenType) {
		return errNone
	}
	names := 0
	var now struct{ Certs []certID }
	if p7.UnmarshalSignedAttribute(cms.SigningCertificateV2, &now) == nil {
		if len(now.Certs) == 0 || !now.Certs[0].names(signer) {
			return other
		}
		names++
	}
	var before struct{ Certs []olderCertID }
	if p7.UnmarshalSignedAttribute(signingCertificate, &before) == nil {
		if sum := sha1.Sum(signer.Raw); len(before.Certs) == 0 || !bytes.Equal(before.Certs[0].Hash, sum[:]) {
			return other
		}
		names++
	}
	if names == 0 {
		return other
	}
	return nil
}

func (id certID) names(c *x509.Certificate) bool {
	hash := crypto.SHA256
	if id.Algorithm.Algorithm != nil {
		hash = strong[id.Algorithm.Algorithm.String()]
	}
	return hash.Available() && bytes.Equal(digest(hash, c.Raw), id.Hash)
}
