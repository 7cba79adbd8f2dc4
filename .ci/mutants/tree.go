package main

import (
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"time"
)

// tree is a copy of the work tree in which tests run: a mutant may well write
// where it should not.
type tree struct {
	from, dir string
	scratch   string // for temporary files
	files     map[string]stamp
}

type stamp struct {
	size    int64
	changed time.Time
}

func newTree(from, in string) (*tree, error) {
	t := &tree{from: from, dir: filepath.Join(in, "tree"), scratch: filepath.Join(in, "tmp")}
	return t, t.renew()
}

// clean makes the copy whole again after a run, and empties the scratch folder.
func (t *tree) clean() error {
	now, err := stamps(t.dir)
	if err == nil && maps.Equal(now, t.files) {
		return t.empty()
	}
	return t.renew()
}

func (t *tree) renew() error {
	if err := os.RemoveAll(t.dir); err != nil {
		return err
	}
	if err := copyFiles(t.from, t.dir); err != nil {
		return err
	}
	files, err := stamps(t.dir)
	if err != nil {
		return err
	}
	t.files = files
	return t.empty()
}

func (t *tree) empty() error {
	if err := os.RemoveAll(t.scratch); err != nil {
		return err
	}
	return os.MkdirAll(t.scratch, 0o700)
}

// copyFiles copies all regular files but git's.
func copyFiles(from, to string) error {
	return filepath.WalkDir(from, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(from, path)
		switch {
		case err != nil:
			return err
		case d.Name() == ".git" && d.IsDir():
			return fs.SkipDir
		case d.IsDir():
			return os.MkdirAll(filepath.Join(to, name), 0o755)
		case d.Name() == ".git" || !d.Type().IsRegular():
			return nil
		}
		return copyFile(path, filepath.Join(to, name))
	})
}

func copyFile(from, to string) error {
	info, err := os.Stat(from)
	if err != nil {
		return err
	}
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, data, info.Mode().Perm())
}

// stamps are size and time of change of all files.
func stamps(dir string) (map[string]stamp, error) {
	found := map[string]stamp{}
	return found, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			found[path] = stamp{info.Size(), info.ModTime()}
		}
		return err
	})
}
