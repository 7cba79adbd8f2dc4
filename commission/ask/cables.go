package ask

import (
	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// What is asked about cables of an older system.
type (
	// CableOf asks what can be seen of a cable.
	CableOf struct{ Step programme.Name }
	// CableValuesOf asks what was measured of it.
	CableValuesOf struct{ Step programme.Name }
)

// Its matters, advice and choices that need no argument.
const (
	TestVoltMatter     Matter = "test-volt"      // with which an instrument tests insulation
	TesterShareMatter  Matter = "tester-share"   // its uncertainty
	StageReasonMatter  Matter = "stage-reason"   // why all cables are left out
	CableSeenAdvice    Advice = "cable-seen"     // how it is typed
	CableValuesAdvice  Advice = "cable-values"   // and this
	TestVoltAdvice     Advice = "test-volt"      // what extra-low voltage circuits are tested with
	IsolatedChoice     Choice = "isolated"       // nothing but cable is connected
	StageLeftOutChoice Choice = "stage-left-out" // all cables, with one reason
)

// CableSeen is what can be seen of a cable, or NotMeasured for one that is left out: see
// checks.ParseCableSeen.
type CableSeen struct{}

// CableValues is what was measured of a cable: see checks.ParseCableMeasured.
type CableValues struct{}

func (CableSeen) accept(text string) (string, error) {
	if text == string(NotMeasured) {
		return text, nil
	}
	_, err := checks.ParseCableSeen(text)
	return text, because(NoCable, text, err)
}

func (CableValues) accept(text string) (string, error) {
	_, err := checks.ParseCableMeasured(text)
	return text, because(NoCableValues, text, err)
}

// CablePerhaps tells what a cable probably is, and what to check before it is believed.
type CablePerhaps struct {
	Zone    programme.ZoneName
	Guesses []checks.Guess
}

// CableShows tells what was measured of a cable means.
type CableShows struct{ Row judge.Computed }

// Code names it.
func (CableOf) Code() string       { return "matter/cable" }
func (CableValuesOf) Code() string { return "matter/cable-values" }
func (CablePerhaps) Code() string  { return "notice/cable-perhaps" }
func (CableShows) Code() string    { return "notice/cable-shows" }

// Weight is how urgent the notice is: a cable that may be live is a caution.
func (n CablePerhaps) Weight() Weight {
	for _, g := range n.Guesses {
		if g.What == checks.PerhapsMains {
			return Caution
		}
	}
	return Plain
}

// Weight is how urgent the notice is.
func (CableShows) Weight() Weight { return Plain }
