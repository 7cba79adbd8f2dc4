package identity

import (
	"context"
	"encoding/asn1"
	"io/fs"
	"math/big"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"loopwitness/commission/kit/readfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"software.sslmate.com/src/go-pkcs12"
)

const vase = "tall blue vase"

// encodedBy is a key as other programs store it, with 2048 iterations.
func encodedBy(t testing.TB, e *pkcs12.Encoder) []byte {
	t.Helper()
	id, err := New(Subject{Name: "x"}, at, 1)
	require.NoError(t, err)
	file, err := e.WithIterations(2048).Encode(id.Signer, id.Certificate, nil, vase)
	require.NoError(t, err)
	return file
}

// asking has another number where some DER has 2048, the n-th time from 0; all of them for -1.
func asking(t testing.TB, der []byte, n int, number *big.Int) []byte {
	t.Helper()
	seen := 0
	var again func([]byte) []byte
	again = func(der []byte) (out []byte) {
		for len(der) > 0 {
			var e asn1.RawValue
			rest, err := asn1.Unmarshal(der, &e)
			if err != nil {
				return append(out, der...)
			}
			der = rest
			switch {
			case e.Class == asn1.ClassUniversal && e.Tag == asn1.TagInteger && string(e.Bytes) == "\x08\x00":
				if n < 0 || seen == n {
					e.FullBytes, err = asn1.Marshal(number)
					require.NoError(t, err)
				}
				seen++
			case e.IsCompound, e.Class == asn1.ClassUniversal && e.Tag == asn1.TagOctetString &&
				strings.HasPrefix(string(e.Bytes), "0"):
				e.Bytes, e.FullBytes = again(e.Bytes), nil
			}
			one, err := asn1.Marshal(e)
			require.NoError(t, err)
			out = append(out, one...)
		}
		return out
	}
	return again(der)
}

var encoders = map[string]*pkcs12.Encoder{"PBES2": pkcs12.Modern2023, "PBMAC1": pkcs12.Modern2026,
	"of PKCS#12": pkcs12.LegacyDES}

// A file of 1 kB that asks for 2³¹ iterations, in whichever of its places, is refused before
// anything is derived.
func TestIterationsOfAKeyFileAreBounded(t *testing.T) {
	for name, e := range encoders {
		file := encodedBy(t, e)
		assert.Equal(t, file, asking(t, file, -1, big.NewInt(2048)), "the test's own encoder")
		assert.Equal(t, 2048, Iterations(file), name)
		_, err := Read(t.Context(), file, vase)
		require.NoError(t, err, name)
		places := len(derivations(file))
		require.GreaterOrEqual(t, places, 2, name)
		for i := range places {
			for _, n := range []*big.Int{big.NewInt(mostIterations + 1), big.NewInt(1 << 31),
				new(big.Int).Lsh(big.NewInt(1), 100)} {
				_, err := Read(t.Context(), asking(t, file, i, n), vase)
				require.ErrorIs(t, err, ErrCostly, "%s, %d: %s", name, i, n)
				assert.ErrorContains(t, err, n.String())
			}
		}
		assert.Equal(t, mostIterations, Iterations(asking(t, file, -1, big.NewInt(1<<40))), name)
		assert.Equal(t, 9, Iterations(asking(t, file, 1, big.NewInt(9))), "the least of them")
	}
	assert.True(t, fits(big.NewInt(mostIterations)))
	for _, none := range [][]byte{nil, []byte("rubbish"), {0x30, 0}} {
		assert.Zero(t, Iterations(none))
	}
}

// While a key is derived, Ctrl-C ends the wait.
func TestOpeningAKeyIsBrokenOff(t *testing.T) {
	file := asking(t, encodedBy(t, pkcs12.Modern2023), -1, big.NewInt(3_000_000))
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(10*time.Millisecond, cancel)
	began := time.Now()
	_, err := Read(ctx, file, vase)
	require.ErrorIs(t, err, context.Canceled)
	assert.Less(t, time.Since(began), time.Second)
}

// However a key comes, it is stored as strongly as a new one.
func TestKeysAreHeldToOneStandard(t *testing.T) {
	for name, e := range encoders {
		id, err := Read(t.Context(), encodedBy(t, e), vase)
		require.NoError(t, err)
		path := filepath.Join(t.TempDir(), "key.p12")
		for _, short := range []string{"", "x", strings.Repeat("é", 9)} {
			require.ErrorIs(t, Save(path, id, short), ErrShort, name)
			require.ErrorIs(t, Replace(path, id, short), ErrShort, name)
			assert.NoFileExists(t, path)
		}
		require.NoError(t, LongEnough(strings.Repeat("é", 10)))
		require.NoError(t, Save(path, id, vase))
		stored, err := Stored(path)
		require.NoError(t, err)
		assert.Equal(t, OwnIterations, Iterations(stored), "few iterations become as many as a new key has")
	}
}

// A key that lies elsewhere, behind a link, stays there.
func TestASymlinkedKeyIsKeptAsALink(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "target.p12"), filepath.Join(dir, "link.p12")
	id, err := New(Subject{Name: "x"}, at, 1)
	require.NoError(t, err)
	require.NoError(t, Save(target, id, vase))
	if err := os.Symlink("target.p12", link); err != nil {
		t.Skipf("no links here: %v", err)
	}
	require.ErrorIs(t, Save(link, id, vase), ErrExists)
	require.NoError(t, Replace(link, id, "short green vase"))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.Equal(t, fs.ModeSymlink, info.Mode().Type())
	_, err = Load(t.Context(), target, "short green vase")
	require.NoError(t, err)
}

func TestAKeyThatOthersMayReadOrWrite(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes are another matter there")
	}
	path := filepath.Join(t.TempDir(), "key.p12")
	assert.Empty(t, Exposed(path))
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	for mode, want := range map[fs.FileMode]string{0o600: "", 0o400: "", 0o700: "", 0o711: "", 0o640: "r", 0o604: "r",
		0o620: "w", 0o602: "w", 0o666: "rw", 0o624: "rw"} {
		require.NoError(t, os.Chmod(path, mode))
		assert.Equal(t, want, Exposed(path), mode)
	}
}

// What is no file, or too long for a key, is not read.
func TestWhatIsNoKeyFile(t *testing.T) {
	dir := t.TempDir()
	_, err := Stored(dir)
	require.ErrorIs(t, err, readfile.ErrNotOrdinary)
	long := filepath.Join(dir, "long")
	for size, fine := range map[int64]bool{longestKey: true, longestKey + 1: false} {
		require.NoError(t, os.WriteFile(long, nil, 0o600))
		require.NoError(t, os.Truncate(long, size))
		_, err = Stored(long)
		assert.Equal(t, fine, err == nil, size)
	}
	_, err = Stored(filepath.Join(dir, "gone"))
	require.ErrorIs(t, err, ErrNone)
}
