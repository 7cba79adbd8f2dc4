package ask

// What becomes of a journal that fails.
type (
	// JournalFailed tells that the journal cannot be written any more, or is no longer what
	// was written into it.
	JournalFailed struct {
		Journal string
		Why     error
	}
	// Rescued tells where a copy of all entries is, and to which name it is copied back.
	Rescued struct {
		File    string
		Entries int
		Journal string
	}
	// NotRescued tells that no folder took a copy.
	NotRescued struct {
		Journal string
		Why     error
	}
)

// Weight is how urgent the notice is.
func (JournalFailed) Weight() Weight { return Alarm }
func (Rescued) Weight() Weight       { return Caution }
func (NotRescued) Weight() Weight    { return Alarm }

// Code names the notice.
func (JournalFailed) Code() string { return "notice/journal-failed" }
func (Rescued) Code() string       { return "notice/rescued" }
func (NotRescued) Code() string    { return "notice/not-rescued" }
