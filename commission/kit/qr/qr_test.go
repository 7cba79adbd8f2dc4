package qr

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
)

const address = "https://192.168.178.123:8443/#mDzCTQxz9ATBVd73vfEMyQ"

// An address with its token fits a terminal of 80 × 24 with lines to spare (a code of
// version 3 has 29 modules and holds 53 bytes at level L: ISO/IEC 18004, from memory).
func TestAnAddressFitsATerminal(t *testing.T) {
	require.LessOrEqual(t, len(address), 53)
	code, err := Encode(address, Low)
	require.NoError(t, err)
	assert.Equal(t, 29, code.Side)
	lines := code.HalfBlocks(2)
	assert.Len(t, lines, 17)
	for _, l := range lines {
		assert.Len(t, []rune(l), 33)
	}
	assert.Equal(t, strings.Repeat(" ", 33), lines[0], "the quiet zone")
}

func TestTooLong(t *testing.T) {
	_, err := Encode(strings.Repeat("x", 3000), Low)
	assert.Error(t, err)
}

// What is printed, painted as a terminal paints half blocks, is read by a reader of others.
func TestHalfBlocksAreReadByOthers(t *testing.T) {
	zbar := outsidetool.Find(t, "zbarimg")
	code, err := Encode(address, Low)
	require.NoError(t, err)
	for _, quiet := range []int{2, 4} {
		lines := code.HalfBlocks(quiet)
		const w, h = 8, 16 // a cell
		picture := image.NewGray(image.Rect(0, 0, w*len([]rune(lines[0])), h*len(lines)))
		for y, line := range lines {
			for x, r := range []rune(line) {
				for i := range w * h {
					upper := i/w < h/2
					shade := color.Gray{Y: 255}
					if r == '█' || r == '▀' && upper || r == '▄' && !upper {
						shade.Y = 0
					}
					picture.SetGray(x*w+i%w, y*h+i/w, shade)
				}
			}
		}
		name := filepath.Join(t.TempDir(), "code.png")
		f, err := os.Create(name)
		require.NoError(t, err)
		require.NoError(t, png.Encode(f, picture))
		require.NoError(t, f.Close())
		out, err := exec.Command(zbar, "-q", "--raw", name).Output()
		require.NoError(t, err)
		assert.Equal(t, address, strings.TrimSpace(string(out)), "quiet zone %d", quiet)
	}
}
