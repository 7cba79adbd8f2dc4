// Package judge says what a record proves and what it does not. It makes no sentence:
// findings, computed rows and cautions are codes with arguments. Nothing of it is
// stored where it can be computed again.
package judge

import (
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Rules numbers the rules of judging. It rises with any change that gives a verdict,
// a finding or a computed number another outcome for the same record.
const Rules = 4

// Overall is the result of a visit.
type Overall string

// The overall results.
const (
	// NotFinished is no verdict on the whole: steps are open.
	NotFinished     Overall = "not finished"
	Satisfactory    Overall = "satisfactory"
	WithLimitations Overall = "satisfactory with limitations"
	Unsatisfactory  Overall = "unsatisfactory"
)

// Code names the result.
func (o Overall) Code() string { return string(o) }

// proofConfidence is that of the bound on the probability that a detector reports.
const proofConfidence = 0.95

// Assessment is what a record proves and what it does not. It is recomputed from the
// record, and is not changed afterwards: its lists are given out as copies.
type Assessment struct {
	record      *record.Record
	result      Overall
	detectors   []DetectorLine // of the walk-test
	onStandby   []DetectorLine // proved again while mains was removed
	readings    []ReadingLine
	faults      []FaultLine
	outputs     []OutputLine
	restart     *RestartLine
	alarm       []AlarmLine
	checklist   []*record.Outcome
	looks       []*record.Outcome // what was looked at of each detector
	computed    []Computed        // from the site file, then from the readings
	findings    []Finding         // that make the result unsatisfactory
	limitations []Finding
	notes       []Finding              // standing ones: they limit nothing
	open, all   int                    // steps
	counts      map[record.Verdict]int // of the walk-test's detectors
	responses   []float64              // s, of the detectors' last trials that were timed, rising
	cues        Cues
	summary     Summary
	operations  Operations
	proofs      []Proof // of detectors that were operated more than once
	cautions    []Caution
	lost        []record.Photograph
	since       *Since // nil where no earlier visit was taken in

	stuckTold map[string]bool // while findings are listed
}

// DetectorLine is what was shown of one detector.
type DetectorLine struct {
	Name     programme.DetectorName
	Zone     *site.Zone
	Detector *site.Detector
	Outcome  *record.Outcome
	Verdict  record.Verdict
	Trials   int              // complete attempts
	Operated record.Judgement // of the last complete attempt
	Restored record.Judgement // Void if it was not asked for
	Remarks  []string         // as typed
}

// ReadingLine is a voltage and what it was held against.
type ReadingLine struct {
	Outcome  *record.Outcome
	Reading  *record.Taken // nil if not taken
	Limit    Range
	Decision checks.Decision
	Taken    bool
	// Uncertainty is the meter's and the last digit's that was typed, combined
	// (JCGM 100), expanded; zero if the meter's was not stated.
	Uncertainty float64
	Void        Misplaced     // why the reading shows nothing, "" if it does
	After       time.Duration // after mains was removed
	// BeyondUsual tells that it is outside a limit that is only ours, and undecided for that.
	BeyondUsual bool
}

// Range is what a voltage is held against; Upper is nil where only a lower limit
// counts.
type Range struct {
	Lower site.Limit  `json:"lower"` // its zero value for none
	Upper *site.Limit `json:"upper,omitempty"`
}

// Code names it.
func (Range) Code() string { return "range" }

// OutputLine is what was shown of an output, or of a chime with one zone.
type OutputLine struct {
	Outcome *record.Outcome
	Output  *site.Output
	Result  record.Result // Works, Fails or LeftOut
	Heard   time.Duration
	Report  time.Duration // of the zone that the chime follows
	Trials  int           // of a chime
	Missed  int           // of them, before the last
	Remarks []string      // as typed
}

// RestartLine is the cold restart.
type RestartLine struct {
	Outcome *record.Outcome
	Tested  bool
	Took    time.Duration
	Verdict record.Verdict
	Limit   site.Limit
}

// Summary of the response times, in seconds; N zero when there are none.
type Summary struct {
	checks.Times
	Limit             float64 // s, the longest of the kinds in it
	UncertaintySecond float64 // of the response that is known worst
}

// fewest is how many values it takes until the largest is not the 95th percentile: below
// it a percentile says nothing that the largest does not.
const fewest = 20

// Percentiles tells whether there are values enough for P90 and P95.
func (s Summary) Percentiles() bool { return s.N >= fewest }

// wilks is how many values it takes for the largest to be a bound of the 95th percentile
// at 95 % confidence: 0.95^59 < 0.05 (Wilks).
const wilks = 59

// Bounded tells whether the largest value is such a bound.
func (s Summary) Bounded() bool { return s.N >= wilks }

// Assess judges a record. It is a pure function.
func Assess(r *record.Record) *Assessment { return Without(r) }

func (a *Assessment) assess() {
	r := a.record
	for _, s := range r.Outcomes() {
		switch s.Step().Kind {
		case programme.StepDetector:
			line := detectorLine(r, s)
			if s.Step().Stage == programme.StageWalkTest {
				a.detectors = append(a.detectors, line)
				a.counts[line.Verdict]++
			} else {
				a.onStandby = append(a.onStandby, line)
			}
		case programme.StepReading:
			if s.Step().OfCurrent() || s.Step().Point != "" {
				continue // neither is a voltage at the supply's terminals
			}
			a.readings = append(a.readings, readingLine(r, s))
		case programme.StepFault:
			a.faults = append(a.faults, faultLine(r, s))
		case programme.StepOutput, programme.StepChime:
			a.outputs = append(a.outputs, outputLine(r, s))
		case programme.StepRestart:
			a.restart = restartLine(r, s)
		case programme.StepCheck:
			if s.Step().Look() {
				a.looks = append(a.looks, s)
			} else {
				a.checklist = append(a.checklist, s)
			}
		default:
			if ofAlarm(s.Step().Kind) {
				a.alarm = append(a.alarm, a.alarmLine(s))
			}
		}
	}
	a.summarise()
	a.countCues()
	a.prove()
	a.computed = append(settleAll(design(r.Site(), a.measuredCurrents())), measured(a)...)
	a.notByDefault()
	hollow(a.computed)
	a.remember()
	a.all, a.open = r.Count("")
	a.find()
	a.cautions = cautionsOf(r.Site())
	if a.result = a.OnceSigned(); a.open > 0 {
		a.result = NotFinished
	}
}

// OnceSigned is the result that a visit has of which nothing but names is open, and whose
// names are given.
func (a *Assessment) OnceSigned() Overall {
	switch {
	case len(a.findings) > 0:
		return Unsatisfactory
	case len(a.limitations) > 0:
		return WithLimitations
	}
	return Satisfactory
}

// remarksOf are the notes about a step and the remark of its answer.
func remarksOf(s *record.Outcome) []string {
	remarks := s.Notes()
	if s.Remark() != "" {
		remarks = append(remarks, s.Remark())
	}
	return remarks
}

func detectorLine(r *record.Record, s *record.Outcome) DetectorLine {
	z, d, _ := r.Site().Find(s.Step().Point) // Fold has checked the point
	line := DetectorLine{Name: *programme.NameOf(r.Site(), s.Step()).Detector, Zone: z, Detector: d, Outcome: s,
		Verdict: record.NotTested, Trials: len(s.Tried()), Remarks: remarksOf(s),
		Operated: record.Judgement{Verdict: record.Void}, Restored: record.Judgement{Verdict: record.Void}}
	if last := s.Last(); last != nil {
		line.Verdict = last.Verdict()
		line.Operated = last.Operate.Judge()
		if last.Restore != nil {
			line.Restored = last.Restore.Judge()
		}
	}
	return line
}

// readingLine holds a voltage against what somebody declared, and one on battery against
// what is published. Voltages with mains present are judged together with the battery.
func readingLine(r *record.Record, s *record.Outcome) ReadingLine {
	line := ReadingLine{Outcome: s, Reading: s.Reading(record.VoltageReading), Limit: limitsOf(r.Site(), s.Step()),
		After: s.Step().After()}
	if line.Reading == nil {
		return line
	}
	if line.Void = misplaced(s.Step(), line.Reading); line.Void != "" {
		return line
	}
	line.Uncertainty = combined(line.Reading)
	d, err := checks.Decide(line.Reading.Value, line.Uncertainty, line.Limit.interval())
	if err != nil {
		line.Uncertainty = 0 // an infinite one cannot be written down, and decides nothing
	}
	if d.Ruling == checks.Fail && !line.Limit.Declared() {
		d.Ruling = line.beyond(r.Site())
		line.BeyondUsual = d.Ruling == checks.Undecided
	}
	// Who leaves out what was read already takes a proof back, not a defect.
	takenBack := s.Result() == record.LeftOut && d.Ruling == checks.Pass
	if s.Step().Load && s.Step().Point == "" && d.Ruling == checks.Pass && len(unprovedLoads(r, line.Reading)) > 0 {
		line.Void = OutputUnproved
		return line
	}
	line.Decision, line.Taken = d, err == nil && !takenBack
	return line
}

// unprovedLoads are the outputs that load the supply in alarm and of which this visit shows, or leaves open, that they
// did not work when something was read: it was perhaps read without their load.
func unprovedLoads(r *record.Record, read *record.Taken) (unproved []*site.Output) {
	for _, s := range r.Outcomes() {
		o := r.Site().Output(s.Step().Output)
		if s.Step().Kind != programme.StepOutput || o == nil || o.OwnBattery ||
			!slices.Contains(r.Site().AlarmOutputs(), o) {
			continue
		}
		if s.Result() == record.Fails || s.Result() == record.LeftOut || s.FailedAfter(read) {
			unproved = append(unproved, o)
		}
	}
	return unproved
}

// beyond is the ruling on a voltage outside a limit that is only ours: it fails where the
// battery is empty by every source, and is undecided else.
func (l ReadingLine) beyond(s *site.Site) checks.Ruling {
	_, empty := packOf(s).EndOfDischarge()
	if s.Supply.Battery.Seen() && l.Outcome.Step().OnStandby() && l.Reading.Value+l.Uncertainty < empty {
		return checks.Fail
	}
	return checks.Undecided
}

// limitsOf is what a voltage is held against by itself. With mains present that is only
// what was declared: how a battery is charged is judged from all such voltages together,
// and just after mains came back it may rightly stand low for hours.
func limitsOf(s *site.Site, step programme.Step) Range {
	l := s.Limits
	switch {
	case step.Point != "":
		return Range{}
	case step.ID == programme.IDMainsPresent:
		return Range{Lower: l.MainsLower, Upper: ifSet(l.MainsUpper)}
	case step.ID == programme.IDMainsBack, step.ID == programme.IDCharging:
		return Range{Upper: ifSet(l.MainsUpper)}
	case step.Load:
		return Range{Lower: l.AlarmLoad}
	}
	return Range{Lower: l.Standby}
}

func ifSet(l site.Limit) *site.Limit {
	if l.By == "" {
		return nil
	}
	return &l
}

// interval is the range as bounds; a bound that nobody set is none.
func (r Range) interval() checks.Interval {
	in := checks.Interval{Lower: math.Inf(-1), Upper: math.Inf(1)}
	if r.Lower.By != "" {
		in.Lower = r.Lower.SI
	}
	if r.Upper != nil {
		in.Upper = r.Upper.SI
	}
	return in
}

// Declared tells whether somebody declared a bound.
func (r Range) Declared() bool { return r.Lower.Declared() || r.Upper != nil && r.Upper.Declared() }

// Open tells that nobody set a bound.
func (r Range) Open() bool { return r.Lower.By == "" && r.Upper == nil }

// combined is the expanded uncertainty of a voltage: the meter's, and that of the
// last digit that was typed.
func combined(r *record.Taken) float64 {
	if r.Uncertainty == 0 {
		return 0
	}
	resolution := checks.Voltage.Resolution(checks.Quantity{SI: r.Value, Text: r.AsTyped})
	digit, _ := checks.FromResolution(resolution) // not negative
	u, _, _ := checks.Combined(checks.Contribution{Standard: r.Uncertainty / 2}, checks.Contribution{Standard: digit})
	return 2 * u
}

// misplaced says why a reading does not show what its step asks for, "" if it
// does.
func misplaced(s programme.Step, r *record.Taken) Misplaced {
	switch {
	case s.OnStandby() && !r.WhileOff:
		return WithMains
	case !s.OnStandby() && r.WhileOff:
		return WithoutMains
	case s.Load && !r.Loaded:
		return OutputOff
	}
	return ""
}

func outputLine(r *record.Record, s *record.Outcome) OutputLine {
	line := OutputLine{Outcome: s, Output: r.Site().Output(s.Step().Output), Result: record.LeftOut, Remarks: remarksOf(s)}
	switch s.Result() {
	case record.Works, record.Fails:
		line.Result = s.Result()
	}
	if t := s.LastEnded(); t != nil { // of a chime: nothing else is cued
		line.judgeChime(s, t)
	}
	return line
}

// judgeChime takes the last time that the followed zone was opened, and counts the
// trials before it that were not heard.
func (l *OutputLine) judgeChime(s *record.Outcome, last *record.Trial) {
	l.Report, l.Result = last.Judge().Response, record.Fails
	if last.EndedBy() == record.ByHeard {
		l.Result, l.Heard = record.Works, last.Ended()
	}
	for _, a := range s.Attempts() {
		if by := a.Operate.EndedBy(); !by.Void() {
			l.Trials++
			if by != record.ByHeard {
				l.Missed++
			}
		}
	}
	if l.Result == record.Fails {
		l.Missed--
	}
}

func restartLine(r *record.Record, s *record.Outcome) *RestartLine {
	line := &RestartLine{Outcome: s, Verdict: record.NotTested, Limit: r.Site().Limits.ColdRestart}
	last := s.LastEnded()
	if last == nil {
		return line
	}
	line.Tested, line.Verdict = true, record.Silent
	heard := last.Heard()
	if len(heard) == 0 {
		return line
	}
	line.Took, line.Verdict = heard[0].Since, record.Proved
	d, err := last.Rules().Decide(line.Took, line.Limit.Duration())
	switch {
	case err != nil || d.Ruling == checks.Fail:
		line.Verdict = record.Late
	case d.Ruling == checks.Undecided:
		line.Verdict = record.Undecided
	}
	return line
}

// summarise leaves out kinds that take their own time: a tester's smoke says nothing of
// how quick doors are. What was not timed has no response.
func (a *Assessment) summarise() {
	limit, uncertainty := 0.0, time.Duration(0)
	if l := a.record.Listening(); len(l.Ears) == 0 { // else each response has its own
		uncertainty = time.Duration(l.UncertaintyNS)
	}
	for _, d := range a.detectors {
		if d.Operated.Timed() && !d.Detector.Kind.Trait().Slow {
			limit = max(limit, a.record.Site().Limits.Response[d.Detector.Kind].SI)
			uncertainty = max(uncertainty, d.Operated.Uncertainty)
			a.responses = append(a.responses, d.Operated.Response.Seconds())
		}
	}
	slices.Sort(a.responses)
	a.summary = Summary{Limit: limit, UncertaintySecond: uncertainty.Seconds()}
	a.summary.Times, _ = checks.Summarise(a.responses) // none: N stays zero
}

// Unsatisfied names the steps that a retest has to take again: all that gave
// rise to a finding, and all that were not tested.
func Unsatisfied(r *record.Record) map[string]bool {
	a := Assess(r)
	again := map[string]bool{}
	for _, f := range slices.Concat(a.findings, a.limitations) {
		for _, step := range a.RestsOn(f) {
			again[step] = true
		}
	}
	return again
}
