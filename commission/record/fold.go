package record

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ErrUnknownKind: a later version of the tool wrote an entry that this one
// does not understand.
var ErrUnknownKind = errors.New("unknown kind of entry")

// ErrNoSense: an entry does not fit those before it.
var ErrNoSense = errors.New("the journal makes no sense")

// Fold is the record that a journal's entries tell. Errors name the entry.
func Fold(entries []journal.Entry) (*Record, error) {
	r := &Record{}
	for _, e := range entries {
		if err := r.Step(e); err != nil {
			return nil, err
		}
	}
	if r.Site == nil {
		return nil, fmt.Errorf("%w: it has no first entry", ErrNoSense)
	}
	return r, nil
}

// Step takes the next entry. The live visit and Fold both go through it, so
// that resuming cannot differ from going on. After an error the record is not
// to be used.
func (r *Record) Step(e journal.Entry) error {
	take, known := takers[e.Kind]
	switch {
	case !known:
		return fmt.Errorf("entry %d: %w %q; a later version of the tool may read it", e.N, ErrUnknownKind, e.Kind)
	case (r.Site == nil) != (e.Kind == kindOpened):
		return fmt.Errorf("entry %d: %w: %s stands in the wrong place", e.N, ErrNoSense, e.Kind)
	}
	if err := take(r, e); err != nil {
		return fmt.Errorf("entry %d (%s): %w", e.N, e.Kind, err)
	}
	r.Latest, r.run = e.At, e.Run
	if e.Kind != kindPhotograph { // which may be added while the visit rests
		r.Attended = e.At
	}
	r.Entries++
	return nil
}

var takers = map[string]func(*Record, journal.Entry) error{
	kindOpened:     taking((*Record).opened),
	kindResumed:    taking((*Record).resumed),
	kindPaused:     taking((*Record).paused),
	kindListening:  taking((*Record).listening),
	kindConnection: taking((*Record).connection),
	kindSignal:     taking((*Record).signal),
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
	kindGiven:      taking((*Record).given),
	kindPhotograph: taking((*Record).photographed),
}

func taking[F Fact](take func(*Record, journal.Entry, F) error) func(*Record, journal.Entry) error {
	return func(r *Record, e journal.Entry) error {
		var fact F
		if err := json.Unmarshal(e.Body, &fact); err != nil {
			return fmt.Errorf("%w: its body cannot be read: %w", ErrNoSense, err)
		}
		if err := canonical(e, fact); err != nil {
			return err
		}
		if err := r.inRun(e); err != nil {
			return err
		}
		return take(r, e, fact)
	}
}

func (r *Record) opened(e journal.Entry, o Opened) error {
	s, err := site.Read(o.SiteName, []byte(o.Site))
	if err != nil {
		return err
	}
	*r = Record{Site: s, Opened: o, Begun: e.At, Runs: e.Run, Energised: map[string]bool{}, Strangers: map[string]int{}, Garbled: map[string]string{}, Stuck: map[string]string{},
		states: map[string]signal.State{}, index: map[string]*StepRecord{}}
	if err := cmp.Or(plausibleOffset(o.UTCOffset), asProgrammed(s, o.Programme)); err != nil {
		return err
	}
	for _, step := range o.Programme {
		if r.index[step.ID] != nil {
			return fmt.Errorf("%w: step %q stands twice in the programme", ErrNoSense, step.ID)
		}
		if step.Point != "" {
			if _, _, err := s.Find(step.Point); err != nil {
				return fmt.Errorf("%w: %w", ErrNoSense, err)
			}
		}
		if step.Output != "" && s.Output(step.Output) == nil {
			return fmt.Errorf("%w: the site has no output %q", ErrNoSense, step.Output)
		}
		sr := &StepRecord{Step: step}
		r.Steps = append(r.Steps, sr)
		r.index[step.ID] = sr
	}
	return nil
}

func (r *Record) resumed(e journal.Entry, _ Resumed) error {
	why := "the program ended without a pause"
	if n := len(r.Breaks); n > 0 && r.Breaks[n-1].To.IsZero() {
		r.Breaks[n-1].To = e.At
	} else {
		r.Breaks = append(r.Breaks, Break{From: r.Attended, To: e.At, Why: why})
	}
	r.endTrial(ByPause, e.Elapsed)
	r.Runs = e.Run
	r.Connected = false
	clear(r.states) // what changed meanwhile is not known
	return nil
}

func (r *Record) paused(e journal.Entry, p Paused) error {
	r.endTrial(ByPause, e.Elapsed)
	r.Breaks = append(r.Breaks, Break{From: e.At, Why: p.By})
	return nil
}

func (r *Record) listening(_ journal.Entry, l signal.Listening) error {
	r.Sources = append(r.Sources, l)
	r.Connected = true
	return nil
}

func (r *Record) connection(e journal.Entry, c signal.Connection) error {
	last := len(r.Outages) - 1
	switch {
	case !c.Up && r.Connected:
		r.Outages = append(r.Outages, Break{From: e.At, Why: c.Detail})
	case c.Up && last >= 0 && r.Outages[last].To.IsZero():
		r.Outages[last].To = e.At
	}
	r.Connected = c.Up
	if !c.Up {
		clear(r.states)
		if r.trial != nil && r.onTrial.Kind != programme.StepRestart {
			r.endTrial(ByLost, e.Elapsed)
		}
	}
	return nil
}

func (r *Record) signal(e journal.Entry, s signal.Signal) error {
	r.Signals++
	z := r.Site.ZoneAt(s.Address)
	if z == nil {
		if s.Kept == "" {
			r.Strangers[s.Address]++
		}
		return nil
	}
	if state := answers(z, s.State); state != signal.Unknown && !r.Listening().ByHand {
		r.states[s.Address] = state
	}
	if s.State == signal.NotUnderstood {
		r.Garbled[s.Address] = s.Raw
	}
	if r.trial != nil && s.Kept == "" {
		r.trial.Hear(Heard{Since: r.SinceCue(e.Elapsed), Address: s.Address, State: s.State, Raw: s.Raw})
	}
	return nil
}

func (r *Record) cued(e journal.Entry, c Cue) error {
	sr, err := r.stepFor(c.Step, c)
	if err != nil {
		return err
	}
	if r.trial != nil {
		return fmt.Errorf("%w: a cue while another trial waits", ErrNoSense)
	}
	if c.Half != Operate && c.Half != Restore {
		return fmt.Errorf("%w: a cue to %q", ErrNoSense, c.Half)
	}
	z := r.Site.Zone(sr.Zone)
	if z == nil {
		z = &r.Site.Zones[0] // a restart: any zone may answer
	}
	before := r.states[z.Address]
	if r.Listening().ByHand {
		// Keys tell no state between trials: each half begins where the other ends.
		before = map[Half]signal.State{Operate: signal.Restored, Restore: signal.Active}[c.Half]
	}
	t := NewTrial(r.Site, z, c.Half, time.Duration(r.Listening().UncertaintyNS), before)
	t.At, t.MainsOff = e.At, !r.MainsOff.IsZero()
	switch {
	case c.Half == Operate:
		sr.Attempts = append(sr.Attempts, Attempt{Operate: t})
	case len(sr.Attempts) == 0:
		return fmt.Errorf("%w: a cue to restore what was not operated", ErrNoSense)
	case sr.Attempts[len(sr.Attempts)-1].Restore != nil && !sr.Attempts[len(sr.Attempts)-1].Restore.EndedBy.Void():
		return fmt.Errorf("%w: a cue to restore what was restored already", ErrNoSense)
	default:
		sr.Attempts[len(sr.Attempts)-1].Restore = t
	}
	r.trial, r.onTrial, r.cue = t, sr, e.Elapsed
	return nil
}

func (r *Record) ended(e journal.Entry, f Ended) error {
	if r.trial == nil {
		return nil // the connection was lost in the same moment, which has ended it
	}
	if r.onTrial.ID != f.Step {
		return fmt.Errorf("%w: the end of a wait that had not begun", ErrNoSense)
	}
	sr := r.onTrial
	r.endTrial(f.By, e.Elapsed)
	last := sr.Attempts[len(sr.Attempts)-1]
	switch {
	case sr.Kind == programme.StepDetector && last.Verdict() == Proved:
		r.settle(sr, e)
	case sr.Kind == programme.StepChime && f.By == ByHeard, sr.Kind == programme.StepRestart && f.By == ByTime && len(last.Operate.Heard) > 0:
		r.settle(sr, e)
	}
	return nil
}

func (r *Record) endTrial(by End, elapsed time.Duration) {
	if r.trial == nil {
		return
	}
	r.trial.EndedBy, r.trial.Ended = by, r.SinceCue(elapsed)
	r.trial, r.onTrial = nil, nil
}

func (r *Record) settle(sr *StepRecord, e journal.Entry) {
	sr.settled, sr.At, sr.given = true, e.At, nil
}

// unsettle opens steps again that the programme has.
func (r *Record) unsettle(ids ...string) {
	for _, id := range ids {
		if sr := r.index[id]; sr != nil {
			if sr.Answer != nil {
				sr.Earlier = append(sr.Earlier, *sr.Answer)
			}
			sr.settled, sr.Answer, sr.given = false, nil, nil
		}
	}
}

func (r *Record) step(id string) (*StepRecord, error) {
	if sr := r.index[id]; sr != nil {
		return sr, nil
	}
	return nil, fmt.Errorf("%w: the programme has no step %q", ErrNoSense, id)
}

// stepFor is the step that a fact is about. What was signed before lapses.
func (r *Record) stepFor(id string, f Fact) (*StepRecord, error) {
	sr, err := r.step(id)
	if err != nil {
		return nil, err
	}
	if err := fits(sr, f); err != nil {
		return nil, err
	}
	if sr.Stage != programme.StageSignOff {
		r.lapse()
	}
	return sr, nil
}

func (r *Record) answered(e journal.Entry, a Answer) error {
	sr, err := r.stepFor(a.Step, a)
	if err != nil {
		return err
	}
	if sr.Answer != nil {
		sr.Earlier = append(sr.Earlier, *sr.Answer)
	}
	sr.Answer = &a
	switch {
	case sr.ID == programme.IDMainsOff && a.Result == Done:
		r.MainsOff = e.At
		r.unsettle(programme.IDMainsOn, programme.IDMainsBack) // it has to come back
	case sr.ID == programme.IDMainsOn && a.Result == Done:
		r.MainsOff = time.Time{}
	}
	r.settle(sr, e)
	return nil
}

func (r *Record) reopened(_ journal.Entry, o Reopened) error {
	sr, err := r.step(o.Step)
	if err != nil {
		return err
	}
	r.unsettle(o.Step)
	if sr.OnStandby() && r.MainsOff.IsZero() {
		r.unsettle(programme.IDMainsOff, programme.IDMainsOn, programme.IDMainsBack) // it means nothing with mains present
	}
	if sr.Stage != programme.StageSignOff {
		// Who has signed has not seen what comes of it.
		r.lapse()
	}
	return nil
}

func (r *Record) entered(_ journal.Entry, f Entered) error {
	r.Stage, r.ahead = f.Stage, f.Step
	return nil
}

func (r *Record) given(e journal.Entry, f Given) error {
	sr, err := r.step(f.Step)
	if err != nil {
		return err
	}
	if sr.given == nil {
		sr.given = map[string]givenAnswer{}
	}
	sr.given[f.Question] = givenAnswer{f.Text, e.Run}
	return nil
}

func (r *Record) reading(e journal.Entry, f Reading) error {
	sr, err := r.stepFor(f.Step, f)
	if err != nil {
		return err
	}
	sr.Readings = append(sr.Readings, f)
	sr.WhileOff, sr.Loaded = !r.MainsOff.IsZero(), r.Energised[sr.Output]
	if sr.WhileOff {
		sr.SinceOff, sr.OffAt = e.At.Sub(r.MainsOff), r.MainsOff
	}
	if sr.Kind == programme.StepReading {
		r.settle(sr, e)
	}
	return nil
}

func (r *Record) instrument(e journal.Entry, f Instrument) error {
	sr, err := r.stepFor(f.Step, f)
	if err != nil {
		return err
	}
	sr.Instrument = &f
	r.settle(sr, e)
	return nil
}

func (r *Record) energised(_ journal.Entry, f Energised) error {
	if f.Failed != "" {
		r.Stuck[f.Output] = f.Failed
	}
	if f.On {
		r.Energised[f.Output] = true
	} else {
		delete(r.Energised, f.Output)
	}
	return nil
}

func (r *Record) note(_ journal.Entry, f Note) error {
	sr, err := r.step(f.Step)
	if err != nil {
		return err
	}
	sr.Notes = append(sr.Notes, f.Text)
	return nil
}

func (r *Record) signed(e journal.Entry, f Signed) error {
	sr, err := r.stepFor(f.Step, f)
	if err != nil {
		return err
	}
	if f.Drawing != nil {
		if err := photograph.CheckDrawing(f.Drawing); err != nil {
			return fmt.Errorf("%w: %w", ErrNoSense, err)
		}
	}
	sr.Signed = &f
	r.settle(sr, e)
	return nil
}
