package visit

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// ErrJournal says that the journal was changed by something else, or could not be written.
// What memory held of it was told to be elsewhere, as far as that could be had.
var ErrJournal = errors.New("the journal of the visit failed")

// proveJournal holds the journal against what was written, byte by byte, and where the
// visit is complete, reads it as anybody else would.
func (v *Visit) proveJournal(complete bool) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.failed != nil || v.journal.Failed() != nil || v.journal.Path() == "" {
		return nil // it is told already, or there is no file to be read
	}
	if !complete {
		v.failed = v.journal.Compare()
		return v.failed
	}
	contents, err := v.journal.Reread()
	if err == nil {
		_, err = record.Fold(contents.Entries)
	}
	v.failed = err
	return err
}

// onlyDurable leaves in the record what is on disk, once nothing more is to be done about
// what the journal could not take.
func (v *Visit) onlyDurable() error {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.journal.Failed() == nil {
		return nil
	}
	return v.refold(v.journal.Durable())
}

// refold makes the record again of entries.
func (v *Visit) refold(contents journal.Contents, err error) error {
	if err != nil || len(contents.Entries) == 0 {
		return err
	}
	folded, err := record.Fold(contents.Entries)
	if err == nil {
		v.record = folded
	}
	return err
}

// rescue tells what became of a journal that failed, and where a copy of all that memory
// holds of it was put. It returns ErrJournal for such a journal.
func (v *Visit) rescue() error {
	v.mu.Lock()
	defer v.mu.Unlock()
	path, failed := v.journal.Path(), v.journal.Failed()
	if failed == nil || path == "" {
		return nil
	}
	v.operator.Tell(ask.JournalFailed{Journal: path, Why: failed})
	defer v.tellOff()
	if errors.Is(failed, journal.ErrLockRemoved) {
		return fmt.Errorf("%w: %w", ErrJournal, failed) // the file is as it was written
	}
	file, entries, err := v.journal.Rescue(append(v.refuges, os.TempDir())...)
	if err != nil {
		v.operator.Tell(ask.NotRescued{Journal: path, Why: err})
	} else {
		v.operator.Tell(ask.Rescued{File: file, Entries: entries})
		v.operator.Tell(goOnSteps(file, path)...)
	}
	return fmt.Errorf("%w: %w", ErrJournal, failed)
}

// goOnSteps are the steps to go on with a copy of a journal, as the disk is now.
func goOnSteps(file, path string) []ask.Notice {
	_, folder := os.Stat(filepath.Dir(path))
	_, stands := os.Lstat(path)
	return ask.GoOnSteps(file, path, folder == nil, stands == nil)
}

// tellOff tells what the run has switched off on its way out.
func (v *Visit) tellOff() {
	if len(v.wentOff) > 0 {
		v.operator.Tell(ask.StandsOff{Outputs: v.wentOff})
	}
}
