//go:build unix

package journal

import (
	"errors"
	"os"
)

// syncDir makes a new file's name durable.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
