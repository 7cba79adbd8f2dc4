package words

import (
	"time"

	"loopwitness/commission/judge"
)

// What the section about one alarm from end to end says.
const (
	AlarmHeading   Heading = "alarm"
	AlarmNote      Note    = "alarm"
	NoAlarmNote    Note    = "no-alarm"
	HappenedColumn Column  = "happened"
	WitnessColumn  Column  = "witness"
	WhenColumn     Column  = "when"
)

// AlarmSince is when an instant of an alarm was, by the clock and since what its step is
// counted from, signed.
type AlarmSince struct {
	At  time.Time
	Row judge.AlarmEvent
}

// AlarmReceipt is what the receiving centre says of an alarm.
type AlarmReceipt struct{ Row judge.AlarmEvent }

// AlarmLimit is what an instant was held against, nothing where nothing is declared.
type AlarmLimit struct{ Row judge.AlarmEvent }

// AlarmTried is how often a step of an alarm was begun.
type AlarmTried struct{ Attempts int }

// Code names the phrase.
func (AlarmSince) Code() string   { return "certificate/alarm-since" }
func (AlarmReceipt) Code() string { return "certificate/alarm-receipt" }
func (AlarmLimit) Code() string   { return "certificate/alarm-limit" }
func (AlarmTried) Code() string   { return "certificate/alarm-tried" }
