//go:build unix

package readfile

import (
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// atOnce fails a test whose reader is still waiting.
func atOnce(t *testing.T, read func() error) error {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- read() }()
	select {
	case err := <-done:
		return err
	case <-time.After(5 * time.Second):
		t.Fatal("it waits")
		return nil
	}
}

func TestPipesDevicesAndFoldersAreRefusedAtOnce(t *testing.T) {
	dir, err := os.MkdirTemp("", "r") // short: the name of a socket has room for about 100 bytes
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	in := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, syscall.Mkfifo(in("pipe"), 0o600))
	require.NoError(t, os.Symlink("/dev/zero", in("link to a device")))
	require.NoError(t, os.Symlink("pipe", in("link to a pipe")))
	require.NoError(t, os.Symlink("round", in("and round")))
	require.NoError(t, os.Symlink("and round", in("round")))
	s, err := net.Listen("unix", in("socket"))
	require.NoError(t, err)
	defer s.Close()
	for name, what := range map[string]string{
		"pipe": "a pipe", "link to a pipe": "a pipe", "link to a device": "a device", "": "a folder", "socket": "a socket",
	} {
		for _, read := range []func() error{
			func() error { _, err := Open(in(name)); return err },
			func() error { _, err := All(in(name), 10); return err },
			func() error { _, err := Beginning(in(name), 10); return err },
			func() error { return Ordinary(in(name)) },
		} {
			err := atOnce(t, read)
			assert.ErrorIs(t, err, ErrNotOrdinary, name)
			assert.ErrorContains(t, err, what, name)
		}
	}
	assert.ErrorIs(t, atOnce(t, func() error { _, err := Open(in("round")); return err }), syscall.ELOOP)
	assert.ErrorIs(t, Ordinary(in("round")), syscall.ELOOP)
	_, err = Open(in("gone"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
	assert.NoError(t, Ordinary(in("gone")))
}

func TestFilesAreReadUpToALength(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	link := path + " linked"
	require.NoError(t, os.Symlink(path, link))
	require.NoError(t, os.WriteFile(path, []byte("0123456789"), 0o600))
	for _, p := range []string{path, link} {
		data, err := All(p, 10)
		require.NoError(t, err)
		assert.Equal(t, "0123456789", string(data))
		_, err = All(p, 9)
		assert.ErrorIs(t, err, ErrTooLong)
		assert.ErrorContains(t, err, "more than 9 bytes")
		data, err = Beginning(p, 9)
		require.NoError(t, err)
		assert.Equal(t, "012345678", string(data))
		assert.NoError(t, Ordinary(p))
	}
	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("x", 1<<20+1)), 0o600))
	_, err := All(path, 1<<20)
	assert.ErrorContains(t, err, "more than 1 MiB")
	_, err = All(path, 1<<10)
	assert.ErrorContains(t, err, "more than 1 KiB")
}

// A link to nothing was taken as if there were no file, and a default in its place.
func TestALinkToNothingIsNoMissingFile(t *testing.T) {
	link := filepath.Join(t.TempDir(), "checklist.yaml")
	if err := os.Symlink(filepath.Join(t.TempDir(), "gone"), link); err != nil {
		t.Skipf("no links here: %v", err)
	}
	_, err := Open(link)
	require.ErrorContains(t, err, "a link to a file that is not there")
	require.NotErrorIs(t, err, fs.ErrNotExist)
}
