package job

import (
	"errors"
	"fmt"
	"path/filepath"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/atomicfile"
)

// ErrRunning says that a visit of the job is running: two would energise the same outputs
// and take each other's signals for answers.
var ErrRunning = errors.New("a visit of this job is running already; pause it there first (Ctrl-C)")

// Run keeps the job for one running visit, on this computer, until the lock is released or
// the process ends. Errors wrap ErrRunning, and say by whom it is kept.
func (f Folder) Run() (*journal.Lock, error) {
	visits := filepath.Join(f.dir, visitsFolder)
	if err := atomicfile.MakeFolder(visits, privateFolder); err != nil {
		return nil, err
	}
	lock, err := journal.Hold(filepath.Join(visits, "running.lock"))
	if errors.Is(err, journal.ErrHeld) {
		return nil, fmt.Errorf("%w: %w", ErrRunning, err)
	}
	return lock, err
}

// privateFolder is who may use the folders of a visit.
const privateFolder = 0o700

// Refuges are folders that take a copy of a journal where the visit's own does not.
func (f Folder) Refuges() []string { return []string{f.dir} }
