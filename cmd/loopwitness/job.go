package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/screen"
)

// command is what to type next for a job.
func command(f job.Folder, words string) string {
	if f.Dir() != "." {
		words += " --job " + f.Dir()
	}
	return "loopwitness " + words
}

// fromCopy says how a visit is gone on with from a copy of its journal.
func fromCopy(f job.Folder, l *job.CopyLeft) error {
	path := l.Visit.Journal()
	_, folder := os.Stat(filepath.Dir(path))
	_, stands := os.Lstat(path)
	text := l.Error() + ". To go on:"
	for _, step := range ask.GoOnSteps(l.File, path, folder == nil, stands == nil) {
		text += "\n" + english.Say(step)
	}
	return errors.New(text + "\nThen: " + command(f, "visit resume --visit "+l.Visit.Name) +
		"\nA copy that is not wanted is moved out of the job's folder.")
}

// copiesLeft refuses to begin a visit beside one that is to be gone on with from a copy.
func copiesLeft(f job.Folder) error {
	all, err := f.CopiesLeft()
	if err == nil && len(all) > 0 {
		err = fmt.Errorf("%w\nOr begin another visit beside it with --beside", fromCopy(f, all[0]))
	}
	return err
}

// twins tells of other folders that hold the same visit.
func (s streams) twins(f job.Folder, v job.Visit) error {
	names, err := f.Twins(v)
	if err == nil && len(names) > 0 {
		_, err = fmt.Fprintln(s.err, screen.Clean(fmt.Sprintf("visits %s and %s: %v; this is %s", v.Name,
			strings.Join(names, ", "), job.ErrTwins, v.Name)))
	}
	return err
}

// advised adds to an error about a job what to type.
func advised(f job.Folder, err error) error {
	var left *job.CopyLeft
	switch {
	case errors.As(err, &left):
		return fromCopy(f, left)
	case errors.Is(err, job.ErrTwins):
		return fmt.Errorf("%w. Name the one to go on with: %s; and move the copy out of the folder visits", err,
			command(f, "visit resume --visit …"))
	case errors.Is(err, job.ErrOrder):
		return fmt.Errorf("%w; name one with --visit, see: %s", err, command(f, "visit show --list"))
	case errors.Is(err, job.ErrOutside):
		return err
	case errors.Is(err, job.ErrNoSite):
		return fmt.Errorf("%w; write one with: loopwitness site new, or name the job's folder with --job", err)
	case errors.Is(err, job.ErrNone):
		return fmt.Errorf("%w; begin one with: %s", err, command(f, "visit start --kind handover")+" (or another kind)")
	case errors.Is(err, job.ErrNoVisit):
		return fmt.Errorf("%w; see: %s", err, command(f, "visit show --list"))
	}
	return err
}
