package web

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The status of an answer says whether an output was switched.
func TestOutputsByRequest(t *testing.T) {
	var came []string
	status, hold := http.StatusOK, make(chan struct{})
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		came = append(came, r.Method+" "+r.URL.Path+" "+r.Header.Get("Content-Type")+" "+string(body)+" "+
			r.Header.Get("Authorization"))
		if r.URL.Path == "/held" {
			<-hold
		}
		w.Header().Set("Location", "/elsewhere")
		w.WriteHeader(status)
	}))
	defer s.Close()
	defer close(hold)
	outputs, err := NewOutputs(SwitchConfig{Login: Login{Token: "kiln"}, Outputs: []OutputRule{
		{Address: "sounder", Method: "POST", OnURL: s.URL + "/sounder", OffURL: s.URL + "/sounder", On: "1", Off: "0",
			ContentType: "text/plain"},
		{Address: "strobe", Method: "PUT", OnURL: s.URL + "/on?key=kiln-secret", OffURL: s.URL + "/off"},
		{Address: "held", Method: "POST", OnURL: s.URL + "/held", OffURL: s.URL + "/held"}}})
	require.NoError(t, err)
	defer outputs.Close()
	sounder, strobe := &site.Output{Name: "Siren", Address: "sounder"}, &site.Output{Name: "Light", Address: "strobe"}
	var is any = outputs
	_, guarded := is.(signal.Guarded)
	assert.False(t, guarded, "nobody switches it off: that is asked about")
	assert.True(t, outputs.CanEnergise(sounder))
	assert.False(t, outputs.CanEnergise(&site.Output{Name: "Bell"}))
	assert.Error(t, outputs.Energise(t.Context(), &site.Output{Name: "Bell", Address: "bell"}, true))
	for _, on := range []bool{true, false} {
		require.NoError(t, outputs.Energise(t.Context(), sounder, on))
		require.NoError(t, outputs.Energise(t.Context(), strobe, on))
	}
	assert.Equal(t, []string{"POST /sounder text/plain 1 Bearer kiln", "PUT /on   Bearer kiln",
		"POST /sounder text/plain 0 Bearer kiln", "PUT /off   Bearer kiln"}, came)
	for _, refused := range []int{302, 401, 404, 408, 500, 501, 502, 504} {
		status, came = refused, nil
		err := outputs.Energise(t.Context(), strobe, true)
		require.ErrorIs(t, err, ErrStatus)
		assert.ErrorContains(t, err, http.StatusText(refused))
		assert.NotContains(t, err.Error(), "kiln")
		assert.Len(t, came, 1, "no redirection is followed")
		var never signal.NotCarriedOutError
		assert.Equal(t, slices.Contains([]int{302, 401, 404, 501}, refused), errors.As(err, &never), "a fault of its own may come after it was done")
	}
	const there = "http://127.0.0.1:1/" // nobody listens
	nobody, err := NewOutputs(SwitchConfig{Outputs: []OutputRule{{Address: "sounder", Method: "POST", OnURL: there, OffURL: there}}})
	require.NoError(t, err)
	reached := nobody.Reach(t.Context())
	require.Len(t, reached, 1)
	assert.Equal(t, "127.0.0.1:1", reached[0].Host)
	require.ErrorContains(t, reached[0].Err, "refused")
	both, err := NewOutputs(SwitchConfig{Outputs: []OutputRule{{Address: "a", OnURL: s.URL, OffURL: "https" + s.URL[4:]}}})
	require.NoError(t, err)
	reached = both.Reach(t.Context())
	require.Len(t, reached, 2, "what answers to http may not to https")
	assert.NoError(t, reached[0].Err)
	assert.Error(t, reached[1].Err)
	came = nil
	reached = outputs.Reach(t.Context())
	require.Len(t, reached, 1, "one host")
	require.NoError(t, reached[0].Err)
	assert.Empty(t, came, "nothing is asked")
	var never signal.NotCarriedOutError
	require.ErrorAs(t, nobody.Energise(t.Context(), sounder, true), &never)
	for name, tc := range unreachable(t) {
		outputs, err := NewOutputs(SwitchConfig{Outputs: []OutputRule{{Address: "sounder", Method: "POST", OnURL: tc.url, OffURL: tc.url}}})
		require.NoError(t, err)
		limited, cancel := context.WithTimeout(t.Context(), tc.within)
		err = outputs.Energise(limited, sounder, true)
		require.ErrorAs(t, err, &never, name)
		assert.ErrorContains(t, err, tc.says, name)
		reached := outputs.Reach(limited)
		cancel()
		require.Len(t, reached, 1)
		assert.Error(t, reached[0].Err, name)
		outputs.Close()
	}
	short, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	assert.ErrorIs(t, outputs.Energise(short, &site.Output{Name: "Held", Address: "held"}, true), context.DeadlineExceeded)
}

type nobodyThere struct {
	url, says string
	within    time.Duration
}

// unreachable are hosts to which no request is ever sent.
func unreachable(t *testing.T) map[string]nobodyThere {
	t.Helper()
	untrusted := httptest.NewTLSServer(http.NotFoundHandler())
	t.Cleanup(untrusted.Close)
	plain := httptest.NewServer(http.NotFoundHandler())
	t.Cleanup(plain.Close)
	mute, err := net.Listen("tcp", "127.0.0.1:0") // takes a connection, and never shakes hands
	require.NoError(t, err)
	t.Cleanup(func() { _ = mute.Close() })
	return map[string]nobodyThere{
		"signed by nobody who is trusted": {untrusted.URL, "signed by nobody who is trusted here", 10 * time.Second},
		"no TLS at all":                   {"https://" + plain.Listener.Addr().String(), "HTTP", 10 * time.Second},
		"silent in the handshake":         {"https://" + mute.Addr().String(), "deadline exceeded", 50 * time.Millisecond},
	}
}
