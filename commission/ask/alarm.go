package ask

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// The keys of one alarm from end to end.
const (
	Begun   Key = "begun"   // setting begins now
	IsSet   Key = "set"     // the system is set
	Opened  Key = "opened"  // what was to be operated is operated now
	WentOff Key = "alarm"   // an alarm came, though none should
	Sounds  Key = "sounds"  // the controller lets it sound
	Flashes Key = "flashes" // and flash
	IsUnset Key = "unset"
	Cannot  Key = "cannot" // it cannot be done
	Hush    Key = "hush"   // what the controller lets sound is to be silent, at once
)

// What is told of an alarm.
type (
	// AlarmCaution comes before the system is set for the first time: who is told before, and
	// how what sounds is silenced.
	AlarmCaution struct{}
	// SystemMayBeSet tells that it may be set, or sound, since before a break; Was is how it stood
	// then, as record.SystemStood has it.
	SystemMayBeSet struct{ Was record.Instant }
	// SystemLeftSet tells that nobody said that it was unset.
	SystemLeftSet struct{}
	// UnsetAtOnce tells how what the controller lets sound is silenced; Outputs are those that
	// this program tells it to switch off as well, as far as it heeds that.
	UnsetAtOnce struct{ Outputs []string }
	// AlarmCame tells that it came while the entry time should run.
	AlarmCame struct{}
	// SoundedAfter tells how long after the intrusion an output was heard or seen.
	SoundedAfter struct {
		Output string
		After  time.Duration
	}
	// NotSet tells that without setting there is no alarm.
	NotSet struct{}
)

// What an alarm's questions and waits are about.
type (
	// AlarmProtected asks whether all is ready for it.
	AlarmProtected struct{ Outputs []string }
	// AlarmMoment is what to do, or wait for, at an instant; Detector is what to operate, and
	// Output what to listen or look for, where there is one.
	AlarmMoment struct {
		Do       record.Instant
		Detector *programme.DetectorName
		Output   string
		Kind     site.OutputKind
	}
	// IntrudeAt asks which detector raises the alarm, or confirms it.
	IntrudeAt struct{ Second bool }
	// CentreSays asks what the centre says of a path: when the alarm came.
	CentreSays struct{ Step programme.Name }
	// CentreReference asks for the reference that it gives.
	CentreReference struct{ Step programme.Name }
	// AlarmStatus is how long a wait has lasted; Most is what is declared, 0 for nothing.
	AlarmStatus struct{ Since, Most time.Duration }
)

// What helps with an alarm, and the choices.
const (
	WalkOutAdvice     Advice = "walk-out"
	ByItselfAdvice    Advice = "by-itself" // the controller tells it, or a key
	OtherThanEntry    Advice = "other-than-entry"
	CentreClockAdvice Advice = "centre-clock"
	SilenceAdvice     Advice = "silence"

	AlarmMatter      Matter = "alarm"
	CentreClockAsked Matter = "centre-clock"

	BeginAlarmChoice Choice = "begin-alarm"
	NoAlarmChoice    Choice = "no-alarm" // all of it is left out
)

// CentreTime is a time of day as a clock shows it (record.TimeOfDay), or Never and Skipped
// where Instead.
type CentreTime struct{ Instead bool }

// The words in place of a time of day.
const (
	Never   = "never" // it did not come
	Skipped = "skip"
)

func (t CentreTime) accept(text string) (string, error) {
	if t.Instead && (text == Never || text == Skipped) {
		return text, nil
	}
	_, _, err := record.TimeOfDay(text)
	return text, because(NoTime, text, err)
}

// Code names it.
func (AlarmCaution) Code() string    { return "notice/alarm-caution" }
func (SystemMayBeSet) Code() string  { return "notice/system-may-be-set" }
func (SystemLeftSet) Code() string   { return "notice/system-left-set" }
func (UnsetAtOnce) Code() string     { return "notice/unset-at-once" }
func (AlarmCame) Code() string       { return "notice/alarm-came" }
func (SoundedAfter) Code() string    { return "notice/sounded-after" }
func (NotSet) Code() string          { return "notice/not-set" }
func (AlarmProtected) Code() string  { return "matter/alarm-protected" }
func (m AlarmMoment) Code() string   { return "moment/" + string(m.Do) }
func (IntrudeAt) Code() string       { return "matter/intrude-at" }
func (CentreSays) Code() string      { return "matter/centre-says" }
func (CentreReference) Code() string { return "matter/centre-reference" }
func (AlarmStatus) Code() string     { return "status/alarm" }

// Weight is how urgent the notice is.
func (AlarmCaution) Weight() Weight   { return Caution }
func (SystemMayBeSet) Weight() Weight { return Alarm }
func (SystemLeftSet) Weight() Weight  { return Alarm }
func (UnsetAtOnce) Weight() Weight    { return Alarm }
func (AlarmCame) Weight() Weight      { return Alarm }
func (SoundedAfter) Weight() Weight   { return Plain }
func (NotSet) Weight() Weight         { return Caution }
