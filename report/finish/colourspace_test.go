package finish

import (
	"bytes"
	"encoding/binary"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
)

type matrix [3][3]float64

func (m matrix) times(o matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += m[i][k] * o[k][j]
			}
		}
	}
	return out
}

func (m matrix) of(v [3]float64) (out [3]float64) {
	for i := range 3 {
		for k := range 3 {
			out[i] += m[i][k] * v[k]
		}
	}
	return out
}

// inverse by the adjugate.
func (m matrix) inverse() (out matrix) {
	minor := func(i, j int) float64 {
		a, b, c, d := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	det := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
	for i := range 3 {
		for j := range 3 {
			out[j][i] = minor(i, j) / det
		}
	}
	return out
}

func diagonal(v [3]float64) matrix { return matrix{{v[0]}, {0, v[1]}, {0, 0, v[2]}} }

// Chromaticities of IEC 61966-2-1 and the cone responses of the linearised Bradford transform:
// from memory.
func TestProfileIsOfTheStandardsColours(t *testing.T) {
	at := func(x, y float64) [3]float64 { return [3]float64{x / y, 1, (1 - x - y) / y} }
	red, green, blue, white := at(0.64, 0.33), at(0.30, 0.60), at(0.15, 0.06), at(0.3127, 0.3290)
	columns := matrix{{red[0], green[0], blue[0]}, {red[1], green[1], blue[1]}, {red[2], green[2], blue[2]}}
	toXYZ := columns.times(diagonal(columns.inverse().of(white)))
	bradford := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := bradford.of(white), bradford.of(whitePCS)
	adapt := bradford.inverse().times(diagonal([3]float64{to[0] / from[0], to[1] / from[1], to[2] / from[2]})).
		times(bradford)
	adapted := adapt.times(toXYZ)
	for i := range 3 {
		for j := range 3 {
			assert.InDelta(t, adapt[i][j], toPCS[i][j], 6e-6, "adaptation %d %d", i, j)
			assert.InDelta(t, adapted[j][i], primaries[i][j], 6e-6, "primary %d %d", i, j)
		}
	}
}

// Its form, as far as ISO 15076-1 lays it down for a display (clauses 7.2, 7.3 and 8.3).
func TestProfileHasItsForm(t *testing.T) {
	p := sRGB()
	assert.Equal(t, uint32(len(p)), binary.BigEndian.Uint32(p))
	assert.Equal(t, byte(4), p[8], "version below 5, as PDF/A-3 wants it")
	assert.Equal(t, "mntrRGB XYZ ", string(p[12:24]))
	assert.Equal(t, "acsp", string(p[36:40]))
	n := int(binary.BigEndian.Uint32(p[128:]))
	tags := map[string]bool{}
	for i := range n {
		entry := p[132+12*i:]
		at, length := binary.BigEndian.Uint32(entry[4:]), binary.BigEndian.Uint32(entry[8:])
		assert.Zero(t, at%4)
		require.LessOrEqual(t, int(at+length), len(p))
		tags[string(entry[:4])] = true
	}
	for _, tag := range []string{"desc", "cprt", "wtpt", "chad", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"} {
		assert.True(t, tags[tag], tag)
	}
	assert.Less(t, len(p), 1000)
	assert.True(t, bytes.Equal(p, sRGB()))
}

// Another program reads it.
func TestProfileIsRead(t *testing.T) {
	exiftool := outsidetool.Find(t, "exiftool")
	path := filepath.Join(t.TempDir(), "p.icc")
	require.NoError(t, os.WriteFile(path, sRGB(), 0o600))
	out, err := exec.Command(exiftool, "-validate", "-warning", "-a", path).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.NotContains(t, string(out), "Warning  ")
	out, err = exec.Command(exiftool, "-ProfileDescription", "-ProfileClass", "-ColorSpaceData", path).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "sRGB IEC61966-2.1")
	assert.Contains(t, string(out), "Display Device Profile")
}
