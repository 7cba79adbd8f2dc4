//go:build unix

package atomicfile

import (
	"errors"
	"os"
	"syscall"
)

// SyncFolder makes the names of new files in a folder durable, where the file system can
// sync a folder at all; some that are reached over a network cannot (fsync(2): EINVAL).
func SyncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		err = nil
	}
	return errors.Join(err, d.Close())
}
