package phone

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/x509"
	"net"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A certificate that was kept serves for as long as it is of use, so that a phone that was
// told to trust it is not asked again.
func TestCertificates(t *testing.T) {
	now := time.Date(2026, 11, 26, 10, 0, 0, 0, time.UTC)
	at := netip.MustParseAddr("192.168.178.123")
	c, fresh, err := Certificate(nil, at, now)
	require.NoError(t, err)
	require.NotNil(t, fresh)
	assert.Equal(t, elliptic.P256(), c.PrivateKey.(*ecdsa.PrivateKey).Curve)
	assert.NoError(t, c.Leaf.VerifyHostname("192.168.178.123"))
	assert.Less(t, c.Leaf.NotAfter.Sub(c.Leaf.NotBefore), 398*24*time.Hour, "what browsers take: from memory")
	assert.False(t, c.Leaf.IsCA)
	roots := x509.NewCertPool()
	roots.AddCert(c.Leaf)
	_, err = c.Leaf.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: now.Add(-time.Hour), DNSName: "192.168.178.123"})
	assert.NoError(t, err)

	for name, tc := range map[string]struct {
		kept []byte
		at   string
		now  time.Time
		same bool
	}{
		"the next day":      {fresh, "192.168.178.123", now.Add(24 * time.Hour), true},
		"in another house":  {fresh, "192.168.1.7", now, false},
		"about to be over":  {fresh, "192.168.178.123", c.Leaf.NotAfter.Add(-time.Hour), false},
		"before it was":     {fresh, "192.168.178.123", now.Add(-48 * time.Hour), false},
		"spoilt":            {fresh[:len(fresh)-90], "192.168.178.123", now, false},
		"nothing of a file": {[]byte("x"), "fd00::1", now, false},
	} {
		again, kept, err := Certificate(tc.kept, netip.MustParseAddr(tc.at), tc.now)
		require.NoError(t, err, name)
		assert.Equal(t, tc.same, kept == nil, name)
		assert.Equal(t, tc.same, Fingerprint(again) == Fingerprint(c), name)
		assert.NoError(t, again.Leaf.VerifyHostname(tc.at), name)
	}
	groups := strings.Split(Fingerprint(c), " ")
	assert.Len(t, groups, 16)
}

// Addresses that a phone can be told, and those that are none.
func TestAddresses(t *testing.T) {
	for text, want := range map[string]string{
		"192.168.1.5": "192.168.1.5:0", "192.168.1.5:8443": "192.168.1.5:8443", "fd00::7": "[fd00::7]:0",
		"[fd00::7]": "[fd00::7]:0", "[fd00::7]:443": "[fd00::7]:443", "127.0.0.1": "127.0.0.1:0",
		"169.254.3.4": "169.254.3.4:0",
		"0.0.0.0":     "", "[::]:8443": "", "224.0.0.1": "", "fe80::1%eth0": "", "": "", "kitchen": "", "192.168.1.5:": "",
		"192.168.1.5:70000": "", "192.168.1": "", "192.168.1.5/24": "",
	} {
		at, err := ParseAddress(text)
		if want == "" {
			assert.Error(t, err, text)
			continue
		}
		require.NoError(t, err, text)
		assert.Equal(t, want, at.String())
	}
}

// Of an interface the address is told that leads through a network, IPv4 first.
func TestTheBestAddress(t *testing.T) {
	for _, tc := range []struct {
		of   []string
		want string
	}{
		{[]string{"fe80::1/64", "fd00::7/64", "192.168.1.5/24"}, "192.168.1.5"},
		{[]string{"192.168.1.5/24", "10.0.0.1/8"}, "192.168.1.5"},
		{[]string{"fe80::1/64", "fd00::7/64"}, "fd00::7"},
		{[]string{"fe80::1/64", "169.254.1.1/16"}, ""},
		{[]string{"127.0.0.1/8"}, ""},
		{nil, ""},
	} {
		var addresses []net.Addr
		for _, text := range tc.of {
			ip, network, err := net.ParseCIDR(text)
			require.NoError(t, err)
			addresses = append(addresses, &net.IPNet{IP: ip, Mask: network.Mask})
		}
		got, has := best(addresses)
		assert.Equal(t, tc.want != "", has, tc.of)
		if has {
			assert.Equal(t, tc.want, got.String())
		}
	}
}

// A port that is taken is not waited for: where none was named, any does.
func TestListen(t *testing.T) {
	at := netip.MustParseAddrPort("127.0.0.1:0")
	first, err := Listen(at, true)
	require.NoError(t, err)
	defer first.Close()
	second, err := Listen(at, true)
	require.NoError(t, err)
	defer second.Close()
	assert.NotEqual(t, first.Addr().String(), second.Addr().String())
	_, err = Listen(netip.MustParseAddrPort(first.Addr().String()), true)
	assert.Error(t, err, "the one that was named, or none")
}

// A browser names the port unless it is the scheme's own (RFC 9110, 4.2: from memory).
func TestHosts(t *testing.T) {
	for address, want := range map[string][]string{
		"192.0.2.1:8443": {"192.0.2.1:8443"}, "192.0.2.1:443": {"192.0.2.1:443", "192.0.2.1"},
		"192.0.2.1:80": {"192.0.2.1:80"}, "[fd00::7]:443": {"[fd00::7]:443", "[fd00::7]"},
	} {
		assert.Equal(t, want, HostsOf(net.TCPAddrFromAddrPort(netip.MustParseAddrPort(address)), true))
	}
	assert.Len(t, HostsOf(net.TCPAddrFromAddrPort(netip.MustParseAddrPort("192.0.2.1:80")), false), 2)
}

// An address that is taken is one of a computer's own, and reads back as itself.
func FuzzAddresses(f *testing.F) {
	for _, text := range []string{"192.168.1.5", "[fd00::7]:443", "0.0.0.0:1", "x"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		at, err := ParseAddress(text)
		if err != nil {
			return
		}
		assert.False(t, at.Addr().IsUnspecified() || at.Addr().IsMulticast() || at.Addr().Zone() != "")
		again, err := ParseAddress(at.String())
		require.NoError(t, err)
		assert.Equal(t, at, again)
	})
}
