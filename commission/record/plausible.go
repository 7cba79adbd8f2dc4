package record

import (
	"bytes"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// A journal may come from anybody, who may have written it by hand. What follows
// refuses, or lets count for nothing, what no visit writes: facts that would show more
// than happened.

// asProgrammed refuses a programme whose steps are others than those of the site, or
// stand in another order. The checklist is the installer's own.
func asProgrammed(s *site.Site, steps []programme.Step) error {
	place := map[string]int{}
	whole := programme.Whole(s, programme.Checklist{})
	for i, step := range whole {
		place[step.ID] = i
	}
	last := -1
	for _, step := range steps {
		i, known := place[step.ID]
		switch {
		case step.Kind == programme.StepCheck && !known && isChecklist(step):
			continue
		case step.Kind == programme.StepOutstanding: // see asRemembered
			continue
		case !known || whole[i] != step:
			return refuse(LawProgramme, fmt.Errorf("the site gives no step %q as the programme has it", step.ID))
		case i <= last:
			return refuse(LawProgramme, fmt.Errorf("step %q stands in another order", step.ID))
		}
		last = i
	}
	return nil
}

// isChecklist tells whether a step may be a line of a checklist: in a stage that has one,
// or at a detector, and with a text of the company's own or an item that we have words for.
func isChecklist(s programme.Step) bool {
	stage := s.Stage == programme.StageInspection || s.Stage == programme.StageHandOver
	value := s.Value == "" && !s.Optional || slices.Contains(programme.ValueKinds, string(s.Value))
	return value && (stage && !s.Look() || programme.CouldBeLook(s)) && (s.Text != "" || programme.Items()[s.Item])
}

// known refuses codes that only a later version may have words for.
func known(f interface{ Check() error }) error {
	if err := f.Check(); err != nil {
		return fmt.Errorf("%w: %w: %w", ErrUnknownKind, err, &Refusal{Law: LawKnownCodes})
	}
	return nil
}

func knownVisit(k programme.VisitKind) error {
	if !slices.Contains(programme.VisitKinds, k) {
		return fmt.Errorf("%w: a visit of the kind %q", ErrUnknownKind, k)
	}
	return nil
}

func knownLanguage(tag string) error {
	if tag != "" && !slices.Contains(site.Languages, tag) {
		return fmt.Errorf("%w: a visit in the language %q", ErrUnknownKind, tag)
	}
	return nil
}

// results are the answers that conclude a step of a kind.
var results = map[programme.StepKind][]Result{
	programme.StepCheck:      {Done, NotApplicable, Defect, LeftOut},
	programme.StepDetector:   {AsItIs, LeftOut},
	programme.StepInstrument: {LeftOut},
	programme.StepReading:    {LeftOut},
	programme.StepAct:        {Done, LeftOut},
	programme.StepCharged:    {Yes, No, LeftOut},
	programme.StepFault:      {AtController, AtCentre, NotCleared, NotSeen, AsTold, LeftOut},
	programme.StepPath:       {Yes, No, LeftOut, NotApplicable},
	programme.StepOutput:     {Works, Fails, LeftOut},
	programme.StepChime:      {AsItIs, LeftOut},
	programme.StepRestart:    {AsItIs, LeftOut},
	programme.StepIsolated:   {Done, LeftOut},
	programme.StepTester:     {LeftOut},
	programme.StepCable:      {LeftOut},
	programme.StepFound:      {LeftOut},

	programme.StepOutstanding: {Yes, No, LeftOut},
	programme.StepSetting:     {Done, LeftOut},
	programme.StepEntry:       {Done, LeftOut},
	programme.StepIntrusion:   {Done, LeftOut},
	programme.StepReceipt:     {LeftOut},
	programme.StepExtent:      {},
}

// readable are the kinds of steps at which a quantity is read.
var readable = map[Quantity][]programme.StepKind{
	VoltageReading: {programme.StepReading},
	LevelReading:   {programme.StepOutput},
	CurrentReading: {programme.StepOutput, programme.StepReading},
	CutOffReading:  {programme.StepOutput},
	LoopReading:    {programme.StepDetector, programme.StepFound},
}

// fits refuses a fact about a step of another kind.
func fits(s *Outcome, f Fact) error {
	ok := true
	switch f := f.(type) {
	case Answer:
		ok = slices.Contains(results[s.step.Kind], f.Result) && valued(s.step, f) ||
			s.step.ID == programme.IDCharging && (f.Result == Yes || f.Result == No) && f.Value == "" // by an indication
	case Instrument:
		ok = s.step.Kind == programme.StepInstrument
	case Signed:
		ok = s.step.Kind == programme.StepSign && f.Role == s.step.Role
	case Cue:
		ok = s.step.Kind == programme.StepDetector ||
			f.Half == Operate && (s.step.Kind == programme.StepChime || s.step.Kind == programme.StepRestart)
		ok = ok && (s.step.Kind == programme.StepDetector || !f.Own && f.NotTimed == "")
	case Reading:
		if ok = slices.Contains(readable[f.Quantity], s.step.Kind) && ofStep(s.step, f); ok {
			return f.asTyped()
		}
	case Tester:
		if ok = s.step.Kind == programme.StepTester; ok {
			return f.check()
		}
	case CableTested:
		if ok = s.step.Kind == programme.StepCable; ok {
			return f.asTyped()
		}
	case Found:
		ok = s.step.Kind == programme.StepFound
	case Moment:
		ok = slices.Contains(instantsOf[s.step.Kind], f.What)
	case Received:
		ok = s.step.Kind == programme.StepReceipt
	case Extent:
		ok = s.step.Kind == programme.StepExtent
	case Struck:
		ok = s.step.Kind == programme.StepDetector
	}
	if !ok {
		return refuse(LawFitsStep, fmt.Errorf("no %s belongs to step %q", f.Kind(), s.step.ID))
	}
	return nil
}

// valued tells whether an answer has the value that its line asks for, and no other has one.
func valued(s programme.Step, a Answer) bool {
	if a.Value == "" {
		return s.Value == "" || s.Optional || a.Result != Done
	}
	return a.Result == Done && s.Value.Check(a.Value) == nil
}

// ofStep tells whether a step of readings asks for that quantity.
func ofStep(s programme.Step, r Reading) bool {
	if s.Kind == programme.StepFound {
		return s.Group == site.GroupWiring
	}
	return s.Kind != programme.StepReading || s.OfCurrent() == (r.Quantity == CurrentReading)
}

// lapse lets names under the visit count no more: who has signed has not seen what
// comes of it.
func (r *Record) lapse() {
	for _, id := range []string{programme.IDTechnician, programme.IDCustomer} {
		if s := r.index[id]; s != nil {
			r.lapsed = r.lapsed || s.signed != nil
			s.settled, s.signed, s.given = false, nil, nil
		}
	}
}

const (
	// longestText is how long any text of an entry may be, in bytes.
	longestText = 64 << 10
	// longestSigned is how long an entry with a name may be: a drawing, and 5,000 detectors
	// with several findings each that are accepted.
	longestSigned = 8 << 20
)

// bounded refuses a body that is longer than any that is written, before it is read. Site
// files are bounded where they are read.
func bounded(e journal.Entry) error {
	longest := longestText
	switch e.Kind {
	case kindOpened, kindSiteChanged:
		return nil
	case kindSigned:
		longest = longestSigned
	}
	if len(e.Body) > longest {
		return fmt.Errorf("%w: it is longer than the %d bytes of an entry", ErrNoSense, longest)
	}
	return nil
}

// canonical refuses a body that another reader might read otherwise: keys that are not
// known, stand twice, or differ in case.
func canonical(e journal.Entry, f Fact) error {
	again, err := journal.Marshal(f)
	if err != nil {
		return err
	}
	// A byte that is no text is written as an escape, the character that stands for it
	// as itself: both are the same.
	plain := func(b []byte) []byte { return bytes.ReplaceAll(b, []byte(`\ufffd`), []byte("\ufffd")) }
	if !bytes.Equal(plain(again), plain(e.Body)) {
		return fmt.Errorf("%w: its body has what this version does not know; a later one may read it", ErrUnknownKind)
	}
	return nil
}

// stillComes are the kinds of entries that may follow the pause of their run, while the
// source is closed: what it delivers, and an output that goes off.
var stillComes = map[string]bool{kindSignal: true, kindConnection: true, kindOverrun: true, kindSampled: true,
	kindSystem: true, kindEnergised: true, kindAbsent: true, kindClockStepped: true,
	kindShown: true}

// inRun refuses an entry of a run that did not begin as runs do, and one behind its end.
// What is added between runs is in one of its own.
func (r *Record) inRun(e journal.Entry) error {
	if n := len(r.breaks); n > 0 && r.breaks[n-1].To.IsZero() && e.Run == r.runs && !stillComes[e.Kind] {
		return fmt.Errorf("%w: it stands behind the pause of run %d", ErrNoSense, e.Run)
	}
	next := e.Run == r.run+1
	switch {
	case r.site == nil && next,
		e.Kind == kindResumed && next,
		betweenRuns[e.Kind] && (next || e.Run == r.run),
		e.Kind != kindResumed && e.Run == r.runs:
		return nil
	}
	return refuse(LawRuns, fmt.Errorf("it belongs to run %d, which did not begin", e.Run))
}

// longestLoss bounds how long signals may have been lost without a break: no battery of
// a laptop lasts a month.
const longestLoss = 31 * 24 * time.Hour

// plausibleYear refuses times that cannot be written as a time on the premises.
func plausibleYear(at time.Time) error {
	if y := at.Year(); y < 1 || y > 9998 {
		return fmt.Errorf("%w: no visit was in the year %d", ErrNoSense, y)
	}
	return nil
}

// farthestOffset is the farthest that a clock on earth is from UTC: 14 hours.
const farthestOffset = 14 * time.Hour

func plausibleOffset(seconds int) error {
	if d := time.Duration(seconds) * time.Second; d.Abs() > farthestOffset {
		return fmt.Errorf("%w: no clock is %s from UTC", ErrNoSense, d)
	}
	return nil
}
