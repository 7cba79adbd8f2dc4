// Package atomicfile writes files that are there whole or not at all, also after a
// power cut: the content is synced before it gets its name, and the folder after.
package atomicfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Replace writes a file, in the place of one that may be there. Where path is a link,
// the file that it leads to is replaced and the link stays.
func Replace(path string, content []byte, mode fs.FileMode) error {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	return computer.write(path, content, mode, computer.rename)
}

// Create writes a new file. Its name is taken exclusively: where anything has that name
// already, by however little earlier, that stays as it is and the error wraps
// fs.ErrExist.
func Create(path string, content []byte, mode fs.FileMode) error {
	return computer.write(path, content, mode, computer.take)
}

// MakeFolder makes a folder and those above it that are missing, and syncs their names.
func MakeFolder(path string, mode fs.FileMode) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil
	}
	above := filepath.Dir(path)
	if above != path {
		if err := MakeFolder(above, mode); err != nil {
			return err
		}
	}
	// Somebody else may have made it meanwhile.
	if err := os.MkdirAll(path, mode); err != nil {
		return err
	}
	return computer.syncFolder(above)
}

// system is what is asked of the computer; tests let it fail.
type system struct {
	sync         func(*os.File) error
	chmod        func(*os.File, fs.FileMode) error
	rename, link func(from, to string) error
	syncFolder   func(string) error
}

var computer = system{(*os.File).Sync, (*os.File).Chmod, os.Rename, os.Link, SyncFolder}

// write writes the content under a name of its own beside path, then places it there.
func (s system) write(path string, content []byte, mode fs.FileMode, place func(from, to string) error) error {
	f, err := begin(path)
	if err != nil {
		return err
	}
	defer finish(f)
	_, err = f.Write(content)
	if err = errors.Join(err, s.allow(f, mode), s.sync(f), f.Close()); err != nil {
		return err
	}
	if err := placed(f, path, place); err != nil {
		return err
	}
	return s.syncFolder(filepath.Dir(path))
}

// allow sets who may read and write a file. A file system without permissions, as on
// many memory sticks, refuses that, and the file has those that all have there.
func (s system) allow(f *os.File, mode fs.FileMode) error {
	err := s.chmod(f, mode)
	if errors.Is(err, fs.ErrPermission) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return err
}

// take gives a file another name that nothing has.
func (s system) take(from, to string) error {
	err := s.link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	// A file system without hard links: an empty file takes the name.
	const private = 0o600
	empty, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, private)
	if err != nil {
		return err
	}
	if err := errors.Join(empty.Close(), s.rename(from, to)); err != nil {
		return errors.Join(err, os.Remove(to))
	}
	return nil
}
