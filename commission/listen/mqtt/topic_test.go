package mqtt

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// One message may be about several addresses, or about none.
func TestWhichRulesAreAboutATopic(t *testing.T) {
	words := map[signal.State][]string{signal.Active: {"1"}}
	c := Config{Signals: []SignalRule{
		{Topic: "studio/+/zone/+", Address: "{1}-{2}", Rule: payload.Rule{States: words}},
		{Topic: "studio/north/zone/7", Address: "seven", Rule: payload.Rule{States: words}},
		{Topic: "studio/+/zone/7", Address: "any",
			Rule: payload.Rule{States: map[signal.State][]string{signal.Restored: {"1"}}}},
	}}
	for topic, want := range map[string][]told{
		"studio/north/zone/7":   {{"north-7", signal.Active}, {"seven", signal.Active}, {"any", signal.Restored}},
		"studio/south/zone/8":   {{"south-8", signal.Active}},
		"studio/south/zone":     nil,
		"studio/south/zone/8/x": nil,
		"Studio/south/zone/8":   nil,
		"yard/south/zone/8":     nil,
		"studio/south/area/8":   nil,
		"studio//zone/":         {{"-", signal.Active}},
	} {
		assert.Equal(t, want, c.read(topic, []byte("1")), topic)
	}
}

// A payload is shown quoted and cut at 120 bytes.
func TestShortened(t *testing.T) {
	for payload, want := range map[string]string{
		"on":                     `"on"`,
		"\x1b[2J\n":              `"\x1b[2J\n"`,
		"\xff":                   `"\xff"`,
		strings.Repeat("a", 120): `"` + strings.Repeat("a", 120) + `"`,
		strings.Repeat("a", 121): `"` + strings.Repeat("a", 120) + `"…`,
	} {
		assert.Equal(t, want, shortened([]byte(payload)))
	}
}

func TestAbout(t *testing.T) {
	about := New(Config{Broker: &url.URL{Scheme: "tcp", Host: "kiln.example:1883"}, User: "ada", Password: "s3cret"},
		clock.Real{}).About()
	assert.Equal(t, (50 * time.Millisecond).Nanoseconds(), about.UncertaintyNS)
	assert.False(t, about.Simulated)
	assert.False(t, about.ByHand)
	for _, secret := range []string{"kiln.example", "ada", "s3cret"} {
		assert.NotContains(t, string(about.Way)+string(about.TimedBy), secret)
	}
}

// TLS 1.2 at least (RFC 8996 forbids 1.0 and 1.1; from memory), for the broker's own name.
func TestTLSOptions(t *testing.T) {
	tcp, err := New(Config{Broker: &url.URL{Scheme: "tcp", Host: "h:1883"}}, clock.Real{}).options()
	require.NoError(t, err)
	assert.Nil(t, tcp.TLSConfig)
	tls, err := New(Config{Broker: &url.URL{Scheme: "tls", Host: "h.example:8883"}}, clock.Real{}).options()
	require.NoError(t, err)
	assert.Equal(t, "h.example", tls.TLSConfig.ServerName)
	assert.EqualValues(t, 0x0303, tls.TLSConfig.MinVersion)
	assert.False(t, tls.TLSConfig.InsecureSkipVerify)
	assert.Nil(t, tls.TLSConfig.RootCAs, "those of the computer")

	rubbish := filepath.Join(t.TempDir(), "ca.pem")
	require.NoError(t, os.WriteFile(rubbish, []byte("no certificate"), 0o600))
	_, err = New(Config{Broker: &url.URL{Scheme: "tls", Host: "h:8883"}, CAFile: rubbish}, clock.Real{}).options()
	assert.ErrorContains(t, err, "holds no certificate in PEM form")
}
