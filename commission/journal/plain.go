package journal

import (
	"errors"
	"fmt"
	"os"
)

// ErrNoFile says that what stands under a name is no plain file: a folder, a device, a
// pipe that would let a reader wait for ever.
var ErrNoFile = errors.New("it is not a file, or none that holds data")

// private is who may read and write the files of a visit; privateFolder is its folder.
const (
	private       = 0o600
	privateFolder = 0o700
)

// plain tells why a name leads to no plain file; links are followed.
func plain(name string) error {
	info, err := os.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s: %w", name, ErrNoFile)
	}
	return err
}

// OpenPlain opens a plain file for reading; anything else is refused (ErrNoFile) without
// waiting for it.
func OpenPlain(name string) (*os.File, error) { return openPlain(name, os.O_RDONLY) }

func openPlain(name string, flag int) (*os.File, error) {
	if err := plain(name); err != nil {
		return nil, err
	}
	// Between the two something else may have taken the name.
	f, err := os.OpenFile(name, flag|notWaiting, private)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s: %w", name, ErrNoFile)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}
