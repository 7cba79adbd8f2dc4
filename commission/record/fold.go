package record

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ErrUnknownKind says that a later version of the tool wrote an entry that this one
// does not understand.
var ErrUnknownKind = errors.New("unknown kind of entry")

// ErrNoSense says that an entry does not fit those before it.
var ErrNoSense = errors.New("the journal makes no sense")

// Fold is the record that a journal's entries tell. Errors name the entry.
func Fold(entries []journal.Entry) (*Record, error) {
	r := &Record{}
	for _, e := range entries {
		if err := r.Take(e); err != nil {
			return nil, err
		}
	}
	if r.site == nil {
		return nil, fmt.Errorf("%w: it has no first entry", ErrNoSense)
	}
	return r, nil
}

// Take takes the next entry. The live visit and Fold both go through it, so
// that resuming cannot differ from going on. After an error the record is not
// to be used.
func (r *Record) Take(e journal.Entry) error {
	kind, known := kinds[e.Kind]
	switch {
	case !known:
		return fmt.Errorf("entry %d: %w %q; a later version of the tool may read it", e.N, ErrUnknownKind, e.Kind)
	case (r.site == nil) != (e.Kind == kindOpened):
		return fmt.Errorf("entry %d: %w: %s stands in the wrong place", e.N, ErrNoSense, e.Kind)
	case r.discard != nil:
		return fmt.Errorf("entry %d: %w: %s stands behind the visit's having been set aside", e.N, ErrNoSense, e.Kind)
	}
	err := plausibleYear(e.At)
	if err == nil {
		err = kind.take(r, e)
	}
	if err != nil {
		return fmt.Errorf("entry %d (%s): %w", e.N, e.Kind, err)
	}
	r.latest, r.run, r.elapsed = e.At, e.Run, e.Elapsed
	r.watched.top = max(r.watched.top, e.Elapsed)
	if !betweenRuns[e.Kind] {
		r.attended = e.At
	}
	r.entries++
	return nil
}

// FactOf is the fact that an entry tells. Whether it fits those before it is for Take.
func FactOf(e journal.Entry) (Fact, error) {
	kind, known := kinds[e.Kind]
	if !known {
		return nil, fmt.Errorf("entry %d: %w %q; a later version of the tool may read it", e.N, ErrUnknownKind, e.Kind)
	}
	return kind.read(e)
}

// kind is how entries of a kind are read and taken.
type kind struct {
	read func(journal.Entry) (Fact, error)
	take func(*Record, journal.Entry) error
}

var kinds = map[string]kind{
	kindOpened:     taking((*Record).opened),
	kindResumed:    taking((*Record).resumed),
	kindPaused:     taking((*Record).paused),
	kindListening:  taking((*Record).listening),
	kindConnection: taking((*Record).connection),
	kindSignal:     taking((*Record).signal),
	kindOverrun:    taking((*Record).overrun),
	kindCue:        taking((*Record).cued),
	kindEnded:      taking((*Record).ended),
	kindAnswer:     taking((*Record).answered),
	kindReopened:   taking((*Record).reopened),
	kindEntered:    taking((*Record).entered),
	kindReading:    taking((*Record).reading),
	kindInstrument: taking((*Record).instrument),
	kindEnergised:  taking((*Record).energised),
	kindNote:       taking((*Record).note),
	kindSigned:     taking((*Record).signed),
	kindPartAnswer: taking((*Record).answeredPart),
	kindPhotograph: taking((*Record).photographed),
	kindSampled:    taking((*Record).sampled),
	kindSystem:     taking((*Record).system),
	kindMoment:     taking((*Record).moment),
	kindReceived:   taking((*Record).received),
	kindStruck:     taking((*Record).struck),
	kindTester:     taking((*Record).tester),
	kindCable:      taking((*Record).cable),
	kindHeld:       taking((*Record).held),
	kindFound:      taking((*Record).found),
	kindExtent:     taking((*Record).saidExtent),

	kindSiteChanged: taking((*Record).siteChanged),
	kindDiscarded:   taking((*Record).discarded),
	kindCorrected:   taking((*Record).corrected),
	kindTakenBack:   taking((*Record).takenBack),
	kindUndertaken:  taking((*Record).undertaken),

	kindLooked: taking((*Record).looked),

	kindAbsent:       taking((*Record).absent),
	kindShown:        taking((*Record).shown),
	kindClockStepped: taking((*Record).clockStepped),
}

func taking[F Fact](take func(*Record, journal.Entry, F) error) kind {
	return kind{func(e journal.Entry) (Fact, error) { return read[F](e) }, func(r *Record, e journal.Entry) error {
		if err := bounded(e); err != nil {
			return err
		}
		fact, err := read[F](e)
		if err != nil {
			return err
		}
		if err := canonical(e, fact); err != nil {
			return err
		}
		if err := r.inRun(e); err != nil {
			return err
		}
		return r.lawful(e, fact, func() error { return take(r, e, fact) })
	}}
}

// lawful takes a fact that may be taken, and keeps which laws it breaks.
func (r *Record) lawful(e journal.Entry, f Fact, take func() error) error {
	if e.Kind == kindOpened { // there is no record before it
		if err := take(); err != nil {
			return err
		}
		take = func() error { return nil }
	}
	broken, err := r.examine(e, f)
	if err != nil {
		return err
	}
	r.remember(e, f)
	if e.Run != r.run && e.Kind != kindOpened {
		r.watched.begin(e.At.Sub(r.latest))
		r.backAt = 0
		r.wasSetBack(e, f)
	}
	if err := take(); err != nil {
		return err // of another entry with this number it would not be true
	}
	for _, law := range broken {
		r.broken.add(law, e.N)
	}
	return nil
}

func read[F Fact](e journal.Entry) (fact F, err error) {
	if err := json.Unmarshal(e.Body, &fact); err != nil {
		return fact, fmt.Errorf("%w: its body cannot be read: %w", ErrNoSense, err)
	}
	return fact, nil
}

func (r *Record) opened(e journal.Entry, o Opened) error {
	s, err := site.Read(o.SiteName, []byte(o.Site))
	if err != nil {
		return fmt.Errorf("%w: %w", err, &Refusal{Law: LawSiteFile})
	}
	had := logos{}
	picture, err := had.at(s, o.Logo)
	if err != nil {
		return err
	}
	*r = Record{site: s, file: s, logo: picture, logos: had, opening: o, begun: e.At, runs: e.Run, on: map[string]bool{},
		strangers: map[string]int{}, garbled: map[string]string{}, stuck: map[string]string{},
		sounded: map[string]sounding{}, ownTrial: map[string]trialOfOutput{},
		states: map[string]signal.State{}, aspects: map[signal.Aspect]bool{}, faults: map[signal.Aspect]*FaultSignal{},
		broken: breaches{}, ears: ears{elsewhere: map[string]int{}}}
	if err := cmp.Or(knownVisit(o.Visit), plausibleOffset(o.UTCOffset), knownLanguage(o.Language)); err != nil {
		return err
	}
	if err := o.lawfulEarlier(); err != nil {
		return err
	}
	r.outcomes, r.index, err = programmed(s, o.Programme, o, nil)
	return err
}

// programmed are the steps of a programme at a site, open all of them; keep are detectors
// that a sample had already.
func programmed(s *site.Site, steps []programme.Step, o Opened, keep map[site.Point]bool) (
	[]*Outcome, map[string]*Outcome, error,
) {
	if err := cmp.Or(asProgrammed(s, steps), o.asRemembered(s, steps, keep)); err != nil {
		return nil, nil, err
	}
	var outcomes []*Outcome
	index := map[string]*Outcome{}
	for _, step := range steps {
		if index[step.ID] != nil {
			return nil, nil, fmt.Errorf("%w: step %q stands twice in the programme", ErrNoSense, step.ID)
		}
		if step.Point != "" {
			if _, _, err := s.Find(step.Point); err != nil {
				return nil, nil, fmt.Errorf("%w: %w", ErrNoSense, err)
			}
		}
		if step.Output != "" && s.Output(step.Output) == nil {
			return nil, nil, fmt.Errorf("%w: the site has no output %q", ErrNoSense, step.Output)
		}
		o := &Outcome{step: step}
		outcomes = append(outcomes, o)
		index[step.ID] = o
	}
	return outcomes, index, nil
}

func (r *Record) resumed(e journal.Entry, _ Resumed) error {
	if n := len(r.breaks); n > 0 && r.breaks[n-1].To.IsZero() {
		r.breaks[n-1].To = e.At
	} else {
		r.breaks = append(r.breaks, Break{From: r.attended, To: e.At, Why: StopUnpaused})
	}
	for i := range r.outages {
		if o := &r.outages[i]; o.To.IsZero() && !o.Cut {
			o.Lasted, o.Cut = r.elapsed-r.ears.lost[o.Ear], true
		}
	}
	r.looksAway(e.Elapsed)
	r.endTrial(ByPause, r.elapsed) // nobody knows how much later the run ended
	r.runs = e.Run
	r.listened = false
	clear(r.states) // what changed meanwhile is not known
	r.aspectsUnknown(nil)
	r.alarmBroken()
	r.recent = recent{}
	return nil
}

func (r *Record) paused(e journal.Entry, p Paused) error {
	if p.By != StopByTechnician && p.By != StopAsked && p.By != StopByError {
		return fmt.Errorf("%w: a pause by %q", ErrNoSense, p.By)
	}
	r.endTrial(ByPause, e.Elapsed)
	r.alarmBroken()
	r.breaks = append(r.breaks, Break{From: e.At, Why: p.By})
	return nil
}

func (r *Record) listening(_ journal.Entry, l signal.Listening) error {
	if err := known(l); err != nil {
		return err
	}
	if l.UncertaintyNS < 0 {
		return fmt.Errorf("%w: times with an uncertainty of %d ns", ErrNoSense, l.UncertaintyNS)
	}
	r.sources = append(r.sources, l)
	r.listened = true
	r.ears.begin()
	return nil
}

func (r *Record) signal(e journal.Entry, s signal.Signal) error {
	if err := known(s); err != nil {
		return err
	}
	r.signals++
	z := r.site.ZoneAt(s.Address)
	if z == nil {
		if s.Kept == "" {
			r.strangers[s.Address]++
		}
		return nil
	}
	if !r.belongs(s) {
		if s.Kept == "" {
			r.ears.elsewhere[s.Address]++
		}
		return nil
	}
	if s.Kept == signal.Again {
		return nil // what it says was true once
	}
	r.recent.add(e.Elapsed, s, r.states[s.Address])
	r.tampered(e, z, s)
	r.alarmHeard(e, z, s)
	if state := answers(z, s.State); state != signal.Unknown && !r.Listening().ByHand {
		r.states[s.Address] = state
	}
	if s.State == signal.NotUnderstood {
		r.garbled[s.Address] = s.Raw
	}
	if r.trial != nil && s.Kept == "" {
		r.trial.hear(Heard{Since: r.SinceCue(e.Elapsed), Address: s.Address, State: s.State, Raw: s.Raw,
			Took: time.Duration(s.TookNS)})
	}
	return nil
}

// overrun ends a trial: what was lost may have been its answer.
func (r *Record) overrun(e journal.Entry, o signal.Overrun) error {
	if o.Lost < 1 || o.LastedNS < 0 || time.Duration(o.LastedNS) > longestLoss {
		return fmt.Errorf("%w: %d signals lost in %d ns", ErrNoSense, o.Lost, o.LastedNS)
	}
	r.losses = append(r.losses, Loss{Signals: o.Lost, From: e.At, To: e.At.Add(time.Duration(o.LastedNS))})
	r.recent.cut(e.Elapsed, ByOverrun, r.states, "")
	clear(r.states)
	r.aspectsUnknown(nil)
	r.alarmLost()
	r.endTrial(ByOverrun, e.Elapsed)
	return nil
}

func (r *Record) cued(e journal.Entry, c Cue) error {
	sr, err := r.outcomeFor(c.Step, c)
	if err != nil {
		return err
	}
	if r.trial != nil {
		return fmt.Errorf("%w: a cue while another trial waits", ErrNoSense)
	}
	if c.Half != Operate && c.Half != Restore {
		return fmt.Errorf("%w: a cue to %q", ErrNoSense, c.Half)
	}
	given, err := r.given(e, sr.step.Zone, c)
	if err != nil {
		return err
	}
	z := r.site.Zone(sr.step.Zone)
	if z == nil {
		z = &r.site.Zones[0] // a restart: any zone may answer
	}
	before := r.recent.stateAt(given, z.Address, r.states)
	if r.Listening().ByHand {
		// Keys tell no state between trials: each half begins where the other ends.
		before = map[Half]signal.State{Operate: signal.Restored, Restore: signal.Active}[c.Half]
	}
	heard := r.HeardAt(sr.step)
	t := newTrial(r.site, z, c.Half, c.uncertainty(heard), before)
	t.rules.Asked = time.Duration(heard.AskedNS)
	if _, d, err := r.site.Find(sr.step.Point); err == nil {
		t.operates(d.Kind)
	}
	t.at, t.entry = e.At.Add(-time.Duration(c.BeforeNS)), e.N
	t.mainsOff = !r.mainsOff.IsZero() && (c.BeforeNS == 0 || !t.at.Before(r.mainsOff))
	t.overdue = c.BeforeNS > 0 && sr.step.Kind == programme.StepDetector
	t.own, t.untimed, t.tap, t.held = c.Own, c.NotTimed, c.Tap, r.means.By
	if c.UntilNS > 0 {
		t.cutAt = time.Duration(c.BeforeNS - c.UntilNS)
	}
	switch {
	case c.Half == Operate:
		sr.attempts = append(sr.attempts, Attempt{Operate: t})
	case len(sr.attempts) == 0:
		return fmt.Errorf("%w: a cue to restore what was not operated", ErrNoSense)
	case sr.attempts[len(sr.attempts)-1].Restore != nil && !sr.attempts[len(sr.attempts)-1].Restore.endedBy.Void():
		return fmt.Errorf("%w: a cue to restore what was restored already", ErrNoSense)
	default:
		sr.attempts[len(sr.attempts)-1].Restore = t
	}
	r.trial, r.onTrial, r.cue = t, sr, given
	r.catchUp()
	return nil
}

func (r *Record) ended(e journal.Entry, f Ended) error {
	if !slices.Contains(ends, f.By) {
		return fmt.Errorf("%w: a wait ended by %q", ErrUnknownKind, f.By)
	}
	if r.trial == nil {
		return nil // the connection was lost in the same moment, which has ended it
	}
	if r.onTrial.step.ID != f.Step {
		return fmt.Errorf("%w: the end of a wait that had not begun", ErrNoSense)
	}
	if late := time.Duration(f.LateNS); late < 0 || late > MostLate(r.onTrial.step, r.HeardAt(r.onTrial.step)) {
		return fmt.Errorf("%w: a wait that was watched %s too late", ErrNoSense, late)
	}
	if f.By == ByHeard && r.onTrial.step.Kind != programme.StepChime {
		return fmt.Errorf("%w: only a chime is heard", ErrNoSense) // and needs not stand for a while
	}
	sr := r.onTrial
	r.trial.late(time.Duration(f.LateNS))
	r.endTrial(f.By, e.Elapsed)
	last := sr.attempts[len(sr.attempts)-1]
	switch {
	case sr.step.Kind == programme.StepDetector && last.Verdict().Proves():
		r.understood(sr)
		r.settle(sr, e)
	case f.By == ByHeard, sr.step.Kind == programme.StepRestart && f.By == ByTime && len(last.Operate.heard) > 0:
		r.settle(sr, e)
	}
	return nil
}

func (r *Record) endTrial(by End, elapsed time.Duration) {
	if r.trial == nil {
		return
	}
	r.trial.end(by, r.SinceCue(elapsed))
	r.recent.ended(r.trial, r.cue, elapsed)
	r.latestTaken = nil
	r.trial, r.onTrial = nil, nil
}

func (r *Record) settle(sr *Outcome, e journal.Entry) {
	sr.settled, sr.at, sr.given = true, e.At, nil
}

// unsettle opens steps again that the programme has.
func (r *Record) unsettle(ids ...string) {
	for _, id := range ids {
		if sr := r.index[id]; sr != nil {
			if sr.answer != nil {
				sr.earlier = append(sr.earlier, *sr.answer)
			}
			sr.settled, sr.answer, sr.given = false, nil, nil
			r.unfind(sr)
			if sr.beyond = false; sr.step.Kind == programme.StepExtent {
				r.unlimit()
			}
		}
	}
}

func (r *Record) outcome(id string) (*Outcome, error) {
	if sr := r.index[id]; sr != nil {
		return sr, nil
	}
	return nil, fmt.Errorf("%w: the programme has no step %q", ErrNoSense, id)
}

// outcomeFor is the step that a fact is about, with what came of it. What was signed before lapses.
func (r *Record) outcomeFor(id string, f Fact) (*Outcome, error) {
	sr, err := r.outcome(id)
	if err != nil {
		return nil, err
	}
	if err := fits(sr, f); err != nil {
		return nil, err
	}
	if sr.step.Stage != programme.StageSignOff {
		r.lapse()
	}
	return sr, nil
}

// dropOpenHold forgets a time without mains that has not ended.
func (r *Record) dropOpenHold() {
	if n := len(r.holds); n > 0 && r.holds[n-1].To.IsZero() {
		r.holds = r.holds[:n-1]
	}
}

func (r *Record) answered(e journal.Entry, a Answer) error {
	sr, err := r.outcomeFor(a.Step, a)
	if err != nil {
		return err
	}
	if sr.answer != nil {
		sr.earlier = append(sr.earlier, *sr.answer)
	}
	sr.answer, sr.answerEntry, sr.bySignal, sr.beyond = &a, e.N, false, false
	if a.Result == Fails {
		sr.failedEntry = e.N
	}
	switch {
	case sr.step.ID == programme.IDMainsOff && a.Result == Done:
		r.mainsOff, r.mainsBack = e.At, time.Time{}
		r.mainsOffWatched, r.mainsOffPassed = r.Watched(e.Elapsed), r.passed(e.Elapsed)
		r.dropOpenHold() // it was removed later than was said
		r.holds = append(r.holds, Hold{From: e.At})
		r.unsettle(programme.IDMainsOn, programme.IDMainsBack, programme.IDCharging) // it has to come back
	case sr.step.ID == programme.IDMainsOff: // "done" was a slip
		r.dropOpenHold()
		r.mainsOff = time.Time{}
	case sr.step.ID == programme.IDMainsOn && a.Result == Done:
		if !r.mainsOff.IsZero() || !r.mainsBack.IsZero() { // where it never was removed, it did not come back
			if last := &r.holds[len(r.holds)-1]; last.To.IsZero() { // there is one since it was removed
				last.To, last.Watched = e.At, r.Watched(e.Elapsed)-r.mainsOffWatched
			}
			r.mainsBack, r.mainsBackWatched = e.At, r.Watched(e.Elapsed)
		}
		r.mainsOff = time.Time{}
	}
	r.suppliesAnswered(e, a)
	if sr.step.Kind == programme.StepOutput {
		sr.energised, sr.on, sr.because, sr.afterOff = r.ownTrial[sr.step.Output] != "", 0, "", false
		if sr.energised {
			last := r.sounded[sr.step.Output]
			sr.on, _ = r.Sounded(sr.step.Output)
			sr.because, sr.afterOff = last.because, last.answeredOff
		}
		delete(r.ownTrial, sr.step.Output)
	}
	r.alarmConcluded(a)
	r.latestTaken = sr
	r.settle(sr, e)
	return nil
}

func (r *Record) reopened(_ journal.Entry, o Reopened) error {
	sr, err := r.outcome(o.Step)
	if err != nil {
		return err
	}
	r.takeAgain(sr)
	r.latestTaken = nil
	if sr.step.Stage != programme.StageSignOff {
		// Who has signed has not seen what comes of it.
		r.lapse()
	}
	return nil
}

func (r *Record) entered(_ journal.Entry, f Entered) error {
	if f.Stage != "" && !slices.Contains(programme.Stages, f.Stage) {
		return fmt.Errorf("%w: a stage %q", ErrUnknownKind, f.Stage)
	}
	r.stage, r.ahead = f.Stage, f.Step
	if f.Step != "" {
		r.latestTaken = nil
	}
	return nil
}

func (r *Record) answeredPart(e journal.Entry, f PartAnswer) error {
	sr, err := r.outcome(f.Step)
	if err != nil {
		return err
	}
	if sr.given == nil {
		sr.given = map[string]givenAnswer{}
	}
	sr.given[f.Question] = givenAnswer{f.Text, e.Run, f.Confirmed}
	r.latestTaken = sr
	return nil
}

func (r *Record) reading(e journal.Entry, f Reading) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	if err := r.cutOffFits(e, sr.step, f); err != nil {
		return err
	}
	taken := Taken{Reading: f, Entry: e.N, At: e.At, Loaded: r.loaded(sr.step), WhileOff: !r.mainsOff.IsZero()}
	if taken.WhileOff {
		taken.OffAt, taken.SinceOff = r.mainsOff, r.SinceOff(e.Elapsed)
		taken.SinceOffAtMost = r.passed(e.Elapsed) - r.mainsOffPassed
	}
	if f.Sampled {
		sample, err := r.asSampled(sr, f)
		if err != nil {
			return err
		}
		taken.At, taken.SinceOff, taken.SinceOffAtMost = sample.At, sample.SinceOff, sample.SinceOffAtMost
	}
	sr.readings = append(sr.readings, taken)
	r.latestTaken = sr
	if sr.step.Kind == programme.StepReading || sr.step.Kind == programme.StepFound && len(r.ToFind(sr)) == 0 {
		r.settle(sr, e)
	}
	return nil
}

func (r *Record) instrument(e journal.Entry, f Instrument) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	sr.instrument, sr.instrumentEntry, r.latestTaken = &f, e.N, sr
	r.settle(sr, e)
	return nil
}

func (r *Record) energised(e journal.Entry, f Energised) error {
	if f.By != SwitchedByController && f.By != SwitchedByHand {
		return fmt.Errorf("%w: switched by %q", ErrNoSense, f.By)
	}
	if r.site.Output(f.Output) == nil {
		return fmt.Errorf("%w: the site has no output %q", ErrNoSense, f.Output)
	}
	if f.Because != "" && !slices.Contains(OffReasons, f.Because) {
		return fmt.Errorf("%w: switched off because of %q", ErrUnknownKind, f.Because)
	}
	if f.Because != "" && f.On {
		return fmt.Errorf("%w: %s is on, and off because of %q", ErrNoSense, f.Output, f.Because)
	}
	if f.Failed != "" {
		r.stuck[f.Output] = f.Failed
	}
	r.switched(e, f)
	return nil
}

func (r *Record) note(e journal.Entry, f Note) error {
	sr, err := r.outcome(f.Step)
	if err != nil {
		return err
	}
	sr.noted(f.Text)
	sr.noteEntries = append(sr.noteEntries, e.N)
	return nil
}

func (r *Record) signed(e journal.Entry, f Signed) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	if f.Drawing != nil {
		if err := photograph.CheckDrawing(f.Drawing); err != nil {
			return refuse(LawDrawing, err)
		}
	}
	if f.Strokes != nil {
		if err := f.Strokes.Check(); err != nil {
			return refuse(LawDrawing, err)
		}
	}
	sr.signed, sr.signedEntry, r.latestTaken = &f, e.N, nil
	r.settle(sr, e)
	return nil
}
