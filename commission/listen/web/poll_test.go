package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httptrace"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

func pollConfig() PollConfig {
	return PollConfig{URL: "http://controller.example/status?key=kiln-secret", Every: time.Second, Timeout: time.Second,
		Signals: []PollSignal{{Address: "z1", Rule: rule("/zones/1")}, {Address: "z2", Rule: rule("/zones/2")}},
		System: []Itself{{Aspect: signal.MainsFault, Value: "/mains", Present: []string{"failed"},
			Absent: []string{"good"}}}}
}

// given is what a controller answers once.
type given struct {
	after  time.Duration
	status int // 0 for 200
	body   string
	etag   string
	err    error
	slow   time.Duration // from the first byte to the rest
}

// answering gives its answers one by one, the last for ever.
type answering struct {
	t       *testing.T
	answers []given
	asked   []string // If-None-Match of each question
}

func (a *answering) RoundTrip(r *http.Request) (*http.Response, error) {
	g := a.answers[min(len(a.asked), len(a.answers)-1)]
	a.asked = append(a.asked, r.Header.Get("If-None-Match"))
	select {
	case <-time.After(g.after):
	case <-r.Context().Done():
		return nil, r.Context().Err()
	}
	if g.err != nil {
		return nil, g.err
	}
	httptrace.ContextClientTrace(r.Context()).GotFirstResponseByte()
	if g.status == 0 {
		g.status = http.StatusOK
	}
	return &http.Response{StatusCode: g.status, Header: http.Header{"Etag": {g.etag}},
		Body: io.NopCloser(&slowly{g.slow, strings.NewReader(g.body)})}, nil
}

// slowly is a body that comes some time after the head.
type slowly struct {
	after time.Duration
	from  io.Reader
}

func (s *slowly) Read(p []byte) (int, error) {
	time.Sleep(s.after)
	s.after = 0
	return s.from.Read(p)
}

func states(one, two, mains string) string {
	return fmt.Sprintf(`{"zones":{"1":%q,"2":%q},"mains":%q}`, one, two, mains)
}

// What a controller answers becomes signals where it changes, and the loss of the connection where
// nothing is known for longer than is said.
func TestPolling(t *testing.T) {
	rest, open := states("closed", "closed", "good"), states("open", "closed", "good")
	first := []string{"z1 restored retained", "z2 restored retained", "mains-fault false retained"}
	again := func(one string) []string {
		return []string{
			"up true back again ",
			"z1 " + one + " repeated",
			"z2 restored repeated",
			"mains-fault false repeated",
		}
	}
	refused := errors.New("connection refused")
	for name, tc := range map[string]struct {
		answers []given
		says    []string // after the first
		at      []time.Duration
	}{
		"nothing new": {[]given{{body: rest}}, nil, nil},
		"a change":    {[]given{{body: rest}, {body: open}}, []string{"z1 active"}, []time.Duration{time.Second}},
		"late in the answer": {[]given{{body: rest}, {body: open, after: 400 * time.Millisecond}},
			[]string{"z1 active"}, []time.Duration{1400 * time.Millisecond}},
		"in one go": {[]given{{body: rest}, {body: open, slow: 50 * time.Millisecond}}, []string{"z1 active"},
			[]time.Duration{time.Second}},
		"head first, looked at later": {[]given{{body: rest}, {body: open, slow: 900 * time.Millisecond}},
			[]string{"z1 active"}, []time.Duration{1900 * time.Millisecond}},
		"as long as may be": {[]given{{body: rest}, {body: open + strings.Repeat(" ", mostBytes-len(open))}},
			[]string{"z1 active"}, nil},
		"of itself": {[]given{{body: rest}, {body: states("closed", "closed", "failed")}}, []string{"mains-fault " +
			"true"}, nil},
		"gone again": {[]given{{body: rest}, {body: open}, {body: rest}}, []string{"z1 active", "z1 restored"}, nil},
		"no such place": {[]given{{body: rest}, {body: `{"zones":{"1":"closed"},"mains":"good"}`}},
			[]string{"z2 not understood"}, nil},
		"unchanged": {[]given{{body: rest, etag: `"a"`}, {status: 304}, {body: open}}, []string{"z1 active"}, nil},
		"two failures": {[]given{{body: rest}, {err: refused}, {err: refused}, {body: open}},
			append([]string{"up false broken connection refused"}, again("active")...), nil},
		"many failures": {[]given{{body: rest}, {status: 500}, {status: 500}, {status: 500}, {body: rest}},
			append([]string{"up false broken the controller answers 500 Internal Server Error"}, again("restored")...), nil},
		"one failure, asked again soon": {[]given{{body: rest}, {err: refused}, {body: open, after: 1}},
			[]string{"z1 active"}, []time.Duration{1500*time.Millisecond + 1}},
		"busy once, and nothing new": {[]given{{body: rest, etag: "a"}, {status: 503}, {status: 304, after: 1}}, nil, nil},
		"one failure after a while": {[]given{{body: rest}, {status: 503, after: 900 * time.Millisecond},
			{body: open, after: 200 * time.Millisecond}},
			append([]string{"up false stalled no answer for 2.1s"}, again("active")...), nil},
		"one too late": {[]given{{body: rest}, {after: 5 * time.Second}, {body: open, after: 1}},
			append([]string{"up false stalled no answer for 2s"}, again("active")...), nil},
		"unchanged meanwhile": {[]given{{body: rest, etag: "a"}, {after: 5 * time.Second}, {status: 304, after: 1}},
			append([]string{"up false stalled no answer for 2s"}, again("restored")...), nil},
		"redirected": {[]given{{body: rest}, {status: 302}, {status: 302}, {body: rest}},
			append([]string{"up false broken the controller answers 302 Found"}, again("restored")...), nil},
		"no JSON": {[]given{{body: rest}, {body: "<html>"}, {body: "<html>"}, {body: rest}},
			append([]string{"up false broken the body is no JSON text"}, again("restored")...), nil},
		"too long": {[]given{{body: rest}, {body: strings.Repeat(" ", mostBytes+1)}, {body: "{" + strings.Repeat(" ", mostBytes)},
			{body: rest}}, append([]string{"up false broken " + errLong.Error()}, again("restored")...), nil},
		"unchanged, of nothing": {[]given{{body: rest}, {status: 304}, {status: 304}, {body: rest}},
			append([]string{"up false broken " + errNothing.Error()}, again("restored")...), nil},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				p, err := NewPoll(pollConfig(), clock.Real{})
				require.NoError(t, err)
				from := &answering{t: t, answers: tc.answers}
				p.client = &http.Client{Transport: from}
				p.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
				to, begun := &heard{}, time.Now()
				require.NoError(t, p.Start(t.Context(), to))
				assert.Equal(t, first, to.all())
				to.mu.Lock()
				to.at = nil
				to.mu.Unlock()
				time.Sleep(12500 * time.Millisecond)
				require.NoError(t, p.Close())
				said := to.all()
				for i := range said {
					said[i] = strings.TrimSpace(said[i])
				}
				want := []string(nil)
				for _, line := range tc.says {
					want = append(want, strings.TrimSpace(line))
				}
				assert.Equal(t, want, said)
				for i, at := range tc.at {
					assert.Equal(t, at, to.stamps()[i].Sub(begun))
				}
				if name == "unchanged" {
					assert.Equal(t, []string{"", `"a"`, `"a"`}, from.asked[:3])
				}
			})
		})
	}
}

// What cannot be asked at all is told at once, without what stands behind the host.
func TestPollingThatCannotBegin(t *testing.T) {
	c := pollConfig()
	c.URL = "http://127.0.0.1:1/status?key=kiln-secret"
	p, err := NewPoll(c, clock.Real{})
	require.NoError(t, err)
	err = p.Start(t.Context(), &heard{})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "kiln-secret")
	assert.Equal(t, "127.0.0.1:1", c.Host())
	require.NoError(t, p.Close())
	c.CAFile = "no-such.pem"
	_, err = NewPoll(c, clock.Real{})
	assert.Error(t, err)
}

// A real server is asked with who asks, follows nothing, and is asked for what changed only.
func TestPollsAServer(t *testing.T) {
	var unchanged, changed atomic.Int32
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		user, password, _ := r.BasicAuth()
		switch {
		case r.Method != http.MethodGet || user != "witness" || password != "kiln":
			w.WriteHeader(http.StatusUnauthorized)
		case r.Header.Get("If-None-Match") == `"1"` && changed.Load() == 0:
			unchanged.Add(1)
			w.WriteHeader(http.StatusNotModified)
		default:
			w.Header().Set("ETag", `"1"`)
			_, _ = io.WriteString(w, states(map[int32]string{0: "closed", 1: "open"}[changed.Load()], "closed", "good"))
		}
	}))
	defer s.Close()
	c := pollConfig()
	c.URL, c.Every = s.URL, 10*time.Millisecond
	p, err := NewPoll(c, clock.Real{})
	require.NoError(t, err)
	require.ErrorIs(t, p.Start(t.Context(), &heard{}), ErrStatus)
	c.Login = Login{User: "witness", Password: "kiln"}
	p, err = NewPoll(c, clock.Real{})
	require.NoError(t, err)
	var answers atomic.Int32
	p.Watch(func(a Answer) {
		answers.Add(1)
		assert.NoError(t, a.Failed)
	})
	to := &heard{}
	require.NoError(t, p.Start(t.Context(), to))
	require.Len(t, to.all(), 3)
	require.Eventually(t, func() bool { return unchanged.Load() > 2 }, 10*time.Second, time.Millisecond)
	assert.Empty(t, to.all())
	changed.Store(1)
	require.Eventually(t, func() bool { return len(to.stamps()) > 3 }, 10*time.Second, time.Millisecond)
	require.NoError(t, p.Close())
	assert.Equal(t, []string{"z1 active"}, to.all())
	assert.Positive(t, answers.Load())
}

// Any answer is bounded, and never panics.
func FuzzAnswer(f *testing.F) {
	f.Add([]byte(states("open", "closed", "good")))
	f.Add([]byte(`{"zones":[1,2]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		p, err := NewPoll(pollConfig(), clock.Real{})
		if err != nil {
			t.Fatal(err)
		}
		to := &heard{}
		p.to = to
		p.good(time.Now(), answer{at: time.Now(), body: body})
		if n := len(to.all()); n < 2 || n > 3 {
			t.Fatal(n)
		}
	})
}
