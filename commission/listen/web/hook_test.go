package web

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

const (
	aSecret = "kiln-secret-in-a-path"
	aToken  = "kiln-token-in-a-header"
)

func rule(value string) payload.Rule {
	return payload.Rule{Value: value, States: map[signal.State][]string{signal.Active: {"open", "1", "true"},
		signal.Restored: {"closed", "0"}, signal.Tamper: {"cover"}}}
}

func hookConfig() HookConfig {
	return HookConfig{Secret: aSecret, Token: aToken, RepeatsWithin: 2 * time.Second,
		Signals: []HookSignal{{Path: "/plain/+", Address: "z{1}", Rule: rule("")},
			{Path: "/json/+", Address: "z{1}", Rule: rule("/state")},
			{Path: "/events", Address: "/zone", Rule: rule("/state")}},
		System: []HookSystem{{Path: "/power", Itself: Itself{Aspect: signal.MainsFault, Value: "/mains",
			Present: []string{"failed"}, Absent: []string{"good"}}}},
		Presence: &HookPresence{Path: "/controller", Here: "up", Away: "down"}}
}

// heard is a receiver that keeps what it is given, and keeps it durable as it is told.
type heard struct {
	mu    sync.Mutex
	lines []string
	at    []time.Time
	took  time.Duration               // the last signal to come
	lost  bool                        // the next Kept tells that something was lost
	wait  func(context.Context) error // nil for durable at once
}

func (h *heard) note(at time.Time, line string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.lines, h.at = append(h.lines, strings.TrimSpace(line)), append(h.at, at)
}

func (h *heard) Signal(s signal.Signal) {
	h.mu.Lock()
	h.took = time.Duration(s.TookNS)
	h.mu.Unlock()
	h.note(s.At, fmt.Sprint(s.Address, " ", s.State, " ", s.Kept))
}

func (h *heard) System(s signal.System) {
	h.note(s.At, fmt.Sprint(s.Aspect, " ", s.Present, " ", s.Kept))
}

func (h *heard) Connection(c signal.Connection) {
	h.note(time.Time{}, fmt.Sprint("up ", c.Up, " ", c.Why, " ", c.Detail))
}

func (h *heard) Kept() (func(context.Context) error, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.lost {
		h.lost = false
		return nil, signal.ErrNotKept
	}
	if h.wait == nil {
		return func(context.Context) error { return nil }, nil
	}
	return h.wait, nil
}

// all are what it was given, since it was asked before.
func (h *heard) all() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	lines := h.lines
	h.lines = nil
	return lines
}

func (h *heard) stamps() []time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.at
}

// serving is a hook on a port of this computer.
func serving(t testing.TB, c HookConfig) (*Hook, *heard, string) {
	t.Helper()
	c.At = "127.0.0.1:0"
	h, to := NewHook(c, clock.Real{}), &heard{}
	require.NoError(t, h.Start(t.Context(), to))
	t.Cleanup(func() { _ = h.Close() })
	return h, to, "http://" + h.Addr().String()
}

// post calls with the right token unless headers say otherwise; "" removes one. Who sends far too much may
// be cut off before the answer is read, which counts as being told.
func post(
	t testing.TB,
	c *http.Client,
	address, contentType, body string,
	headers ...string,
) (int, string, http.Header) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+aToken)
	if contentType != "" {
		r.Header.Set("Content-Type", contentType)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		switch headers[i] {
		case "Host":
			r.Host = headers[i+1]
		case "method":
			r.Method = headers[i+1]
		case "chunked":
			r.ContentLength = -1
		default:
			r.Header.Set(headers[i], headers[i+1])
		}
	}
	answer, err := c.Do(r)
	if len(body) > mostBytes && err != nil {
		return http.StatusRequestEntityTooLarge, "cut off\n", http.Header{"Content-Type": {"text/plain; charset=utf-8"}}
	}
	require.NoError(t, err)
	defer func() { _ = answer.Body.Close() }()
	line, err := io.ReadAll(answer.Body)
	require.True(t, err == nil || len(body) > mostBytes || answer.StatusCode == 431, err)
	return answer.StatusCode, string(line), answer.Header
}

// Each kind of body says the same by the same rules.
func TestWhatBodiesSay(t *testing.T) {
	h, to, at := serving(t, hookConfig())
	const jsonType, form = "application/json", "application/x-www-form-urlencoded"
	for name, tc := range map[string]struct {
		path, contentType, body string
		says                    []string
	}{
		"plain":             {"/plain/01", "", "open", []string{"z01 active"}},
		"plain, said":       {"/plain/01", "text/plain; charset=utf-8", " closed\r\n", []string{"z01 restored"}},
		"JSON":              {"/json/02", jsonType, `{"state":"open"}`, []string{"z02 active"}},
		"JSON, a number":    {"/json/02", "application/vnd.studio+json", `{"state":0}`, []string{"z02 restored"}},
		"JSON, not said":    {"/json/03", "", `{"state":true}`, []string{"z03 active"}},
		"a form":            {"/json/04", form, "state=cover&zone=9", []string{"z04 tamper"}},
		"JSON, as a form":   {"/json/12", form, ` {"state":"open"}`, []string{"z12 active"}},
		"a form's address":  {"/events", form, "state=closed&zone=z05", []string{"z05 restored"}},
		"an address inside": {"/events", jsonType, `{"zone":"z06","state":"open"}`, []string{"z06 active"}},
		"many, in order": {"/events", jsonType, `[{"zone":"z07","state":"open"},{"zone":"z08","state":"open"},` +
			`{"zone":"z07","state":"closed"},{"zone":9,"state":"?"}]`,
			[]string{"z07 active", "z08 active", "z07 restored", "9 not understood"}},
		"many words":     {"/plain/10", jsonType, `["open","closed"]`, []string{"z10 active", "z10 restored"}},
		"none of many":   {"/events", jsonType, `[]`, nil},
		"not understood": {"/json/11", jsonType, `{"state":"ajar"}`, []string{"z11 not understood"}},
		"of itself":      {"/power", jsonType, `{"mains":"failed"}`, []string{"mains-fault true"}},
		"it is there":    {"/controller", "", "up", []string{"up true controller up"}},
		"it is gone":     {"/controller", "", "down", []string{"up false controller gone"}},
	} {
		status, line, _ := post(t, http.DefaultClient, at+"/"+aSecret+tc.path, tc.contentType, tc.body)
		assert.Equal(t, http.StatusNoContent, status, "%s: %s", name, line)
		assert.Equal(t, tc.says, to.all(), name)
	}
	// What is of one item only is taken; that another could not be is counted.
	assert.Zero(t, h.Refused())
	status, _, _ := post(t, http.DefaultClient, at+"/"+aSecret+"/events", jsonType, `[{"state":"open"},{"zone":"z13","state":"open"}]`)
	assert.Equal(t, http.StatusNoContent, status)
	assert.Equal(t, []string{"z13 active"}, to.all())
	assert.Equal(t, signal.Refused{Parts: 1}, h.Refused())
}

// What is refused is answered with one line that shows no secret, and says nothing.
func TestWhatIsRefused(t *testing.T) {
	c := hookConfig()
	c.Hosts = []string{"witness.example", "127.0.0.1"}
	h, to, at := serving(t, c)
	deep := strings.Repeat("[", 100000) + strings.Repeat("]", 100000)
	right := "/" + aSecret + "/json/1"
	const jsonType, form = "application/json", "application/x-www-form-urlencoded"
	for name, tc := range map[string]struct {
		path, contentType, body string
		headers                 []string
		status                  int
	}{
		"wrong token":     {right, jsonType, "{}", []string{"Authorization", "Bearer guess"}, 401},
		"no token":        {right, jsonType, "{}", []string{"Authorization", ""}, 401},
		"another scheme":  {right, jsonType, "{}", []string{"Authorization", "Basic " + aToken}, 401},
		"wrong secret":    {"/guess/json/1", jsonType, "{}", nil, 404},
		"no secret":       {"/json/1", jsonType, "{}", nil, 404},
		"wrong path":      {"/" + aSecret + "/nothing", jsonType, "{}", nil, 404},
		"a level more":    {right + "/2", jsonType, "{}", nil, 404},
		"a method":        {right, jsonType, "", []string{"method", "GET"}, 405},
		"practice":        {right, jsonType, "{}", []string{PracticeHeader, "yes"}, 403},
		"a foreign host":  {right, jsonType, "{}", []string{"Host", "evil.example"}, 421},
		"a picture":       {right, "image/png", "{}", nil, 415},
		"a broken type":   {right, "application/json; =", "{}", nil, 415},
		"another charset": {right, "text/plain; charset=utf-16", "{}", nil, 415},
		"packed":          {right, jsonType, "{}", []string{"Content-Encoding", "gzip"}, 415},
		"10 MB":           {right, jsonType, strings.Repeat(" ", 10<<20), nil, 413},
		"10 MB in chunks": {right, jsonType, strings.Repeat(" ", 10<<20), []string{"chunked", ""}, 413},
		"deep":            {right, jsonType, deep, nil, 400},
		"deep, unsaid":    {right, "", deep, nil, 400},
		"a key twice":     {right, jsonType, `{"state":"open","state":"closed"}`, nil, 400},
		"a field twice":   {right, form, "state=open&state=closed", nil, 400},
		"no JSON":         {right, jsonType, `{"state":`, nil, 400},
		"two of JSON":     {right, jsonType, `{"state":"open"} {"state":"open"}`, nil, 400},
		"no JSON at all":  {right, jsonType, "", nil, 400},
		"no UTF-8":        {right, jsonType, "{\"state\":\"\xff\"}", nil, 400},
		"no text":         {"/" + aSecret + "/plain/1", "", "\xff", nil, 400},
		"no address":      {"/" + aSecret + "/events", jsonType, `{"state":"open"}`, nil, 400},
		"too many":        {"/" + aSecret + "/plain/1", jsonType, "[" + strings.Repeat("1,", 1000) + "1]", nil, 400},
		"long headers":    {right, jsonType, "{}", []string{"X-Long", strings.Repeat("x", 20<<10)}, 431},
	} {
		// A connection of its own: what is refused before it was read may end in the middle.
		one := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
		status, line, header := post(t, one, at+tc.path, tc.contentType, tc.body, tc.headers...)
		assert.Equal(t, tc.status, status, name)
		if tc.status != 431 { // which net/http says
			assert.True(t, strings.Count(line, "\n") == 1 || line == "" && len(tc.body) > mostBytes, "%s: %s", name, line)
			assert.Equal(t, "text/plain; charset=utf-8", header.Get("Content-Type"), name)
		}
		for _, secret := range []string{aSecret, aToken} {
			assert.NotContains(t, line, secret, name)
		}
		assert.Empty(t, to.all(), name)
	}
	n := h.Refused()
	assert.Equal(t, signal.Refused{Secrets: 5, Paths: 2, Hosts: 1, Methods: 1, Practice: 1, Bodies: n.Bodies}, n)
	assert.Greater(t, n.Bodies, 15)
	status, _, _ := post(t, http.DefaultClient, at+right, jsonType, `{"state":"open"}`, "Host", "WITNESS.example:8460")
	assert.Equal(t, http.StatusNoContent, status)
}

// Who guesses is told to wait after a while; who knows is let in all the while.
func TestGuessesAreBounded(t *testing.T) {
	h, to, at := serving(t, hookConfig())
	statuses := map[int]int{}
	for range 2 * mostWrong {
		status, _, header := post(
			t,
			http.DefaultClient,
			at+"/"+aSecret+"/plain/1",
			"",
			"open",
			"Authorization",
			"Bearer guess",
		)
		statuses[status]++
		assert.Equal(t, status == 429, header.Get("Retry-After") != "")
	}
	assert.Equal(t, map[int]int{401: mostWrong, 429: mostWrong}, statuses)
	status, _, _ := post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open")
	assert.Equal(t, http.StatusNoContent, status)
	assert.Equal(t, []string{"z1 active"}, to.all())
	h.since = h.since.Add(-2 * wrongFor)
	status, _, _ = post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open", "Authorization", "Bearer guess")
	assert.Equal(t, 401, status)
}

// Repetitions say an old state, and no state at all where it was kept by its id before: it may be late. What was
// lost is no news either when it comes again: nobody knows when it happened.
func TestRepetitions(t *testing.T) {
	const open, shut = `{"state":"open"}`, `{"state":"closed"}`
	type call struct {
		body, id string
		after    time.Duration // since the call before
		fails    string        // lost; late: durable in doubt
		says     string
	}
	long := func(n int) string {
		return fmt.Sprintf(`{"state":"open","why":%q,"n":%d}`, strings.Repeat("a", maxRaw), n)
	}
	for name, calls := range map[string][]call{
		"long, alike": {{long(1), "", 0, "", ""}, {long(1), "", 100, "", "repeated"}, {long(2), "", 100, "", ""}},
		"alike":       {{open, "", 0, "", ""}, {open, "", time.Second, "", "repeated"}},
		"for long":    {{open, "", 0, "", ""}, {open, "", time.Second, "", "repeated"}, {open, "", 2 * time.Second, "", "repeated"}},
		"later":       {{open, "", 0, "", ""}, {open, "", 2*time.Second + 1, "", ""}},
		"between":     {{open, "", 0, "", ""}, {shut, "", 100, "", ""}, {open, "", 100, "", ""}, {shut, "", 100, "", ""}},
		"an id":       {{open, "a", 0, "", ""}, {open, "a", 9 * time.Minute, "", "again"}, {open, "a", time.Hour, "", ""}},
		"an id, another try": {{`{"state":"open","try":1}`, "a", 0, "", ""}, {shut, "b", 100, "", ""},
			{`{"state":"open","try":2}`, "a", 30 * time.Second, "", "again"}, {`{"state":"open","try":3}`, "a", 2 * time.Minute, "", ""}},
		"an id twice":   {{open, "a", 0, "", ""}, {shut, "a", 100, "", ""}, {shut, "a", 100, "", "again"}},
		"ids that vary": {{open, "a", 0, "", ""}, {open, "b", 100, "", ""}},
		"an id's state": {{open, "a", 0, "", ""}, {shut, "b", 100, "", ""}, {open, "a", 100, "", "again"}},
		"lost":          {{open, "", 0, "lost", ""}, {open, "", 100, "", "repeated"}},
		"lost, later":   {{open, "", 0, "lost", ""}, {open, "", 59 * time.Second, "", "repeated"}, {open, "", 3 * time.Second, "", ""}},
		"lost, closed": {{open, "", 0, "lost", ""}, {shut, "", 8 * time.Second, "", ""}, {open, "", 8 * time.Second, "", "again"},
			{open, "", 8 * time.Second, "", ""}},
		"lost, a new time in it": {{`{"state":"open","at":1}`, "a", 0, "lost", ""},
			{`{"state":"open","at":2}`, "a", 30 * time.Second, "", "repeated"}, {`{"state":"open","at":3}`, "a", 31 * time.Second, "", "again"}, {`{"state":"open","at":4}`, "a", 2 * time.Minute, "", ""}},
		"lost, the id again of another state": {{open, "a", 0, "lost", ""}, {shut, "a", 100, "", ""}},
		"lost, an id":                         {{open, "a", 0, "lost", ""}, {open, "a", 9 * time.Minute, "", "repeated"}, {open, "a", 100, "", "again"}},
		"in doubt":                            {{open, "", 0, "late", ""}, {open, "", 30 * time.Second, "", "repeated"}},
		"in doubt, id":                        {{open, "a", 0, "late", ""}, {open, "a", 30 * time.Second, "", "repeated"}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c := hookConfig()
				c.ID = "X-Delivery"
				h, to, dial := piped(t, c, nil)
				defer func() { _ = h.Close() }()
				for i, call := range calls {
					time.Sleep(call.after)
					to.mu.Lock()
					to.lost, to.wait = call.fails == "lost", nil
					if call.fails == "late" {
						to.wait = func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }
					}
					to.mu.Unlock()
					conn := dial()
					status := calls1(t, conn, request1("/json/1", call.body, "X-Delivery: "+call.id))
					_ = conn.Close()
					assert.Equal(t, call.fails != "", status == http.StatusServiceUnavailable, "call %d: %d", i, status)
					state := "active"
					if call.body == shut {
						state = "restored"
					}
					assert.Equal(t, []string{strings.TrimSpace("z1 " + state + " " + call.says)}, to.all(), "call %d", i)
				}
			})
		})
	}
}

// What was lost proves nothing when it comes again, also where nothing is told apart that is alike.
func TestLostWhereNothingIsARepetition(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := hookConfig()
		c.RepeatsWithin = 0
		h, to, dial := piped(t, c, nil)
		defer func() { _ = h.Close() }()
		for _, tc := range []struct {
			after time.Duration
			lost  bool
			says  string
		}{{0, false, "z1 active"}, {1, false, "z1 active"}, {1, true, "z1 active"}, {2 * time.Second, false, "z1 active repeated"},
			{50 * time.Second, false, "z1 active repeated"}, {10 * time.Second, false, "z1 active"}} {
			time.Sleep(tc.after)
			to.mu.Lock()
			to.lost = tc.lost
			to.mu.Unlock()
			conn := dial()
			calls1(t, conn, request1("/json/1", `{"state":"open"}`))
			_ = conn.Close()
			assert.Equal(t, []string{tc.says}, to.all())
		}
	})
}

// A list that comes again is one that was here, though the last of each thing alone would not tell; and what comes
// again late tells nothing.
func TestListsThatComeAgain(t *testing.T) {
	const pulse = `[{"zone":"z1","state":"open"},{"zone":"z1","state":"closed"}]`
	news := []string{"z1 active", "z1 restored"}
	synctest.Test(t, func(t *testing.T) {
		h, to, dial := piped(t, hookConfig(), nil)
		defer func() { _ = h.Close() }()
		for _, tc := range []struct {
			after time.Duration
			lost  bool
			says  []string
		}{{0, false, news}, {time.Second, false, []string{"z1 active again", "z1 restored repeated"}}, {3 * time.Second, false, news},
			{time.Minute, true, news}, {30 * time.Second, false, []string{"z1 active again", "z1 restored repeated"}},
			{time.Minute, false, news}} {
			time.Sleep(tc.after)
			to.mu.Lock()
			to.lost = tc.lost
			to.mu.Unlock()
			conn := dial()
			calls1(t, conn, request1("/events", pulse))
			_ = conn.Close()
			assert.Equal(t, tc.says, to.all(), tc.after)
		}
	})
}

// A controller that tells every second how all its zones are says again what it said a second before, and each change is
// one, however short.
func TestListsOfAllZones(t *testing.T) {
	list := func(one string) string {
		return fmt.Sprintf(`[{"zone":"z1","state":%q},{"zone":"z2","state":"closed"}]`, one)
	}
	synctest.Test(t, func(t *testing.T) {
		h, to, dial := piped(t, hookConfig(), nil)
		defer func() { _ = h.Close() }()
		for _, tc := range []struct {
			one, says string
		}{{"closed", "z1 restored"}, {"closed", "z1 restored repeated"}, {"open", "z1 active"}, {"closed", "z1 restored"},
			{"open", "z1 active"}, {"closed", "z1 restored"}, {"closed", "z1 restored repeated"}} {
			conn := dial()
			calls1(t, conn, request1("/events", list(tc.one)))
			_ = conn.Close()
			assert.Equal(t, tc.says, to.all()[0])
			time.Sleep(time.Second)
		}
	})
}

// That the controller is gone is no news when it comes again late: it may be back since.
func TestALatePresence(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := hookConfig()
		c.ID = "X-Delivery"
		h, to, dial := piped(t, c, nil)
		defer func() { _ = h.Close() }()
		for _, tc := range []struct {
			body, id string
			lost     bool
			says     []string
		}{{"down", "1", true, []string{"up false controller gone"}}, {"up", "2", false, []string{"up true controller up"}},
			{"down", "1", false, nil}, {"down", "3", true, []string{"up false controller gone"}},
			{"up", "", false, []string{"up true controller up"}}, {"down", "", true, []string{"up false controller gone"}},
			{"up", "", false, []string{"up true controller up"}}, {"down", "", false, nil},
			{"down", "", false, []string{"up false controller gone"}}} {
			to.mu.Lock()
			to.lost = tc.lost
			to.mu.Unlock()
			conn := dial()
			calls1(t, conn, strings.Replace(request1("/controller", tc.body, "X-Delivery: "+tc.id), "application/json", "text/plain", 1))
			_ = conn.Close()
			assert.Equal(t, tc.says, to.all(), tc)
		}
	})
}

// Calls that nobody reads may have told what is awaited: that counts as a loss, told once a second.
func TestCallsThatNobodyReads(t *testing.T) {
	h, to, at := serving(t, hookConfig())
	for range mostCalls {
		h.calls <- struct{}{}
	}
	for range 3 {
		status, _, header := post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open")
		assert.Equal(t, http.StatusServiceUnavailable, status)
		assert.Equal(t, retryAfter, header.Get("Retry-After"))
	}
	h.mu.Lock()
	h.missed = h.missed.Add(-time.Minute)
	h.mu.Unlock()
	post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open")
	once := []string{"up false stalled too many calls at a time", "up true back again"}
	assert.Equal(t, append(once, once...), to.all())
}

// request1 is a call over HTTP/1.1 as it is sent.
func request1(path, body string, headers ...string) string {
	return "POST /" + aSecret + path + " HTTP/1.1\r\nHost: h\r\nAuthorization: Bearer " + aToken +
		"\r\nContent-Type: application/json\r\n" + strings.Join(append(headers, ""), "\r\n") +
		fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(body), body)
}

// calls1 sends and reads one answer.
func calls1(t testing.TB, conn net.Conn, text string) (status int) {
	t.Helper()
	_, err := io.WriteString(conn, text)
	require.NoError(t, err)
	return answered(t, bufio.NewReader(conn))
}

func answered(t testing.TB, from *bufio.Reader) (status int) {
	t.Helper()
	answer, err := http.ReadResponse(from, nil)
	require.NoError(t, err)
	_, err = io.Copy(io.Discard, answer.Body)
	require.NoError(t, err)
	return answer.StatusCode
}

// pipes is a listener without a network, whose connections keep fake time.
type pipes struct {
	conns chan net.Conn
	over  chan struct{}
	once  sync.Once
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.over:
		return nil, net.ErrClosed
	}
}

func (p *pipes) Close() error   { p.once.Do(func() { close(p.over) }); return nil }
func (p *pipes) Addr() net.Addr { return &net.TCPAddr{} }

func piped(t testing.TB, c HookConfig, to *heard) (h *Hook, got *heard, dial func() net.Conn) {
	t.Helper()
	if to == nil {
		to = &heard{}
	}
	p := &pipes{conns: make(chan net.Conn), over: make(chan struct{})}
	h = NewHook(c, clock.Real{})
	require.NoError(t, h.Serve(p, to))
	return h, to, func() net.Conn {
		ours, theirs := net.Pipe()
		p.conns <- theirs
		return ours
	}
}

// A call came with its first byte, however slow the rest is within reason, and whatever was answered
// before on the connection.
func TestStamps(t *testing.T) {
	const open, shut = `{"state":"open"}`, `{"state":"closed"}`
	whole := func(n int, body string) string { return request1(fmt.Sprintf("/json/%d", n), body) }
	type piece struct {
		after time.Duration
		text  string
	}
	for name, tc := range map[string]struct {
		keptAfter time.Duration
		pieces    []piece
		at        []time.Duration // of the signals, since the beginning
	}{
		"at once":           {0, []piece{{0, whole(1, open)}}, []time.Duration{0}},
		"slow headers":      {0, []piece{{0, "P"}, {300 * time.Millisecond, whole(1, open)[1:]}}, []time.Duration{0}},
		"a slow body":       {0, []piece{{0, whole(1, open)[:160]}, {400 * time.Millisecond, whole(1, open)[160:]}}, []time.Duration{0}},
		"too slow a body":   {0, []piece{{0, whole(1, open)[:160]}, {3 * time.Second, whole(1, open)[160:]}}, []time.Duration{3 * time.Second}},
		"too slow a header": {0, []piece{{0, "PO"}, {3 * time.Second, whole(1, open)[2:]}}, []time.Duration{3 * time.Second}},
		"one after another": {0, []piece{{0, whole(1, open)}, {time.Minute, whole(1, shut)}}, []time.Duration{0, time.Minute}},
		"pipelined":         {0, []piece{{0, whole(1, open) + whole(1, shut)}}, []time.Duration{0, 0}},
		"pipelined while the disk is slow": {3 * time.Second, []piece{{0, whole(1, open)}, {time.Second, whole(1, shut)}},
			[]time.Duration{0, time.Second}},
		"pipelined in pieces": {300 * time.Millisecond, []piece{{0, whole(1, open)}, {100 * time.Millisecond, "P"},
			{100 * time.Millisecond, whole(1, shut)[1:]}}, []time.Duration{0, 100 * time.Millisecond}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				to := &heard{}
				if tc.keptAfter > 0 {
					to.wait = func(context.Context) error { time.Sleep(tc.keptAfter); return nil }
				}
				h, _, dial := piped(t, hookConfig(), to)
				defer func() { _ = h.Close() }()
				conn := dial()
				defer func() { _ = conn.Close() }()
				begun := time.Now()
				go func() {
					for _, p := range tc.pieces {
						time.Sleep(p.after)
						_, _ = io.WriteString(conn, p.text)
					}
				}()
				from := bufio.NewReader(conn)
				for range tc.at {
					assert.Equal(t, http.StatusNoContent, answered(t, from))
				}
				var at []time.Duration
				for _, stamp := range to.stamps() {
					at = append(at, stamp.Sub(begun))
				}
				assert.Equal(t, tc.at, at)
				slow := time.Duration(0)
				if strings.HasPrefix(name, "too slow") {
					slow = 3 * time.Second
				}
				assert.Equal(t, slow, to.took)
			})
		})
	}
}

// An answer waits for the disk, and says what came of it.
func TestAnswersWaitForTheDisk(t *testing.T) {
	for name, tc := range map[string]struct {
		wait   func(context.Context) error
		lost   bool
		status int
		after  time.Duration
	}{
		"durable at last": {func(context.Context) error { time.Sleep(3 * time.Second); return nil }, false, 204, 3 * time.Second},
		"a dead disk":     {func(context.Context) error { return errors.New("input/output error") }, false, 503, 0},
		"a disk that stands still": {func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }, false, 503,
			keptWithin},
		"no room": {nil, true, 503, 0},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h, _, dial := piped(t, hookConfig(), &heard{wait: tc.wait, lost: tc.lost})
				defer func() { _ = h.Close() }()
				conn := dial()
				defer func() { _ = conn.Close() }()
				begun := time.Now()
				_, err := io.WriteString(conn, request1("/json/1", `{"state":"open"}`))
				require.NoError(t, err)
				answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
				require.NoError(t, err)
				assert.Equal(t, tc.status, answer.StatusCode)
				assert.Equal(t, tc.after, time.Since(begun))
				assert.Equal(t, tc.status == 503, answer.Header.Get("Retry-After") != "")
			})
		})
	}
}

// A visit that ends tells who waits that nothing is sure.
func TestCloseEndsWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, _, dial := piped(t, hookConfig(), &heard{wait: func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }})
		conn := dial()
		defer func() { _ = conn.Close() }()
		var closing sync.WaitGroup
		defer closing.Wait()
		closing.Go(func() {
			time.Sleep(time.Second)
			_ = h.Close()
		})
		assert.Equal(t, 503, calls1(t, conn, request1("/json/1", `{"state":"open"}`)))
	})
}

// Senders that never end are cut off, and have said nothing.
func TestSlowSendersAreCutOff(t *testing.T) {
	text := request1("/json/1", `{"state":"open"}`)
	for name, tc := range map[string]struct {
		sent  string
		after time.Duration
	}{
		"nothing":      {"", headersWithin},
		"half headers": {text[:40], headersWithin},
		"half a body":  {text[:len(text)-3], wholeWithin},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h, to, dial := piped(t, hookConfig(), nil)
				defer func() { _ = h.Close() }()
				conn := dial()
				begun := time.Now()
				_, err := io.WriteString(conn, tc.sent)
				require.NoError(t, err)
				_, _ = io.Copy(io.Discard, conn)
				assert.LessOrEqual(t, time.Since(begun), tc.after+time.Second)
				assert.Empty(t, to.all())
			})
		})
	}
	t.Run("hung up", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			h, to, dial := piped(t, hookConfig(), nil)
			defer func() { _ = h.Close() }()
			conn := dial()
			_, err := io.WriteString(conn, text[:len(text)-3])
			require.NoError(t, err)
			require.NoError(t, conn.Close())
			synctest.Wait()
			assert.Empty(t, to.all())
		})
	})
}

// Where too many connections stand, one that is idle makes room; where none is, the new one is closed.
func TestConnectionsAreBounded(t *testing.T) {
	p := &pipes{conns: make(chan net.Conn, 10), over: make(chan struct{})}
	l := &listener{Listener: p, clock: clock.Real{}, most: 2, all: map[*conn]bool{}}
	var ours []net.Conn
	dial := func() { a, b := net.Pipe(); ours = append(ours, a); p.conns <- b }
	dial()
	first, err := l.Accept()
	require.NoError(t, err)
	dial()
	_, err = l.Accept()
	require.NoError(t, err)
	l.state(first, http.StateIdle)
	dial()
	third, err := l.Accept()
	require.NoError(t, err)
	_, err = ours[0].Read(make([]byte, 1))
	assert.ErrorIs(t, err, io.EOF, "the idle one was closed")
	dial()
	require.NoError(t, p.Close())
	_, err = l.Accept()
	for err == nil {
		_, err = l.Accept()
	}
	assert.Len(t, l.all, 2)
	require.NoError(t, third.Close())
	require.NoError(t, third.Close())
	assert.Len(t, l.all, 1)
}

// Whoever opens connections and does not call does not keep others out for long.
func TestWhoOnlyConnectsMakesRoom(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &pipes{conns: make(chan net.Conn, 10), over: make(chan struct{})}
		l := &listener{Listener: p, clock: clock.Real{}, most: 2, all: map[*conn]bool{}}
		dial := func() *conn {
			_, theirs := net.Pipe()
			return l.room(theirs)
		}
		calls, waits := dial(), dial()
		calls.stamp(1)
		assert.Nil(t, dial(), "its headers may come yet")
		time.Sleep(headTime + 1)
		assert.NotNil(t, dial())
		assert.True(t, l.all[calls])
		assert.False(t, l.all[waits])
	})
}

// certificate makes a certificate for names, by a server of the standard library's tests, whose name is
// example.com and 127.0.0.1.
func certificate(t testing.TB) (c HookConfig, trusting *http.Client) {
	t.Helper()
	s := httptest.NewUnstartedServer(nil)
	s.EnableHTTP2 = true
	s.StartTLS()
	t.Cleanup(s.Close)
	c = hookConfig()
	dir := t.TempDir()
	c.CertFile, c.KeyFile = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	pair := s.TLS.Certificates[0]
	require.NoError(t, os.WriteFile(c.CertFile, pemOf("CERTIFICATE", pair.Certificate[0]), 0o600))
	require.NoError(t, os.WriteFile(c.KeyFile, keyOf(t, pair.PrivateKey), 0o600))
	return c, s.Client()
}

// Over TLS a sender sees whom it calls, and several calls share a connection (HTTP/2).
func TestOverTLS(t *testing.T) {
	c, trusting := certificate(t)
	h, to, _ := serving(t, c)
	at := "https://" + h.Addr().String()
	var calls sync.WaitGroup
	for n := range 50 {
		calls.Go(func() {
			r, err := http.NewRequest(http.MethodPost, fmt.Sprintf("%s/%s/plain/%d", at, aSecret, n), strings.NewReader("open"))
			if !assert.NoError(t, err) {
				return
			}
			r.Header.Set("Authorization", "Bearer "+aToken)
			answer, err := trusting.Do(r)
			if assert.NoError(t, err) {
				assert.Equal(t, 204, answer.StatusCode)
				assert.Equal(t, 2, answer.ProtoMajor)
				_ = answer.Body.Close()
			}
		})
	}
	calls.Wait()
	assert.Len(t, to.all(), 50)
	for _, at := range to.stamps() {
		assert.WithinDuration(t, time.Now(), at, time.Minute)
	}
	one := trusting.Transport.(*http.Transport).Clone()
	one.ForceAttemptHTTP2, one.TLSClientConfig.NextProtos = false, []string{"http/1.1"}
	for range 2 {
		status, _, _ := post(
			t,
			&http.Client{Transport: one},
			at+"/"+aSecret+"/json/1",
			"application/json",
			`{"state":"open"}`,
		)
		assert.Equal(t, 204, status)
	}
	assert.Equal(t, []string{"z1 active", "z1 active repeated"}, to.all())

	one = one.Clone()
	one.TLSClientConfig.ServerName = "another.example"
	_, err := (&http.Client{Transport: one}).Post(at, "", nil)
	var name *tls.CertificateVerificationError
	assert.ErrorAs(t, err, &name)
	_, err = http.Post("http://"+h.Addr().String(), "", nil)
	assert.NoError(t, err, "net/http answers in plain text that it is the wrong port")
	require.NoError(t, os.Chmod(c.KeyFile, 0o644))
	assert.ErrorIs(t, NewHook(c, clock.Real{}).Serve(&pipes{}, to), errKeyExposed)
	assert.Empty(t, to.all())
}

// A proxy in front hands on, and its word on hosts is not taken.
func TestBehindAProxy(t *testing.T) {
	c := hookConfig()
	c.Hosts = []string{"witness.example"}
	_, to, at := serving(t, c)
	behind, err := url.Parse(at)
	require.NoError(t, err)
	proxied := func(host, forwarded string) int {
		proxy := httptest.NewServer(&httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(behind)
			r.SetXForwarded()
			r.Out.Host = host
			r.Out.Header.Set("X-Forwarded-Host", forwarded)
			r.Out.Header.Set("Forwarded", "host="+forwarded)
		}})
		defer proxy.Close()
		status, _, _ := post(t, http.DefaultClient, proxy.URL+"/"+aSecret+"/plain/1", "", "open")
		return status
	}
	assert.Equal(t, 421, proxied("evil.example", "witness.example"))
	assert.Empty(t, to.all())
	assert.Equal(t, 204, proxied("witness.example", "evil.example"))
	assert.Equal(t, []string{"z1 active"}, to.all())
}

// curl is a sender of somebody else's.
func TestCalledByCurl(t *testing.T) {
	curl := outsidetool.Find(t, "curl")
	_, to, at := serving(t, hookConfig())
	run := func(words ...string) string {
		out, err := exec.CommandContext(t.Context(), curl, append([]string{"--silent", "--show-error", "--max-time", "10",
			"--write-out", "%{http_code}", "--header", "Authorization: Bearer " + aToken}, words...)...).CombinedOutput()
		require.NoError(t, err, "%s", out)
		return string(out)
	}
	assert.Equal(t, "204", run("--data", "state=open", at+"/"+aSecret+"/json/1"), "a form, as curl sends by itself")
	assert.Equal(t, "204", run("--json", `{"state":"closed"}`, at+"/"+aSecret+"/json/1"))
	assert.Equal(
		t,
		"204",
		run("--header", "Content-Type: text/plain", "--header", "Transfer-Encoding: chunked", "--data", "1",
			at+"/"+aSecret+"/plain/2"),
	)
	assert.Equal(t, []string{"z1 active", "z1 restored", "z2 active"}, to.all())
	assert.Equal(t, "no such path\n404", run("--data", "state=open", at+"/guess/json/1"))
	large := filepath.Join(t.TempDir(), "large")
	require.NoError(t, os.WriteFile(large, bytes.Repeat([]byte("x"), 300<<10), 0o600))
	assert.Contains(
		t,
		run("--header", "Expect: 100-continue", "--data-binary", "@"+large, at+"/"+aSecret+"/json/1"),
		"413",
	)
	assert.Empty(t, to.all())
}

// A hook that was ended can begin again at once, and a port that is taken is told.
func TestBeginsAgain(t *testing.T) {
	h, _, at := serving(t, hookConfig())
	c := hookConfig()
	c.At = h.Addr().String()
	err := NewHook(c, clock.Real{}).Start(t.Context(), &heard{})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), aSecret)
	require.NoError(t, h.Close())
	again, to := NewHook(c, clock.Real{}), &heard{}
	require.NoError(t, again.Start(t.Context(), to))
	status, _, _ := post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open")
	assert.Equal(t, 204, status)
	require.NoError(t, again.Close())
	require.NoError(t, NewHook(c, clock.Real{}).Close(), "that never began")
}

// Who watches sees each call, with why it was refused and without secrets.
func TestWatch(t *testing.T) {
	c := hookConfig()
	c.At = "127.0.0.1:0"
	h := NewHook(c, clock.Real{})
	var mu sync.Mutex
	var lines []string
	h.Watch(func(c Came) {
		mu.Lock()
		defer mu.Unlock()
		lines = append(lines, fmt.Sprint(c.Path, " ", c.Body, " ", c.Status, " ", c.Why, " ", len(c.Says), " ", c.Understood))
	})
	require.NoError(t, h.Start(t.Context(), &heard{}))
	at := "http://" + h.Addr().String()
	post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "open")
	post(t, http.DefaultClient, at+"/"+aSecret+"/plain/1", "", "?")
	post(t, http.DefaultClient, at+"/"+aSecret+"/other", "", "?")
	post(t, http.DefaultClient, at+"/"+aToken+"/other", "", "?")
	require.NoError(t, h.Close())
	mu.Lock()
	defer mu.Unlock()
	assert.Equal(t, []string{`/plain/1 "open" 204  1 true`, `/plain/1 "?" 204  1 false`,
		`/other  404 no rule of controller.yaml is about this path 0 false`, `  404 no such path 0 false`}, lines)
}

// What rules make of a body never panics, is bounded, and a good answer means that it was handed on.
func FuzzHook(f *testing.F) {
	f.Add("/json/1", "application/json", []byte(`{"state":"open"}`))
	f.Add("/events", "application/x-www-form-urlencoded", []byte("zone=z1&state=open"))
	f.Add("/events", "application/json", []byte(`[{"zone":"z1","state":"open"},{"zone":"z1","state":1e999}]`))
	f.Add("/plain/+", "", []byte("open"))
	f.Add("/controller", "text/plain", []byte("down"))
	f.Fuzz(func(t *testing.T, path, contentType string, body []byte) {
		c := hookConfig()
		c.Secret, c.Token, c.ID = "", "", "/id"
		h, to := NewHook(c, clock.Real{}), &heard{}
		h.to, h.ctx = to, context.Background()
		r := httptest.NewRequest(http.MethodPost, "/", bytes.NewReader(body))
		r.URL.Path = path
		r.Header.Set("Content-Type", contentType)
		r = r.WithContext(context.WithValue(r.Context(), connKey{}, &conn{clock: clock.Real{}, last: time.Now()}))
		w := httptest.NewRecorder()
		h.call(w, r)
		if lines := to.all(); len(lines) > mostItems || w.Code != 204 && len(lines) > 0 {
			t.Fatalf("%d: %d", w.Code, len(lines))
		}
		if w.Code >= 300 && strings.Count(w.Body.String(), "\n") != 1 || w.Code >= 500 {
			t.Fatalf("%d: %q", w.Code, w.Body.String())
		}
	})
}
