package verify

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"time"

	"loopwitness/report/cms"
)

var algorithms = map[string]x509.SignatureAlgorithm{
	"1.2.840.10045.4.3.2":   x509.ECDSAWithSHA256,
	"1.2.840.113549.1.1.11": x509.SHA256WithRSA,
	"1.2.840.113549.1.1.1":  x509.SHA256WithRSA, // rsaEncryption, with the digest named apart
}

// signature is what a CMS signature proves.
type signature struct {
	signer  *x509.Certificate
	issuers []*x509.Certificate
	claimed time.Time
	value   []byte
	token   []byte // the time stamp, nil for none
}

// errChanged says that the signature is one, but of other content.
var errChanged = errors.New("the file is not as it was when it was signed")

// checkCMS checks a detached signature over content, as this tool makes them. Every
// byte of it counts: what the signature does not cover itself is compared with
// what it has to be. errChanged means that only the content is another.
func checkCMS(der, content []byte) (*signature, error) {
	var info cms.ContentInfo
	var data cms.SignedData
	if err := cms.Strict(der, &info); err != nil {
		return nil, err
	}
	if !info.Type.Equal(cms.SignedDataType) || info.Content.Class != asn1.ClassContextSpecific || info.Content.Tag != 0 {
		return nil, errors.New("it holds no signed data")
	}
	if err := cms.Strict(info.Content.Bytes, &data); err != nil {
		return nil, err
	}
	if data.Version != 1 || len(data.Digests) != 1 || !plain(data.Digests[0], cms.SHA256) ||
		!data.Encapsulated.Type.Equal(cms.DataType) ||
		len(data.Signers) != 1 {
		return nil, cms.ErrForm
	}
	signer := data.Signers[0]
	certs, err := x509.ParseCertificates(data.Certificates.Bytes)
	if err != nil || len(certs) == 0 || data.Certificates.Class != asn1.ClassContextSpecific ||
		data.Certificates.Tag != 0 {
		return nil, errors.New("its certificates cannot be read")
	}
	if signer.Version != 1 || !plain(signer.Digest, cms.SHA256) {
		return nil, cms.ErrForm
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

// plain tells whether an algorithm is the one expected, without parameters or with
// NULL.
func plain(a pkix.AlgorithmIdentifier, want asn1.ObjectIdentifier) bool {
	p := a.Parameters.FullBytes
	return a.Algorithm.Equal(want) && (len(p) == 0 || bytes.Equal(p, asn1.NullBytes))
}

func attributesOf(raw asn1.RawValue) (map[string]asn1.RawValue, error) {
	out := map[string]asn1.RawValue{}
	for rest := raw.Bytes; len(rest) > 0; {
		var a cms.Attribute
		var err error
		rest, err = asn1.Unmarshal(rest, &a)
		if err != nil || a.Values.Class != asn1.ClassUniversal || a.Values.Tag != asn1.TagSet || !a.Values.IsCompound ||
			out[a.Type.String()].FullBytes != nil {
			return nil, errors.New("its attributes cannot be read")
		}
		out[a.Type.String()] = a.Values
	}
	return out, nil
}

// attributes reads what is signed beside the content: the hashes of certificates,
// the digest of the content, and the time.
func (s *signature) attributes(raw asn1.RawValue) (bound cms.SigningCertificate, digest []byte, err error) {
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
		{cms.ContentType, &kind, "the kind of its content"},
		{cms.MessageDigest, &digest, "the digest of the file"},
		{cms.SigningTime, &s.claimed, "the time of signing"},
		{cms.SigningCertificateV2, &bound, "the hash of its certificate"},
	} {
		if cms.Strict(all[want.oid.String()].Bytes, want.into) != nil {
			return bound, nil, fmt.Errorf("it does not tell %s", want.what)
		}
	}
	if !kind.Equal(cms.DataType) {
		return bound, nil, errors.New("its content is of another kind")
	}
	return bound, digest, nil
}

// certificates takes the certificates that the signature binds by their hash, the
// signer's first, and refuses any other.
func (s *signature) certificates(certs []*x509.Certificate, bound cms.SigningCertificate,
	id cms.IssuerAndSerial) error {
	if len(bound.Certs) != len(certs) {
		return errors.New("it carries certificates that it does not name")
	}
	for _, b := range bound.Certs {
		found := false
		for _, c := range certs {
			if b.Names(c) {
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
	if !bytes.Equal(id.Issuer.FullBytes, s.signer.RawIssuer) || id.Serial == nil ||
		id.Serial.Cmp(s.signer.SerialNumber) != 0 {
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
	token := all[cms.TimeStampToken.String()]
	if len(all) != 1 || token.FullBytes == nil || raw.Class != asn1.ClassContextSpecific || raw.Tag != 1 {
		return nil, errors.New("it has unsigned attributes that do not belong there")
	}
	return token.Bytes, nil
}
