package checks

import (
	"fmt"
	"math"
)

// Guess is what an unknown cable probably is, why, and what to check next: codes, with
// the values that they speak of. Likely guesses come first.
type Guess struct {
	What   GuessCode   `json:"what"`
	Why    GuessReason `json:"why"`
	Next   GuessCheck  `json:"next"`
	Cores  int         `json:"cores,omitempty"`
	Ohm    float64     `json:"ohm,omitempty"`       // that was read, +Inf for open
	Value  float64     `json:"value_ohm,omitempty"` // of each resistor that explains it
	Within float64     `json:"within,omitempty"`    // of that value, as a share
}

// GuessCode is what a cable probably is.
type GuessCode string

// What a cable may be.
const (
	PerhapsMains      GuessCode = "mains"
	OpenCircuit       GuessCode = "open-circuit"
	ClosedLoop        GuessCode = "closed-loop"
	EndOfLine         GuessCode = "end-of-line"
	TwoInSeries       GuessCode = "two-in-series"
	SeveralResistors  GuessCode = "several-resistors"
	SingleConductor   GuessCode = "single-conductor"
	SupplyOrSounder   GuessCode = "supply-or-sounder"
	SounderOrSupply   GuessCode = "sounder-or-supply"
	ContactLoop       GuessCode = "contact-loop"
	TwoContactLoops   GuessCode = "two-contact-loops"
	DetectorAlarm     GuessCode = "detector-alarm"
	DetectorAlarmTamp GuessCode = "detector-alarm-tamper"
	SounderStrobe     GuessCode = "sounder-strobe-tamper"
	TrunkToOthers     GuessCode = "trunk"
)

// GuessReason is why.
type GuessReason string

// The reasons.
const (
	ByMainsColours   GuessReason = "mains-colours"
	ReadsOpen        GuessReason = "reads-open"
	ReadsCable       GuessReason = "reads-cable"
	ReadsPreferred   GuessReason = "reads-preferred"
	ReadsTwice       GuessReason = "reads-twice-preferred"
	ReadsNoPreferred GuessReason = "reads-no-preferred"
	ByCores          GuessReason = "cores"
	ByRedAndBlack    GuessReason = "red-and-black"
	ByTwoPairs       GuessReason = "two-pairs"
	BySixCores       GuessReason = "six-cores"
)

// GuessCheck is what to do before a guess is believed.
type GuessCheck string

// What to do.
const (
	TreatAsLive       GuessCheck = "treat-as-live"
	OperateAndRead    GuessCheck = "operate-and-read"
	OpenEachContact   GuessCheck = "open-each-contact"
	OpenTheContact    GuessCheck = "open-the-contact"
	BringToRest       GuessCheck = "bring-to-rest"
	ReadBothWays      GuessCheck = "read-both-ways"
	MeasureRedBlack   GuessCheck = "measure-red-black"
	FindSupplyPair    GuessCheck = "find-supply-pair"
	TraceBothEnds     GuessCheck = "trace-both-ends"
	ReadOpenAndClosed GuessCheck = "read-open-and-closed"
	ReadEachPair      GuessCheck = "read-each-pair"
	MeasureFirst      GuessCheck = "measure-first"
	OpenFarEnd        GuessCheck = "open-far-end"
)

// IdentifyCable lists what a cable probably is from its number of cores, the
// colours of their insulation, and the reading in Ω between the two cores of its
// circuit (+Inf for open, NaN for not measured). Colours are known in English and German
// and as IEC 60757 abbreviates them. They have no standard:
// every guess says what to measure before it is believed. Common practice, no
// source. Cores 1 to 50.
func IdentifyCable(cores int, colours []string, ohm float64) ([]Guess, error) {
	if cores < 1 || cores > 50 {
		return nil, fmt.Errorf("%w: a cable of %d cores", ErrQuantity, cores)
	}
	if len(colours) > cores {
		return nil, fmt.Errorf("%w: %d colours for %d cores", ErrQuantity, len(colours), cores)
	}
	if ohm < 0 {
		return nil, fmt.Errorf("%w: %v Ω", ErrQuantity, ohm)
	}
	guesses := byCores(cores, colours)
	if !math.IsNaN(ohm) {
		guesses = append([]Guess{byReading(ohm)}, guesses...)
	}
	if mainsColours(colours) {
		guesses = append([]Guess{{What: PerhapsMains, Why: ByMainsColours, Next: TreatAsLive}}, guesses...)
	}
	return guesses, nil
}

// nearPreferred is how near a reading must be to a preferred value to suggest it.
const nearPreferred = 0.02

// mostCableOhm is the most that contacts and cable alone may read, in Ω.
const mostCableOhm = 50

func byReading(ohm float64) Guess {
	g := Guess{Ohm: ohm}
	switch {
	case math.IsInf(ohm, 1) || ohm >= openOhm:
		g.What, g.Why, g.Next = OpenCircuit, ReadsOpen, OperateAndRead
		return g
	case ohm < mostCableOhm:
		g.What, g.Why, g.Next = ClosedLoop, ReadsCable, OpenEachContact
		return g
	}
	value, off := nearestPreferred(ohm)
	half, offHalf := nearestPreferred(ohm / 2)
	switch {
	case off <= nearPreferred:
		g.What, g.Why, g.Next, g.Value, g.Within = EndOfLine, ReadsPreferred, OpenTheContact, value, off
	case offHalf <= nearPreferred:
		g.What, g.Why, g.Next, g.Value, g.Within = TwoInSeries, ReadsTwice, BringToRest, half, offHalf
	default:
		g.What, g.Why, g.Next = SeveralResistors, ReadsNoPreferred, ReadBothWays
	}
	return g
}

func byCores(cores int, colours []string) []Guess {
	redBlack := has(colours, "red") && has(colours, "black")
	supply := FindSupplyPair
	if redBlack {
		supply = MeasureRedBlack
	}
	guess := func(what GuessCode, why GuessReason, next GuessCheck) Guess {
		return Guess{What: what, Why: why, Next: next, Cores: cores}
	}
	switch {
	case cores == 1:
		return []Guess{guess(SingleConductor, ByCores, TraceBothEnds)}
	case cores == 2 && redBlack:
		return []Guess{guess(SupplyOrSounder, ByRedAndBlack, supply), guess(ContactLoop, ByCores, ReadOpenAndClosed)}
	case cores == 2:
		return []Guess{guess(ContactLoop, ByCores, ReadOpenAndClosed), guess(SounderOrSupply, ByCores, MeasureFirst)}
	case cores <= 5:
		return []Guess{guess(DetectorAlarm, ByCores, supply), guess(TwoContactLoops, ByTwoPairs, ReadEachPair)}
	case cores <= 7:
		return []Guess{guess(DetectorAlarmTamp, ByCores, supply), guess(SounderStrobe, BySixCores, supply)}
	}
	return []Guess{guess(TrunkToOthers, ByCores, OpenFarEnd)}
}
