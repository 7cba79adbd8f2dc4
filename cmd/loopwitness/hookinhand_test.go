//go:build unix

package main

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// newCallingKiosk is the kiosk whose controller calls over HTTP, and is asked so to switch its sounder.
func newCallingKiosk(t *testing.T) *building {
	t.Helper()
	b := newKiosk(t)
	at := freeaddress.Of(t)
	b.hook = "http://" + at + "/" + hookSecret
	controller := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		said, _ := io.ReadAll(r.Body)
		b.heard <- path.Base(r.URL.Path) + " " + string(said)
	}))
	t.Cleanup(controller.Close)
	b.write("controller.yaml", fmt.Sprintf("listen: webhook\nwebhook:\n  at: %s\n  secret: %s\n  token: %s\n  signals:\n"+
		"    - {path: /zone/+, address: \"z{1}\", value: /state, %s}\n"+
		"http:\n  outputs:\n    - {address: sounder, url: %q, \"on\": \"ON\", \"off\": \"OFF\"}\n",
		at, hookSecret, hookToken, statesOfPottery, controller.URL+"/sounder"))
	return b
}

// call is a report of a zone over HTTP, which is kept.
func (b *building) call(zone, state string) {
	b.t.Helper()
	status := callHook(b.t, fmt.Sprintf("%s/zone/%02s", b.hook, zone), hookToken, fmt.Sprintf(`{"state":%q}`, state))
	require.Equal(b.t, http.StatusNoContent, status)
}

// A whole hand-over by touch, with a controller that calls over HTTP, to the certificate; inHand asserts that
// the page has no fault.
func TestAHandOverOverHooksInTheHand(t *testing.T) {
	b := newCallingKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.say = append([]said{{"energise/unguarded", "yes"}}, h.say...) // a request has no last will
	h.visit("")
	a.ends(0)
	r := b.record()
	assert.Empty(t, r.Breaches())
	proved := 0
	for _, o := range r.Outcomes() {
		if o.Step().Stage == programme.StageWalkTest && o.Last() != nil && !busy(t, o) {
			assert.Equal(t, record.Proved, o.Last().Verdict(), o.Step().ID)
			proved++
		}
	}
	assert.Positive(t, proved)
	assert.Equal(t, []string{"sounder ON", "sounder OFF"}, []string{<-b.heard, <-b.heard})
	page := b.sealed(0)
	text, err := exec.Command(outsidetool.Find(t, "pdftotext"), page, "-").Output()
	require.NoError(t, err)
	said := strings.Join(strings.Fields(string(text)), " ")
	assert.Contains(t, said, "How times were taken: the controller’s calls over HTTP (web hook), by the computer")
	assert.Contains(t, said, "A message arrived when its first byte was read.")
	for _, secret := range []string{hookSecret, hookToken} {
		assert.NotContains(t, said+a.out.String()+b.journal(), secret)
	}
}
