package ask

import "time"

// Watch is a wait that keys may end.
type Watch struct {
	ID    string
	Title Phrase   // what to do
	Lines []Phrase // what helps to do it
	Keys  []Key
	// Unattended is the key that a script presses when its file says nothing; "" for
	// none.
	Unattended Key
	Urgent     bool // something has to be done now
}

// Key is what a technician may say while a wait lasts. Its text is the word of it in
// scripts and plain lines.
type Key string

// The keys. One means one thing everywhere.
const (
	Ready     Key = "ready"
	Indicated Key = "indicated" // the controller indicates that it is active
	AtRest    Key = "at-rest"   // the controller indicates rest
	Heard     Key = "heard"
	Again     Key = "again"
	Silent    Key = "silent" // nothing came
	Skip      Key = "skip"
	Note      Key = "note"
	Ohms      Key = "ohms" // of the loop
	Jump      Key = "jump" // to another detector
	Leave     Key = "leave"
	Redo      Key = "redo"    // the last reading or answer is taken again
	Stopped   Key = "stopped" // an output, by itself

	Interrupted Key = "interrupted" // to pause
	Gone        Key = "gone"        // nobody can press a key any more
)

// Code names it.
func (k Key) Code() string { return "key/" + string(k) }

// Pressed is a key that was pressed. Where that was out of our reach, At is when, by
// our clock, and Uncertainty how well that is known (expanded, k = 2); a zero At stands
// for now.
type Pressed struct {
	Key         Key
	At          time.Time
	Uncertainty time.Duration
}

// Watching is a watch in progress. Close it.
type Watching interface {
	// Pressed delivers keys; it is closed when no more can come.
	Pressed() <-chan Pressed
	// Status replaces what is shown of how things stand; nil shows nothing.
	Status(Phrase)
	// Say lets the technician know while the wait goes on.
	Say(Notice)
	// Close gives the screen back. It returns when nothing of the watch runs.
	Close()
}
