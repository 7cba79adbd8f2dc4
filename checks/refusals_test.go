package checks

import (
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// refusal is what came of something that makes no sense.
type refusal struct {
	err     error
	nothing bool // no value came with it
}

func of[T any](v T, err error) refusal {
	return refusal{err, reflect.ValueOf(&v).Elem().IsZero()}
}

func both[T, U any](v T, w U, err error) refusal {
	return refusal{err, of(v, err).nothing && of(w, err).nothing}
}

// Each value that makes no sense is refused, also if all others do, and nothing is
// returned that could be taken for a result.
func TestRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	none := Factors{1, 1}
	for name, r := range map[string]refusal{
		"wire: endless area":          of(Conductor{AreaMM2: inf}.Resistance(Solid, 20)),
		"wire: too cold":              of(Conductor{AreaMM2: 1}.Resistance(Solid, -100.5)),
		"wire: too hot":               of(Conductor{AreaMM2: 1}.Resistance(Solid, 200.5)),
		"run: minimum below zero":     of(Run{1, 0.05, 1, 12}.Longest(-1)),
		"run: no run":                 of(Run{-1, 0.05, 1, 12}.Longest(10)),
		"taps: endless current":       of(DropsAlong([]Tap{{1, inf}}, 0.05)),
		"taps: wire below zero":       of(DropsAlong([]Tap{{1, 1}}, -0.05)),
		"next size: too hot":          both(NextSize(Conductor{AreaMM2: 1}, Solid, 999, Run{1, 0, 1, 12}, 10)),
		"next size: current":          both(NextSize(Conductor{AreaMM2: 1}, Solid, 20, Run{1, 0, -1, 12}, 10)),
		"conductor: 51":               of(ParseConductor("51 AWG")),
		"conductor: -1":               of(ParseConductor("-1 AWG")),
		"conductor: 0/0":              of(ParseConductor("0/0 AWG")),
		"conductor: x/0":              of(ParseConductor("x/0 AWG")),
		"decision: no lower limit":    of(Decide(1, 0.1, Interval{nan, 2})),
		"decision: no upper limit":    of(Decide(1, 0.1, Interval{0, nan})),
		"decision: limits crossed":    of(Decide(1, 0.1, Interval{2, 1})),
		"decision: -infinite value":   of(Decide(-inf, 0.1, AtMost(2))),
		"decision: no uncertainty":    of(Decide(1, inf, AtMost(2))),
		"decision: coverage below 0":  of(DecideAt(1, 0, -1, AtMost(2))),
		"cable: 51 cores":             of(IdentifyCable(51, nil, nan)),
		"cable: reading below zero":   of(IdentifyCable(2, nil, -0.1)),
		"circuit: end below zero":     of(Circuit{Kind: NormallyClosed, EndOhm: -1}.Windows()),
		"circuit: contact below zero": of(Circuit{Kind: NormallyClosed, ContactOhm: -1}.Windows()),
		"circuit: cable below zero":   of(Circuit{Kind: NormallyClosed, CableOhm: -1}.Windows()),
		"circuit: endless end":        of(Circuit{Kind: NormallyClosed, EndOhm: inf}.Windows()),
		"circuit: endless resistors":  of(Circuit{Kind: NormallyClosed, EndOhm: inf, ContactOhm: inf}.Windows()),
		"circuit: endless end, cable": of(Circuit{Kind: NormallyClosed, EndOhm: inf, CableOhm: inf}.Windows()),
		"circuit: tolerance below 0":  of(Circuit{Kind: NormallyClosed, Tolerance: -0.01}.Windows()),
		"circuit: cable's tolerance":  of(Circuit{Kind: NormallyClosed, CableTol: 1.01}.Windows()),
		"circuit: the same below 0":   of(Circuit{Kind: NormallyClosed, CableTol: -0.01}.Windows()),
		"circuit: contacts below 0":   of(Circuit{Kind: NormallyClosed, Contacts: -1}.Windows()),
		"circuit: 65 contacts":        of(Circuit{Kind: NormallyClosed, Contacts: 65}.Windows()),
		"circuit: two, without end":   of(Circuit{Kind: TwoResistor, ContactOhm: 1}.Windows()),
		"circuit: two, one only":      of(Circuit{Kind: TwoResistor, EndOhm: 1}.Windows()),
		"circuit: open without end":   of(Circuit{Kind: TwoResistorOpen, ContactOhm: 1}.Windows()),
		"circuit: open, one only":     of(Circuit{Kind: TwoResistorOpen, EndOhm: 1}.Windows()),
		"reading: none":               of(Circuit{Kind: NormallyClosed}.Classify(nan, 0)),
		"reading: uncertainty below":  of(Circuit{Kind: NormallyClosed}.Classify(1, -1)),
		"reading: of no circuit":      of(Circuit{}.Classify(1, 0)),
		"overlaps of no circuit":      of(Circuit{}.Overlaps()),
		"proof: no trials":            of(ProportionLowerBound(0, 0, 0.95)),
		"proof: trials below zero":    of(ProportionLowerBound(-1, -1, 0.95)),
		"proof: too many":             of(ProportionLowerBound(10_000_001, 10_000_001, 0.95)),
		"proof: confidence 0":         of(ProportionLowerBound(1, 2, 0)),
		"proof: confidence 1":         of(ProportionLowerBound(1, 2, 1)),
		"proof: upper, no trials":     of(ProportionUpperBound(0, 0, 0.95)),
		"trials: impossible":          of(TrialsNeeded(0, 0.95)),
		"trials: no confidence":       of(TrialsNeeded(0.9, 0)),
		"trials: certain":             of(TrialsNeeded(0.9, 1)),
		"trials: more than certain":   of(TrialsNeeded(0.9, 1.5)),
		"trials: confidence below 0":  of(TrialsNeeded(0.9, -0.5)),
		"trials: too many":            of(TrialsNeeded(1-1e-12, 0.95)),
		"level: none":                 of(LevelAt(nan, 1, 2)),
		"level: endless":              of(LevelAt(inf, 1, 2)),
		"level: -infinite":            of(LevelAt(-inf, 1, 2)),
		"level: from no distance":     of(LevelAt(100, 0, 2)),
		"level: from below zero":      of(LevelAt(100, -1, 2)),
		"level: at no distance":       of(LevelAt(100, 1, 0)),
		"level: both endless":         of(LevelAt(100, inf, inf)),
		"levels: none":                of(AddLevels()),
		"levels: too low":             of(AddLevels(-50.5)),
		"levels: too high":            of(AddLevels(250.5)),
		"background: too near":        of(WithoutBackground(62.9, 60)),
		"meter: class 0":              of(MeterClass(0).Tolerance(1000, 1000)),
		"meter: too low":              of(MeterClass(1).Tolerance(499, 1000)),
		"meter: too high":             of(MeterClass(1).Tolerance(1000, 8001)),
		"meter: ends swapped":         of(MeterClass(1).Tolerance(2000, 1000)),
		"meter: no frequency":         of(MeterClass(1).Tolerance(nan, nan)),
		"distance: none":              both(DistanceError(0, 0)),
		"distance: endless":           both(DistanceError(inf, 1)),
		"distance: below zero":        both(DistanceError(1, -0.1)),
		"distance: all of it":         both(DistanceError(1, 1)),
		"sound: no distance":          both(SoundBudget{1, 0.1, 0, 0}.Expanded()),
		"sound: tolerance below zero": both(SoundBudget{-1, 0.1, 1, 0}.Expanded()),
		"sound: resolution":           both(SoundBudget{1, -0.1, 1, 0}.Expanded()),
		"background: none":            both(BackgroundCorrection(nan, 60)),
		"background: endless":         both(BackgroundCorrection(inf, 60)),
		"circuit: fault below zero":   of(Circuit{Kind: NormallyClosed, FaultOhm: -1}.Windows()),
		"circuit: of no such kind":    of(Circuit{Kind: "star", EndOhm: 1, ContactOhm: 1, FaultOhm: 1}.Windows()),
		"circuit: endless end, fault": of(Circuit{Kind: NormallyClosed, EndOhm: inf, FaultOhm: inf}.Windows()),
		"distance: behind":            both(DistanceError(-1, 0)),
		"background: -infinite":       both(BackgroundCorrection(-inf, 60)),
		"circuit: endless fault":      of(Circuit{Kind: NormallyClosed, FaultOhm: inf}.Windows()),
		"circuit: parallel, no end":   of(Circuit{Kind: ParallelResistor}.Windows()),
		"circuit: three, no fault":    of(Circuit{Kind: ThreeResistor, EndOhm: 1, ContactOhm: 1}.Windows()),
		"circuit: three, no contact":  of(Circuit{Kind: ThreeResistor, EndOhm: 1, FaultOhm: 1}.Windows()),
		"circuit: three, no end":      of(Circuit{Kind: ThreeResistor, ContactOhm: 1, FaultOhm: 1}.Windows()),
		"battery: endless":            of(Battery{inf, 20, 1.2}.Autonomy(1)),
		"battery: no rate":            of(Battery{7, 0, 1.2}.Autonomy(1)),
		"battery: endless rate":       of(Battery{7, inf, 1.2}.Autonomy(1)),
		"battery: exponent below 1":   of(Battery{7, 20, 0.9}.Autonomy(1)),
		"battery: exponent above 2":   of(Battery{7, 20, 2.1}.Autonomy(1)),
		"battery: endless load":       of(Battery{7, 20, 1.2}.Autonomy(inf)),
		"battery: load below zero":    of(Battery{7, 20, 1.2}.Autonomy(-1)),
		"capacity: hours below zero":  of(RequiredCapacity([]Draw{{1, -1}}, none)),
		"capacity: endless current":   of(RequiredCapacity([]Draw{{inf, 1}}, none)),
		"capacity: endless time":      of(RequiredCapacity([]Draw{{1, inf}}, none)),
		"capacity: ageing below 1":    of(RequiredCapacity([]Draw{{1, 1}}, Factors{0.9, 1})),
		"capacity: cold below 1":      of(RequiredCapacity([]Draw{{1, 1}}, Factors{1, 0.9})),
		"capacity: endless factors":   of(RequiredCapacity([]Draw{{1, 1}}, Factors{inf, inf})),
		"at rate: draw below zero":    of(RequiredAtRate([]Draw{{-1, 1}}, 20, 1.2, none)),
		"at rate: exponent":           of(RequiredAtRate([]Draw{{1, 1}}, 20, 2.1, none)),
		"converter: efficiency 0":     of(ThroughConverter(1, 12, 11.1, 0)),
		"converter: no pack":          of(ThroughConverter(1, 12, 0, 0.9)),
		"converter: no load voltage":  of(ThroughConverter(1, 0, 11.1, 0.9)),
		"converter: load below zero":  of(ThroughConverter(-1, 12, 11.1, 0.9)),
		"converter: endless load":     of(ThroughConverter(inf, 12, 11.1, 0.9)),
		"converter: hardly a pack":    of(ThroughConverter(1, 12, 5e-324, 0.9)),
		"converter: endless voltages": of(ThroughConverter(1, inf, inf, 0.9)),
		"internal: volts":             both(InternalResistance(nan, 0, 12, 1, 0)),
		"internal: endless volts":     both(InternalResistance(12, 0, -inf, 1, 0)),
		"internal: amperes":           both(InternalResistance(12, 0, 12, nan, 0)),
		"internal: uncertainty":       both(InternalResistance(12, 0, 12, 1, -0.1)),
		"internal: one load":          both(InternalResistance(12, 1, 12, 1, 0)),
		"times: sum too large":        of(Summarise([]float64{0, 1e200})),
		"times: spread too large":     of(Summarise([]float64{1.7e308, -1.7e308})),
		"half-width: below zero":      of(fromHalfWidth(-1, Rectangular)),
		"half-width: endless":         of(fromHalfWidth(inf, Rectangular)),
		"half-width: no shape":        of(fromHalfWidth(1, "")),
		"parts: endless":              both(Combined(Contribution{Standard: inf})),
		"parts: sensitivity":          both(Combined(Contribution{Standard: 1, Sensitivity: nan})),
		"parts: freedom below zero":   both(Combined(Contribution{Standard: 1, Freedom: -1})),
		"coverage: confidence 0":      of(CoverageFactor(0, 5)),
		"coverage: confidence 1":      of(CoverageFactor(1, 5)),
		"coverage: below 0":           of(CoverageFactor(-0.5, 5)),
		"coverage: above 1":           of(CoverageFactor(1.5, 5)),
		"coverage: freedom below 1":   of(CoverageFactor(0.95, 0.5)),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
}

// The last values that make sense are taken.
func TestLastValuesThatMakeSense(t *testing.T) {
	none := Factors{1, 1}
	for name, err := range map[string]error{
		"wire, cold":             second(Conductor{AreaMM2: 1}.Resistance(Solid, -100)),
		"wire, hot":              second(Conductor{AreaMM2: 1}.Resistance(Solid, 200)),
		"no minimum":             second(Run{1, 0.05, 1, 12}.Longest(0)),
		"50 AWG":                 second(ParseConductor("50 AWG")),
		"0 AWG":                  second(ParseConductor("0 AWG")),
		"4/0 AWG":                second(ParseConductor("4/0 AWG")),
		"one value only":         second(Decide(1, 0, Interval{1, 1})),
		"no coverage":            second(DecideAt(1, 0.1, 0, AtMost(2))),
		"half a coverage":        second(DecideAt(1, 0.1, 0.5, AtMost(2))),
		"one core":               second(IdentifyCable(1, nil, 0)),
		"50 cores":               second(IdentifyCable(50, nil, 0)),
		"64 contacts":            second(Circuit{Kind: NormallyClosed, Contacts: 64}.Windows()),
		"small resistors":        second(Circuit{Kind: TwoResistor, EndOhm: 0.5, ContactOhm: 0.5}.Windows()),
		"a single ohm":           second(Circuit{Kind: TwoResistor, EndOhm: 1, ContactOhm: 1}.Windows()),
		"most trials":            second(ProportionLowerBound(10_000_000, 10_000_000, 0.95)),
		"quiet":                  second(AddLevels(-50)),
		"loud":                   second(AddLevels(250)),
		"a small battery":        second(Battery{0.5, 0.5, 1}.Autonomy(0)),
		"exponent 2":             second(Battery{7, 20, 2}.Autonomy(0)),
		"no draw":                second(RequiredCapacity([]Draw{{0, 0}}, none)),
		"converter without loss": second(ThroughConverter(0, 0.5, 0.5, 1)),
		"no width":               second(fromHalfWidth(0, Rectangular)),
		"no part":                third(Combined(Contribution{})),
		"one degree of freedom":  second(CoverageFactor(0.95, 1)),
	} {
		assert.NoError(t, err, name)
	}
}

// A refusal names what was refused, not what would have come of it.
func TestRefusalsNameTheCause(t *testing.T) {
	inf := math.Inf(1)
	for says, errs := range map[string][]error{
		"through a converter": {second(ThroughConverter(1, 12, 11.1, 0)), second(ThroughConverter(1, 12, 0, 0.9)),
			second(ThroughConverter(inf, 12, 11.1, 0.9)), second(ThroughConverter(1, 0, 11.1, 0.9))},
		"a pack of":                 {second(ThroughConverter(1, 12, 5e-324, 0.9))},
		"both lie between":          {second(TrialsNeeded(0.9, 1)), second(TrialsNeeded(1, 0.9))},
		"more than 10000000 trials": {second(TrialsNeeded(1-1e-12, 0.95))},
	} {
		for _, err := range errs {
			assert.ErrorContains(t, err, says)
		}
	}
}
