package ask

import (
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Watch is a wait that keys may end.
type Watch struct {
	ID    string
	Title Phrase   // what to do
	Lines []Phrase // what helps to do it
	Keys  []Key
	// Step is the step that the wait belongs to, "" for none, and Cue what its key Ready, or
	// the wait itself, asks the technician to do with a detector: Operate, Restore or "".
	Step string
	Cue  record.Half
	// Waits tells that Ready gives the cue of Cue; the cue was given where it is false.
	Waits bool
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
	Look      Key = "look" // what is looked at of this detector
	Leave     Key = "leave"
	Redo      Key = "redo"    // the last reading or answer is taken again
	Stopped   Key = "stopped" // an output, by itself
	Quiet     Key = "quiet"   // what sounds is switched off at once
	Count     Key = "count"   // the program counts down to the cue
	Roam      Key = "roam"    // operate in one's own order
	InOrder   Key = "in-order"
	Touch     Key = "touch"    // while roaming: the next operation begins now
	NotThat   Key = "not-that" // while roaming: what was reported is not what was operated
	RoomDone  Key = "room"     // while roaming: all of a room was operated

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
	// Tap is the touch that gave At, by the device's own clock; nil where there was none. Its
	// bounds are those of a clock that was 0 at TapZero; the visit puts its run's in their
	// place.
	Tap     *record.Tap
	TapZero time.Time
	// Until is when the next detector's touch was given, where several are delivered
	// together; zero for none.
	Until time.Time
	// NotTimed is why At, or the delivery, times nothing; "" where it does.
	NotTimed record.Untimed
	// To is the detector that Jump goes to, or that Touch names; "" where it is asked.
	To site.Point
}

// Watching is a watch in progress. Close it.
type Watching interface {
	// Pressed delivers keys; it is closed when no more can come.
	Pressed() <-chan Pressed
	// Status replaces what is shown of how things stand; nil shows nothing. One that is a
	// Notice of the weight Alarm sounds whenever its text changes: a count can be heard.
	Status(Phrase)
	// Say lets the technician know while the wait goes on.
	Say(Notice)
	// Close gives the screen back. It returns when nothing of the watch runs.
	Close()
}
