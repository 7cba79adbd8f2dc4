package verify

import (
	"bytes"
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/hex"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/pkcs7"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/stamp"
	clocks "loopwitness/report/stamp/authority"
	"loopwitness/report/verify/tampered"
)

// issued makes a certificate with a key of its own, signed by an issuer, or by itself
// without one.
func issued(t testing.TB, template x509.Certificate, issuer *identity.Identity) *identity.Identity {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template.SerialNumber = big.NewInt(time.Now().UnixNano())
	if template.NotBefore.IsZero() {
		template.NotBefore, template.NotAfter = time.Now().Add(-time.Hour), time.Now().AddDate(1, 0, 0)
	}
	template.BasicConstraintsValid = true
	parent, signer := &template, crypto.Signer(key)
	if issuer != nil {
		parent, signer = issuer.Certificate, issuer.Signer
	}
	der, err := x509.CreateCertificate(rand.Reader, &template, parent, key.Public(), signer)
	require.NoError(t, err)
	c, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	return &identity.Identity{Signer: key, Certificate: c}
}

func named(name string) pkix.Name { return pkix.Name{CommonName: name} }

func authorityOf(t testing.TB, name string, usage ...x509.ExtKeyUsage) *identity.Identity {
	t.Helper()
	return issued(t,
		x509.Certificate{Subject: named(name), IsCA: true, KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: usage}, nil)
}

func potteryBy(t testing.TB, id *identity.Identity) []byte {
	t.Helper()
	return sealed(t, makeFrom(t, recorded(t), by(id)).Contents, id)
}

// Trust in an authority is not trust in all that it issues.
func TestWhatATrustedAuthorityMayIssue(t *testing.T) {
	root := authorityOf(t, "Guild")
	documents := []asn1.ObjectIdentifier{identity.DocumentSigning}
	mail := []x509.ExtKeyUsage{x509.ExtKeyUsageEmailProtection}
	servers := []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	between := issued(t, x509.Certificate{Subject: named("Web branch"), IsCA: true,
		KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: servers}, root)
	for name, test := range map[string]struct {
		template x509.Certificate
		issuer   *identity.Identity
		want     string
	}{
		"for documents": {x509.Certificate{UnknownExtKeyUsage: documents}, root, ""},
		"for mail":      {x509.Certificate{ExtKeyUsage: mail}, root, ""},
		"for anything":  {x509.Certificate{}, root, ""},
		"for web servers": {x509.Certificate{ExtKeyUsage: servers}, root,
			"issued for other purposes than signing documents"},
		"for encryption": {x509.Certificate{KeyUsage: x509.KeyUsageKeyEncipherment}, root,
			"not for digital signatures"},
		"by a branch for webs": {x509.Certificate{UnknownExtKeyUsage: documents}, between,
			"its authority issues certificates for other purposes only"},
		"by nobody that counts": {x509.Certificate{}, nil, "no trusted authority issued its certificate"},
	} {
		t.Run(name, func(t *testing.T) {
			test.template.Subject = named("Bellbird")
			id := issued(t, test.template, test.issuer)
			if test.issuer == between {
				id.Issuers = []*x509.Certificate{between.Certificate}
			}
			r := Check("c.pdf", potteryBy(t, id), Options{Trust: Anchors{root.Certificate}})
			if test.want == "" {
				assert.Equal(t, Intact, r.Outcome, texts(r))
				assert.Contains(t, r.Signature.Trust.Reason, "whether it was withdrawn is not asked")
				assert.Contains(t, r.Signature.Issuer, "Guild")
				return
			}
			assert.Equal(t, Failed, r.Outcome)
			assert.False(t, r.Signature.Trust.Trusted)
			assert.Contains(t, texts(r), test.want)
		})
	}
}

// A key outlives its certificate; what it signs then counts no more.
func TestSignedWithAnExpiredCertificate(t *testing.T) {
	id := issued(
		t,
		x509.Certificate{Subject: named("x"), NotBefore: time.Now().AddDate(-2, 0, 0),
			NotAfter: time.Now().AddDate(-1, 0, 0)},
		nil,
	)
	r := Check("c.pdf", potteryBy(t, id), Options{Trust: Anchors{id.Certificate}})
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(t, texts(r), "its certificate was valid from")

	root := issued(
		t,
		x509.Certificate{Subject: named("Guild"), IsCA: true, KeyUsage: x509.KeyUsageCertSign,
			NotBefore: time.Now().AddDate(-2, 0, 0), NotAfter: time.Now().AddDate(-1, 0, 0)},
		nil,
	)
	r = Check("c.pdf", potteryBy(t, issued(t, x509.Certificate{Subject: named("x")}, root)),
		Options{Trust: Anchors{root.Certificate}})
	assert.Contains(t, texts(r), "its certificate, or that of its authority, was not valid at that time")
}

// stampingAt is an authority that stamps with one time.
func stampingAt(at time.Time) *clocks.Authority {
	a := clocks.New("Guild of clocks", clocks.Usage(true, clocks.ForStamps))
	a.Time = func() time.Time { return at }
	return a
}

// stamped is a file with the token of an authority, whatever it is worth, and a promise of it.
func stamped(t testing.TB, signer *identity.Identity, a *clocks.Authority) []byte {
	t.Helper()
	contents, err := journal.Read(bytes.NewReader(recorded(t)))
	require.NoError(t, err)
	c, err := evidence.Make(contents, noPhotographs, evidence.Making{Revision: 1, Tool: "loopwitness test", Made: made,
		SealedBy: by(signer), TimeStamped: true})
	require.NoError(t, err)
	const room = 12 << 10
	pdf, err := seal.Template(c.Contents, room, signer.Name())
	require.NoError(t, err)
	at, err := findSignature(pdf)
	require.NoError(t, err)
	content := append(bytes.Clone(pdf[:at.firstEnd]), pdf[at.secondBegin:]...)
	der, err := seal.Sign(content, signer, func(signature []byte) []byte {
		token, err := a.Token(signature, nil)
		require.NoError(t, err)
		return token
	})
	require.NoError(t, err)
	hex.Encode(pdf[at.firstEnd+1:], der)
	return pdf
}

// A time stamp counts only if it is another's, trusted as such, and tells a time that can
// be; else the time is a claim like any other.
func TestWhoseTimeStampCounts(t *testing.T) {
	signer := newIdentity(t, "Bellbird")
	later := time.Now().Add(5 * time.Minute).UTC().Truncate(time.Second)
	good := stampingAt(later)
	file := stamped(t, signer, good)
	r := Check("c.pdf", file, Options{TrustTime: Anchors{good.Root}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, "1.2.3", r.Signature.Stamp.Policy)
	assert.Equal(t, later, r.Signature.When().UTC())

	// Trusted to sign is not trusted to stamp.
	r = Check("c.pdf", file, Options{Trust: Anchors{good.Root, signer.Certificate}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.False(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, r.Signature.Claimed, r.Signature.When(), "not the stamp's")

	// The signer's own clock, dressed up.
	own := &identity.Identity{Signer: good.Key, Certificate: good.Certificate}
	for name, test := range map[string]struct {
		file []byte
		want string
	}{
		"earlier than it was signed": {stamped(t, signer, stampingAt(time.Now().AddDate(-9, 0, 0))),
			"it is earlier than what it confirms"},
		"by a stranger":        {stamped(t, signer, stampingAt(time.Now())), "no trusted authority issued its certificate"},
		"by the signer's key":  {stamped(t, own, good), "whoever signed has made it, too"},
		"a file without stamp": {potterySealed(t, signer), "no time stamp confirms when it was signed"},
	} {
		r := Check("c.pdf", test.file, Options{TrustTime: Anchors{good.Root}})
		assert.Equal(t, Failed, r.Outcome, name)
		assert.True(t, r.has(Untimed) && len(r.Problems) == 1, "%s: %s", name, texts(r))
		assert.Contains(t, texts(r), strings.TrimPrefix(test.want, "it is "), name)
		r = Check("c.pdf", test.file, Options{})
		assert.Equal(t, Intact, r.Outcome, "nobody asked for a time: %s", texts(r))
	}
}

// A stamp of a time that has not come confirms nothing, and is told unasked.
func TestTimeStampFromTheFuture(t *testing.T) {
	a := stampingAt(time.Now().AddDate(3, 0, 0))
	file := stamped(t, newIdentity(t, "x"), a)
	r := Check("c.pdf", file, Options{})
	assert.Equal(t, Intact, r.Outcome, texts(r))
	assert.Contains(t, strings.Join(r.Notes, "\n"), "its time stamp is from the future")
	r = Check("c.pdf", file, Options{TrustTime: Anchors{a.Root}})
	assert.Equal(t, Failed, r.Outcome)
	assert.False(t, r.Signature.Stamp.Trusted)
	r = Check("c.pdf", file, Options{TrustTime: Anchors{a.Root}, Now: time.Now().AddDate(3, 0, 0)})
	assert.Equal(t, Intact, r.Outcome, "by the clock that was given it has come")
}

// The token lies outside of what was signed, so that anybody can take it away.
func TestStrippedTimeStampIsNoticed(t *testing.T) {
	id := newIdentity(t, "x")
	file := stamped(t, id, stampingAt(time.Now()))
	at, err := findSignature(file)
	require.NoError(t, err)
	s, err := checkSignature(file, at)
	require.NoError(t, err)
	require.NotEmpty(t, s.token)
	stripped := tampered.WithoutStamp(file)
	require.False(t, bytes.Equal(file, stripped))
	s, err = checkSignature(stripped, at)
	require.NoError(t, err, "the signature itself is as sound as before")
	require.Empty(t, s.token)
	r := Check("c.pdf", stripped, Options{})
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(t, texts(r), "a time stamp was promised and is missing")
}

// What whoever verifies would refuse is never sealed: both ask the same check.
func TestLyingTimeStampingServer(t *testing.T) {
	signer := newIdentity(t, "x")
	contents := makeFrom(t, recorded(t), by(signer)).Contents
	plain := func(lie func(*clocks.Authority)) *clocks.Authority {
		a := stampingAt(time.Now())
		lie(a)
		return a
	}
	for name, test := range map[string]struct {
		lie     *clocks.Authority
		want    string
		differs bool // verify calls it so; else the token is sound and the answer is not
	}{
		"no certificate": {plain(func(a *clocks.Authority) { a.NoCertificate = true }), "does not carry", true},
		"no critical usage": {clocks.New("x", clocks.Usage(false, clocks.ForStamps)),
			"not for time stamps alone", true},
		"further certificates": {plain(func(a *clocks.Authority) {
			a.Further = []*x509.Certificate{stampingAt(time.Now()).Certificate}
		}), "do not belong to it", true},
		"by SHA-1": {plain(func(a *clocks.Authority) { a.Imprint = crypto.SHA1 }), "weak digest", true},
		"over SHA-1": {plain(func(a *clocks.Authority) { a.Digest = pkcs7.OIDDigestAlgorithmSHA1 }),
			"weak digest", true},
		"something else": {plain(func(a *clocks.Authority) { a.Over = []byte("x") }), "another signature", true},
		"not named":      {plain(func(a *clocks.Authority) { a.NotNamed = true }), "names another certificate", true},
		"an older answer": {plain(func(a *clocks.Authority) {
			a.Nonce = func(*big.Int) *big.Int { return big.NewInt(1) }
		}), "nonce", false},
		"no nonce": {plain(func(a *clocks.Authority) {
			a.Nonce = func(*big.Int) *big.Int { return nil }
		}), "nonce", false},
		"from 2029":        {stampingAt(time.Now().AddDate(3, 0, 0)), "from the future", false},
		"before the visit": {stampingAt(time.Now().AddDate(-3, 0, 0)), "earlier than what it confirms", false},
	} {
		server := test.lie.Server()
		_, err := seal.Seal(context.Background(), contents, signer, seal.Stamper{URL: server.URL})
		server.Close()
		assert.ErrorAs(t, err, new(seal.NoStamp), name)
		assert.ErrorContains(t, err, test.want, name)
		if test.differs {
			r := Check("c.pdf", stamped(t, signer, test.lie), Options{})
			assert.Equal(t, Failed, r.Outcome, name)
			assert.Contains(t, texts(r), test.want, name)
		}
	}
	a := stampingAt(time.Now())
	server := a.Server()
	defer server.Close()
	sealed, err := seal.Seal(context.Background(), contents, signer, seal.Stamper{URL: server.URL})
	require.NoError(t, err)
	assert.True(t, sealed.Stamped)
	assert.Equal(t, Intact, Check("c.pdf", sealed.PDF, Options{TrustTime: Anchors{a.Root}}).Outcome)

	// The end of the visit is later than the clocks.
	_, err = seal.Seal(context.Background(), contents, signer,
		seal.Stamper{URL: server.URL, After: time.Now().Add(time.Hour)})
	assert.ErrorContains(t, err, "earlier than what it confirms")
}

// A seal that is broken off while the server is asked is none.
func TestSealBrokenOff(t *testing.T) {
	silent := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		_, _ = io.Copy(io.Discard, r.Body) // else the server does not see that the client has gone
		<-r.Context().Done()
	}))
	defer silent.Close()
	id := newIdentity(t, "x")
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(50*time.Millisecond, cancel)
	_, err := seal.Seal(ctx, makeFrom(t, recorded(t), by(id)).Contents, id, seal.Stamper{URL: silent.URL})
	assert.ErrorIs(t, err, context.Canceled)
}

// What the structure of the file says of its signature has to agree with its bytes.
func TestStructureOfTheSignature(t *testing.T) {
	id := newIdentity(t, "x")
	file := potterySealed(t, id)
	r := Check("c.pdf", append(bytes.Clone(file), "/ByteRange [0 1 2 3]"...), Options{})
	assert.Contains(t, texts(r), "it has more than one signature")
	r = Check("c.pdf", []byte(strings.Replace(string(file), "/ByteRange [0 ", "/ByteRange [x ", 1)), Options{})
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(t, texts(r), "the range that its signature covers cannot be read")
}

// Readers may take any certificate of a signature for the signer's: only those that
// issued one another are carried, the signer's first.
func TestNoOtherCertificateIsCarried(t *testing.T) {
	id := newIdentity(t, "Mallory")
	der, err := x509.CreateCertificate(
		rand.Reader,
		&x509.Certificate{SerialNumber: id.Certificate.SerialNumber, Subject: named("National Approval Board"),
			NotBefore: time.Now().
				Add(-time.Hour),
			NotAfter: time.Now().AddDate(1, 0, 0)},
		id.Certificate,
		id.Signer.Public(),
		id.Signer,
	)
	require.NoError(t, err)
	twin, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	assert.True(t, issuedOneAnother([]*x509.Certificate{id.Certificate}))
	assert.False(t, issuedOneAnother([]*x509.Certificate{id.Certificate, twin}))
	root := authorityOf(t, "Guild")
	leaf := issued(t, x509.Certificate{Subject: named("x")}, root)
	assert.True(t, issuedOneAnother([]*x509.Certificate{leaf.Certificate, root.Certificate}))
	assert.False(t, issuedOneAnother([]*x509.Certificate{root.Certificate, leaf.Certificate}))
	assert.False(t, issuedOneAnother([]*x509.Certificate{root.Certificate, root.Certificate}), "none twice")
}

// A stamp that is earlier than the record ends confirms nothing of it, unless the visit was in
// simulated time.
func TestTimeStampBeforeTheVisitEnded(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/journals/satisfactory.jsonl")
	require.NoError(t, err)
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	a, err := evidence.Judge(contents)
	require.NoError(t, err)
	ended := a.Record().Latest()
	for name, test := range map[string]struct {
		before    time.Duration
		simulated bool
		trusted   bool
	}{
		"as late as may be":       {stamp.ClocksApart, false, true},
		"earlier":                 {stamp.ClocksApart + time.Second, false, false},
		"earlier, and a practice": {stamp.ClocksApart + time.Second, true, true},
	} {
		r := &Report{Assessment: a, Simulated: test.simulated, Signature: &Signer{Claimed: ended,
			Stamp: &Stamp{Time: ended.Add(-test.before), Trusted: true}}}
		r.noteTimes(evidence.Statement{Made: ended})
		assert.Equal(t, test.trusted, r.Signature.Stamp.Trusted, name)
		assert.Equal(t, !test.trusted, strings.Contains(r.Signature.Stamp.Reason, "earlier than the end of the record"), name)
	}
}
