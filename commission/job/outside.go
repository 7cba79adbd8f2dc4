package job

import (
	"errors"
	"fmt"
	"path/filepath"
)

// ErrOutside says that a visit lies elsewhere than in the job's folder: a link leads out of
// it. What is written for a visit must not land anywhere else.
var ErrOutside = errors.New("it lies outside the job's folder, where a link leads; " +
	"copy the visit itself into the folder")

// outside is an error (ErrOutside) for a visit whose folder, journal or photographs lie
// elsewhere than where they are named.
func (v Visit) outside() error {
	visits, err := filepath.EvalSymlinks(filepath.Join(v.folder.dir, visitsFolder))
	if err != nil {
		return nil // there is none
	}
	for _, part := range []string{"", filepath.Base(v.Journal()), "photographs"} {
		is, err := filepath.EvalSymlinks(v.path(part))
		if err == nil && is != filepath.Join(visits, v.Name, part) {
			return fmt.Errorf("%s: %w", v.path(part), ErrOutside)
		}
	}
	return nil
}
