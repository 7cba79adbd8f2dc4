package ask

import (
	"strconv"

	"loopwitness/commission/programme"
)

// What is asked of a part of the system of which the site file does not say something.
type (
	// FoundHow asks how what is not known of a part was found.
	FoundHow struct {
		Step programme.Name
		Keys []string // that the file lacks
	}
	// FoundValue asks for the value of a key; nothing typed means that it cannot be known.
	FoundValue struct {
		Step programme.Name
		Key  string
	}
	// RatingIn asks whether an adapter gives direct or alternating current.
	RatingIn struct{ Step programme.Name }
	// RestingLoop asks for the resistance of a circuit whose wiring is not known.
	RestingLoop struct{ Step programme.Name }
)

// Code names what it is about.
func (FoundHow) Code() string    { return "matter/found-how" }
func (FoundValue) Code() string  { return "matter/found-value" }
func (RatingIn) Code() string    { return "matter/rating-in" }
func (RestingLoop) Code() string { return "matter/resting-loop" }

// The choices at such a step.
const (
	CannotKnowChoice  Choice = "cannot-know"
	DirectChoice      Choice = "direct-current"
	AlternatingChoice Choice = "alternating-current"
	YesChoice         Choice = "it-has"
	NoChoice          Choice = "it-has-none"
)

// UnknownMatter asks why nothing of a part can be known.
const UnknownMatter Matter = "unknown"

// FoundAdvice helps where a value can be left out.
const FoundAdvice Advice = "found"

// What is asked of a system's history, and of an alarm.
type (
	// ToldValue asks for something as it was told; nothing typed means that nobody knows.
	ToldValue struct {
		Step programme.Name
		Key  string
	}
	// WhichConcerned asks which detectors are concerned; nothing typed means none in particular.
	WhichConcerned struct{ Step programme.Name }
	// AndTheOthers asks what becomes of the other detectors.
	AndTheOthers struct{ Others int }
	// ToldWord is one of the words that such a value takes.
	ToldWord string
)

// Code names what it is about.
func (ToldValue) Code() string      { return "matter/told-value" }
func (WhichConcerned) Code() string { return "matter/which-concerned" }
func (AndTheOthers) Code() string   { return "matter/and-the-others" }
func (w ToldWord) Code() string     { return "told/" + string(w) }

// What becomes of the others.
const (
	TestThemChoice  Choice = "test-them-too"
	LeaveThemChoice Choice = "leave-them-out"
)

// Whole is a whole number from none to Most.
type Whole struct{ Most int }

func (t Whole) accept(text string) (string, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > t.Most {
		return "", Refused{Why: NoWholeNumber, Number: t.Most}
	}
	return strconv.Itoa(n), nil
}
