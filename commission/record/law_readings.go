package record

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

// The laws of readings, and of what they are taken with.
const (
	// LawValueAsTyped: a value is what was typed, or the time that the program took.
	LawValueAsTyped Law = "value-as-typed"
	// LawOneInstrument: a voltage is read with the voltmeter named before, as well as it can.
	LawOneInstrument Law = "one-instrument"
	// LawInstrumentFirst: no voltage is read before somebody said with what.
	LawInstrumentFirst Law = "instrument-first"
	// LawInstrument: an instrument has a name, a day of calibration and an uncertainty, or none.
	LawInstrument Law = "instrument"
	// LawDoubts: who types what cannot well be says that it is meant, and nobody else does.
	LawDoubts Law = "doubts"
	// LawFitsStep: a fact is one of those that its step can have.
	LawFitsStep Law = "fits-step"
)

var readingLaws = []rule{
	{law: LawValueAsTyped, consequence: Refused},
	{law: LawOneInstrument, consequence: Limits, entry: on((*Record).otherInstrument)},
	{law: LawInstrumentFirst, consequence: Limits, entry: on((*Record).beforeInstrument)},
	{law: LawInstrument, consequence: Refused, entry: on(noInstrument)},
	{law: LawDoubts, consequence: Limits, entry: on((*Record).doubtLeft)},
	{law: LawFitsStep, consequence: Refused},
}

// on is a rule about facts of one kind.
func on[F Fact](breaks func(*Record, F) bool) func(*Record, journal.Entry, Fact) bool {
	return func(r *Record, _ journal.Entry, f Fact) bool {
		fact, is := f.(F)
		return is && breaks(r, fact)
	}
}

// byHand are the voltages that somebody read, not those that the controller measured of itself.
func (r Reading) byHand() bool { return r.Quantity == VoltageReading && !r.Sampled }

func (r *Record) otherInstrument(f Reading) bool {
	with := Instrument{}
	if m := r.Voltmeter(); m != nil && f.byHand() {
		with = *m
	}
	return f.Instrument != with.Name || f.Uncertainty != with.Uncertainty
}

func (r *Record) beforeInstrument(f Reading) bool {
	return f.byHand() && r.index[programme.IDVoltmeter] != nil && r.Voltmeter() == nil
}

func noInstrument(_ *Record, f Instrument) bool {
	return oneline.Blank(f.Name) || dayOrNone(f.Calibrated) != nil || f.Uncertainty < 0
}

func (r *Record) doubtLeft(f Reading) bool { return !f.Sampled && f.doubted(r.site) != f.Confirmed }

// typed are the quantities that are typed as a number with its unit, and nothing else.
var typed = map[Quantity]checks.Dimension{VoltageReading: checks.Voltage, CurrentReading: checks.Current,
	LoopReading: checks.Resistance, CutOffReading: checks.Time}

// openLoop is what is typed of a loop that reads open.
const openLoop = "open"

// takenTo is how finely a time is written that the program took, in s.
const takenTo = 0.1

// asTyped refuses a value that is not what the technician typed, nor what stands there of a
// time that the program took.
func (r Reading) asTyped() error {
	is := r.isTyped()
	switch {
	case r.Quantity == LevelReading:
		is = r.isTypedLevel()
	case r.Open:
		is = r.AsTyped == openLoop && r.Value == 0 && r.Unit == checks.Resistance.SI
	}
	if is && r.qualified() {
		return nil
	}
	return refuse(LawValueAsTyped, fmt.Errorf("a reading of %s says otherwise than %q", r.Quantity, r.AsTyped))
}

func (r Reading) isTyped() bool {
	in := typed[r.Quantity]
	text, past := strings.CutPrefix(r.AsTyped, "> ")
	q, err := in.Parse(text)
	is := same(q.SI, r.Value) || r.Quantity == CutOffReading && math.Abs(q.SI-r.Value) < takenTo
	return err == nil && is && past == r.Exceeded && r.Unit == in.SI && r.Uncertainty >= 0
}

func (r Reading) isTypedLevel() bool {
	l, err := checks.ParseLevel(r.AsTyped)
	return err == nil && r.Unit == checks.SoundLevel.SI && same(l.Level, r.Value) && same(l.Distance, r.Distance) &&
		same(l.Ambient, r.Ambient) && same(l.DistanceUncertainty, r.DistanceUncertainty) &&
		l.Weighting == r.Weighting && l.MeterClass == r.MeterClass
}

// same tells whether two values are, but for their last bits: 350 mA is not quite 0.35 A.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(a) }

// qualified tells whether what is said beside a value belongs to its quantity.
func (r Reading) qualified() bool {
	beside := cmp.Or(r.Distance, r.DistanceUncertainty, r.Ambient, float64(r.MeterClass)) != 0 || r.Weighting != ""
	return (r.Quantity == LevelReading || !beside) && (!r.Exceeded || r.Quantity == CutOffReading) &&
		(!r.Open || r.Quantity == LoopReading)
}
