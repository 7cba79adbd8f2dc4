package ask

// What becomes of a journal that fails.
type (
	// JournalFailed tells that the journal cannot be written any more, or is no longer what
	// was written into it.
	JournalFailed struct {
		Journal string
		Why     error
	}
	// Rescued tells where a copy of all entries is.
	Rescued struct {
		File    string
		Entries int
	}
	// GoOnStep is one of the steps, from 1, after which a visit goes on with a copy of its journal.
	GoOnStep struct {
		Number        int
		Do            GoOn
		File, Journal string
	}
	// StandsOff tells, as the last of a visit that stops, that what was on is switched off.
	StandsOff struct{ Outputs []string }
	// NotRescued tells that no folder took a copy.
	NotRescued struct {
		Journal string
		Why     error
	}
)

// GoOn is what one does before a visit goes on with a copy of its journal.
type GoOn string

const (
	MakeFolder   GoOn = "make-folder"   // the journal's is gone
	RenameStands GoOn = "rename-stands" // something has the journal's name
	CopyBack     GoOn = "copy-back"
)

// GoOnSteps are what to do with a copy of a journal, as things are: whether the journal's
// folder is there, and whether something has its name.
func GoOnSteps(file, journal string, folder, stands bool) (steps []Notice) {
	add := func(do GoOn) {
		steps = append(steps, GoOnStep{Number: len(steps) + 1, Do: do, File: file, Journal: journal})
	}
	switch {
	case !folder:
		add(MakeFolder)
	case stands:
		add(RenameStands)
	}
	add(CopyBack)
	return steps
}

// Weight is how urgent the notice is.
func (JournalFailed) Weight() Weight { return Alarm }
func (Rescued) Weight() Weight       { return Caution }
func (NotRescued) Weight() Weight    { return Alarm }
func (GoOnStep) Weight() Weight      { return Plain }
func (StandsOff) Weight() Weight     { return Plain }

// Code names the notice.
func (JournalFailed) Code() string { return "notice/journal-failed" }
func (Rescued) Code() string       { return "notice/rescued" }
func (NotRescued) Code() string    { return "notice/not-rescued" }
func (GoOnStep) Code() string      { return "notice/go-on-step" }
func (StandsOff) Code() string     { return "notice/stands-off" }
