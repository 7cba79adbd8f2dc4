//go:build unix

package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
)

// inHand is a technician whose phone is paired.
func inHand(t *testing.T, b *building, a *attended) *hand {
	t.Helper()
	p := browser.New(t)
	p.Before(`localStorage.setItem('lw-walk', '1');
		window.faults = []; addEventListener('error', (e) => faults.push(e.message));
		addEventListener('unhandledrejection', (e) => faults.push(String(e.reason?.stack ?? e.reason)));`)
	p.Go(a.address)
	t.Cleanup(func() { assert.Empty(t, browser.Eval[[]string](p, "window.faults ?? []"), "faults of the page") })
	return &hand{Phone: p, t: t, b: b, say: usual}
}

// A whole hand-over of the studio, alone, by the count of a phone: no touch for a detector
// that is as it should be.
func TestAHandOverByCounting(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("the browser is what is slow here")
	}
	b := newBuilding(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	begun := time.Now()
	h.visit("walk/1.1/ready")
	h.Tap(`[data-word="count"]`)
	before := h.Touches
	h.visit("supply/*")
	assert.Equal(t, before, h.Touches, "a healthy detector takes no touch")
	h.visit("")
	a.ends(0)
	r, err := lastRecord(b.dir)
	require.NoError(t, err)
	for _, o := range r.Outcomes() {
		if o.Last() != nil {
			assert.Equal(t, record.Proved, o.Last().Verdict(), o.Step().ID)
			require.NotNil(t, o.Last().Operate.Tap(), o.Step().ID)
			assert.Equal(t, record.ByCount, o.Last().Operate.Tap().By, o.Step().ID)
		}
	}
	assert.Empty(t, r.Breaches())
	t.Logf("%d touches, %d questions and waits, %s", h.Touches, len(h.asked), time.Since(begun).Round(time.Second))
	assert.Less(t, h.Touches, 60)
}

func lastRecord(dir string) (*record.Record, error) {
	v, err := job.At(dir).Visit("")
	if err != nil {
		return nil, err
	}
	return v.Record()
}
