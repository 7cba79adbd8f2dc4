//go:build unix

package atomicfile

import (
	"errors"
	"os"
)

// SyncFolder makes the names of new files in a folder durable.
func SyncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
