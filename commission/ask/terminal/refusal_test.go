package terminal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A refusal breaks between words, within the window, and never scrolls the question away.
func TestRefusalBreaksBetweenWords(t *testing.T) {
	why := `"180" is not a current (the unit is missing); write for example 450 mA, 1.2 A`
	assert.Equal(t, "\"180\" is not a current (the unit is\n   missing); write for example 450 mA,\n   1.2 A",
		refusal(why, 40))
	long := refusal(strings.Repeat("words ", 500), 40)
	assert.LessOrEqual(t, strings.Count(long, "\n"), 4)
	assert.Contains(t, long, "…")
}
