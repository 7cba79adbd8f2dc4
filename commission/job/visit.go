package job

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/record"
)

// ErrNeverBegan says that power failed before the first entry was written; there is nothing in
// such a visit.
var ErrNeverBegan = errors.New("the visit ended before its first entry was written; " +
	"begin another, and remove its folder")

// Visit is one visit of a job.
type Visit struct {
	Name  string
	Begun time.Time // by its first entry
	// Unread says why the first entry could not be read, and with it when the visit
	// was begun. It wraps ErrNeverBegan where there is none.
	Unread error

	folder Folder
	first  string // the hash of its first entry
}

func (v Visit) path(parts ...string) string {
	return filepath.Join(append([]string{v.folder.dir, visitsFolder, v.Name}, parts...)...)
}

// Journal is the path of its journal.
func (v Visit) Journal() string { return v.path("journal.jsonl") }

// Contents reads its journal, without holding it. Errors wrap those of journal.Read, or
// ErrNeverBegan.
func (v Visit) Contents() (journal.Contents, error) {
	if err := v.outside(); err != nil {
		return journal.Contents{}, err
	}
	if errors.As(v.Unread, new(*CopyLeft)) {
		return journal.Contents{}, v.Unread // it lacks what the copy holds
	}
	contents, err := journal.ReadFile(v.Journal())
	if err == nil && len(contents.Entries) == 0 {
		err = fmt.Errorf("%s: %w", v.Journal(), ErrNeverBegan)
	}
	return contents, err
}

// Record folds its journal, without holding it.
func (v Visit) Record() (*record.Record, error) {
	contents, err := v.Contents()
	if err != nil {
		return nil, err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", v.Journal(), err)
	}
	return r, nil
}

// maxFirst bounds the first entry, in bytes. It holds the site file, of at most 1 MiB, the
// programme, of which a thousand detectors take 300 KiB in all, and what is taken in of
// earlier visits: see record.MostRemembered.
const maxFirst = 32 << 20

// begun is when a journal was begun, and the hash of its first entry, which alone is read.
func begun(path string) (at time.Time, first string, err error) {
	f, err := readfile.Open(path)
	if err != nil {
		return time.Time{}, "", err
	}
	defer f.Close()
	line, err := bufio.NewReader(io.LimitReader(f, maxFirst)).ReadBytes('\n')
	switch {
	case errors.Is(err, io.EOF) && len(line) == maxFirst:
		return time.Time{}, "", fmt.Errorf("%s: %w: its first line is too long", path, journal.ErrDamaged)
	case errors.Is(err, io.EOF):
		return time.Time{}, "", fmt.Errorf("%s: %w", path, ErrNeverBegan)
	case err != nil:
		return time.Time{}, "", err
	}
	c, err := journal.Read(bytes.NewReader(line))
	switch {
	case err == nil && len(c.Entries) == 0: // a sector of the line was never written; see what stands behind it
		if _, err = journal.ReadFile(path); err == nil {
			err = fmt.Errorf("%s: %w", path, ErrNeverBegan)
		}
		return time.Time{}, "", err
	case err != nil:
		return time.Time{}, "", fmt.Errorf("%s: %w", path, err)
	}
	return c.Entries[0].At, c.Head, nil
}

// visit is the visit of that name with the time of its beginning; an error that wraps
// fs.ErrNotExist if it has no journal.
func (f Folder) visit(name string) (Visit, error) {
	v := Visit{Name: name, folder: f}
	v.Begun, v.first, v.Unread = begun(v.Journal())
	if left := v.copyLeft(); left != nil {
		v.Unread = left
		return v, nil
	}
	if errors.Is(v.Unread, fs.ErrNotExist) {
		return v, v.Unread
	}
	if err := v.outside(); err != nil {
		v.Unread = err
	}
	return v, nil
}

// First is the hash of its first entry, in hexadecimal, by which it is the same visit wherever its
// folder lies; "" where that cannot be read.
func (v Visit) First() string { return v.first }
