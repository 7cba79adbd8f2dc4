package ask

import (
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// LearningMatter is what is asked, or what helps to answer, while a site is learnt.
type LearningMatter string

// What is asked, and what helps.
const (
	OpenNext         LearningMatter = "open-next"     // go on through the building
	ThingName        LearningMatter = "thing-name"    // of what was opened
	ThingKind        LearningMatter = "thing-kind"    // what it is
	ThingLocation    LearningMatter = "thing-place"   // where it is
	ZoneOfSeveral    LearningMatter = "zone-name"     // of a zone that has several detectors
	OneAtATimeAdvice LearningMatter = "one-at-a-time" // how to open things
	OnTestAdvice     LearningMatter = "on-test"       // what may go off
	FindAdvice       LearningMatter = "find"          // what a name is for
)

// The keys of a walk.
const (
	Finish Key = "finish" // everything was opened
	Forget Key = "forget" // what was learnt last
)

// ThingAgain asks whether what reports under an address that a zone has is another of its
// detectors.
type ThingAgain struct {
	Address, Zone string
	Detectors     []string
}

// ThingAt is what a photograph shows that is taken while it is asked what was opened: the thing
// that reported under an address. No journal has it.
func ThingAt(address string) record.About { return record.About("thing/" + address) }

// LearningChoice is what a thing is that reports under the address of a zone.
type LearningChoice string

// The choices.
const (
	SameChoice    LearningChoice = "same"    // one that the zone has
	FurtherChoice LearningChoice = "further" // one more
	OtherKind     LearningChoice = "other"   // one more, of another kind
	AllChoice     LearningChoice = "all"     // the zone has no more than these
	BackChoice    LearningChoice = "back"    // to the question before, or to none
)

// What is told while a site is learnt.
type (
	// AddressReports tells at once that an address reported that no zone has.
	AddressReports struct {
		Address string
		State   signal.State
		Raw     string
	}
	// ZoneReportsAgain tells of an address that a zone has.
	ZoneReportsAgain struct{ Address, Zone string }
	// AddressGarbled tells of a payload that no rule of controller.yaml understands.
	AddressGarbled struct{ Address, Raw string }
	// Learnt tells what was taken.
	Learnt struct {
		Zone, Detector, Address string
		Kind                    site.DetectorKind
	}
	// Forgotten tells what was taken back.
	Forgotten struct{ Zone, Detector string }
	// NothingToForget tells that nothing was learnt yet.
	NothingToForget struct{}
	// NothingHeard tells that not one message ever came.
	NothingHeard struct{ For time.Duration }
)

// LearningStatus is how far a walk has come.
type LearningStatus struct{ Zones, Detectors int }

// Code names the matter, the choice, the notice, or the status.
func (m LearningMatter) Code() string { return "learning/" + string(m) }
func (ThingAgain) Code() string       { return "learning/thing-again" }
func (c LearningChoice) Code() string { return "learning-choice/" + string(c) }
func (AddressReports) Code() string   { return "notice/address-reports" }
func (ZoneReportsAgain) Code() string { return "notice/zone-reports-again" }
func (AddressGarbled) Code() string   { return "notice/address-garbled" }
func (Learnt) Code() string           { return "notice/learnt" }
func (Forgotten) Code() string        { return "notice/forgotten" }
func (NothingToForget) Code() string  { return "notice/nothing-to-forget" }
func (NothingHeard) Code() string     { return "notice/nothing-heard" }
func (LearningStatus) Code() string   { return "status/learning" }

// Weight is how urgent the notice is.
func (AddressReports) Weight() Weight   { return Plain }
func (ZoneReportsAgain) Weight() Weight { return Aside }
func (AddressGarbled) Weight() Weight   { return Aside }
func (Learnt) Weight() Weight           { return Aside }
func (Forgotten) Weight() Weight        { return Aside }
func (NothingToForget) Weight() Weight  { return Aside }
func (NothingHeard) Weight() Weight     { return Plain }
