package ask

import "loopwitness/commission/programme"

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

// FoundAdvice helps where a value can be left out.
const FoundAdvice Advice = "found"
