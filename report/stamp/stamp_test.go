package stamp_test

import (
	"crypto"
	"crypto/x509"
	"encoding/asn1"
	"math/big"
	"testing"
	"time"

	"github.com/digitorus/pkcs7"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/stamp"
	"loopwitness/report/stamp/authority"
)

var (
	signature = []byte("a signature")
	nonce     = big.NewInt(20261124)
)

func honest() *authority.Authority {
	return authority.New("Guild of clocks", authority.Usage(true, authority.ForStamps))
}

// lies are tokens that no honest authority makes, with what is said of each.
var lies = map[string]struct {
	lie  func(a *authority.Authority)
	want string
}{
	"no certificate": {func(a *authority.Authority) { a.NoCertificate = true },
		"does not carry the certificate that it was made with"},
	"usage not critical": {func(a *authority.Authority) {
		*a = *authority.New("x", authority.Usage(false, authority.ForStamps))
	}, "not for time stamps alone"},
	"another usage besides": {func(a *authority.Authority) {
		*a = *authority.New("x", authority.Usage(true, authority.ForStamps, authority.ForMail))
	}, "not for time stamps alone"},
	"for mail": {func(a *authority.Authority) {
		*a = *authority.New("x", authority.Usage(true, authority.ForMail))
	}, "not for time stamps alone"},
	"a certificate that does not belong": {func(a *authority.Authority) {
		a.Further = []*x509.Certificate{honest().Certificate}
	}, "certificates that do not belong to it"},
	"nine certificates": {func(a *authority.Authority) {
		for range 7 {
			a.Further = append(a.Further, honest().Certificate)
		}
	}, "carries 9 certificates, more than 8"},
	"imprint by SHA-1": {func(a *authority.Authority) { a.Imprint = crypto.SHA1 }, "uses a weak digest"},
	"signed over SHA-1": {func(a *authority.Authority) { a.Digest = pkcs7.OIDDigestAlgorithmSHA1 },
		"uses a weak digest"},
	"another signature":    {func(a *authority.Authority) { a.Over = []byte("another") }, "is for another signature"},
	"names no certificate": {func(a *authority.Authority) { a.NotNamed = true }, "names another certificate"},
	"names another certificate": {func(a *authority.Authority) { a.Names = honest().Certificate },
		"names another certificate"},
	"a signature over something else": {func(a *authority.Authority) {
		a.Kind = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	}, "a signature over something else"},
	"an unknown condition":   {func(a *authority.Authority) { a.Critical = true }, "a condition that this version"},
	"accurate to 11 minutes": {func(a *authority.Authority) { a.Accuracy = 11 * time.Minute }, "is worth nothing"},
	"before its certificate": {func(a *authority.Authority) {
		a.Time = func() time.Time { return a.Certificate.NotBefore.Add(-time.Second) }
	}, "at which its certificate was not valid"},
	"after its certificate": {func(a *authority.Authority) {
		a.Time = func() time.Time { return a.Certificate.NotAfter.Add(time.Second) }
	}, "at which its certificate was not valid"},
}

func TestASoundToken(t *testing.T) {
	for name, change := range map[string]func(*authority.Authority){
		"plain":            func(*authority.Authority) {},
		"by SHA-384":       func(a *authority.Authority) { a.Imprint = crypto.SHA384 },
		"as bad as may be": func(a *authority.Authority) { a.Accuracy = 10*time.Minute + 999*time.Millisecond },
	} {
		a := honest()
		at := time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)
		a.Time = func() time.Time { return at }
		change(a)
		der, err := a.Token(signature, nonce)
		require.NoError(t, err)
		token, err := stamp.Check(der, signature)
		require.NoError(t, err, name)
		assert.Equal(t, at, token.Time)
		assert.Equal(t, a.Accuracy, token.Accuracy)
		assert.Equal(t, "1.2.3", token.Policy)
		assert.True(t, token.Signer.Equal(a.Certificate))
		assert.NoError(t, token.Answers(nonce))
	}
}

func TestLies(t *testing.T) {
	for name, test := range lies {
		a := honest()
		test.lie(a)
		der, err := a.Token(signature, nonce)
		require.NoError(t, err, name)
		_, err = stamp.Check(der, signature)
		assert.ErrorContains(t, err, test.want, name)
	}
}

func TestWhatIsNoToken(t *testing.T) {
	der, err := honest().Token(signature, nonce)
	require.NoError(t, err)
	for name, bad := range map[string][]byte{"nothing": nil, "rubbish": []byte("rubbish"),
		"more behind it": append(der[:len(der):len(der)], 5, 0), "too long": make([]byte, stamp.MaxToken+1)} {
		_, err := stamp.Check(bad, signature)
		assert.Error(t, err, name)
	}
}

// Every bit of a token is its signature's, or changes nothing of what is told.
func TestFlippedBits(t *testing.T) {
	der, err := honest().Token(signature, nonce)
	require.NoError(t, err)
	sound, err := stamp.Check(der, signature)
	require.NoError(t, err)
	for n := range 8 * len(der) {
		der[n/8] ^= 1 << (n % 8)
		if token, err := stamp.Check(der, signature); err == nil {
			require.Equal(t, told(sound), told(token), "bit %d", n)
		}
		der[n/8] ^= 1 << (n % 8)
	}
}

// told is what counts of a token; how its certificates are packed does not.
func told(t *stamp.Token) []any {
	return []any{t.Time, t.Accuracy, t.Policy, t.Signer.RawTBSCertificate, t.Answers(nonce)}
}

func TestNonceIsCompared(t *testing.T) {
	for name, lie := range map[string]func(*big.Int) *big.Int{
		"none":    func(*big.Int) *big.Int { return nil },
		"another": func(n *big.Int) *big.Int { return new(big.Int).Add(n, big.NewInt(1)) },
	} {
		a := honest()
		a.Nonce = lie
		der, err := a.Token(signature, nonce)
		require.NoError(t, err)
		token, err := stamp.Check(der, signature)
		require.NoError(t, err, name)
		assert.ErrorContains(t, token.Answers(nonce), "answers another question", name)
	}
}

func TestTimesThatCannotBe(t *testing.T) {
	now := time.Date(2026, 11, 24, 13, 0, 0, 0, time.UTC)
	for name, test := range map[string]struct {
		at       time.Duration // from now
		accuracy time.Duration
		want     string
	}{
		"now":                          {0, 0, ""},
		"clocks as far as they may be": {stamp.ClocksApart, 0, ""},
		"behind as far as it may be":   {-stamp.ClocksApart, 0, ""},
		"from the future":              {stamp.ClocksApart + time.Second, 0, "from the future"},
		"in three years":               {26280 * time.Hour, 0, "from the future"},
		"earlier":                      {-stamp.ClocksApart - time.Second, 0, "earlier than what it confirms"},
		"its accuracy allows it":       {stamp.ClocksApart + time.Second, time.Second, ""},
		"its accuracy allows it, too":  {-stamp.ClocksApart - time.Second, time.Second, ""},
	} {
		token := stamp.Token{Time: now.Add(test.at), Accuracy: test.accuracy}
		err := token.Sane(now, now)
		if test.want == "" {
			assert.NoError(t, err, name)
		} else {
			assert.ErrorContains(t, err, test.want, name)
		}
	}
	token := stamp.Token{Time: now}
	assert.NoError(t, token.Sane(time.Time{}, time.Time{}), "nothing to hold it against")
}
