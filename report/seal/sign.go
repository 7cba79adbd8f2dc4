package seal

import (
	"crypto/sha256"
	"crypto/x509"
	"encoding/asn1"
	"fmt"

	"github.com/digitorus/pkcs7"

	"loopwitness/report/identity"
)

// Object identifiers of CMS attributes.
var (
	// SigningCertificateV2 binds the signing certificate by its hash (RFC 5035).
	SigningCertificateV2 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	// TimeStampToken is a time stamp over the signature (RFC 3161, appendix A).
	TimeStampToken = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 14}
)

type essCertIDv2 struct{ Hash []byte } // the hash is SHA-256, the default

type signingCertificateV2 struct{ Certs []essCertIDv2 }

// bind names the signing certificate, then those above it, by their hashes: none of
// them can be exchanged.
func bind(id *identity.Identity) signingCertificateV2 {
	var out signingCertificateV2
	for _, c := range append([]*x509.Certificate{id.Certificate}, id.Issuers...) {
		sum := sha256.Sum256(c.Raw)
		out.Certs = append(out.Certs, essCertIDv2{sum[:]})
	}
	return out
}

// Sign is a detached CMS signature over content. stamp may add a time stamp over
// the signature; nil for none.
func Sign(content []byte, id *identity.Identity, stamp func(signature []byte) []byte) ([]byte, error) {
	data, err := pkcs7.NewSignedData(content)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	data.SetDigestAlgorithm(pkcs7.OIDDigestAlgorithmSHA256)
	bound := pkcs7.Attribute{Type: SigningCertificateV2, Value: bind(id)}
	config := pkcs7.SignerInfoConfig{ExtraSignedAttributes: []pkcs7.Attribute{bound}}
	if err := data.AddSignerChain(id.Certificate, id.Signer, id.Issuers, config); err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	data.Detach()
	if stamp != nil {
		inner := data.GetSignedData()
		if token := stamp(inner.SignerInfos[0].EncryptedDigest); token != nil {
			attribute := pkcs7.Attribute{Type: TimeStampToken, Value: asn1.RawValue{FullBytes: token}}
			if err := inner.SignerInfos[0].SetUnauthenticatedAttributes([]pkcs7.Attribute{attribute}); err != nil {
				return nil, fmt.Errorf("sign: add the time stamp: %w", err)
			}
		}
	}
	der, err := data.Finish()
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	return der, nil
}
