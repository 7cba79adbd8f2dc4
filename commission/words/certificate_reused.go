package words

import "loopwitness/checks"

// What a certificate says of cables of an older system.
const (
	CablesHeading    Heading = "cables"
	CableColumn      Column  = "cable"
	SeenColumn       Column  = "seen"
	CableLoopColumn  Column  = "cable-loop"
	InsulationColumn Column  = "insulation"
	ApartColumn      Column  = "apart"
	CablesNote       Note    = "cables"
)

// CableLook is what was seen of a cable, and what it probably was; the likely first.
type CableLook struct {
	Is      checks.CableSeen
	Guesses []checks.Guess
}

// CableTester is what cables were measured with.
type CableTester struct {
	Name, Calibrated string
	Volt, Share      float64 // 0 for not stated
}

// Code names it.
func (CableLook) Code() string   { return "cable-look" }
func (CableTester) Code() string { return "cable-tester" }
