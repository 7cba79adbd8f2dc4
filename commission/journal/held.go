package journal

import (
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/gofrs/flock"

	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/readfile"
)

// Lock is held by one process, and dies with it.
type Lock struct{ lock *flock.Flock }

// Hold takes the lock of a name, a small file that is made if need be. Who else holds it
// stands in the error, which wraps ErrHeld then.
func Hold(name string) (*Lock, error) {
	if err := readfile.Ordinary(name); err != nil {
		return nil, fmt.Errorf("lock the visit: %w", err)
	}
	lock := &Lock{flock.New(name, flock.SetPermissions(private))}
	got, err := lock.lock.TryLock()
	switch {
	case err != nil:
		return nil, fmt.Errorf("lock the visit: %w", err)
	case !got:
		return nil, heldBy(name)
	case !lock.stands(): // it was removed, and perhaps made again, before it was locked
		return nil, errors.Join(fmt.Errorf("lock the visit: %w", ErrLockRemoved), lock.Release())
	}
	// Only for the message; where a locked file cannot be written, it is shorter.
	host, _ := os.Hostname()
	who := fmt.Appendf(nil, "process %d on %s since %s", os.Getpid(), host, time.Now().Format(time.DateTime))
	_ = os.WriteFile(name, who, private)
	return lock, nil
}

// Release lets the lock go.
func (l *Lock) Release() error { return l.lock.Unlock() }

// stands tells whether the file that is locked is the one that its name leads to.
func (l *Lock) stands() bool {
	mine, err := l.lock.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(l.lock.Path())
	return err == nil && os.SameFile(mine, there)
}

// hold takes the lock beside a journal.
func hold(path string) (*Lock, error) { return Hold(path + ".lock") }

// Held is ErrHeld with the process that writes a journal now; nil for none, and where that
// cannot be told.
func Held(path string) error {
	name := path + ".lock"
	if _, err := os.Stat(name); err != nil || readfile.Ordinary(name) != nil {
		return nil
	}
	lock := flock.New(name)
	if got, err := lock.TryLock(); got || err != nil {
		if got {
			_ = lock.Unlock()
		}
		return nil
	}
	return heldBy(name)
}

// longestHolder bounds what is said of who holds a lock, in bytes: anybody may have
// written it.
const longestHolder = 200

// heldBy is ErrHeld with the process that a lock names.
func heldBy(name string) error {
	who, err := readfile.Beginning(name, longestHolder)
	if err != nil || len(who) == 0 {
		return fmt.Errorf("%w: an unknown process", ErrHeld)
	}
	return fmt.Errorf("%w: %s", ErrHeld, oneline.Clean(string(who)))
}
