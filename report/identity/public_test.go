package identity

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is public of a key is read without its passphrase, as long as it is that key's.
func TestWhatIsPublicOfAKey(t *testing.T) {
	path := filepath.Join(t.TempDir(), "signing-key.p12")
	_, err := Public(path)
	require.ErrorIs(t, err, ErrNotPublic)
	id, err := New(Subject{Name: "Bellbird"}, time.Now(), 1)
	require.NoError(t, err)
	require.NoError(t, Save(path, id, "tall blue vase"))
	public, err := Public(path)
	require.NoError(t, err)
	assert.Equal(t, id.Fingerprint(), public.Fingerprint())
	assert.Nil(t, public.Signer)
	beside := publicPath(path)
	assert.Equal(t, "signing-key-certificate.pem", filepath.Base(beside))
	plain, err := os.ReadFile(beside)
	require.NoError(t, err)
	assert.NotContains(t, string(plain), "PRIVATE KEY")

	other, err := New(Subject{Name: "Wren"}, time.Now(), 1)
	require.NoError(t, err)
	require.NoError(t, Replace(path, other, "tall blue vase"))
	public, err = Public(path)
	require.NoError(t, err)
	assert.Equal(t, other.Fingerprint(), public.Fingerprint())
	require.NoError(t, os.WriteFile(beside, plain, 0o644))
	_, err = Public(path)
	require.ErrorIs(t, err, ErrNotPublic, "it was left behind by another key")
	for _, text := range []string{"", "rubbish", string(other.PEM())} {
		require.NoError(t, os.WriteFile(beside, []byte(text), 0o644))
		_, err = Public(path)
		require.ErrorIs(t, err, ErrNotPublic)
	}
	require.NoError(t, Publish(path, other))
	_, err = Public(path)
	require.NoError(t, err)
	require.NoError(t, os.Remove(beside))
	_, err = Public(path)
	require.ErrorIs(t, err, ErrNotPublic)
	require.Error(t, Publish(filepath.Join(t.TempDir(), "none.p12"), other))
}
