package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// private is who may read and write the files of a visit; privateFolder is its folder.
const (
	private       = 0o600
	privateFolder = 0o700
)

// ErrChanged says that something else has changed the journal of a visit while it was
// written. What, is said by one of those that wrap it.
var ErrChanged = errors.New("the journal was changed by something else")

// What can have happened to a journal.
var (
	ErrRemoved     = fmt.Errorf("%w: it was removed", ErrChanged)
	ErrMoved       = fmt.Errorf("%w: it was moved, or its folder was", ErrChanged)
	ErrLinked      = fmt.Errorf("%w, and a link stands in its place", ErrMoved)
	ErrReplaced    = fmt.Errorf("%w: another file stands in its place", ErrChanged)
	ErrShortened   = fmt.Errorf("%w: it was cut", ErrChanged)
	ErrLonger      = fmt.Errorf("%w: something was added to it", ErrChanged)
	ErrRewritten   = fmt.Errorf("%w: other bytes stand in it", ErrChanged)
	ErrLockRemoved = fmt.Errorf("%w: its lock was removed, so that others may write it, too", ErrChanged)
)

// place is where a journal is, as far as it can be seen from outside: its name, the file
// that was opened under it, and the lock beside it.
type place struct {
	path string
	file *os.File
	lock *Lock
	more *Lock // see Watch
}

// unchanged tells what somebody else has done to a journal of that many bytes.
func (p *place) unchanged(size int64) error {
	mine, err := p.file.Stat()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrChanged, err)
	}
	there, err := os.Lstat(p.path)
	switch {
	case err != nil:
		return p.gone(mine, err)
	case linked(there, p.path):
		return ErrLinked
	case !os.SameFile(mine, there):
		return ErrReplaced
	case mine.Size() < size:
		return fmt.Errorf("%w: %d of %d bytes are left", ErrShortened, mine.Size(), size)
	case mine.Size() > size:
		return fmt.Errorf("%w: %d bytes instead of %d", ErrLonger, mine.Size(), size)
	}
	for _, lock := range []*Lock{p.lock, p.more} {
		if lock != nil && !lock.stands() {
			return fmt.Errorf("%w: %s", ErrLockRemoved, lock.lock.Path())
		}
	}
	return nil
}

// linked tells whether a file, or its folder, is a link. Visits are not read through links
// that lead out of their job.
func linked(file fs.FileInfo, path string) bool {
	folder, err := os.Lstat(filepath.Dir(path))
	return file.Mode()&fs.ModeSymlink != 0 || err == nil && folder.Mode()&fs.ModeSymlink != 0
}

// gone tells why the name leads nowhere.
func (p *place) gone(mine fs.FileInfo, err error) error {
	switch {
	case !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w: %w", ErrChanged, err)
	case unlinked(mine):
		return ErrRemoved
	}
	if now := p.now(); now != "" {
		return fmt.Errorf("%w: it is %s now", ErrMoved, now)
	}
	return ErrMoved
}

// now is the name that the journal has now, which Linux tells; "" where it is not known.
func (p *place) now() string {
	now, err := os.Readlink(fmt.Sprintf("/proc/self/fd/%d", p.file.Fd()))
	if err != nil {
		return ""
	}
	return now
}
