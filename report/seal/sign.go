package seal

import (
	"crypto/x509"
	"encoding/asn1"
	"fmt"

	"github.com/digitorus/pkcs7"

	"loopwitness/report/cms"
	"loopwitness/report/identity"
)

// Sign is a detached CMS signature over content. stamp may add a time stamp over
// the signature; nil for none.
func Sign(content []byte, id *identity.Identity, stamp func(signature []byte) []byte) ([]byte, error) {
	data, err := pkcs7.NewSignedData(content)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	data.SetDigestAlgorithm(pkcs7.OIDDigestAlgorithmSHA256)
	// The signing certificate first, then those above it.
	certificates := append([]*x509.Certificate{id.Certificate}, id.Issuers...)
	bound := pkcs7.Attribute{Type: cms.SigningCertificateV2, Value: cms.Bind(certificates...)}
	config := pkcs7.SignerInfoConfig{ExtraSignedAttributes: []pkcs7.Attribute{bound}}
	if err := data.AddSignerChain(id.Certificate, id.Signer, id.Issuers, config); err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	data.Detach()
	if stamp != nil {
		inner := data.GetSignedData()
		if token := stamp(inner.SignerInfos[0].EncryptedDigest); token != nil {
			attribute := pkcs7.Attribute{Type: cms.TimeStampToken, Value: asn1.RawValue{FullBytes: token}}
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
