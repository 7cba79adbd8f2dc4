package record

import (
	"encoding/json"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
)

// The kinds of journal entries: facts with a time, never conclusions.
const (
	kindOpened     = "opened"
	kindResumed    = "resumed"
	kindPaused     = "paused"
	kindListening  = "listening"
	kindConnection = "connection"
	kindSignal     = "signal"
	kindOverrun    = "overrun"
	kindCue        = "cue"
	kindEnded      = "ended"
	kindAnswer     = "answer"
	kindReopened   = "reopened"
	kindEntered    = "entered"
	kindReading    = "reading"
	kindInstrument = "instrument"
	kindEnergised  = "energised"
	kindNote       = "note"
	kindSigned     = "signed"
	kindPartAnswer = "part-answer"
	kindPhotograph = "photograph"
	kindSampled    = "sampled"
	kindSystem     = "system"
	kindStruck     = "struck"
)

// Fact is the body of an entry; Kind names it in the journal.
type Fact interface{ Kind() string }

// Opened is the first entry of a visit.
type Opened struct {
	Tool      string              `json:"tool"` // name and version
	Visit     programme.VisitKind `json:"visit"`
	Number    string              `json:"number"` // of the certificate to come
	Follows   string              `json:"follows,omitempty"`
	UTCOffset int                 `json:"utc_offset_second"` // of the times that pages show
	SiteName  string              `json:"site_name"`
	Site      string              `json:"site"` // the file's exact bytes
	Logo      *LogoFile           `json:"logo,omitempty"`
	Programme []programme.Step    `json:"programme"`
	// Earlier are the visits of the system before this one, by when they were begun.
	Earlier []Earlier `json:"earlier,omitempty"`
	// EarlierUnread are visits of the job that could not be read when it began.
	EarlierUnread []string `json:"earlier_unread,omitempty"`
	// Sampling is which detectors a maintenance visit takes, nil for all.
	Sampling *Sampling `json:"sampling,omitempty"`
	// Language of the visit and of its certificate, a tag of site.Languages; "" for the site's.
	Language string `json:"language,omitempty"`
}

// Resumed begins every further run.
type Resumed struct {
	Tool string `json:"tool"`
	AfterRest
}

// Paused ends a run on purpose.
type Paused struct {
	By Stop `json:"by"`
}

// Stop is who or what ended a run.
type Stop string

// The ends of a run. StopUnpaused is one without a pause, which no entry tells.
const (
	StopByTechnician Stop = "technician"
	StopAsked        Stop = "end-of-program" // its end was asked for
	StopByError      Stop = "error"
	StopUnpaused     Stop = "unpaused"
)

// Code names it.
func (s Stop) Code() string { return "stop/" + string(s) }

// Cue is the instant the technician was told to do something: that of the entry, unless
// it was told where this program could not be reached. BeforeNS is then how long before
// the entry it was, on the clock of this run, and UncertaintyNS how well that is known,
// expanded (k = 2); both in nanoseconds.
type Cue struct {
	Step          string `json:"step"`
	Half          Half   `json:"half"`
	BeforeNS      int64  `json:"before_nanosecond,omitempty"`
	UncertaintyNS int64  `json:"uncertainty_nanosecond,omitempty"`
	// Tap is the touch that gave it, nil where there was none; BeforeNS and UncertaintyNS
	// follow from it.
	Tap *Tap `json:"tap,omitempty"`
	// Own: nobody was told to. The technician operated in their own order, or restored
	// in their own time, and the entry comes after it. Signals of other zones are then no
	// answer instead, where its own answered.
	Own bool `json:"own,omitempty"`
	// NotTimed is why its trial is not timed, "" where it is.
	NotTimed Untimed `json:"not_timed,omitempty"`
	// UntilNS is how long before the entry its wait was over, since the next detector was
	// operated then; 0 for none.
	UntilNS int64 `json:"until_nanosecond,omitempty"`
}

// Ended tells that the wait after a cue ended.
type Ended struct {
	Step string `json:"step"`
	By   End    `json:"by"`
	// LateNS is by how much the program's own watch was late since the cue at most, in
	// nanoseconds: a signal may have been stamped so much later than it came.
	LateNS int64 `json:"late_nanosecond,omitempty"`
}

// Answer is what the technician answered about a step.
type Answer struct {
	Step   string `json:"step"`
	Result Result `json:"result"`
	Remark string `json:"remark,omitempty"`
	// Value is what was typed beside a line that asks for it.
	Value string `json:"value,omitempty"`
}

// Reopened tells that a concluded step is taken again.
type Reopened struct {
	Step string `json:"step"`
}

// Entered tells that the technician chose a stage, and in it perhaps a step to
// take first.
type Entered struct {
	Stage programme.Stage `json:"stage"`
	Step  string          `json:"step,omitempty"`
}

// Reading is a measured quantity. Uncertainty is expanded (k = 2), in the same
// unit; zero stands for not stated.
type Reading struct {
	Step        string   `json:"step"`
	Quantity    Quantity `json:"quantity"`
	Value       float64  `json:"value"`
	Unit        string   `json:"unit"`
	Uncertainty float64  `json:"uncertainty"`
	Instrument  string   `json:"instrument,omitempty"`
	// AsTyped is what the technician typed; of a time that the program took, that time.
	AsTyped  string  `json:"as_typed,omitempty"`
	Distance float64 `json:"distance_metre,omitempty"`  // of a sound level
	Ambient  float64 `json:"ambient_decibel,omitempty"` // with the sounder off
	// DistanceUncertainty is expanded (k = 2); Weighting is "A", "C", "Z" or, not stated, "".
	DistanceUncertainty float64 `json:"distance_uncertainty_metre,omitempty"`
	Weighting           string  `json:"weighting,omitempty"`
	MeterClass          int     `json:"meter_class,omitempty"`
	Open                bool    `json:"open,omitempty"` // a loop that reads open; the value is meaningless
	// Confirmed: it cannot well be, and the technician said that it is meant.
	Confirmed bool `json:"confirmed,omitempty"`
	// Exceeded: an output was on for that long and had not stopped by itself.
	Exceeded bool `json:"exceeded,omitempty"`
	// Sampled tells that it is what the controller measured of itself when it was due.
	Sampled bool `json:"sampled,omitempty"`
}

// Instrument is what readings are taken with from here on.
type Instrument struct {
	Step        string  `json:"step"`
	Name        string  `json:"name"` // kind and identifier
	Calibrated  string  `json:"calibrated,omitempty"`
	Uncertainty float64 `json:"uncertainty_volt"` // expanded, k = 2; zero for not stated
	Simulated   bool    `json:"simulated,omitempty"`
}

// Energised tells that an output is about to be, or was, switched.
type Energised struct {
	Output string   `json:"output"`
	On     bool     `json:"on"`
	By     Switched `json:"by"`
	// Failed says why it could not be switched off; it is on still.
	Failed string `json:"failed,omitempty"`
	// Because says why it was switched off although nobody had answered yet; "" for any other.
	Because OffBecause `json:"because,omitempty"`
}

// OffBecause is why an output was switched off in the middle of its trial.
type OffBecause string

// The reasons.
const (
	OffPhoneSilent OffBecause = "phone-silent" // the phone with the questions was out of reach
	OffQuiet       OffBecause = "quiet"        // the technician silenced it
	OffGuardLost   OffBecause = "guard-lost"   // nobody else would have switched it off
	OffTimeUp      OffBecause = "time-up"      // it is never on for longer
	OffRefused     OffBecause = "refused"      // the command on was not carried out: it never was on
)

// OffReasons are all of them.
var OffReasons = []OffBecause{OffPhoneSilent, OffQuiet, OffGuardLost, OffTimeUp, OffRefused}

// Code names the reason.
func (b OffBecause) Code() string { return "off-because/" + string(b) }

// Switched is what an output was switched by.
type Switched string

// The ways of switching.
const (
	SwitchedByController Switched = "controller"
	SwitchedByHand       Switched = "hand"
)

// Note is a remark about a step.
type Note struct {
	Step string `json:"step"`
	Text string `json:"text"`
}

// Signed is a person's name under the visit.
type Signed struct {
	Step     string         `json:"step"`
	Role     programme.Role `json:"role"`
	Name     string         `json:"name"`
	Licence  string         `json:"licence,omitempty"`
	Position string         `json:"position,omitempty"`
	Refused  bool           `json:"refused,omitempty"`  // was shown the list and does not accept it
	Called   string         `json:"called,omitempty"`   // as who refused wishes to be named, "" for not at all
	Accepted []Acceptance   `json:"accepted,omitempty"` // findings and limitations shown and accepted
	Drawing  []byte         `json:"drawing,omitempty"`  // the drawn signature, a PNG
	Strokes  *Strokes       `json:"strokes,omitempty"`  // the signature as it was drawn on glass
}

// Acceptance is a finding or limitation that somebody accepted. Said is its codes and
// arguments; Shown is the text as they saw it, kept as evidence and never compared.
type Acceptance struct {
	ID    string          `json:"id"`
	Said  json.RawMessage `json:"said"`
	Shown string          `json:"shown"`
}

// PartAnswer is one answer of several that conclude a step: after a break it need not
// be asked for again.
type PartAnswer struct {
	Step      string `json:"step"`
	Question  string `json:"question"`
	Text      string `json:"text"`
	Confirmed bool   `json:"confirmed,omitempty"` // see Reading
}

// Struck tells that an attempt at a detector counts no more, since something other than
// the detector spoiled it. Trial counts all attempts of the step from 1, also those that
// were broken off.
type Struck struct {
	Step   string `json:"step"`
	Trial  int    `json:"trial"`
	Reason string `json:"reason"`
}

// Photographed tells of a photograph that was added to the visit. The picture
// itself is kept beside the journal; its hash stands here.
type Photographed struct {
	Name    string              `json:"name"` // of its file: photograph-1.jpg
	About   About               `json:"about"`
	Caption string              `json:"caption,omitempty"`
	SHA256  string              `json:"sha256"` // hexadecimal, of the picture without its hidden data
	Bytes   int                 `json:"bytes"`
	Media   string              `json:"media"`
	Width   int                 `json:"width"`
	Height  int                 `json:"height"`
	Taken   string              `json:"taken,omitempty"`   // by the camera's clock
	Removed []photograph.Hidden `json:"removed,omitempty"` // what was hidden in the file
	// Learnt tells that it was taken before the visit, while the site was learnt.
	Learnt bool `json:"learnt,omitempty"`
	AfterRest
}

// Kind names the entry.
func (Opened) Kind() string       { return kindOpened }
func (Resumed) Kind() string      { return kindResumed }
func (Paused) Kind() string       { return kindPaused }
func (Cue) Kind() string          { return kindCue }
func (Ended) Kind() string        { return kindEnded }
func (Answer) Kind() string       { return kindAnswer }
func (Reopened) Kind() string     { return kindReopened }
func (Entered) Kind() string      { return kindEntered }
func (Reading) Kind() string      { return kindReading }
func (Instrument) Kind() string   { return kindInstrument }
func (Energised) Kind() string    { return kindEnergised }
func (Note) Kind() string         { return kindNote }
func (Signed) Kind() string       { return kindSigned }
func (PartAnswer) Kind() string   { return kindPartAnswer }
func (Photographed) Kind() string { return kindPhotograph }
func (Struck) Kind() string       { return kindStruck }

// Result is a technician's answer about a step.
type Result string

// Code names the result.
func (r Result) Code() string { return "result/" + string(r) }

// The results that conclude a step.
const (
	Done          Result = "done"
	NotApplicable Result = "not applicable"
	Defect        Result = "defect"
	Works         Result = "works"
	Fails         Result = "fails"
	Yes           Result = "yes"
	No            Result = "no"
	AsItIs        Result = "as it is" // a trial that did not prove, left so
	LeftOut       Result = "not tested"
)

// Quantity is what a reading is of.
type Quantity string

// The quantities of readings.
const (
	VoltageReading Quantity = "voltage"
	LevelReading   Quantity = "sound-level"
	CurrentReading Quantity = "current"
	CutOffReading  Quantity = "cut-off"
	LoopReading    Quantity = "loop-resistance"
)
