// Package phone is a way of asking: one page on the local network that a phone's browser
// shows. What stands here is what the page and the program tell each other, as JSON.
//
// The page is served at /, and its texts; all else needs the cookie that POST /pair gave.
//
//	GET  /                     the page, and the files that it names
//	GET  /texts                what the page itself says (words.PageTexts), in the visit's language
//	POST /pair      Pair     → Paired, and the cookie
//	GET  /events?after=N       server-sent events: see Event…
//	POST /clock     Clock    → Instants
//	POST /answer    Reply    → Taken
//	POST /press     Touched  → Taken
//	POST /photo?subject=S&caption=C&key=K  the file as its body, at most photograph.MaxBytes → Taken
//	POST /hold      Hold     → Taken: asks for the questions, or gives them back
//	POST /hand      Hand     → Taken: gives the phone to the customer, or takes it back
//
// A refusal is a status of 4xx with Taken.Refused. What was taken before (the same Key) is
// answered as it was then, so that the page may send it again; what was refused is tried
// anew. 503 with Taken.Later: not yet, send it again with the same key. 401: not paired.
package phone

import "encoding/json"

// The events. Each has a number (as id), which after=N, or Last-Event-ID, resumes behind;
// "beat" comes at once and every 5 s, and has none: the page answers each with POST /clock,
// which tells that it is still there. After a gap, and without a number, the whole Talk and
// Board come first, and the last notices (Past).
const (
	EventTalk   = "talk"   // Talk
	EventStatus = "status" // Status, of the watch that stands
	EventNotice = "notice" // Notice
	EventBoard  = "board"  // Board, whole
	EventZone   = "zone"   // BoardZone that has changed, and the counts
	EventTaken  = "taken"  // somebody else holds the questions now: Talk follows
	EventGone   = "gone"   // Notice: the visit is over or paused; the last
	EventBeat   = "beat"
)

// Pair is the token of the address's fragment, and what the device says it is.
type Pair struct {
	Token  string `json:"token"`
	Device string `json:"device"`
}

// Role is what a phone may do.
type Role string

// The roles.
const (
	Technician Role = "technician" // may hold the questions
	Onlooker   Role = "onlooker"   // sees the board and what is told
	Customer   Role = "customer"   // the technician's phone in the customer's hand
)

// Paired is what became of it.
type Paired struct {
	Role Role `json:"role"`
}

// Talk is what stands now: at most one of Question and Watch.
type Talk struct {
	Serial    int       `json:"serial"`             // of this question or watch
	Role      Role      `json:"role"`               // of this phone
	Holds     bool      `json:"holds"`              // this phone's answers are taken
	Holder    string    `json:"holder"`             // who holds the questions, as a sentence
	Sounding  []string  `json:"sounding,omitempty"` // outputs that are on: {"quiet"} may be pressed at any time
	Question  *Question `json:"question,omitempty"`
	Watch     *Watch    `json:"watch,omitempty"`
	Simulated bool      `json:"simulated,omitempty"`
}

// Question is ask.Question, said.
type Question struct {
	ID       string   `json:"id"`
	What     string   `json:"what"`
	Help     string   `json:"help,omitempty"`
	About    []string `json:"about,omitempty"`
	Takes    Takes    `json:"takes"`
	Optional bool     `json:"optional,omitempty"`
	Back     bool     `json:"back,omitempty"`     // to leave it out goes back
	WayBack  string   `json:"way_back,omitempty"` // a word that is always taken
	Redo     string   `json:"redo,omitempty"`     // what the word "redo" takes again, said
	Shown    string   `json:"shown,omitempty"`    // by a simulated instrument
	Subject  string   `json:"subject,omitempty"`  // what a photograph taken now shows: detector/3.2
	Danger   bool     `json:"danger,omitempty"`   // of a yes-no: the word has to be typed
}

// Takes is what it accepts. Kind is one-of, yes-no, line, quantity, level, conductor, date,
// names, items or signature.
type Takes struct {
	Kind     string   `json:"kind"`
	Options  []Option `json:"options,omitempty"` // of one-of, the first does no harm; of a line, offered beside it
	Instead  string   `json:"instead,omitempty"` // a word that may stand in its place, and what it means
	Means    string   `json:"means,omitempty"`
	Unit     string   `json:"unit,omitempty"`    // that a bare number is completed with
	Example  string   `json:"example,omitempty"` // of a quantity whose unit has to be written
	From     string   `json:"from,omitempty"`    // of a date
	To       string   `json:"to,omitempty"`
	Names    []string `json:"names,omitempty"`
	Several  bool     `json:"several,omitempty"`
	Items    []Item   `json:"items,omitempty"`
	Brief    bool     `json:"brief,omitempty"`    // what has to be read of the items stands above them
	Customer bool     `json:"customer,omitempty"` // the customer answers it: the phone may be handed over
}

// Option is one of several answers.
type Option struct {
	Word  string `json:"word"`
	Label string `json:"label"`
}

// Item is a line of a list. Result is "" while it is open, else as ask.Item has it, and
// Says the same in words.
type Item struct {
	Word   string `json:"word"`
	Label  string `json:"label"`
	Result string `json:"result,omitempty"`
	Says   string `json:"says,omitempty"`
	Remark string `json:"remark,omitempty"`
}

// Watch is ask.Watch, said. Kind is what the page makes of it: "ready" (Ready gives the cue
// to operate), "operate" and "restore" (the cue was given; a signal ends it), "roam", or ""
// for any other wait.
type Watch struct {
	ID      string   `json:"id"`
	Kind    string   `json:"kind,omitempty"`
	Point   string   `json:"point,omitempty"`
	Counts  bool     `json:"counts,omitempty"` // a detector of the walk-test: the page may count to it
	Half    string   `json:"half,omitempty"`   // what is done with the detector: operate or restore
	Title   string   `json:"title"`
	Lines   []string `json:"lines,omitempty"`
	Keys    []Key    `json:"keys"`
	Urgent  bool     `json:"urgent,omitempty"`
	Subject string   `json:"subject,omitempty"`
	// Speaks is what is spoken when it comes, "" for nothing.
	Speaks string `json:"speaks,omitempty"`
}

// Key is a key of a watch: ask.Key and its meaning.
type Key struct {
	Key   string `json:"key"`
	Label string `json:"label"`
}

// Status is how the wait of that serial stands, said anew.
type Status struct {
	Serial int    `json:"serial"`
	Text   string `json:"text"`
}

// Notice is something that was told. Weight is aside, plain, heading, caution or alarm;
// Tone is "good" (proved), "bad" (not proved) or "".
type Notice struct {
	Weight string `json:"weight"`
	Text   string `json:"text"`
	Tone   string `json:"tone,omitempty"`
	Speaks string `json:"speaks,omitempty"` // a shorter sentence to speak, "" for none
	Large  string `json:"large,omitempty"`  // what of it is shown large: how long it took, said
	Point  string `json:"point,omitempty"`  // the detector that it tells of, if it is one's result or report
	Means  string `json:"means,omitempty"`  // "active": it was heard; "struck": what was shown of it does not count
	Past   bool   `json:"past,omitempty"`   // told before the page was there: shown, not sounded
}

// Board is ask.Board, said.
type Board struct {
	Site      string      `json:"site"`
	Visit     string      `json:"visit"`
	Stage     string      `json:"stage,omitempty"`
	All       int         `json:"all"`
	Open      int         `json:"open"`
	Progress  string      `json:"progress"` // "9 of 23", said
	Current   string      `json:"current,omitempty"`
	Connected bool        `json:"connected"`
	Gone      []string    `json:"gone,omitempty"` // which of several ears hear nothing now, in words
	Zones     []BoardZone `json:"zones,omitempty"`
}

// BoardZone is a zone of it. In EventZone, Of is the board without its zones.
type BoardZone struct {
	Number    int             `json:"number"`
	Name      string          `json:"name"`
	Area      string          `json:"area,omitempty"`
	Kind      string          `json:"kind"`
	State     string          `json:"state"` // active, restored, tamper, trouble, "not understood" or ""
	Says      string          `json:"says"`  // what it reports now, in words
	Detectors []BoardDetector `json:"detectors"`
	Of        *Board          `json:"of,omitempty"`
}

// BoardDetector is a detector of it. Standing is ask.Standing.
type BoardDetector struct {
	Point    string `json:"point"`
	Name     string `json:"name"`
	Location string `json:"location,omitempty"`
	Standing string `json:"standing"`
	Says     string `json:"says"` // the standing, and what was shown, in words
	Do       string `json:"do"`   // how it is operated, for a page that is out of reach
	Restore  string `json:"restore"`
	Kind     string `json:"kind"`
}

// Clock asks for the program's clock. DeviceNS is the page's clock (performance.now, as
// nanoseconds) when it asked.
type Clock struct {
	DeviceNS int64 `json:"device_nanosecond"`
	Kept     int   `json:"kept,omitempty"` // touches that were not delivered yet
}

// Instants are the program's clock when the question came and when it was answered, in
// nanoseconds since the server of that Run began: the page has
// [Sent − its clock on return, Came − its clock when it asked] as bounds of the offset. What
// it knows of another run's clock it forgets.
type Instants struct {
	Run    string `json:"run"`
	CameNS int64  `json:"came_nanosecond"`
	SentNS int64  `json:"sent_nanosecond"`
}

// Tap is an instant of the page's clock (event.timeStamp of pointerdown, or when a count
// ended), and the bounds of how much the program's clock is ahead of it, widened with age
// and the grain of the timer.
type Tap struct {
	DeviceNS int64  `json:"device_nanosecond"`
	LeastNS  int64  `json:"least_nanosecond"`
	MostNS   int64  `json:"most_nanosecond"`
	By       string `json:"by"`                        // touch or count
	Unknown  bool   `json:"unknown,omitempty"`         // the page slept, or never compared: it times nothing
	HeldNS   int64  `json:"held_nanosecond,omitempty"` // how long it was kept before it was sent
	Run      string `json:"run"`                       // Instants.Run of the clock that it was compared with
}

// Reply answers the question of that serial.
type Reply struct {
	Key     string          `json:"key"` // random, the same when it is sent again
	Serial  int             `json:"serial"`
	Text    string          `json:"text"`
	Redo    bool            `json:"redo,omitempty"`
	Strokes json.RawMessage `json:"strokes,omitempty"` // record.Strokes
}

// Touched is a key of a watch. Until is the tap of the next detector, where several are
// delivered together. To is a detector for jump, and for touch while roaming; Expects is the
// detector that a tap was given for: where the watch is another's, it is not taken. The
// press "interrupted" pauses the visit at any question or watch, "quiet" switches off what
// sounds, whatever the serial. A key that means an instant (ready, indicated, at-rest, heard,
// stopped, touch) and comes without a tap times nothing.
type Touched struct {
	Key     string `json:"key"`
	Serial  int    `json:"serial"` // 0 for a tap that was kept: it goes by Expects
	Press   string `json:"press"`
	Tap     *Tap   `json:"tap,omitempty"`
	Until   *Tap   `json:"until,omitempty"`
	To      string `json:"to,omitempty"`
	Expects string `json:"expects,omitempty"`
}

// Taken tells what became of it. Stale: the question or watch is over, look at the next.
type Taken struct {
	OK      bool   `json:"ok"`
	Stale   bool   `json:"stale,omitempty"`
	Later   bool   `json:"later,omitempty"`   // its turn has not come: send it again
	Refused string `json:"refused,omitempty"` // why, as a sentence
	Name    string `json:"name,omitempty"`    // of a photograph that was kept
}

// Hold asks for the questions. Sure answers that it is really meant: where somebody else
// holds them, it is refused without, and Taken.Refused is the sentence to ask it with.
type Hold struct {
	Key  string `json:"key"`
	Sure bool   `json:"sure,omitempty"`
	Give bool   `json:"give,omitempty"` // back to the terminal
}

// Hand gives the phone to the customer, with the four digits that give it back.
type Hand struct {
	Key  string `json:"key"`
	Code string `json:"code"`
	Back bool   `json:"back,omitempty"`
}
