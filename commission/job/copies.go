package job

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"

	"loopwitness/commission/journal"
)

// CopyLeft says that a copy, which was written when the journal of a visit failed, holds
// more than the journal does: the visit is gone on with once the copy is in its place.
type CopyLeft struct {
	Visit   Visit
	File    string // the copy
	Entries int    // in the copy
	// Left is how many entries the journal has; -1 where it cannot be read, or is gone.
	Left int
}

func (e *CopyLeft) Error() string {
	stands := "its journal is gone or cannot be read"
	if e.Left >= 0 {
		stands = fmt.Sprintf("its journal holds %d entries", e.Left)
	}
	return fmt.Sprintf("visit %s: %s, and a copy with %d entries lies in %s", e.Visit.Name, stands, e.Entries, e.File)
}

// rescued is the name of a copy: of which visit, where it lies in the job's folder, and
// with how many entries.
var rescued = regexp.MustCompile(`^(?:(.+)-)?journal\.jsonl\.rescued-after-(\d{1,9})(?:-\d+)?$`)

// left is a copy.
type left struct {
	file, visit string
	entries     int
}

// copiesIn are the copies in a folder.
func copiesIn(dir string) (all []left) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // there are none to be had
	}
	for _, e := range entries {
		if m := rescued.FindStringSubmatch(e.Name()); m != nil && e.Type().IsRegular() {
			n, _ := strconv.Atoi(m[2]) // at most nine digits
			all = append(all, left{filepath.Join(dir, e.Name()), m[1], n})
		}
	}
	return all
}

// copyLeft is a CopyLeft where there is a copy of a visit that holds more than its journal.
func (v Visit) copyLeft() error {
	copies := slices.DeleteFunc(copiesIn(v.folder.dir), func(l left) bool { return l.visit != v.Name })
	for _, l := range copiesIn(v.path()) {
		if l.visit == "" {
			copies = append(copies, l)
		}
	}
	if len(copies) == 0 {
		return nil
	}
	most := slices.MaxFunc(copies, func(a, b left) int { return cmp.Compare(a.entries, b.entries) })
	stands := -1
	if contents, err := journal.ReadFile(v.Journal()); err == nil {
		stands = len(contents.Entries)
	}
	if stands >= most.entries {
		return nil // it was put in its place
	}
	return &CopyLeft{Visit: v, File: most.file, Entries: most.entries, Left: stands}
}

// CopiesLeft are the visits that are to be gone on with from a copy.
func (f Folder) CopiesLeft() (all []*CopyLeft, err error) {
	visits, err := f.Visits()
	for _, v := range visits {
		var l *CopyLeft
		if errors.As(v.Unread, &l) {
			all = append(all, l)
		}
	}
	return all, err
}

// names are those of the folders that may be visits, and of visits of which only a copy in
// the job's folder is left.
func (f Folder) names() ([]string, error) {
	entries, err := os.ReadDir(filepath.Join(f.dir, visitsFolder))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if !e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	for _, l := range copiesIn(f.dir) {
		if l.visit != "" {
			names = append(names, l.visit)
		}
	}
	slices.Sort(names)
	return slices.Compact(names), nil
}
