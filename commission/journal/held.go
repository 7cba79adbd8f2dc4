package journal

import (
	"os"

	"github.com/gofrs/flock"
)

// Held is who writes a journal now: its process, as it named itself; "" for nobody, and
// where that cannot be told.
func Held(path string) string {
	name := path + ".lock"
	if _, err := os.Stat(name); err != nil {
		return ""
	}
	lock := flock.New(name)
	if got, err := lock.TryLock(); got || err != nil {
		if got {
			_ = lock.Unlock()
		}
		return ""
	}
	who, _ := os.ReadFile(name)
	if len(who) == 0 {
		return "an unknown process"
	}
	return string(who)
}
