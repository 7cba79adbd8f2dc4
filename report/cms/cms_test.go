package cms

import (
	"crypto/x509"
	"encoding/asn1"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Only one encoding of a value is taken (X.690, chapter 10, from memory): anything else
// could be altered without another reader's noticing.
func TestStrict(t *testing.T) {
	good, err := asn1.Marshal(CertID{Hash: []byte{1, 2}})
	require.NoError(t, err)
	require.Equal(t, []byte{0x30, 4, 4, 2, 1, 2}, good)
	for name, test := range map[string]struct {
		der  []byte
		want error
	}{
		"as written":              {good, nil},
		"something behind it":     {append(good[:6:6], 0), ErrRead},
		"cut short":               {good[:5], ErrRead},
		"nothing":                 {nil, ErrRead},
		"of another type":         {[]byte{2, 1, 5}, ErrRead},
		"an element that is new":  {[]byte{0x30, 7, 4, 2, 1, 2, 2, 1, 5}, ErrForm},
		"a length in long form":   {[]byte{0x30, 0x81, 4, 4, 2, 1, 2}, ErrRead},
		"a length without an end": {[]byte{0x30, 0x80, 4, 2, 1, 2, 0, 0}, ErrRead},
	} {
		var into CertID
		assert.Equal(t, test.want, Strict(test.der, &into), name)
	}
}

func TestBind(t *testing.T) {
	first, second := &x509.Certificate{Raw: []byte("first")}, &x509.Certificate{Raw: []byte("second")}
	bound := Bind(first, second)
	require.Len(t, bound.Certs, 2)
	assert.True(t, bound.Certs[0].Names(first) && bound.Certs[1].Names(second))
	assert.False(t, bound.Certs[0].Names(second) || bound.Certs[1].Names(first))
}
