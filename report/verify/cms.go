package verify

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"reflect"
	"time"

	"loopwitness/report/seal"
)

// Object identifiers of CMS (RFC 5652) and of the algorithms that seals use.
var (
	oidSignedData    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidData          = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidContentType   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningTime   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	oidSHA256        = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
)

var algorithms = map[string]x509.SignatureAlgorithm{
	"1.2.840.10045.4.3.2":   x509.ECDSAWithSHA256,
	"1.2.840.113549.1.1.11": x509.SHA256WithRSA,
	"1.2.840.113549.1.1.1":  x509.SHA256WithRSA, // rsaEncryption, with the digest named apart
}

type contentInfo struct {
	Type    asn1.ObjectIdentifier
	Content asn1.RawValue // [0] EXPLICIT
}

type signedData struct {
	Version      int
	Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
	Encapsulated encapsulated
	Certificates asn1.RawValue `asn1:"optional,tag:0"`
	Signers      []signerInfo  `asn1:"set"`
}

type encapsulated struct{ Type asn1.ObjectIdentifier }

type signerInfo struct {
	Version   int
	ID        issuerAndSerial
	Digest    pkix.AlgorithmIdentifier
	Signed    asn1.RawValue `asn1:"optional,tag:0"`
	Algorithm pkix.AlgorithmIdentifier
	Signature []byte
	Unsigned  asn1.RawValue `asn1:"optional,tag:1"`
}

type issuerAndSerial struct {
	Issuer asn1.RawValue
	Serial *big.Int
}

type attribute struct {
	Type   asn1.ObjectIdentifier
	Values asn1.RawValue `asn1:"set"`
}

type certID struct {
	Hash []byte
}

type signingCertificate struct{ Certs []certID }

// signature is what a CMS signature proves.
type signature struct {
	signer  *x509.Certificate
	issuers []*x509.Certificate
	claimed time.Time
	value   []byte
	token   []byte // the time stamp, nil for none
}

// errChanged: the signature is one, but of other content.
var errChanged = errors.New("the file is not as it was when it was signed")

// checkCMS checks a detached signature over content, as this tool makes them. Every
// byte of it counts: what the signature does not cover itself is compared with
// what it has to be. errChanged means that only the content is another.
func checkCMS(der, content []byte) (*signature, error) {
	var info contentInfo
	var data signedData
	if err := strict(der, &info); err != nil {
		return nil, err
	}
	if !info.Type.Equal(oidSignedData) || info.Content.Class != asn1.ClassContextSpecific || info.Content.Tag != 0 {
		return nil, errors.New("it holds no signed data")
	}
	if err := strict(info.Content.Bytes, &data); err != nil {
		return nil, err
	}
	if data.Version != 1 || len(data.Digests) != 1 || !plain(data.Digests[0], oidSHA256) || !data.Encapsulated.Type.Equal(oidData) || len(data.Signers) != 1 {
		return nil, errors.New("it is not made as this tool makes them")
	}
	signer := data.Signers[0]
	certs, err := x509.ParseCertificates(data.Certificates.Bytes)
	if err != nil || len(certs) == 0 || data.Certificates.Class != asn1.ClassContextSpecific || data.Certificates.Tag != 0 {
		return nil, errors.New("its certificates cannot be read")
	}
	if signer.Version != 1 || !plain(signer.Digest, oidSHA256) {
		return nil, errors.New("it is not made as this tool makes them")
	}
	out := &signature{value: signer.Signature}
	bound, digest, err := out.attributes(signer.Signed)
	if err != nil {
		return nil, err
	}
	if err := out.certificates(certs, bound, signer.ID); err != nil {
		return nil, err
	}
	algorithm, known := algorithms[signer.Algorithm.Algorithm.String()]
	if !known || !plain(signer.Algorithm, signer.Algorithm.Algorithm) {
		return nil, errors.New("its algorithm is unknown")
	}
	// The attributes are signed as a SET OF (RFC 5652, 5.4).
	asSet := bytes.Clone(signer.Signed.FullBytes)
	asSet[0] = asn1.TagSet | 0x20
	if err := out.signer.CheckSignature(algorithm, asSet, signer.Signature); err != nil {
		return nil, errors.New("it was not made with the key of the certificate that it carries")
	}
	if out.token, err = timeStamp(signer.Unsigned); err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(content); !bytes.Equal(sum[:], digest) {
		return out, errChanged
	}
	return out, nil
}

// strict decodes DER without anything left over, in the one form that it can have.
func strict(der []byte, into any) error {
	rest, err := asn1.Unmarshal(der, into)
	if err != nil || len(rest) > 0 {
		return errors.New("it cannot be read")
	}
	// The decoder passes over elements that it does not expect at the end of a sequence.
	if again, err := asn1.Marshal(reflect.ValueOf(into).Elem().Interface()); err != nil || !bytes.Equal(again, der) {
		return errors.New("it is not made as this tool makes them")
	}
	return nil
}

// plain tells whether an algorithm is the one expected, without parameters or with
// NULL.
func plain(a pkix.AlgorithmIdentifier, want asn1.ObjectIdentifier) bool {
	p := a.Parameters.FullBytes
	return a.Algorithm.Equal(want) && (len(p) == 0 || bytes.Equal(p, asn1.NullBytes))
}

func attributesOf(raw asn1.RawValue) (map[string]asn1.RawValue, error) {
	out := map[string]asn1.RawValue{}
	for rest := raw.Bytes; len(rest) > 0; {
		var a attribute
		var err error
		rest, err = asn1.Unmarshal(rest, &a)
		if err != nil || a.Values.Class != asn1.ClassUniversal || a.Values.Tag != asn1.TagSet || !a.Values.IsCompound || out[a.Type.String()].FullBytes != nil {
			return nil, errors.New("its attributes cannot be read")
		}
		out[a.Type.String()] = a.Values
	}
	return out, nil
}

// attributes reads what is signed beside the content: the hashes of certificates,
// the digest of the content, and the time.
func (s *signature) attributes(raw asn1.RawValue) (bound signingCertificate, digest []byte, err error) {
	if raw.Class != asn1.ClassContextSpecific || raw.Tag != 0 || !raw.IsCompound {
		return bound, nil, errors.New("it has no signed attributes")
	}
	all, err := attributesOf(raw)
	if err != nil {
		return bound, nil, err
	}
	var kind asn1.ObjectIdentifier
	for _, want := range []struct {
		oid  asn1.ObjectIdentifier
		into any
		what string
	}{
		{oidContentType, &kind, "the kind of its content"}, {oidMessageDigest, &digest, "the digest of the file"},
		{oidSigningTime, &s.claimed, "the time of signing"}, {seal.SigningCertificateV2, &bound, "the hash of its certificate"},
	} {
		if strict(all[want.oid.String()].Bytes, want.into) != nil {
			return bound, nil, fmt.Errorf("it does not tell %s", want.what)
		}
	}
	if !kind.Equal(oidData) {
		return bound, nil, errors.New("its content is of another kind")
	}
	return bound, digest, nil
}

// certificates takes the certificates that the signature binds by their hash, the
// signer's first, and refuses any other.
func (s *signature) certificates(certs []*x509.Certificate, bound signingCertificate, id issuerAndSerial) error {
	if len(bound.Certs) != len(certs) {
		return errors.New("it carries certificates that it does not name")
	}
	for _, b := range bound.Certs {
		found := false
		for _, c := range certs {
			if sum := sha256.Sum256(c.Raw); bytes.Equal(sum[:], b.Hash) {
				s.issuers, found = append(s.issuers, c), true
			}
		}
		if !found {
			return errors.New("a certificate in it was exchanged or altered: it is not the one that was signed with")
		}
	}
	s.signer, s.issuers = s.issuers[0], s.issuers[1:]
	if !issuedOneAnother(append([]*x509.Certificate{s.signer}, s.issuers...)) || !certs[0].Equal(s.signer) {
		return errors.New("it carries certificates that did not issue one another, or in another order")
	}
	if !bytes.Equal(id.Issuer.FullBytes, s.signer.RawIssuer) || id.Serial == nil || id.Serial.Cmp(s.signer.SerialNumber) != 0 {
		return errors.New("it names another certificate as its signer's")
	}
	return nil
}

// issuedOneAnother tells whether each certificate was issued by the next one.
func issuedOneAnother(certs []*x509.Certificate) bool {
	for i := range certs[1:] {
		if certs[i].CheckSignatureFrom(certs[i+1]) != nil || certs[i].Equal(certs[i+1]) {
			return false
		}
	}
	return true
}

// timeStamp is the time-stamp token among the unsigned attributes; nothing else may
// stand there.
func timeStamp(raw asn1.RawValue) ([]byte, error) {
	if len(raw.FullBytes) == 0 {
		return nil, nil
	}
	all, err := attributesOf(raw)
	if err != nil {
		return nil, err
	}
	token := all[seal.TimeStampToken.String()]
	if len(all) != 1 || token.FullBytes == nil || raw.Class != asn1.ClassContextSpecific || raw.Tag != 1 {
		return nil, errors.New("it has unsigned attributes that do not belong there")
	}
	return token.Bytes, nil
}
