package visit

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
)

// calling lets a controller call a visit that stands; what is called gives the answer's status.
func calling(t *testing.T, v *Visit) (call func(path, body, id string) int) {
	t.Helper()
	h := web.NewHook(web.HookConfig{At: "127.0.0.1:0", Secret: "kiln-secret-in-a-path", ID: "X-Id",
		Presence: &web.HookPresence{Path: "/controller", Here: "up", Away: "down"},
		Signals: []web.HookSignal{{Path: "/zone/+", Address: "z{1}", Rule: payload.Rule{
			States: map[signal.State][]string{signal.Active: {"open"}, signal.Restored: {"closed"}}}}}}, clock.Real{})
	require.NoError(t, h.Start(t.Context(), receiver{v}))
	t.Cleanup(func() { _ = h.Close() })
	return func(path, body, id string) int {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost,
			"http://"+h.Addr().String()+"/kiln-secret-in-a-path"+path, strings.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("X-Id", id)
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		_ = answer.Body.Close()
		return answer.StatusCode
	}
}

// A call that comes again late tells nothing of now: neither that the controller is away, nor a zone's state.
func TestLateRepeatsTellNothing(t *testing.T) {
	v := newBench(t, &timeline{}, clock.Real{}, noAnswers).on(t, &disk{}, "walk/1.1")
	defer v.keepWriting()()
	require.NoError(t, v.add(signal.Listening{Way: signal.OverHook, TimedBy: signal.ByComputer, UncertaintyNS: 50e6}))
	call := calling(t, v)
	for i, c := range [][2]string{{"/controller", "down"}, {"/controller", "up"}, {"/zone/1", "open"}, {"/zone/1", "closed"}} {
		assert.Equal(t, http.StatusNoContent, call(c[0], c[1], fmt.Sprint(i)))
	}
	assert.Equal(t, http.StatusNoContent, call("/controller", "down", "0"))
	assert.Equal(t, http.StatusNoContent, call("/zone/1", "open", "2"))
	v.mu.Lock()
	defer v.mu.Unlock()
	assert.True(t, v.record.Connected())
	assert.Equal(t, signal.Restored, v.record.StateOf("z1"))
}

// Once the journal is full nothing that is left out is called kept.
func TestNothingIsKeptByAFullJournal(t *testing.T) {
	v := newBench(t, &timeline{}, clock.Real{}, noAnswers).on(t, &disk{}, "walk/1.1")
	defer v.keepWriting()()
	call := calling(t, v)
	assert.Equal(t, http.StatusNoContent, call("/zone/1", "open", "1"))
	v.mu.Lock()
	v.full = true
	v.mu.Unlock()
	assert.Equal(t, http.StatusServiceUnavailable, call("/zone/1", "closed", "2"))
	assert.Equal(t, http.StatusServiceUnavailable, call("/zone/1", "closed", "2"))
}
