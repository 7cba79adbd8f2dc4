package verify

import (
	"bytes"
	"compress/zlib"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/verify/tampered"
)

func packedAt(level int) func([]byte) []byte {
	return func(content []byte) []byte {
		var b bytes.Buffer
		w, _ := zlib.NewWriterLevel(&b, level) // a level of the package's
		_, _ = w.Write(content)
		_ = w.Close()
		return b.Bytes()
	}
}

// Packers change between versions of Go: what another one packed is drawn alike, and is compared
// as it is unpacked.
func TestAnotherPackerIsNoDifference(t *testing.T) {
	id := newIdentity(t, "x")
	file := sealed(t, photographed(t, id).Contents, id)
	for _, level := range []int{zlib.HuffmanOnly, zlib.NoCompression, zlib.BestSpeed, zlib.BestCompression} {
		again, err := tampered.Repacked(tampered.Original{File: file, Key: id}, packedAt(level))
		require.NoError(t, err)
		require.NotEqual(t, len(file), len(again), level)
		r := Check("c.pdf", again, Options{})
		assert.Equal(t, Intact, r.Outcome, "level %d: %s", level, texts(r))
		assert.True(t, r.Compared.Drawn)
	}
}

// Whatever else is in there is told: one more byte behind what a stream holds, one less, another.
func TestAnotherPackerHidesNothing(t *testing.T) {
	id := newIdentity(t, "x")
	file := sealed(t, makeFrom(t, recorded(t), by(id)).Contents, id)
	pack := packedAt(zlib.BestCompression)
	streams := 0
	_, err := tampered.Repacked(tampered.Original{File: file, Key: id}, func(content []byte) []byte {
		streams++
		return pack(content)
	})
	require.NoError(t, err)
	require.Greater(t, streams, 10)
	spoils := map[string]func([]byte) []byte{
		"a byte behind it":  func(c []byte) []byte { return append(pack(c), 0) },
		"a byte more in it": func(c []byte) []byte { return pack(append(bytes.Clone(c), '\n')) },
		"a byte less":       func(c []byte) []byte { return pack(c[:len(c)-1]) },
		"twice":             func(c []byte) []byte { return append(pack(c), pack(c)...) },
		"a great deal":      func(c []byte) []byte { return pack(append(bytes.Clone(c), make([]byte, 2<<20)...)) },
	}
	for name, spoil := range spoils {
		for at := 0; at < streams; at += 6 { // each takes a while
			n := 0
			again, err := tampered.Repacked(tampered.Original{File: file, Key: id}, func(content []byte) []byte {
				if n++; n-1 == at {
					return spoil(content)
				}
				return pack(content)
			})
			require.NoError(t, err)
			r := Check("c.pdf", again, Options{})
			assert.NotEqual(t, Intact, r.Outcome, "%s, stream %d", name, at)
		}
	}
}
