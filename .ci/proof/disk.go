package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// disk is what a disk may hold of a folder after calls of a program: what must be on it,
// because it was synced, and what may be. A file's name is on it once its folder was synced.
type disk struct {
	root    string
	live    map[string]*file // by path, as the program sees them; folders, too
	durable map[string]*file
	pending []nameChange
	open    map[int]*handle
	touched *file   // written last
	closed  *handle // closed last
}

// file is a file or a folder.
type file struct {
	folder bool
	data   []byte
	synced []byte // what was there at the last sync
}

type handle struct {
	path   string
	of     *file
	offset int
	append bool
	write  bool
}

// nameChange is a name that was given or taken and is not yet on the disk.
type nameChange struct {
	path string
	of   *file // nil for taken
}

// newDisk is a folder as it is now, all of it synced.
func newDisk(root string) (*disk, error) {
	d := &disk{root: root, live: map[string]*file{}, open: map[int]*handle{}}
	err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		f := &file{folder: err == nil && e.IsDir()}
		if err == nil && !f.folder {
			f.data, err = os.ReadFile(path)
			f.synced = f.data
		}
		d.live[path] = f
		return err
	})
	d.durable = maps.Clone(d.live)
	return d, err
}

// copy is a disk with the same files, to go on with apart.
func (d *disk) copy() *disk {
	of := map[*file]*file{}
	for _, f := range d.live {
		copied := *f
		of[f] = &copied
	}
	other := &disk{root: d.root, live: map[string]*file{}, open: map[int]*handle{}}
	for path, f := range d.live {
		other.live[path] = of[f]
	}
	other.durable = maps.Clone(other.live)
	return other
}

// within tells whether a path is one of the disk's.
func (d *disk) within(path string) bool { return path == d.root || strings.HasPrefix(path, d.root+"/") }

// take does what a call did. What it cannot follow is an error.
func (d *disk) take(c call) error {
	paths := c.paths(d.root)
	if len(paths) > 0 && !d.within(paths[len(paths)-1]) && c.name != "write" && c.name != "pwrite64" {
		if strings.HasPrefix(c.name, "open") {
			delete(d.open, c.gave)
		}
		return nil
	}
	switch c.name {
	case "openat", "open":
		d.opened(c, paths[0])
	case "close":
		d.closed = d.open[c.number(0)]
		delete(d.open, c.number(0))
	case "write":
		return d.wrote(c, -1)
	case "pwrite64":
		return d.wrote(c, c.number(-1))
	case "ftruncate":
		if h := d.open[c.number(0)]; h != nil {
			h.of.resize(c.number(1))
		}
	case "fsync", "fdatasync":
		d.sync(d.open[c.number(0)])
	case "rename", "renameat", "renameat2":
		d.name(paths[1], d.live[paths[0]])
		d.name(paths[0], nil)
	case "link", "linkat":
		d.name(paths[1], d.live[paths[0]])
	case "unlink", "unlinkat", "rmdir":
		d.name(paths[0], nil)
	case "mkdir", "mkdirat":
		d.name(paths[0], &file{folder: true})
	default:
		return fmt.Errorf("a call that the proof cannot follow: %s(%s)", c.name, c.args)
	}
	return nil
}

func (d *disk) opened(c call, path string) {
	f := d.live[path]
	if f == nil {
		f = &file{}
		d.name(path, f)
	}
	if strings.Contains(c.args, "O_TRUNC") {
		f.resize(0)
	}
	d.open[c.gave] = &handle{path: path, of: f, append: strings.Contains(c.args, "O_APPEND"),
		write: strings.Contains(c.args, "O_WRONLY") || strings.Contains(c.args, "O_RDWR")}
}

func (d *disk) wrote(c call, at int) error {
	h := d.open[c.number(0)]
	if h == nil {
		return nil
	}
	if len(c.texts) != 1 || c.gave > len(c.texts[0]) {
		return fmt.Errorf("a write that the proof cannot follow: %d", c.gave)
	}
	switch {
	case h.append:
		at = len(h.of.data)
	case at < 0:
		at = h.offset
		h.offset += c.gave
	}
	data := bytes.Clone(h.of.data)
	if short := at + c.gave - len(data); short > 0 {
		data = append(data, make([]byte, short)...)
	}
	copy(data[at:], c.texts[0][:c.gave])
	h.of.data, d.touched = data, h.of
	return nil
}

func (f *file) resize(n int) {
	data := make([]byte, n)
	copy(data, f.data)
	f.data = data
}

// name gives a name to a file, or takes it.
func (d *disk) name(path string, f *file) {
	d.pending = append(d.pending, nameChange{path, f})
	apply(d.live, nameChange{path, f})
}

func apply(names map[string]*file, c nameChange) {
	if c.of == nil {
		delete(names, c.path)
	} else {
		names[c.path] = c.of
	}
}

// sync puts a file's content, or a folder's names, on the disk.
func (d *disk) sync(h *handle) {
	if h == nil {
		return
	}
	if !h.of.folder {
		h.of.synced = h.of.data
		return
	}
	d.pending = slices.DeleteFunc(d.pending, func(c nameChange) bool {
		here := filepath.Dir(c.path) == h.path
		if here {
			apply(d.durable, c)
		}
		return here
	})
}

// state is what a disk holds after a power cut: the files' contents by path.
type state map[string][]byte

// sector is the smallest piece that a disk writes whole, in bytes.
const sector = 512

// cuts are the states in which a power cut at this moment may leave the disk.
func (d *disk) cuts() map[string]state {
	all := map[string]state{
		"nothing that was not synced":   d.after(d.durable, func(f *file) []byte { return f.synced }),
		"names without content":         d.after(d.live, func(f *file) []byte { return f.synced }),
		"names and NULs for content":    d.after(d.live, func(f *file) []byte { return f.holed(0, len(f.data)) }),
		"synced names with all content": d.after(d.durable, func(f *file) []byte { return f.data }),
		"everything":                    d.after(d.live, func(f *file) []byte { return f.data }),
	}
	if d.touched == nil || bytes.Equal(d.touched.data, d.touched.synced) {
		return all
	}
	first := common(d.touched.data, d.touched.synced)
	one := func(what string, of func(*file) []byte) {
		all[what] = d.after(d.live, func(f *file) []byte {
			if f == d.touched {
				return of(f)
			}
			return f.data
		})
	}
	for at := first / sector * sector; at < len(d.touched.data); at += sector {
		one(fmt.Sprintf("without the sector at %d", at), func(f *file) []byte { return f.holed(at, at+sector) })
		for _, end := range []int{at, at + 1, at + sector/2} {
			if end > first && end < len(d.touched.data) {
				one(fmt.Sprintf("cut at byte %d", end), func(f *file) []byte { return f.data[:end] })
			}
		}
	}
	return all
}

func common(a, b []byte) (n int) {
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

// holed is the content with NULs for what is not synced between two offsets.
func (f *file) holed(from, to int) []byte {
	data := bytes.Clone(f.data)
	for i := max(from, common(f.data, f.synced)); i < min(to, len(data)); i++ {
		data[i] = 0
	}
	return data
}

// after is what the names lead to, as far as all folders above them are there.
func (d *disk) after(names map[string]*file, of func(*file) []byte) state {
	s := state{}
	for path, f := range names {
		there := !f.folder
		for above := filepath.Dir(path); there && above != d.root; above = filepath.Dir(above) {
			there = names[above] != nil
		}
		if there {
			s[path] = of(f)
		}
	}
	return s
}
