package record

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// ears is what is known of those that a run listens with. Where there is one source for everything,
// its way stands as "".
//
// An address belongs to the one ear that can report it. Where more can, it belongs to that whose
// report was understood first in the run; until then all of them count for it: the largest
// uncertainty, and the loss of any. What another ear reports of it is counted and proves nothing.
type ears struct {
	lost      map[signal.Way]time.Duration // those that are, since when on the clock of the run
	first     map[string]signal.Way        // by address, where more than one can report it
	elsewhere map[string]int               // live signals of addresses of another ear, of all runs
}

func (e *ears) begin() {
	e.lost, e.first = map[signal.Way]time.Duration{}, map[string]signal.Way{}
}

// earsOf are the ears that count for an address; none where there is one source for everything.
func (r *Record) earsOf(address string) []signal.Listening {
	of := r.Listening().EarsOf(address)
	if way, decided := r.ears.first[address]; decided {
		return slices.DeleteFunc(slices.Clone(of), func(ear signal.Listening) bool { return ear.Way != way })
	}
	return of
}

// HeardBy is how an address is listened to now.
func (r *Record) HeardBy(address string) signal.Listening {
	switch of := r.earsOf(address); len(of) {
	case 0:
		return r.Listening()
	case 1:
		return of[0]
	default:
		return signal.Together(of)
	}
}

// HeardAt is how the zone of a step is listened to now: in every way, where it has none.
func (r *Record) HeardAt(s programme.Step) signal.Listening {
	if z := r.site.Zone(s.Zone); z != nil {
		return r.HeardBy(z.Address)
	}
	return r.Listening()
}

// HearsAt tells whether the zone of a step can be heard now: every zone, where it has none.
func (r *Record) HearsAt(s programme.Step) bool {
	z := r.site.Zone(s.Zone)
	if z == nil {
		return r.Connected()
	}
	return r.listened && !slices.ContainsFunc(slices.Collect(maps.Keys(r.ears.lost)),
		func(ear signal.Way) bool { return r.concerns(ear, z.Address) })
}

// Deaf are the ears that cannot hear now, in their order; none where there is one source for
// everything.
func (r *Record) Deaf() (ears []signal.Way) {
	for _, ear := range r.Listening().Ears {
		if _, lost := r.ears.lost[ear.Way]; lost {
			ears = append(ears, ear.Way)
		}
	}
	return ears
}

// Elsewhere are the addresses of the site that another ear reported than the one to which they
// belong, with how many live signals of each.
func (r *Record) Elsewhere() map[string]int { return maps.Clone(r.ears.elsewhere) }

// concerns tells whether the loss of an ear leaves an address unheard.
func (r *Record) concerns(ear signal.Way, address string) bool {
	return ear == "" || slices.ContainsFunc(r.earsOf(address), func(l signal.Listening) bool { return l.Way == ear })
}

// belongs tells whether a signal is of an address of its ear; the first that is live decides where that is
// open: what a broker retained may be of a controller that is gone.
func (r *Record) belongs(s signal.Signal) bool {
	if s.Ear == "" {
		return true
	}
	of := r.earsOf(s.Address)
	if !slices.ContainsFunc(of, func(ear signal.Listening) bool { return ear.Way == s.Ear }) {
		return false
	}
	if len(of) > 1 && s.State != signal.NotUnderstood && s.Kept == "" {
		r.ears.first[s.Address] = s.Ear
	}
	return true
}

func (r *Record) connection(e journal.Entry, c signal.Connection) error {
	if err := known(c); err != nil {
		return err
	}
	_, lost := r.ears.lost[c.Ear]
	last := lastOutage(r.outages, c.Ear)
	switch {
	case !c.Up && r.listened && !lost:
		lost := Break{From: e.At, Own: r.wasAwayAt(e.Elapsed), OffAt: r.mainsOff, Ear: c.Ear}
		if !r.mainsOff.IsZero() {
			lost.SinceOff = r.passed(e.Elapsed) - r.mainsOffPassed
		}
		r.outages = append(r.outages, lost)
	case c.Up && last != nil && last.To.IsZero():
		if last.To = e.At; !last.Cut {
			last.Lasted = e.Elapsed - r.ears.lost[c.Ear]
		}
	}
	if c.Up {
		delete(r.ears.lost, c.Ear)
		return nil
	}
	if !lost && r.ears.lost != nil {
		r.ears.lost[c.Ear] = e.Elapsed
	}
	r.cutOff(e.Elapsed, c.Ear)
	return nil
}

func lastOutage(all []Break, of signal.Way) *Break {
	for i := range slices.Backward(all) {
		if all[i].Ear == of {
			return &all[i]
		}
	}
	return nil
}

// cutOff forgets what an ear told: what changes from now on is not heard.
func (r *Record) cutOff(elapsed time.Duration, ear signal.Way) {
	r.recent.cut(elapsed, ByLost, r.states, ear)
	maps.DeleteFunc(r.states, func(address string, _ signal.State) bool { return r.concerns(ear, address) })
	r.aspectsUnknown(func(a signal.Aspect) bool {
		return ear != "" && !slices.Contains(r.Listening().Of(ear).Tells, a)
	})
	r.alarmLost()
	if r.trial != nil && r.onTrial.step.Kind != programme.StepRestart && r.concerns(ear, r.trial.zone.Address) {
		r.endTrial(ByLost, elapsed)
	}
}

// byNoSuchEar tells whether something came by an ear that is not listened to, or that cannot tell it.
func (r *Record) byNoSuchEar(_ journal.Entry, f Fact) bool {
	var by signal.Way
	switch f := f.(type) {
	case signal.Signal:
		by = f.Ear
	case signal.Connection:
		by = f.Ear
	case signal.System:
		by = f.Ear
		if ear, is := r.Listening().Ear(by); is && !slices.Contains(ear.Tells, f.Aspect) {
			return true
		}
	default:
		return false
	}
	if _, is := r.Listening().Ear(by); is {
		return false
	}
	return by != "" || r.Listening().Way == signal.Several
}

// areEars tells whether several ways of receiving signals are such as are listened to at once.
func areEars(l signal.Listening) bool {
	for _, ear := range l.Ears {
		ear.Addresses = nil
		if !IsWay(ear) || ear.TimedBy != signal.ByComputer {
			return false
		}
	}
	all := signal.Together(l.Ears)
	return l.TimedBy == all.TimedBy && l.Sampled == all.Sampled && slices.Equal(l.Tells, all.Tells) &&
		l.Simulated == all.Simulated && !l.ByHand && l.AskedNS == 0
}

// uncertainAsItsWay tells whether times are known as well as is said: of several, as the worst is.
func uncertainAsItsWay(l signal.Listening) bool {
	if l.Way != signal.Several {
		return l.UncertaintyNS == UncertaintyOf[l.Way].Nanoseconds()+l.AskedNS
	}
	return l.UncertaintyNS == signal.Together(l.Ears).UncertaintyNS &&
		!slices.ContainsFunc(l.Ears, func(ear signal.Listening) bool { return !uncertainAsItsWay(ear) })
}

// lostLines are, by ear, the connections that the laws know as lost.
type lostLines map[signal.Way]lostLine

type lostLine struct {
	since  time.Duration
	broken bool // and not only that the controller said that it goes
}

// at tells whether that of a step's zone is lost, or any where it has none.
func (l lostLines) at(r *Record, s programme.Step) bool { return len(l.of(r, s)) > 0 }

// since is when the first of them was lost; zero for none.
func (l lostLines) since(r *Record, s programme.Step) time.Duration {
	of := l.of(r, s)
	if len(of) == 0 {
		return 0
	}
	return slices.MinFunc(of, func(a, b lostLine) int { return cmp.Compare(a.since, b.since) }).since
}

func (l lostLines) of(r *Record, s programme.Step) (of []lostLine) {
	z := r.site.Zone(s.Zone)
	for ear, line := range l {
		if z == nil || r.concerns(ear, z.Address) {
			of = append(of, line)
		}
	}
	return of
}
