package verify

import (
	"bytes"
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/timestamp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/identity"
	"loopwitness/report/seal"
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

// stampedBy is a time-stamping server of one's own: at what time, and over what.
func stampedBy(t testing.TB, id *identity.Identity, at time.Time,
	over func(asked []byte) (crypto.Hash, []byte)) *httptest.Server {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		query, _ := io.ReadAll(r.Body)
		request, err := timestamp.ParseRequest(query)
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		hash, hashed := crypto.SHA256, request.HashedMessage
		if over != nil {
			hash, hashed = over(hashed)
		}
		stamp := timestamp.Timestamp{HashAlgorithm: hash, HashedMessage: hashed, Time: at,
			Policy: asn1.ObjectIdentifier{1, 2, 3}, SerialNumber: big.NewInt(1),
			Certificates: id.Issuers, AddTSACertificate: true}
		answer, err := stamp.CreateResponseWithOpts(id.Certificate, id.Signer, crypto.SHA256)
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		_, _ = w.Write(answer)
	}))
	t.Cleanup(server.Close)
	return server
}

// extendedUsage is the extension with the usages given.
func extendedUsage(t testing.TB, critical bool, usages ...asn1.ObjectIdentifier) pkix.Extension {
	t.Helper()
	value, err := asn1.Marshal(usages)
	require.NoError(t, err)
	return pkix.Extension{Id: asn1.ObjectIdentifier{2, 5, 29, 37}, Critical: critical, Value: value}
}

var forStamps = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 8} // id-kp-timeStamping, RFC 3161, 2.3

func stamped(t testing.TB, signer *identity.Identity, server *httptest.Server) []byte {
	t.Helper()
	out, err := seal.Seal(context.Background(), makeFrom(t, recorded(t), by(signer)).Contents, signer,
		seal.Stamper{URL: server.URL})
	require.NoError(t, err)
	require.NoError(t, out.NoStamp)
	require.True(t, out.Stamped)
	return out.PDF
}

// A time stamp counts only if it is another's, made for nothing else, and trusted as
// such; else the time is a claim like any other.
func TestWhoseTimeStampCounts(t *testing.T) {
	root := authorityOf(t, "Guild of clocks")
	signer := newIdentity(t, "Bellbird")
	later := time.Now().Add(48 * time.Hour).UTC().Truncate(time.Second)
	authority := func(e pkix.Extension) *identity.Identity {
		return issued(
			t,
			x509.Certificate{Subject: named("Clock"), ExtraExtensions: []pkix.Extension{e},
				NotBefore: time.Now().AddDate(-20, 0, 0), NotAfter: time.Now().AddDate(1, 0, 0)},
			root,
		)
	}
	good := authority(extendedUsage(t, true, forStamps))

	r := Check("c.pdf", stamped(t, signer, stampedBy(t, good, later, nil)), Options{TrustTime: Anchors{root.Certificate}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, later, r.Signature.When().UTC())

	// Trusted to sign is not trusted to stamp.
	r = Check("c.pdf", stamped(t, signer, stampedBy(t, good, later, nil)),
		Options{Trust: Anchors{root.Certificate, signer.Certificate}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.False(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, r.Signature.Claimed, r.Signature.When(), "not the stamp's")

	stranger := issued(t, x509.Certificate{Subject: named("Clock"),
		ExtraExtensions: []pkix.Extension{extendedUsage(t, true, forStamps)}}, authorityOf(t, "Other"))
	for name, test := range map[string]struct {
		by   *identity.Identity
		at   time.Time
		want string
	}{
		"earlier than it was signed": {good, time.Now().AddDate(-9, 0, 0),
			"it is earlier than the signature says that it was made"},
		"by a stranger": {stranger, time.Now(), "no trusted authority issued its certificate"},
	} {
		r := Check("c.pdf", stamped(t, signer, stampedBy(t, test.by, test.at, nil)),
			Options{TrustTime: Anchors{root.Certificate}})
		require.Equal(t, Intact, r.Outcome, "%s: %s", name, texts(r))
		assert.False(t, r.Signature.Stamp.Trusted, name)
		assert.Contains(t, r.Signature.Stamp.Reason, test.want, name)
	}
	for name, e := range map[string]pkix.Extension{
		"for documents, too": extendedUsage(t, true, forStamps, identity.DocumentSigning),
		"not critical":       extendedUsage(t, false, forStamps),
		"for mail":           extendedUsage(t, true, asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 4}),
	} {
		r := Check("c.pdf", stamped(t, signer, stampedBy(t, authority(e), time.Now(), nil)),
			Options{TrustTime: Anchors{root.Certificate}})
		assert.Equal(t, Failed, r.Outcome, name)
		assert.Contains(t, texts(r), "a certificate that is not for time stamps alone", name)
	}

	// The signer's own clock, dressed up.
	own := authority(extendedUsage(t, true, forStamps))
	r = Check("c.pdf", stamped(t, own, stampedBy(t, own, later, nil)), Options{TrustTime: Anchors{root.Certificate}})
	assert.False(t, r.Signature.Stamp.Trusted)
	assert.Contains(t, r.Signature.Stamp.Reason, "whoever signed has made it, too")
}

// A server that stamps something else is found out before anything is sealed with it.
func TestLyingTimeStampingServer(t *testing.T) {
	root := authorityOf(t, "Guild of clocks")
	clock := issued(t,
		x509.Certificate{Subject: named("Clock"), ExtraExtensions: []pkix.Extension{extendedUsage(t, true, forStamps)}},
		root)
	signer := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(signer))
	for name, over := range map[string]func([]byte) (crypto.Hash, []byte){
		"another digest": func([]byte) (crypto.Hash, []byte) {
			sum := sha256.Sum256([]byte("another"))
			return crypto.SHA256, sum[:]
		},
	} {
		out, err := seal.Seal(context.Background(), c.Contents, signer,
			seal.Stamper{URL: stampedBy(t, clock, time.Now(), over).URL})
		require.NoError(t, err, name)
		assert.ErrorContains(t, out.NoStamp, "stamped something else", name)
		assert.False(t, out.Stamped)
	}
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
