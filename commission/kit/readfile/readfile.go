// Package readfile opens the files that somebody named: ordinary ones only, without
// waiting, and up to a length. A named pipe would keep whoever opens it waiting for ever,
// a device can do anything, and a link to /dev/zero never ends. A link to an ordinary file
// is followed. The standard input under the name of a file (/dev/stdin) is taken where it
// is an ordinary file, and refused where it is a pipe or a terminal.
package readfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

var (
	// ErrNotOrdinary says that what has the name is no ordinary file.
	ErrNotOrdinary = errors.New("not a file")
	// ErrTooLong says that a file is longer than any of its kind is.
	ErrTooLong = errors.New("too long")
)

// Open opens an ordinary file to be read. Errors wrap ErrNotOrdinary or say what the
// system says.
func Open(path string) (*os.File, error) { return OpenFor(path, os.O_RDONLY) }

// OpenFor is Open with other flags than those for reading, of a file that is there.
func OpenFor(path string, flag int) (*os.File, error) {
	info, err := os.Stat(path) // before it is opened: opening alone can do something to a device
	if err == nil {
		err = ordinary(path, info)
	} else if _, link := os.Lstat(path); link == nil && errors.Is(err, fs.ErrNotExist) {
		// Somebody meant a file to be there: it is not as if there were none.
		err = &fs.PathError{Op: "open", Path: path, Err: errors.New("it is a link to a file that is not there")}
	}
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, flag|withoutWaiting, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil { // it may be another by now
		err = ordinary(path, info)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// Ordinary is an error that wraps ErrNotOrdinary where something stands at a path that is
// no ordinary file; nil also where nothing stands there.
func Ordinary(path string) error {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return ordinary(path, info)
}

func ordinary(path string, info fs.FileInfo) error {
	mode := info.Mode()
	what := "something else"
	switch {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		what = "a folder"
	case mode&fs.ModeNamedPipe != 0:
		what = "a pipe; write what comes out of it to a file first"
	case mode&fs.ModeSocket != 0:
		what = "a socket"
	case mode&fs.ModeDevice != 0:
		what = "a device"
	}
	return &fs.PathError{Op: "open", Path: path, Err: fmt.Errorf("it is %w, but %s", ErrNotOrdinary, what)}
}

// All is a whole file of at most so many bytes; a longer one is an error that wraps
// ErrTooLong, and is not read.
func All(path string, longest int64) ([]byte, error) {
	data, err := Beginning(path, longest+1)
	if err == nil && int64(len(data)) > longest {
		why := fmt.Errorf("it is %w: more than %s", ErrTooLong, size(longest))
		return nil, &fs.PathError{Op: "read", Path: path, Err: why}
	}
	return data, err
}

// Beginning is a file's content, at most so many bytes of it.
func Beginning(path string, most int64) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	return data, nil
}

func size(bytes int64) string {
	switch {
	case bytes >= 1<<20:
		return fmt.Sprintf("%d MiB", bytes>>20)
	case bytes >= 1<<10:
		return fmt.Sprintf("%d KiB", bytes>>10)
	}
	return fmt.Sprintf("%d bytes", bytes)
}
