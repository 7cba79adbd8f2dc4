package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func content(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// names are the files of a folder: nothing half-written is left beside them.
func names(t testing.TB, folder string) (all []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

// with lets the computer behave otherwise for one test.
func with(t testing.TB, change func(*system)) {
	t.Helper()
	before := computer
	t.Cleanup(func() { computer = before })
	change(&computer)
}

func TestReplace(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "site.yaml")
	require.NoError(t, Replace(path, []byte("first"), 0o600))
	require.NoError(t, Replace(path, []byte("second"), 0o640))
	assert.Equal(t, "second", content(t, path))
	assert.Equal(t, []string{"site.yaml"}, names(t, dir))
	if info, err := os.Stat(path); runtime.GOOS != "windows" {
		require.NoError(t, err)
		assert.Equal(t, fs.FileMode(0o640), info.Mode())
	}
	assert.ErrorIs(t, Replace(filepath.Join(dir, "gone", "site.yaml"), nil, 0o600), fs.ErrNotExist)
}

func TestReplaceKeepsALink(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "target"), filepath.Join(dir, "link")
	require.NoError(t, os.WriteFile(target, []byte("first"), 0o600))
	if err := os.Symlink(target, link); err != nil {
		t.Skipf("no links here: %v", err)
	}
	require.NoError(t, Replace(link, []byte("second"), 0o600))
	assert.Equal(t, "second", content(t, target))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.Equal(t, fs.ModeSymlink, info.Mode().Type())
}

// Whatever has the name stays as it is, also where files cannot be linked.
func TestCreateNeverReplaces(t *testing.T) {
	for name, change := range map[string]func(*system){
		"with links":    func(*system) {},
		"without links": func(s *system) { s.link = func(string, string) error { return errors.ErrUnsupported } },
	} {
		t.Run(name, func(t *testing.T) {
			with(t, change)
			dir := t.TempDir()
			path := filepath.Join(dir, "rev1.pdf")
			const many = 20
			var won, lost int
			var mu sync.Mutex
			var all sync.WaitGroup
			for i := range many {
				all.Go(func() {
					err := Create(path, []byte{byte('a' + i)}, 0o644)
					mu.Lock()
					defer mu.Unlock()
					if err == nil {
						won++
					} else if assert.ErrorIs(t, err, fs.ErrExist) {
						lost++
					}
				})
			}
			all.Wait()
			assert.Equal(t, 1, won)
			assert.Equal(t, many-1, lost)
			kept := content(t, path)
			assert.Len(t, kept, 1)
			assert.ErrorIs(t, Create(path, []byte("another"), 0o644), fs.ErrExist)
			assert.Equal(t, kept, content(t, path))
			assert.Equal(t, []string{"rev1.pdf"}, names(t, dir))
		})
	}
}

// A memory stick has no permissions to set, and no links.
func TestAFileSystemWithoutPermissions(t *testing.T) {
	for name, refused := range map[string]error{"vfat": syscall.EPERM, "another": errors.ErrUnsupported} {
		with(t, func(s *system) {
			s.chmod = func(f *os.File, mode fs.FileMode) error {
				return &fs.PathError{Op: "chmod", Path: f.Name(), Err: refused}
			}
			s.link = func(string, string) error { return refused }
		})
		dir := t.TempDir()
		require.NoError(t, Create(filepath.Join(dir, "new"), []byte("new"), 0o644), name)
		require.NoError(t, Replace(filepath.Join(dir, "old"), []byte("old"), 0o600), name)
		assert.Equal(t, []string{"new", "old"}, names(t, dir))
	}
	broken := errors.New("input/output error")
	with(t, func(s *system) { s.chmod = func(*os.File, fs.FileMode) error { return broken } })
	assert.ErrorIs(t, Replace(filepath.Join(t.TempDir(), "old"), nil, 0o600), broken)
}

// The content is durable before it has its name, and the name before it is reported.
func TestOrderOfSyncs(t *testing.T) {
	var did []string
	with(t, func(s *system) {
		before := *s
		s.sync = func(f *os.File) error { did = append(did, "sync content"); return before.sync(f) }
		s.rename = func(from, to string) error { did = append(did, "name"); return before.rename(from, to) }
		s.link = func(from, to string) error { did = append(did, "name"); return before.link(from, to) }
		s.syncFolder = func(path string) error {
			did = append(did, "sync "+filepath.Base(path))
			return before.syncFolder(path)
		}
	})
	dir := filepath.Join(t.TempDir(), "folder")
	require.NoError(t, MakeFolder(filepath.Join(dir, "below"), 0o755))
	assert.Equal(t, []string{"sync " + filepath.Base(filepath.Dir(dir)), "sync folder"}, did, "from the top down")
	for _, write := range []func(string, []byte, fs.FileMode) error{Create, Replace} {
		did = nil
		require.NoError(t, write(filepath.Join(dir, "file"), []byte("x"), 0o600))
		assert.Equal(t, []string{"sync content", "name", "sync folder"}, did)
	}
}

// What fails leaves no name behind, and the earlier file as it was.
func TestFailuresLeaveNothing(t *testing.T) {
	full := errors.New("no space left")
	for name, change := range map[string]func(*system){
		"sync": func(s *system) { s.sync = func(*os.File) error { return full } },
		"name": func(s *system) {
			s.rename = func(string, string) error { return full }
			s.link = func(string, string) error { return errors.ErrUnsupported }
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			old := filepath.Join(dir, "old")
			require.NoError(t, Create(old, []byte("old"), 0o600))
			with(t, change)
			assert.ErrorIs(t, Replace(old, []byte("new"), 0o600), full)
			assert.ErrorIs(t, Create(filepath.Join(dir, "new"), []byte("new"), 0o600), full)
			assert.Equal(t, []string{"old"}, names(t, dir))
			assert.Equal(t, "old", content(t, old))
		})
	}
}

func TestMakeFolder(t *testing.T) {
	dir := t.TempDir()
	deep := filepath.Join(dir, "a", "b", "c")
	require.NoError(t, MakeFolder(deep, 0o700))
	require.NoError(t, MakeFolder(deep, 0o700), "it is there already")
	assert.DirExists(t, deep)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), nil, 0o600))
	assert.Error(t, MakeFolder(filepath.Join(dir, "file"), 0o700))
	assert.Error(t, MakeFolder(filepath.Join(dir, "file", "below"), 0o700))
}

// The folder itself is synced. Linux refuses that of /proc (EINVAL; fsync(2), from memory, and tried).
func TestSyncFolderSyncs(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("elsewhere there is no folder that cannot be synced")
	}
	assert.ErrorIs(t, SyncFolder("/proc"), syscall.EINVAL)
	assert.NoError(t, SyncFolder(t.TempDir()))
	assert.ErrorIs(t, SyncFolder(filepath.Join(t.TempDir(), "gone")), fs.ErrNotExist)
}
