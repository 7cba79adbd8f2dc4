package verify

import (
	"bytes"
	"context"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/certificate"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

func stored(t testing.TB, dir, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, content, 0o644))
	return path
}

func ran(t testing.TB, dir, tool string, args ...string) string {
	t.Helper()
	cmd := exec.Command(tool, args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s %v: %s", tool, args, out)
	return string(out)
}

// Poppler, OpenSSL, qpdf and pdfcpu find the sealed file sound.
func TestOutsideCheckersAcceptTheSeal(t *testing.T) {
	pdfsig, openssl, qpdf := outsidetool.Find(t, "pdfsig"), outsidetool.Find(t, "openssl"), outsidetool.Find(t, "qpdf")
	pdfdetach, pdftotext := outsidetool.Find(t, "pdfdetach"), outsidetool.Find(t, "pdftotext")
	id := newIdentity(t, "Žák & Töchter")
	dir := t.TempDir()
	c := makeFrom(t, recorded(t), by(id))
	file := sealed(t, c.Contents, id)
	path := stored(t, dir, "c.pdf", file)

	out := ran(t, dir, pdfsig, path)
	assert.Contains(t, out, "Signature is Valid")
	assert.Contains(t, out, "Total document signed")
	assert.Contains(t, out, "Žák & Töchter")

	at, err := findSignature(file)
	require.NoError(t, err)
	der, err := at.contents(file)
	require.NoError(t, err)
	stored(t, dir, "signature.der", der)
	stored(t, dir, "content", append(bytes.Clone(file[:at.firstEnd]), file[at.secondBegin:]...))
	stored(t, dir, "signer.pem", id.PEM())
	out = ran(t, dir, openssl, "cms", "-verify", "-binary", "-inform", "DER", "-in", "signature.der", "-content",
		"content", "-CAfile", "signer.pem", "-purpose", "any", "-out", os.DevNull)
	assert.Contains(t, out, "CMS Verification successful")

	ran(t, dir, qpdf, "--check", path)
	api.DisableConfigDir()
	assert.NoError(t, api.Validate(bytes.NewReader(file), model.NewDefaultConfiguration()))

	ran(t, dir, pdfdetach, "-saveall", "-o", dir, path)
	journal, err := os.ReadFile(filepath.Join(dir, seal.JournalName))
	require.NoError(t, err)
	assert.Equal(t, recorded(t), journal, "a reader that is not ours saves it byte by byte")

	// Sealing changes nothing on the pages.
	stored(t, dir, "plain.pdf", c.Contents.Pages)
	assert.Equal(t, ran(t, dir, pdftotext, "-layout", "plain.pdf", "-"), ran(t, dir, pdftotext, "-layout", path, "-"))
}

func TestUnsignedFileIsSound(t *testing.T) {
	qpdf := outsidetool.Find(t, "qpdf")
	pdf, err := seal.Unsigned(makeFrom(t, recorded(t), certificate.Sealer{}).Contents)
	require.NoError(t, err)
	dir := t.TempDir()
	ran(t, dir, qpdf, "--check", stored(t, dir, "c.pdf", pdf))
}

// authority is an OpenSSL one that issues certificates.
type authority struct {
	dir, openssl string
	root         *x509.Certificate
}

func newAuthority(t testing.TB) authority {
	t.Helper()
	a := authority{dir: t.TempDir(), openssl: outsidetool.Find(t, "openssl")}
	stored(t, a.dir, "ca.cnf", []byte(`[req]
distinguished_name=dn
prompt=no
x509_extensions=ca
[dn]
CN=Pottery Guild Authority
[ca]
basicConstraints=critical,CA:true
keyUsage=critical,keyCertSign
subjectKeyIdentifier=hash
[doc]
basicConstraints=CA:false
keyUsage=digitalSignature
extendedKeyUsage=1.3.6.1.5.5.7.3.36
[mailless]
basicConstraints=CA:false
extendedKeyUsage=serverAuth
[tsa]
basicConstraints=CA:false
keyUsage=critical,digitalSignature
extendedKeyUsage=critical,timeStamping
[tsa_config]
default_tsa=tsa1
[tsa1]
dir=.
serial=tsaserial
crypto_device=builtin
signer_cert=tsa.pem
certs=ca.pem
signer_key=tsa.key
signer_digest=sha256
default_policy=1.2.3.4.1
digests=sha256
accuracy=secs:1
ess_cert_id_alg=sha256
`))
	ran(t, a.dir, a.openssl, "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", "ca.key", "-out", "ca.pem",
		"-days", "3650", "-config", "ca.cnf")
	pem, err := os.ReadFile(filepath.Join(a.dir, "ca.pem"))
	require.NoError(t, err)
	certs, err := identity.Certificates(pem)
	require.NoError(t, err)
	a.root = certs[0]
	return a
}

// issue makes a certificate for a request, with the extensions of a section.
func (a authority) issue(t testing.TB, request, extensions, to string) []byte {
	t.Helper()
	ran(t, a.dir, a.openssl, "x509", "-req", "-in", request, "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial",
		"-out", to, "-days", "365", "-extfile", "ca.cnf", "-extensions", extensions)
	pem, err := os.ReadFile(filepath.Join(a.dir, to))
	require.NoError(t, err)
	return pem
}

// The whole way of a company: request, certificate of its authority, seal, trust in the
// authority alone.
func TestIssuedByACompanysAuthority(t *testing.T) {
	a := newAuthority(t)
	id := newIdentity(t, "Bellbird Alarm Services")
	request, err := id.Request()
	require.NoError(t, err)
	stored(t, a.dir, "request.pem", request)
	text := ran(t, a.dir, a.openssl, "req", "-in", "request.pem", "-verify", "-noout", "-text")
	assert.Contains(t, text, "1.3.6.1.5.5.7.3.36", "the usage of RFC 9336 is asked for")

	rootPEM, err := os.ReadFile(filepath.Join(a.dir, "ca.pem"))
	require.NoError(t, err)
	adopted, err := id.Adopt(append(rootPEM, a.issue(t, "request.pem", "doc", "doc.pem")...))
	require.NoError(t, err)
	require.Len(t, adopted.Issuers, 1)
	file := sealed(t, makeFrom(t, recorded(t), by(adopted)).Contents, adopted)

	r := Check("c.pdf", file, Options{Trust: Anchors{a.root}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Signature.Trust.Trusted)
	assert.Contains(t, r.Signature.Trust.Reason, "Pottery Guild Authority")

	unnoticed, _ := unnoticedFlips(t, file)
	assert.Zero(t, unnoticed, "the certificates above the signer's are bound, too")

	r = Check("c.pdf", file, Options{Trust: Anchors{newAuthority(t).root}})
	assert.Equal(t, Failed, r.Outcome)
	assert.Contains(t, texts(r), "no trusted authority issued its certificate")

	pdfsig := outsidetool.Find(t, "pdfsig")
	assert.Contains(t, ran(t, a.dir, pdfsig, stored(t, a.dir, "c.pdf", file)), "Signature is Valid")

	// The authority also issues certificates for web servers: those sign no documents.
	_, err = id.Adopt(a.issue(t, "request.pem", "mailless", "server.pem"))
	assert.ErrorIs(t, err, identity.ErrUnfit)
	assert.ErrorContains(t, err, "issued for other purposes than signing documents")
	_, err = newIdentity(t, "other").Adopt(a.issue(t, "request.pem", "doc", "doc2.pem"))
	assert.ErrorContains(t, err, "the certificate belongs to another key")
}

// A company's PKCS#12 with an RSA key, as OpenSSL writes it, and ours as OpenSSL reads it.
func TestPKCS12WithOpenSSL(t *testing.T) {
	a := newAuthority(t)
	ran(t, a.dir, a.openssl, "req", "-new", "-newkey", "rsa:2048", "-nodes", "-keyout", "rsa.key", "-subj",
		"/CN=Ignace", "-out", "rsa.csr")
	a.issue(t, "rsa.csr", "doc", "rsa.pem")
	ran(t, a.dir, a.openssl, "pkcs12", "-export", "-inkey", "rsa.key", "-in", "rsa.pem", "-certfile", "ca.pem",
		"-passout", "pass:Töpfer 窯 7", "-out", "rsa.p12")
	p12, err := os.ReadFile(filepath.Join(a.dir, "rsa.p12"))
	require.NoError(t, err)
	id, err := identity.Read(t.Context(), p12, "Töpfer 窯 7")
	require.NoError(t, err)
	assert.Equal(t, "Ignace", id.Name())
	r := Check("c.pdf", sealed(t, makeFrom(t, recorded(t), by(id)).Contents, id), Options{Trust: Anchors{a.root}})
	assert.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Signature.Trust.Trusted)

	again, err := id.Store("correct horse")
	require.NoError(t, err)
	stored(t, a.dir, "ours.p12", again)
	out := ran(t, a.dir, a.openssl, "pkcs12", "-in", "ours.p12", "-passin", "pass:correct horse", "-nodes", "-info")
	assert.Contains(t, out, "PBKDF2, AES-256-CBC, Iteration 600000")
	assert.Regexp(t, `subject=.*Ignace`, out)
}

// stampingServer is a time-stamping authority of OpenSSL behind HTTP.
func (a authority) stampingServer(t testing.TB) *httptest.Server {
	t.Helper()
	ran(t, a.dir, a.openssl, "req", "-new", "-newkey", "rsa:2048", "-nodes", "-keyout", "tsa.key", "-subj",
		"/CN=Pottery Guild Time Stamps", "-out", "tsa.csr")
	a.issue(t, "tsa.csr", "tsa", "tsa.pem")
	stored(t, a.dir, "tsaserial", []byte("01\n"))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		query, _ := io.ReadAll(r.Body)
		if os.WriteFile(filepath.Join(a.dir, "query"), query, 0o644) != nil {
			return
		}
		cmd := exec.Command(a.openssl, "ts", "-reply", "-config", "ca.cnf", "-section", "tsa1", "-queryfile", "query",
			"-out", "reply")
		cmd.Dir = a.dir
		if out, err := cmd.CombinedOutput(); err != nil {
			http.Error(w, string(out), http.StatusInternalServerError)
			return
		}
		reply, _ := os.ReadFile(filepath.Join(a.dir, "reply"))
		w.Header().Set("Content-Type", "application/timestamp-reply")
		_, _ = w.Write(reply)
	}))
	t.Cleanup(server.Close)
	return server
}

func TestTimeStamp(t *testing.T) {
	a := newAuthority(t)
	server := a.stampingServer(t)
	id := newIdentity(t, "Bellbird Alarm Services")
	c := makeFrom(t, recorded(t), by(id))
	out, err := seal.Seal(context.Background(), c.Contents, id, seal.Stamper{URL: server.URL})
	require.NoError(t, err)

	r := Check("c.pdf", out.PDF, Options{Trust: Anchors{id.Certificate}, TrustTime: Anchors{a.root}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	require.NotNil(t, r.Signature.Stamp)
	assert.True(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, "Pottery Guild Time Stamps", r.Signature.Stamp.Authority)
	assert.WithinDuration(t, time.Now(), r.Signature.Stamp.Time, time.Minute)
	assert.Equal(t, r.Signature.Stamp.Time, r.Signature.When())

	// A stamp by an authority that nobody trusts is a claim like any other.
	r = Check("c.pdf", out.PDF, Options{Trust: Anchors{id.Certificate, a.root}})
	require.Equal(t, Intact, r.Outcome, texts(r))
	assert.False(t, r.Signature.Stamp.Trusted)
	assert.Equal(t, r.Signature.Claimed, r.Signature.When())

	dir := t.TempDir()
	assert.Contains(t, ran(t, dir, outsidetool.Find(t, "pdfsig"), stored(t, dir, "c.pdf", out.PDF)), "Signature is Valid")

	// An authority's signature does not cover all of its token; what it leaves open must
	// change nothing of what is reported.
	unnoticed, harmless := unnoticedFlips(t, out.PDF)
	assert.Equal(t, harmless, unnoticed)

	// OpenSSL verifies the token over the signature.
	at, err := findSignature(out.PDF)
	require.NoError(t, err)
	s, err := checkSignature(out.PDF, at)
	require.NoError(t, err)
	stored(t, a.dir, "token.der", s.token)
	stored(t, a.dir, "value", s.value)
	assert.Contains(t,
		ran(t, a.dir, a.openssl, "ts", "-verify", "-in", "token.der", "-token_in", "-data", "value", "-CAfile", "ca.pem"),
		"Verification: OK")

	// A token for another signature is told.
	_, err = Anchors{}.checkStamp(&signature{signer: s.signer, token: s.token, value: append(s.value, 0)}, time.Now())
	assert.ErrorContains(t, err, "its time stamp is for another signature")
}

// A server that fails or says nothing delays a seal by its limit at most.
func TestSilentTimeStampingServer(t *testing.T) {
	id := newIdentity(t, "x")
	c := makeFrom(t, recorded(t), by(id))
	silent, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer silent.Close()
	failing := httptest.NewServer(http.NotFoundHandler())
	defer failing.Close()
	rubbish := httptest.NewServer(
		http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("rubbish")) }))
	defer rubbish.Close()
	endless := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		for {
			if _, err := w.Write(make([]byte, 4096)); err != nil {
				return
			}
		}
	}))
	defer endless.Close()
	for url, want := range map[string]string{
		"http://" + silent.Addr().String(): "did not answer within 200ms",
		failing.URL:                        "404",
		rubbish.URL:                        "gave none that counts",
		endless.URL:                        "too long",
		"http://127.0.0.1:1":               "refused",
		"no url":                           "unsupported protocol scheme",
	} {
		limit := time.Minute
		if strings.Contains(want, "200ms") {
			limit = 200 * time.Millisecond
		}
		_, err := seal.Seal(context.Background(), c.Contents, id, seal.Stamper{URL: url, Limit: limit})
		assert.ErrorAs(t, err, new(seal.NoStamp), url)
		assert.ErrorContains(t, err, want, url)
	}
}
