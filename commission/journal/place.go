package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// ErrChanged says that something else has changed the journal of a visit while it was
// written. What, is said by one of those that wrap it.
var ErrChanged = errors.New("the journal was changed by something else")

// What can have happened to a journal.
var (
	ErrRemoved     = fmt.Errorf("%w: it was removed", ErrChanged)
	ErrMoved       = fmt.Errorf("%w: it was moved, or its folder was", ErrChanged)
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
}

// unchanged tells what somebody else has done to a journal of that many bytes.
func (p *place) unchanged(size int64) error {
	mine, err := p.file.Stat()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrChanged, err)
	}
	there, err := os.Stat(p.path)
	switch {
	case err != nil:
		return p.gone(mine, err)
	case !os.SameFile(mine, there):
		return ErrReplaced
	case mine.Size() < size:
		return fmt.Errorf("%w: %d of %d bytes are left", ErrShortened, mine.Size(), size)
	case mine.Size() > size:
		return fmt.Errorf("%w: %d bytes instead of %d", ErrLonger, mine.Size(), size)
	case p.lock != nil && !p.lock.stands():
		return ErrLockRemoved
	}
	return nil
}

// gone tells why the name leads nowhere.
func (p *place) gone(mine fs.FileInfo, err error) error {
	switch {
	case !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w: %w", ErrChanged, err)
	case unlinked(mine):
		return ErrRemoved
	}
	// Linux tells the name that an open file has now.
	if now, err := os.Readlink(fmt.Sprintf("/proc/self/fd/%d", p.file.Fd())); err == nil {
		return fmt.Errorf("%w: it is %s now", ErrMoved, now)
	}
	return ErrMoved
}
