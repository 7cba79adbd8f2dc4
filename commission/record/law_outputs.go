package record

import (
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

// The laws of outputs.
const (
	// LawEnergisedFirst: what an output does is seen after it was energised.
	LawEnergisedFirst Law = "energised-first"
	// LawOffAtEnd: nothing is on when a visit is over or paused.
	LawOffAtEnd Law = "off-at-end"
	// LawOnBeforeOff: what is switched off was on.
	LawOnBeforeOff Law = "on-before-off"
	// LawNotLongOn: nothing is on for longer than this program lets it.
	LawNotLongOn Law = "not-long-on"
	// LawLoaded: what is read under alarm load is read while it is on.
	LawLoaded Law = "loaded"
)

var outputLaws = []rule{
	{law: LawEnergisedFirst, consequence: Limits, entry: (*Record).seenUnenergised},
	{law: LawOffAtEnd, consequence: Limits, end: (*Record).onAtEnd},
	{law: LawOnBeforeOff, consequence: Limits, entry: (*Record).offWhileOff},
	{law: LawNotLongOn, consequence: Limits, entry: (*Record).onTooLong},
	{law: LawLoaded, consequence: Limits, entry: (*Record).readUnloaded},
}

const (
	// LongestLoad is how long an output stays on at the longest if nobody switches it off and
	// it is not waited for that it stops by itself (WaitedFor): several readings may be taken
	// meanwhile, one of them at a detector.
	LongestLoad = 3 * time.Minute
	// toSwitch is how much longer it may take to switch an output off without a failure that
	// is told: a command of 3 s, and a disk that stalls.
	toSwitch = longestStall + 3*time.Second
	// switchedTwice is how long after an output went off it may be told so once more: both the
	// technician's answer and the time that was up switch it off, each for two minutes.
	switchedTwice = 2*time.Minute + toSwitch
	// loadGone is how long after a load went off a reading that was typed before is written.
	loadGone = 5 * time.Second
)

// WaitedFor is how long it is waited that an output stops by itself.
func WaitedFor(cutOff time.Duration) time.Duration { return cutOff + cutOff/10 }

// trialOfOutput is how far the trial of an output has come, "" for none: it was energised,
// and nothing was done at another step since; or it was also said whether it was observed.
type trialOfOutput string

const (
	energisedNow  trialOfOutput = "energised"
	observedThere trialOfOutput = "observed"
)

// observation is the end of the question whether an output was heard or seen.
const observation = "/observed"

// rememberOutputs keeps which outputs are on trial.
func (r *Record) rememberOutputs(f Fact) {
	switch f, is := f.(Energised); {
	case is && f.On && f.Failed == "" && r.site.Output(f.Output) != nil:
		r.ownTrial[f.Output] = energisedNow
	case is && f.Because == OffRefused:
		delete(r.ownTrial, f.Output)
	}
	o := r.index[stepTakenBy(f)]
	if o == nil {
		return
	}
	for output, stands := range r.ownTrial {
		if stands == energisedNow && o.step.Output != output {
			delete(r.ownTrial, output)
		}
	}
	part, is := f.(PartAnswer)
	if is && part.Question == part.Step+observation && r.ownTrial[o.step.Output] != "" {
		r.ownTrial[o.step.Output] = observedThere
		s := r.sounded[o.step.Output]
		s.answeredOff = !r.on[o.step.Output]
		r.sounded[o.step.Output] = s
	}
}

// stepTakenBy is the step at which something was done, "" for none.
func stepTakenBy(f Fact) string {
	switch f := f.(type) {
	case Answer:
		return f.Step
	case PartAnswer:
		return f.Step
	case Reading:
		return f.Step
	case Cue:
		return f.Step
	case Instrument:
		return f.Step
	case Signed:
		return f.Step
	case Moment:
		return f.Step
	case Received:
		return f.Step
	}
	return ""
}

// seenUnenergised tells whether an output was answered that was not on for it, or measured
// that was never on.
func (r *Record) seenUnenergised(_ journal.Entry, f Fact) bool {
	id := ""
	switch f := f.(type) {
	case Answer:
		if f.Result == Works || f.Result == Fails {
			id = f.Step
		}
	case Reading:
		id = f.Step
	}
	o := r.index[id]
	if o == nil || o.step.Kind != programme.StepOutput {
		return false
	}
	if _, answered := f.(Answer); answered {
		return r.ownTrial[o.step.Output] == ""
	}
	_, was := r.sounded[o.step.Output]
	return !was
}

// onAtEnd tells whether an output is on at the end of a visit, or at a pause, that the
// controller switches and that was not told to have stuck. After a run that ended without a
// pause, or because its end was asked for, perhaps twice, it may be; and nobody but the
// technician knows of one that is switched by hand.
func (r *Record) onAtEnd() []int {
	n := len(r.breaks)
	over := r.Done() || n > 0 && r.breaks[n-1].To.IsZero() && r.breaks[n-1].Why != StopAsked
	var entries []int
	for _, output := range r.Energised() {
		if over && r.stuck[output] == "" && r.sounded[output].by == SwitchedByController {
			entries = append(entries, r.sounded[output].entry)
		}
	}
	return entries
}

// offWhileOff tells whether an output is switched off that was not on.
func (r *Record) offWhileOff(e journal.Entry, f Fact) bool {
	off, is := f.(Energised)
	if !is || off.On || r.on[off.Output] {
		return false
	}
	s := r.sounded[off.Output] // of run 0, which is none, if it never was
	return s.run != e.Run || e.Elapsed-s.elapsed-s.lasted > switchedTwice
}

// onTooLong tells whether the controller switched an output off later than this program
// would have. One that stuck, or was on over a break or an absence, is not held to that.
func (r *Record) onTooLong(e journal.Entry, f Fact) bool {
	off, is := f.(Energised)
	if !is || off.On || off.By != SwitchedByController || !r.on[off.Output] || r.stuck[off.Output] != "" {
		return false
	}
	s, o := r.sounded[off.Output], r.site.Output(off.Output)
	if s.run != e.Run || len(r.absences) > s.absences || o == nil {
		return false
	}
	return e.Elapsed-s.elapsed > max(LongestLoad, WaitedFor(o.CutOff.Duration()))+toSwitch
}

// readUnloaded tells whether a reading under alarm load was taken while an output was off
// that an alarm energises.
func (r *Record) readUnloaded(e journal.Entry, f Fact) bool {
	reading, is := f.(Reading)
	o := r.index[reading.Step]
	if !is || o == nil || !o.step.Load {
		return false
	}
	for _, output := range r.site.AlarmOutputs() {
		s := r.sounded[output.Name]
		just := s.run == e.Run && e.Elapsed-s.elapsed-s.lasted <= loadGone
		if !r.on[output.Name] && !just {
			return true
		}
	}
	return false
}
