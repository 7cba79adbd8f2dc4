package journal

import (
	"fmt"
	"os"

	"github.com/gofrs/flock"

	"loopwitness/commission/kit/readfile"
)

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

// heldBy is ErrHeld with the process that a lock names.
func heldBy(lock string) error {
	const longest = 1 << 10
	who, err := readfile.Beginning(lock, longest)
	if err != nil || len(who) == 0 {
		return fmt.Errorf("%w: an unknown process", ErrHeld)
	}
	return fmt.Errorf("%w: %s", ErrHeld, who)
}
