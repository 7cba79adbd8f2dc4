package german

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
)

// journalNotice says what becomes of a journal that fails.
func (Language) journalNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.JournalFailed:
		return journalFailed(n)
	case ask.Rescued:
		return fmt.Sprintf("All %d entries are kept in %s. To go on:", n.Entries, n.File)
	case ask.GoOnStep:
		return fmt.Sprintf("  %d. %s", n.Number, goOnStep(n))
	case ask.StandsOff:
		return "Switched off: " + strings.Join(n.Outputs, ", ") + "."
	case ask.NotRescued:
		return fmt.Sprintf("NO COPY OF THE JOURNAL COULD BE WRITTEN (%v). What %s holds is all that is left: make room, "+
			"look at it, and resume the visit.", n.Why, n.Journal)
	}
	return ""
}

// what is why a journal failed, without that something else has changed it.
func what(why error) string {
	said := strings.TrimPrefix(why.Error(), journal.ErrLockRemoved.Error()+": ")
	return strings.TrimPrefix(said, journal.ErrChanged.Error()+": ")
}

func goOnStep(n ask.GoOnStep) string {
	switch n.Do {
	case ask.MakeFolder:
		return fmt.Sprintf("Make the folder %s again, or move it back to there and rename the journal in it.",
			filepath.Dir(n.Journal))
	case ask.RenameStands:
		return fmt.Sprintf("Rename what stands as %s now.", n.Journal)
	}
	return fmt.Sprintf("Copy %s to %s.", n.File, n.Journal)
}

func journalFailed(n ask.JournalFailed) string {
	switch {
	case errors.Is(n.Why, journal.ErrLockRemoved):
		return fmt.Sprintf("THE VISIT STOPS: a lock beside %s was removed, so that another program might write it, or "+
			"run a visit of this job, too (%v). What was answered is kept. See that nothing else uses the "+
			"folder, and resume the visit.", n.Journal, what(n.Why))
	case errors.Is(n.Why, journal.ErrChanged):
		return fmt.Sprintf("THE VISIT STOPS: something else has changed its journal, %s (%v). See that no other program "+
			"synchronises, moves or cleans the folder.", n.Journal, what(n.Why))
	}
	return fmt.Sprintf("THE VISIT STOPS: its journal, %s, cannot be written (%v).", n.Journal, n.Why)
}
