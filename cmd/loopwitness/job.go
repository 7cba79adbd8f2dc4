package main

import (
	"errors"
	"fmt"

	"loopwitness/commission/job"
)

// command is what to type next for a job.
func command(f job.Folder, words string) string {
	if f.Dir() != "." {
		words += " --job " + f.Dir()
	}
	return "loopwitness " + words
}

// advised adds to an error about a job what to type.
func advised(f job.Folder, err error) error {
	switch {
	case errors.Is(err, job.ErrNoSite):
		return fmt.Errorf("%w; write one with: loopwitness site new, or name the job's folder with --job", err)
	case errors.Is(err, job.ErrNone):
		return fmt.Errorf("%w; begin one with: %s", err, command(f, "visit start"))
	case errors.Is(err, job.ErrNoVisit):
		return fmt.Errorf("%w; see: %s", err, command(f, "visit show --list"))
	case errors.Is(err, job.ErrOrder):
		return fmt.Errorf("%w; name one with --visit, see: %s", err, command(f, "visit show --list"))
	}
	return err
}
