package judge

import (
	"fmt"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Overall is the result of a visit in words.
type Overall string

// The overall results.
const (
	Satisfactory    Overall = "satisfactory"
	WithLimitations Overall = "satisfactory with limitations"
	Unsatisfactory  Overall = "unsatisfactory"
)

// proofConfidence is that of the bound on the reporting probability.
const proofConfidence = 0.95

// Assessment is what a record proves and what it does not. It is recomputed
// from the record and stored nowhere.
type Assessment struct {
	Record      *record.Record
	Result      Overall
	Detectors   []DetectorLine // of the walk-test
	OnStandby   []DetectorLine // proved again while mains was removed
	Readings    []ReadingLine
	Outputs     []OutputLine
	Restart     *RestartLine
	Checklist   []*record.Outcome
	Computed    []Computed // from the site file, then from the readings
	Findings    []Finding  // that make the result unsatisfactory
	Limitations []Finding
	Counts      map[record.Verdict]int // of the walk-test's detectors
	Responses   []float64              // s, of the detectors' last trials, rising
	Summary     Summary
	Proof       Proof
	Cautions    []string

	stuckTold map[string]bool // while findings are listed
}

// DetectorLine is what was shown of one detector.
type DetectorLine struct {
	Point    site.Point
	Zone     *site.Zone
	Detector *site.Detector
	Step     *record.Outcome
	Verdict  record.Verdict
	Trials   int              // complete attempts
	Operated record.Judgement // of the last complete attempt
	Restored record.Judgement // Void if it was not asked for
	Remarks  []string
}

// ReadingLine is a voltage and what it was held against.
type ReadingLine struct {
	Step     *record.Outcome
	Reading  *record.Taken // nil if not taken
	Lower    site.Limit
	Upper    *site.Limit
	Decision checks.Decision
	Taken    bool
	// Uncertainty is the meter's and the last digit's that was typed, combined
	// (JCGM 100), expanded; zero if the meter's was not stated.
	Uncertainty float64
	Void        string        // why the reading shows nothing, if it does not
	After       time.Duration // after mains was removed
}

// OutputLine is what was shown of an output, or of a chime with one zone.
type OutputLine struct {
	Step    *record.Outcome
	Output  *site.Output
	Verdict record.Verdict // Proved, Silent (it does not work), NotTested
	Heard   time.Duration
	Report  time.Duration // of the zone that the chime follows
	Remarks []string
}

// RestartLine is the cold restart.
type RestartLine struct {
	Step    *record.Outcome
	Tested  bool
	Took    time.Duration
	Verdict record.Verdict
	Limit   site.Limit
}

// Summary of the response times, in seconds; N zero when there are none.
type Summary struct {
	checks.Times
	Limit             float64
	Source            string
	UncertaintySecond float64
}

// Proof is what the operations prove of the probability that an operation is
// reported.
type Proof struct {
	Operations, Reported int
	LowerBound           float64 // one-sided, at Confidence
	NeededFor99          int     // operations without a miss that would show 99 %
	Confidence           float64
}

// Finding is a defect or a limitation.
type Finding struct {
	ID    string // F1, L1
	About string
	Text  string
	Step  string
}

// Line is the finding as one sentence for a list.
func (f Finding) Line() string { return f.ID + " " + f.About + ": " + f.Text }

// Assess judges a record. It is a pure function.
func Assess(r *record.Record) *Assessment {
	a := &Assessment{Record: r, Counts: map[record.Verdict]int{}, stuckTold: map[string]bool{}}
	for _, s := range r.Outcomes() {
		switch s.Step().Kind {
		case programme.StepDetector:
			line := detectorLine(r, s)
			if s.Step().Stage == programme.StageWalkTest {
				a.Detectors = append(a.Detectors, line)
				a.Counts[line.Verdict]++
			} else {
				a.OnStandby = append(a.OnStandby, line)
			}
		case programme.StepReading:
			a.Readings = append(a.Readings, readingLine(r, s))
		case programme.StepOutput, programme.StepChime:
			a.Outputs = append(a.Outputs, outputLine(r, s))
		case programme.StepRestart:
			a.Restart = restartLine(r, s)
		case programme.StepCheck:
			a.Checklist = append(a.Checklist, s)
		}
	}
	a.summarise()
	a.prove()
	a.Computed = append(Design(r.Site()), measured(a)...)
	a.find()
	a.Cautions = Cautions(r.Site())
	switch {
	case len(a.Findings) > 0:
		a.Result = Unsatisfactory
	case len(a.Limitations) > 0:
		a.Result = WithLimitations
	default:
		a.Result = Satisfactory
	}
	return a
}

func detectorLine(r *record.Record, s *record.Outcome) DetectorLine {
	z, d, _ := r.Site().Find(s.Step().Point) // Fold has checked the point
	line := DetectorLine{Point: s.Step().Point, Zone: z, Detector: d, Step: s, Verdict: record.NotTested,
		Trials: len(s.Tried()), Operated: record.Judgement{Verdict: record.Void}, Restored: record.Judgement{Verdict: record.Void}}
	if last := s.Last(); last != nil {
		line.Verdict = last.Verdict()
		line.Operated = last.Operate.Judge()
		if last.Restore != nil {
			line.Restored = last.Restore.Judge()
		}
	}
	line.Remarks = append(line.Remarks, s.Notes()...)
	if s.Remark() != "" {
		line.Remarks = append(line.Remarks, s.Remark())
	}
	return line
}

func readingLine(r *record.Record, s *record.Outcome) ReadingLine {
	l := r.Site().Limits
	line := ReadingLine{Step: s, Reading: s.Reading(record.VoltageReading), Lower: l.Standby, After: s.Step().After()}
	switch {
	case s.Step().ID == programme.IDMainsPresent || s.Step().ID == programme.IDMainsBack:
		line.Lower, line.Upper = l.MainsLower, &l.MainsUpper
	case s.Step().Load:
		line.Lower = l.AlarmLoad
	}
	if line.Reading == nil || s.Result() == record.LeftOut {
		return line
	}
	in := checks.AtLeast(line.Lower.SI)
	if line.Upper != nil {
		in.Upper = line.Upper.SI
	}
	if line.Void = misplaced(s.Step(), line.Reading); line.Void != "" {
		return line
	}
	line.Uncertainty = combined(line.Reading)
	d, err := checks.Decide(line.Reading.Value, line.Uncertainty, in)
	line.Decision, line.Taken = d, err == nil
	return line
}

// combined is the expanded uncertainty of a voltage: the meter's, and that of the
// last digit that was typed.
func combined(r *record.Taken) float64 {
	if r.Uncertainty == 0 {
		return 0
	}
	digit, _ := checks.FromResolution(checks.Voltage.Resolution(checks.Quantity{SI: r.Value, Text: r.AsTyped})) // not negative
	u, _, _ := checks.Combined(checks.Contribution{Standard: r.Uncertainty / 2}, checks.Contribution{Standard: digit})
	return 2 * u
}

// misplaced says why a reading does not show what its step asks for, "" if it
// does.
func misplaced(s programme.Step, r *record.Taken) string {
	switch {
	case s.OnStandby() && !r.WhileOff:
		return "read while mains was present"
	case !s.OnStandby() && r.WhileOff:
		return "read while mains was removed"
	case s.Load && !r.Loaded:
		return "read while " + s.Output + " was off"
	}
	return ""
}

func outputLine(r *record.Record, s *record.Outcome) OutputLine {
	line := OutputLine{Step: s, Output: r.Site().Output(s.Step().Output), Verdict: record.NotTested}
	line.Remarks = append(line.Remarks, s.Notes()...)
	if s.Remark() != "" {
		line.Remarks = append(line.Remarks, s.Remark())
	}
	switch s.Result() {
	case record.Works:
		line.Verdict = record.Proved
	case record.Fails:
		line.Verdict = record.Silent
	}
	if t := s.LastEnded(); t != nil && s.Step().Kind == programme.StepChime {
		line.judgeChime(t)
		line.Remarks = append(line.Remarks, notHeardBefore(s)...)
	}
	for _, a := range s.Earlier() {
		line.Remarks = append(line.Remarks, "before: "+because(string(a.Result), a.Remark))
	}
	return line
}

// notHeardBefore tells of the trials of a chime before the last.
func notHeardBefore(s *record.Outcome) []string {
	trials, missed := 0, 0
	for _, a := range s.Attempts() {
		if by := a.Operate.EndedBy(); by != "" && !by.Void() {
			trials++
			if by != record.ByHeard {
				missed++
			}
		}
	}
	if s.LastEnded().EndedBy() != record.ByHeard {
		missed--
	}
	if missed < 1 {
		return nil
	}
	return []string{fmt.Sprintf("trial %d; before: not heard in %d", trials, missed)}
}

// judgeChime takes the last time that the followed zone was opened.
func (l *OutputLine) judgeChime(t *record.Trial) {
	if j := t.Judge(); j.Answered() {
		l.Report = j.Response
	}
	switch t.EndedBy() {
	case record.ByHeard:
		l.Verdict, l.Heard = record.Proved, t.Ended()
	case record.BySilent, record.ByTime:
		l.Verdict = record.Silent
	}
}

func restartLine(r *record.Record, s *record.Outcome) *RestartLine {
	line := &RestartLine{Step: s, Verdict: record.NotTested, Limit: r.Site().Limits.ColdRestart}
	last := s.LastEnded()
	if last == nil {
		return line
	}
	line.Tested = true
	if heard := last.Heard(); len(heard) > 0 {
		line.Took, line.Verdict = heard[0].Since, record.Proved
		d, err := checks.Decide(line.Took.Seconds(), last.Rules().Uncertainty.Seconds(), checks.AtMost(line.Limit.SI))
		switch {
		case err != nil || d.Verdict == checks.Fail:
			line.Verdict = record.Late
		case d.Verdict == checks.Undecided:
			line.Verdict = record.Undecided
		}
	} else {
		line.Verdict = record.Silent
	}
	return line
}

func (a *Assessment) summarise() {
	for _, d := range a.Detectors {
		if d.Operated.Answered() {
			a.Responses = append(a.Responses, d.Operated.Response.Seconds())
		}
	}
	slices.Sort(a.Responses)
	limit := a.Record.Site().Limits.Response
	a.Summary = Summary{Limit: limit.SI, Source: limit.Source,
		UncertaintySecond: time.Duration(a.Record.Listening().UncertaintyNS).Seconds()}
	a.Summary.Times, _ = checks.Summarise(a.Responses) // none: N stays zero
}

// prove counts every operation that was reported or missed, repeats too; also
// those that were broken off after their limit had passed.
func (a *Assessment) prove() {
	p := Proof{Confidence: proofConfidence}
	for _, lines := range [][]DetectorLine{a.Detectors, a.OnStandby} {
		for _, d := range lines {
			for _, t := range d.Step.Attempts() {
				switch {
				case t.Operate.Missed():
					p.Operations++
				case t.Operate.Judge().Answered():
					p.Operations++
					p.Reported++
				}
			}
		}
	}
	if p.Operations > 0 {
		p.LowerBound, _ = checks.ProportionLowerBound(p.Reported, p.Operations, p.Confidence)
	}
	p.NeededFor99, _ = checks.TrialsNeeded(0.99, p.Confidence)
	a.Proof = p
}

// Unsatisfied names the steps that a retest has to take again: all that gave
// rise to a finding, and all that were not tested.
func Unsatisfied(r *record.Record) map[string]bool {
	a := Assess(r)
	again := map[string]bool{}
	for _, f := range slices.Concat(a.Findings, a.Limitations) {
		if f.Step != "" {
			again[f.Step] = true
		}
	}
	return again
}
