package record

import (
	"reflect"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// The laws of signals and of how they are received.
const (
	// LawListensFirst: nothing is done in a run before it is told how signals are received.
	LawListensFirst Law = "listens-first"
	// LawWay: each way of receiving signals has its own timing.
	LawWay Law = "way"
	// LawUncertainty: and its own uncertainty of times.
	LawUncertainty Law = "uncertainty"
	// LawListensOnce: a run has one source of signals.
	LawListensOnce Law = "listens-once"
	// LawSameMeter: an instrument is simulated where the controller is.
	LawSameMeter Law = "same-meter"
	// LawToldByWay: a source tells only what it can.
	LawToldByWay Law = "keys-tell-only-states"
	// LawSampler: only a source that samples the supply tells its voltage.
	LawSampler Law = "samples-need-a-sampler"
	// LawHeardConnected: signals come through a connection.
	LawHeardConnected Law = "heard-connected"
	// LawCueConnected: nobody is told to operate a detector while nothing can be heard of it.
	LawCueConnected Law = "cue-connected"
	// LawLostAtCues: a connection is not lost just when cues are given.
	LawLostAtCues Law = "lost-at-cues"
	// LawEars: what is heard, or lost, is heard or lost by an ear that is listened to, and an ear tells
	// only what it can.
	LawEars Law = "ears"
	// LawToldInTurn: what came before a cue stands before it.
	LawToldInTurn Law = "told-in-turn"
)

var signalLaws = []rule{
	{law: LawListensFirst, consequence: Limits, entry: func(r *Record, e journal.Entry, _ Fact) bool {
		return listening[e.Kind] && !r.memory.listened
	}},
	{law: LawWay, consequence: Limits, entry: func(_ *Record, _ journal.Entry, f Fact) bool {
		l, is := f.(signal.Listening)
		return is && !IsWay(l)
	}},
	{law: LawUncertainty, consequence: Limits, entry: func(_ *Record, _ journal.Entry, f Fact) bool {
		l, is := f.(signal.Listening)
		return is && !uncertainAsItsWay(l)
	}},
	{law: LawListensOnce, consequence: Limits, entry: func(r *Record, e journal.Entry, _ Fact) bool {
		return e.Kind == kindListening && r.memory.listened
	}},
	{law: LawSameMeter, consequence: Limits, entry: func(r *Record, _ journal.Entry, f Fact) bool {
		i, is := f.(Instrument)
		return is && len(r.sources) > 0 && i.Simulated != r.Listening().Simulated
	}},
	{law: LawToldByWay, consequence: Refused, entry: (*Record).toldByNoSuchWay},
	{law: LawSampler, consequence: Refused,
		entry: func(r *Record, _ journal.Entry, f Fact) bool {
			_, is := f.(signal.Sample)
			s, of := f.(signal.System)
			return is && !r.Listening().Sampled || of && !r.Tells(s.Aspect)
		}},
	{law: LawEars, consequence: Refused, entry: (*Record).byNoSuchEar},
	{law: LawHeardConnected, consequence: Limits},
	{law: LawCueConnected, consequence: Limits, entry: (*Record).cuedUnheard},
	{law: LawLostAtCues, consequence: Limits, end: (*Record).lostAtCues},
	{law: LawToldInTurn, consequence: Limits, entry: (*Record).toldBehind},
}

// listening are the kinds of entries that are made only while the visit listens.
var listening = map[string]bool{kindSignal: true, kindConnection: true, kindOverrun: true, kindSampled: true,
	kindSystem: true, kindCue: true, kindEnded: true, kindAnswer: true, kindEntered: true, kindReading: true,
	kindInstrument: true,
	kindEnergised:  true, kindSigned: true, kindStruck: true, kindPartAnswer: true, kindMoment: true,
	kindReceived: true}

// UncertaintyOf is the uncertainty of a time of each way, expanded (k = 2), as its source
// tells it: those of commission/listen. To that of a controller that is asked, what it may be late comes.
var UncertaintyOf = map[signal.Way]time.Duration{signal.OverMQTT: 50 * time.Millisecond,
	signal.ByWatching: 250 * time.Millisecond, signal.Simulated: 50 * time.Millisecond,
	signal.OverHook: 50 * time.Millisecond, signal.ByPolling: 50 * time.Millisecond}

// IsWay tells whether a way of receiving signals is one that a source has.
func IsWay(l signal.Listening) bool {
	if l.Way == signal.Several {
		return areEars(l)
	}
	l.UncertaintyNS = 0
	ways := []signal.Listening{
		{Way: signal.OverMQTT, TimedBy: signal.ByComputer, Simulated: l.Simulated, Sampled: l.Sampled, Tells: l.Tells},
		{Way: signal.OverHook, TimedBy: signal.ByComputer, Simulated: l.Simulated, Tells: l.Tells},
		{Way: signal.ByPolling, TimedBy: signal.ByComputer, Simulated: l.Simulated, Tells: l.Tells,
			AskedNS: max(1, l.AskedNS)},
		{Way: signal.ByWatching, TimedBy: signal.ByHand, ByHand: true},
		{Way: signal.Simulated, TimedBy: signal.BySeed, Simulated: true, Tells: l.Tells},
		{Way: signal.Simulated, TimedBy: signal.BySimulatedTime, Simulated: true, Tells: l.Tells}}
	return slices.ContainsFunc(ways, func(way signal.Listening) bool { return reflect.DeepEqual(way, l) })
}

// toldByNoSuchWay tells whether a source cannot have told something: keys are signals at
// once, of two states, and have no connection; nothing but a controller that can be told so
// switches an output.
func (r *Record) toldByNoSuchWay(_ journal.Entry, f Fact) bool {
	if r.Listening().Way != signal.ByWatching {
		return false
	}
	switch f := f.(type) {
	case signal.Signal:
		return f.Kept != "" || f.State != signal.Active && f.State != signal.Restored
	case signal.Connection, signal.Overrun:
		return true
	case Energised:
		return f.By == SwitchedByController
	}
	return false
}

// lostSurely is how long a connection is told lost before a cue shows that nobody looked.
const lostSurely = 5 * time.Second

// cuedUnheard tells whether a cue was given although the connection was lost. A restart
// takes it away.
func (r *Record) cuedUnheard(e journal.Entry, f Fact) bool {
	c, is := f.(Cue)
	o := r.index[c.Step]
	return is && o != nil && o.step.Kind != programme.StepRestart && !r.HearsAt(o.step) &&
		r.memory.listened && e.Elapsed-r.memory.lost.since(r, o.step) > lostSurely
}

// mostUnheard bounds the chimes whose zones may report still: each entry looks at all of
// them, and nobody tries so many in so short a time.
const mostUnheard = 100

// lostAtCues are the cues that were given while the connection was told lost, where they are
// many: it may be lost in the moment of one.
func (r *Record) lostAtCues() []int {
	if len(r.cuedLost) <= mostFast || len(r.cuedLost)*oneIn <= r.cuesGiven {
		return nil
	}
	return r.cuedLost
}

// toldLate is how much earlier than a cue a signal may be that stands behind it. What has
// arrived is written before a cue is, however slow the disk; only between its stamp and its
// arrival may the program have been held up, and it tells if that was longer.
const toldLate = time.Second

// toldBehind tells whether a signal is written behind a cue before which it had long come: no
// trial counts it.
func (r *Record) toldBehind(e journal.Entry, f Fact) bool {
	s, is := f.(signal.Signal)
	return is && s.Kept == "" && e.Run == r.run && !r.Listening().ByHand && r.memory.cued-e.Elapsed > toldLate
}

// rememberCue keeps when a cue was given, and whether the connection was told lost.
func (r *Record) rememberCue(e journal.Entry, c Cue) {
	r.memory.cued = e.Elapsed - time.Duration(c.BeforeNS)
	o := r.index[c.Step]
	if o == nil || o.step.Kind == programme.StepRestart {
		return
	}
	if r.cuesGiven++; r.memory.lost.at(r, o.step) {
		r.cuedLost = append(r.cuedLost, e.N)
	}
}

// rememberSignals keeps what is known of the connection, and of what came without one.
func (r *Record) rememberSignals(e journal.Entry, f Fact) {
	m := &r.memory
	live, is := f.(signal.Signal)
	if is = is && live.Kept == ""; !is {
		live.Address = ""
	}
	m.settle(r, e.Elapsed, live.Address)
	switch f := f.(type) {
	case signal.Listening:
		m.listened = true
	case signal.Connection:
		m.connection(e, f)
	case Cue:
		r.rememberCue(e, f)
	case Ended:
		if f.By == ByHeard && r.trial != nil && len(m.unheard) < mostUnheard && !r.follows() {
			m.unheard = append(m.unheard, pending{n: e.N, elapsed: e.Elapsed,
				address: r.trial.zone.Address, point: r.onTrial.step.Point})
		}
	case signal.Overrun, Absent:
		m.unheard = nil
	}
	line, lost := m.lost[live.Ear]
	if is && lost && line.broken && e.Elapsed-line.since > lostSurely && r.site.ZoneAt(live.Address) != nil {
		m.muted = append(m.muted, pending{n: e.N, elapsed: e.Elapsed, ear: live.Ear})
	}
}

// connection keeps since when a connection is lost, and whether it is told broken.
func (m *lawMemory) connection(e journal.Entry, c signal.Connection) {
	m.unheard = nil
	line, lost := m.lost[c.Ear]
	if c.Up {
		delete(m.lost, c.Ear)
		m.muted = slices.DeleteFunc(m.muted, func(p pending) bool { return p.ear == c.Ear })
		return
	}
	if !lost {
		line.since = e.Elapsed
	}
	line.broken = line.broken || c.Why == signal.Broken
	if m.lost == nil {
		m.lost = lostLines{}
	}
	m.lost[c.Ear] = line
}

// settle lets go what has followed in time, as the report of an address, and tells what has
// not.
func (m *lawMemory) settle(r *Record, now time.Duration, reports string) {
	late := func(p pending) bool { return now-p.elapsed > soonAfter }
	m.unheard = slices.DeleteFunc(m.unheard, func(p pending) bool {
		silent := now-p.elapsed > max(soonAfter, r.site.Limits.ListenFor[r.site.ZoneAt(p.address).Kind].Duration())
		if silent {
			r.unfollowed = append(r.unfollowed, p)
		}
		return silent || p.address == reports
	})
	for len(m.muted) > 0 && late(m.muted[0]) {
		r.broken.add(LawHeardConnected, m.muted[0].n)
		m.muted = m.muted[1:]
	}
}
