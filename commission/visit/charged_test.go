package visit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// A battery is given as charged after the time that the installer declares for it, not
// after ours.
func TestChargedForTheTimeDeclared(t *testing.T) {
	s := &site.Site{}
	assert.Equal(t, 24*time.Hour, chargedFor(s), "common practice, no source")
	for text, want := range map[string]time.Duration{"72 h": 72 * time.Hour, "10 h": 10 * time.Hour} {
		within, err := checks.Time.Parse(text)
		assert.NoError(t, err)
		s.Supply.Recharge.Within = within
		assert.Equal(t, want, chargedFor(s), text)
	}
}
