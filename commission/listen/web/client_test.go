package web

import (
	"io"
	"net"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/site"
)

// Whoever says back what it was asked gets no secret onto a screen or into a journal by that.
func TestWhatIsEchoedIsNotShown(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() { _, _ = io.Copy(c, c); _ = c.Close() }()
		}
	}()
	const secret = "kiln-secret"
	c := pollConfig()
	c.URL = "http://" + l.Addr().String() + "/status?key=" + secret
	p, err := NewPoll(c, clock.Real{})
	require.NoError(t, err)
	err = p.Start(t.Context(), &heard{})
	require.ErrorIs(t, err, errNoHTTP)
	assert.NotContains(t, err.Error(), secret)
	require.NoError(t, p.Close())
	outputs, err := NewOutputs(SwitchConfig{Outputs: []OutputRule{{Address: "s", Method: "GET", OnURL: c.URL, OffURL: c.URL}}})
	require.NoError(t, err)
	t.Cleanup(outputs.Close)
	err = outputs.Energise(t.Context(), &site.Output{Address: "s"}, true)
	require.ErrorIs(t, err, errNoHTTP)
	assert.NotContains(t, err.Error(), secret)
	for text, want := range map[string]string{"http://192.168.1.10?key=kiln": "192.168.1.10",
		"https://a.example:8443/x": "a.example:8443", "http://a.example#kiln": "a.example"} {
		assert.Equal(t, want, (&PollConfig{URL: text}).Host())
	}
}
