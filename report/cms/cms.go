// Package cms is the ASN.1 of the one kind of signature that certificates bear: CMS
// signed data (RFC 5652), detached, by one signer, over SHA-256. Whoever signs and
// whoever checks use the same structures; nothing is decided here.
package cms

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"math/big"
	"reflect"
)

// Object identifiers of CMS and of its attributes.
var (
	SignedDataType = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	DataType       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	ContentType    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	MessageDigest  = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	SigningTime    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	// SigningCertificateV2 binds the signing certificate by its hash (RFC 5035).
	SigningCertificateV2 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	// TimeStampToken is a time stamp over the signature (RFC 3161, appendix A).
	TimeStampToken = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 14}
	SHA256         = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
)

// ContentInfo is the outermost structure.
type ContentInfo struct {
	Type    asn1.ObjectIdentifier
	Content asn1.RawValue // [0] EXPLICIT
}

// SignedData is the content of a ContentInfo of SignedDataType.
type SignedData struct {
	Version      int
	Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
	Encapsulated Encapsulated
	Certificates asn1.RawValue `asn1:"optional,tag:0"`
	Signers      []SignerInfo  `asn1:"set"`
}

// Encapsulated tells the type of what was signed, which is elsewhere.
type Encapsulated struct{ Type asn1.ObjectIdentifier }

// SignerInfo is one signer's signature.
type SignerInfo struct {
	Version   int
	ID        IssuerAndSerial
	Digest    pkix.AlgorithmIdentifier
	Signed    asn1.RawValue `asn1:"optional,tag:0"`
	Algorithm pkix.AlgorithmIdentifier
	Signature []byte
	Unsigned  asn1.RawValue `asn1:"optional,tag:1"`
}

// IssuerAndSerial names a certificate.
type IssuerAndSerial struct {
	Issuer asn1.RawValue
	Serial *big.Int
}

// Attribute is a signed or an unsigned one.
type Attribute struct {
	Type   asn1.ObjectIdentifier
	Values asn1.RawValue `asn1:"set"`
}

// SigningCertificate is the value of the attribute SigningCertificateV2.
type SigningCertificate struct{ Certs []CertID }

// CertID names a certificate by its SHA-256, which is the default of RFC 5035.
type CertID struct{ Hash []byte }

// Bind names certificates by their hashes, so that none of them can be exchanged.
func Bind(certs ...*x509.Certificate) SigningCertificate {
	var out SigningCertificate
	for _, c := range certs {
		sum := sha256.Sum256(c.Raw)
		out.Certs = append(out.Certs, CertID{sum[:]})
	}
	return out
}

// Names tells whether it is that certificate.
func (id CertID) Names(c *x509.Certificate) bool {
	sum := sha256.Sum256(c.Raw)
	return bytes.Equal(sum[:], id.Hash)
}

var (
	// ErrRead says that it is no DER, or of something else.
	ErrRead = errors.New("it cannot be read")
	// ErrForm says that it can be read, and would be written otherwise.
	ErrForm = errors.New("it is not made as this tool makes them")
)

// Strict decodes DER without anything left over, in the one form that it can have.
func Strict(der []byte, into any) error {
	rest, err := asn1.Unmarshal(der, into)
	if err != nil || len(rest) > 0 {
		return ErrRead
	}
	// The decoder passes over elements that it does not expect at the end of a sequence.
	if again, err := asn1.Marshal(reflect.ValueOf(into).Elem().Interface()); err != nil || !bytes.Equal(again, der) {
		return ErrForm
	}
	return nil
}
