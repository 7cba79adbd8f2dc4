package job

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
)

var (
	// ErrNoVisit says that the job has no such visit.
	ErrNoVisit = errors.New("no such visit")
	// ErrNone is ErrNoVisit where none was named: there is none yet, or none to go on
	// with. One may be begun.
	ErrNone = fmt.Errorf("%w", ErrNoVisit)
	// ErrOrder says that the beginning of a visit cannot be read, and with it not which is the newest.
	ErrOrder = errors.New("it cannot be told which visit is the newest")
)

const visitsFolder = "visits"

// Visits are the job's visits in the order in which they were begun. Those that never
// began stand first, and those last of which it cannot be told when.
func (f Folder) Visits() ([]Visit, error) {
	names, err := f.names()
	if err != nil {
		return nil, err
	}
	var all []Visit
	for _, name := range names {
		if v, err := f.visit(name); err == nil {
			all = append(all, v)
		}
	}
	slices.SortFunc(all, inOrder)
	return all, nil
}

func inOrder(a, b Visit) int {
	return cmp.Or(cmp.Compare(rank(a), rank(b)), a.Begun.Compare(b.Begun), byName(a.Name, b.Name))
}

// passedOver tells whether a visit counts for no order.
func passedOver(v Visit) bool {
	return errors.Is(v.Unread, ErrNeverBegan) || errors.Is(v.Unread, ErrOutside)
}

func rank(v Visit) int {
	switch {
	case passedOver(v):
		return -1
	case v.Unread != nil:
		return 1
	}
	return 0
}

var numbered = regexp.MustCompile(`^(.*[^0-9]-)(\d{1,9})$`)

// byName orders names with a number behind a word by that number: handover, handover-2,
// handover-10.
func byName(a, b string) int {
	wordA, numberA := split(a)
	wordB, numberB := split(b)
	return cmp.Or(cmp.Compare(wordA, wordB), cmp.Compare(numberA, numberB), cmp.Compare(a, b))
}

func split(name string) (word string, number int) {
	m := numbered.FindStringSubmatch(name)
	if m == nil {
		return name + "-", 1
	}
	number, _ = strconv.Atoi(m[2]) // at most nine digits
	return m[1], number
}

// Visit is the visit of that name; an empty name stands for the newest. Errors wrap
// ErrNoVisit or ErrNone, or say why it cannot be read.
func (f Folder) Visit(name string) (Visit, error) {
	if name == "" {
		return f.Newest()
	}
	if name != filepath.Base(name) || !filepath.IsLocal(name) || name == "." {
		return Visit{}, fmt.Errorf("%w: %q is no name of a visit", ErrNoVisit, name)
	}
	v, err := f.visit(name)
	if err != nil {
		return Visit{}, fmt.Errorf("%w: %s", ErrNoVisit, v.Journal())
	}
	return v, v.Unread
}

// Newest is the visit begun last that was not set aside. Errors wrap ErrNone or ErrOrder.
func (f Folder) Newest() (Visit, error) {
	all, err := f.began()
	if err != nil {
		return Visit{}, err
	}
	for _, v := range slices.Backward(all) {
		if v.Discarded() == nil {
			return v, f.newerOutside(v)
		}
	}
	if len(all) > 0 {
		return Visit{}, fmt.Errorf("%w: all visits of %s were set aside", ErrNone, f.dir)
	}
	return Visit{}, f.none(fmt.Sprintf(": %s has no visits yet", f.dir))
}

// newerOutside is ErrOrder where a visit that lies outside of the job may be newer than the one that
// would be taken for the newest.
func (f Folder) newerOutside(than Visit) error {
	visits, err := f.Visits()
	for _, v := range visits {
		if errors.Is(v.Unread, ErrOutside) && (v.Begun.IsZero() || v.Begun.After(than.Begun)) {
			return fmt.Errorf("%w: visit %s is not read: %w", ErrOrder, v.Name, v.Unread)
		}
	}
	return err
}

// Unfinished is the newest visit that still has open steps and was not set aside. Errors wrap ErrNone or
// ErrOrder, or say why a newer visit cannot be read.
func (f Folder) Unfinished() (Visit, error) {
	all, err := f.began()
	if err != nil {
		return Visit{}, err
	}
	for _, v := range slices.Backward(all) {
		r, err := v.Record()
		if err != nil {
			return Visit{}, err
		}
		if !r.Done() && r.Discarded() == nil {
			return f.alone(v)
		}
	}
	what := "every visit is finished or was set aside"
	if len(all) == 0 {
		what = "there is none yet"
	}
	return Visit{}, f.none(fmt.Sprintf(" to go on with, %s", what))
}

// none is ErrNone, or says why a visit that is there is not read.
func (f Folder) none(what string) error {
	visits, _ := f.Visits()
	for _, v := range visits {
		if errors.Is(v.Unread, ErrOutside) {
			return fmt.Errorf("%w: visit %s is not read: %w", ErrNone, v.Name, v.Unread)
		}
	}
	return fmt.Errorf("%w%s", ErrNone, what)
}

// began are the visits that have a first entry, in their order.
func (f Folder) began() ([]Visit, error) {
	all, err := f.Visits()
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, passedOver)
	if n := len(all); n > 0 && all[n-1].Unread != nil {
		return nil, fmt.Errorf("%w: %w", ErrOrder, all[n-1].Unread)
	}
	return all, nil
}
