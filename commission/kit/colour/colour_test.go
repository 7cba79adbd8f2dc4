package colour

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Contrasts with white by WCAG 2.2 (looked up: the formula in the recommendation, and these pairs
// as computed from it elsewhere; #767676 and #777777 are the well-known neighbours of the limit).
func TestContrastWithWhite(t *testing.T) {
	for text, want := range map[string]float64{"#000000": 21, "#767676": 4.542, "#777777": 4.478, "#757575": 4.608,
		"#FF0000": 3.998, "#008000": 5.137, "#0000FF": 8.592, "#959595": 2.995, "#FFFFFF": 1} {
		c, err := Parse(text)
		require.NoError(t, err)
		assert.InDelta(t, want, Contrast(c, White), 0.0005, text)
		assert.Equal(t, Contrast(c, White), Contrast(White, c))
		assert.Equal(t, text, c.String())
	}
}

// L*a*b* of the primaries for D65 (from memory: the values that textbooks give for sRGB).
func TestLab(t *testing.T) {
	for text, want := range map[string][3]float64{"#FFFFFF": {100, 0, 0}, "#000000": {0, 0, 0},
		"#FF0000": {53.24, 80.09, 67.20}, "#00FF00": {87.73, -86.18, 83.18}, "#0000FF": {32.30, 79.19, -107.86}} {
		c, err := Parse(text)
		require.NoError(t, err)
		l, a, b := c.lab()
		assert.InDelta(t, want[0], l, 0.02, text)
		assert.InDelta(t, want[1], a, 0.02, text)
		assert.InDelta(t, want[2], b, 0.02, text)
	}
	assert.InDelta(t, 100, Distance(RGB{}, White), 0.01)
	assert.Zero(t, Distance(RGB{1, 2, 3}, RGB{1, 2, 3}))
}

func TestWhatIsNoColour(t *testing.T) {
	for _, text := range []string{"", "red", "#FFF", "#12345G", "123456", "#1234567", " #123456", "#123456\n"} {
		_, err := Parse(text)
		assert.Error(t, err, text)
	}
}
