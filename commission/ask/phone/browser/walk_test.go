package browser_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
)

// The token is gone from the address before anything else is seen, and no script reads the
// cookie.
func TestPairing(t *testing.T) {
	v := begin(t)
	p := browser.New(t)
	p.RecordErrors()
	p.Go(v.technician())
	assert.Equal(t, "", browser.Eval[string](p, `location.hash`))
	assert.Equal(t, "", browser.Eval[string](p, `document.cookie`))
	p.WaitText("#head", "Quince Lane Pottery")
	assert.Empty(t, p.Errors())
	p.Reload()
	p.WaitText("#head", "Quince Lane Pottery")

	stranger := browser.Open(t, "http://"+v.link.Address+"/#nobody-knows-this-one")
	stranger.WaitText("#main", "not paired")
	assert.NotContains(t, stranger.Text("body"), "Quince Lane")
}

// A touch of NOW is the cue: its instant is the touch's, within the bounds that are stated.
func TestNow(t *testing.T) {
	v := begin(t)
	pressed, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	p.Wait(`document.querySelector('#now:not(:disabled)')`)
	time.Sleep(400 * time.Millisecond) // a touch too soon after the screen has changed is none
	before := time.Now()
	p.Tap("#now")
	k := got(t, pressed)
	after := time.Now()
	assert.Equal(t, ask.Ready, k.Key)
	assert.Empty(t, k.NotTimed)
	require.NotNil(t, k.Tap)
	assert.Equal(t, "touch", string(k.Tap.By))
	assert.Less(t, k.Uncertainty, 50*time.Millisecond)
	assert.False(t, k.At.Before(before.Add(-k.Uncertainty)), "%s before the touch", before.Sub(k.At))
	assert.False(t, k.At.After(after.Add(k.Uncertainty)), "%s after it had come", k.At.Sub(after))
	stop()
}
