package visit

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

const hookSecret, hookToken = "kiln-secret-in-a-path", "kiln-token-in-a-header"

// hooked is a web hook without a network, whose connections keep fake time. It is told each cue.
type hooked struct {
	*web.Hook
	conns chan net.Conn
	over  chan struct{}
	once  sync.Once
	cued  func(record.Half)
	all   sync.WaitGroup
}

func newHooked() *hooked {
	rule := payload.Rule{Value: "/state", States: map[signal.State][]string{signal.Active: {"open"},
		signal.Restored: {"closed"}}}
	return &hooked{conns: make(chan net.Conn), over: make(chan struct{}), Hook: web.NewHook(web.HookConfig{
		Secret: hookSecret, Token: hookToken, ID: "X-Delivery", Hosts: []string{"witness.example"},
		Signals: []web.HookSignal{{Path: "/zone/+", Address: "z{1}", Rule: rule}}}, clock.Real{})}
}

func (h *hooked) Start(_ context.Context, to signal.Receiver) error { return h.Serve(pipes{h}, to) }

func (h *hooked) Took(_ time.Time, f record.Fact) {
	if cue, is := f.(record.Cue); is {
		h.all.Go(func() { h.cued(cue.Half) })
	}
}

// pipes is where it listens.
type pipes struct{ h *hooked }

func (p pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.h.conns:
		return c, nil
	case <-p.h.over:
		return nil, net.ErrClosed
	}
}

func (p pipes) Close() error   { p.h.once.Do(func() { close(p.h.over) }); return nil }
func (p pipes) Addr() net.Addr { return &net.TCPAddr{} }

// call is one call, on a connection of its own.
func (h *hooked) call(t testing.TB, path, token, host, id, state string) *http.Response {
	ours, theirs := net.Pipe()
	h.conns <- theirs
	defer func() { _ = ours.Close() }()
	body := fmt.Sprintf(`{"state":%q}`, state)
	_, err := fmt.Fprintf(ours, "POST %s HTTP/1.1\r\nHost: %s\r\nAuthorization: Bearer %s\r\nX-Delivery: %s\r\n"+
		"Content-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", path, host, token, id, len(body), body)
	assert.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(ours), nil)
	if !assert.NoError(t, err) {
		return &http.Response{}
	}
	_, _ = io.Copy(io.Discard, answer.Body)
	return answer
}

// says is a call that may.
func (h *hooked) says(t testing.TB, zone int, id, state string) *http.Response {
	return h.call(t, fmt.Sprintf("/%s/zone/%d", hookSecret, zone), hookToken, "witness.example", id, state)
}

const walksOnce = "answers:\n  - {when: walk/1.1/ready, say: ready, after: 1 s}\n"

// While the disk stands still, the answer to a call waits; where it waits too long the caller is told to come
// again, and what it says then is no second response.
func TestTheDiskStallsUnderAHook(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, d := newHooked(), &disk{}
		v := newBench(t, h, clock.Real{}, walksOnce).on(t, d, "walk/1.1")
		h.cued = func(half record.Half) {
			time.Sleep(300 * time.Millisecond)
			if half == record.Restore {
				assert.Equal(t, http.StatusNoContent, h.says(t, 1, "b", "closed").StatusCode)
				return
			}
			d.set(func(d *disk) { d.slow = 7 * time.Second })
			begun := time.Now()
			answer := h.says(t, 1, "a", "open")
			assert.Equal(t, http.StatusServiceUnavailable, answer.StatusCode)
			assert.Equal(t, "2", answer.Header.Get("Retry-After"))
			assert.Equal(t, 5*time.Second, time.Since(begun), "it waits for the disk, and not for ever")
			d.set(func(d *disk) { d.slow = 0 })
			time.Sleep(2 * time.Second)
			assert.Equal(t, http.StatusNoContent, h.says(t, 1, "a", "open").StatusCode)
		}
		require.NoError(t, v.Run(t.Context()))
		h.all.Wait()
		last := v.Record().Find("walk/1.1").Last()
		assert.Equal(t, record.Proved, last.Verdict())
		assert.Equal(t, 300*time.Millisecond, last.Operate.Judge().Response, "by the first of the two")
		var kept []string
		for _, e := range d.kept(t) {
			var s signal.Signal
			if e.Kind == s.Kind() {
				require.NoError(t, json.Unmarshal(e.Body, &s))
				kept = append(kept, strings.TrimSpace(fmt.Sprint(s.State, " ", s.Kept)))
			}
		}
		assert.Equal(t, []string{"active", "active repeated", "restored"}, kept)
	})
}

// Whoever calls without being let in, or of what the site does not have, is told of once, however often, and
// counted in the end; a trial that waits meanwhile is what it would have been.
func TestCallsThatAreNotForTheVisit(t *testing.T) {
	for name, calls := range map[string]int{"none": 0, "many": 40} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h := newHooked()
				b := newBench(t, h, clock.Real{}, walksOnce)
				v := b.on(t, &disk{}, "walk/1.1")
				h.cued = func(half record.Half) {
					state := map[record.Half]string{record.Operate: "open", record.Restore: "closed"}[half]
					at := "/" + hookSecret
					for range calls {
						time.Sleep(5 * time.Millisecond)
						h.call(t, at+"/zone/1", "guess", "witness.example", "", state)
						h.call(t, "/guess/zone/1", hookToken, "witness.example", "", state)
						h.call(t, at+"/other", hookToken, "witness.example", "", state)
						h.call(t, at+"/zone/1", hookToken, "evil.example", "", state)
						h.says(t, 9, "", state)
					}
					time.Sleep(300*time.Millisecond - time.Duration(calls)*5*time.Millisecond)
					h.says(t, 1, string(half), state)
				}
				require.NoError(t, v.Run(t.Context()))
				h.all.Wait()
				last := v.Record().Find("walk/1.1").Last()
				assert.Equal(t, record.Proved, last.Verdict())
				assert.Equal(t, 300*time.Millisecond, last.Operate.Judge().Response)
				said := strings.Join(strings.Fields(b.out.String()), " ")
				once := min(calls, 1)
				assert.Equal(t, once, strings.Count(said, "Calls are turned away ("), said)
				assert.Equal(t, once, strings.Count(said, "Calls that were turned away, in all: 160 with a wrong token "+
					"or secret, 80 to paths that no rule is about, 80 meant for another host, 80 of addresses that no zone "+
					"has."), said)
				assert.NotContains(t, said, "guess")
			})
		})
	}
}
