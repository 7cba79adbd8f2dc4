package mqtt

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net/url"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/testbroker"
)

// selfSigned is a certificate for localhost, and the file that trusts it.
func selfSigned(t *testing.T) (tls.Certificate, string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(1),
		Subject: pkix.Name{CommonName: "broker"}, DNSNames: []string{"localhost"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "ca.pem")
	require.NoError(t, os.WriteFile(path, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o644))
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, path
}

// tlsBroker runs a broker over TLS and tells where, and the file that trusts it.
func tlsBroker(t *testing.T) (*testbroker.Broker, *url.URL, string) {
	t.Helper()
	certificate, ca := selfSigned(t)
	s := testbroker.Run(t, testbroker.Options{TLS: &tls.Config{Certificates: []tls.Certificate{certificate}}})
	u, err := url.Parse("tls://" + s.Address)
	require.NoError(t, err)
	u.Host = "localhost:" + u.Port()
	return s, u, ca
}

// A broker is listened to over TLS only if its certificate is trusted.
func TestTLS(t *testing.T) {
	s, u, ca := tlsBroker(t)
	trusting := New(Config{Broker: u, CAFile: ca, Signals: []SignalRule{zoneRule}}, clock.Real{})
	h := &heard{}
	require.NoError(t, trusting.Start(context.Background(), h))
	t.Cleanup(func() { _ = trusting.Close() })
	require.NoError(t, s.Publish("studio/zone/1/state", []byte(`{"state":"open"}`), false, 1))
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 1 }, 5*time.Second, time.Millisecond)

	stranger := New(Config{Broker: u, Signals: []SignalRule{zoneRule}}, clock.Real{})
	assert.ErrorContains(t, stranger.Start(context.Background(), &heard{}), "certificate")
	missing := New(Config{Broker: u, CAFile: ca + ".none", Signals: []SignalRule{zoneRule}}, clock.Real{})
	assert.ErrorContains(t, missing.Start(context.Background(), &heard{}), "certificate authority")
}
