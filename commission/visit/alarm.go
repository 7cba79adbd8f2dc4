package visit

import (
	"context"
	"errors"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// One alarm from end to end. What happens is told by the controller, or by the technician's
// keys; a step that was broken off is taken again from its beginning.

var (
	beginAlarmOption = ask.Option{Word: "begin", Label: ask.BeginAlarmChoice}
	noAlarmOption    = ask.Option{Word: "none", Label: ask.NoAlarmChoice}
)

// alarm takes a step of it, once all is ready for an alarm.
func (v *Visit) alarm(ctx context.Context, s *record.Outcome) error {
	err := v.mayAlarm(ctx, s)
	if err != nil || s.Concluded() {
		return err
	}
	if err := v.add(record.Moment{Step: s.Step().ID, What: record.ToBegin}); err != nil {
		return err
	}
	switch s.Step().Kind {
	case programme.StepSetting:
		err = v.setting(ctx, s)
	case programme.StepEntry:
		err = v.entry(ctx, s)
	default:
		err = v.intrusion(ctx, s)
	}
	if err != nil || s.Concluded() {
		if !wayOut(err) { // at the end of the run it is told anyway
			v.warnSet()
		}
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Done})
}

// mayAlarm asks, once in a run, whether all is ready, with the cautions. It returns nil with
// the step concluded where it is left out.
func (v *Visit) mayAlarm(ctx context.Context, s *record.Outcome) error {
	if v.alarmReady {
		return nil
	}
	answer, err := v.choose(ctx, ask.Question{ID: "alarm", What: ask.AlarmMatter, Help: ask.WalkOutAdvice},
		beginAlarmOption, notTestedOption, noAlarmOption)
	switch {
	case err != nil:
		return err
	case answer.Text == notTestedOption.Word:
		return v.leaveAlarmOut(ctx, s, false)
	case answer.Text == noAlarmOption.Word:
		return v.leaveAlarmOut(ctx, s, true)
	}
	v.operator.Tell(ask.AlarmCaution{})
	outputs := seen(v, func(r *record.Record) []*site.Output { return r.Site().AlarmOutputs() })
	if len(outputs) > 0 {
		v.operator.Tell(ask.LoudCaution{})
	}
	yes, err := v.yes(ctx, ask.Question{ID: "alarm/energise", What: ask.AlarmProtected{Outputs: namesOf(outputs)},
		Help: ask.SilenceAdvice, Takes: ask.YesNo{Danger: true}, Back: true})
	if err == nil && !yes {
		err = errBack
	}
	v.alarmReady = err == nil
	return err
}

// leaveAlarmOut leaves out a step and what means nothing without it, or all that is open,
// with one reason.
func (v *Visit) leaveAlarmOut(ctx context.Context, s *record.Outcome, all bool) error {
	reason, err := v.text(ctx, s, "/reason", ask.NotTestedMatter, ask.PrintedAdvice)
	if err != nil {
		return err
	}
	steps := seen(v, func(r *record.Record) []*record.Outcome {
		return slices.DeleteFunc(r.Outcomes(), func(o *record.Outcome) bool {
			with := all && o.Step().Stage == programme.StageAlarm ||
				s.Step().Kind == programme.StepIntrusion && o.Step().Kind == programme.StepReceipt
			return o != s && (o.Concluded() || !with)
		})
	})
	for _, o := range steps {
		if err := v.add(record.Answer{Step: o.Step().ID, Result: record.LeftOut, Remark: reason}); err != nil {
			return err
		}
	}
	return nil
}

// warnSet reminds that nobody said that the system was unset.
func (v *Visit) warnSet() {
	if seen(v, (*record.Record).SystemMayBeSet) {
		v.operator.Tell(ask.SystemLeftSet{})
	}
}

// cueMoment tells the technician what to do from now on.
func (v *Visit) cueMoment(s *record.Outcome, what record.Instant, at site.Point) error {
	return v.add(record.Moment{Step: s.Step().ID, What: what, Point: at})
}

// keyMoment writes what a key told, with its instant: no earlier than what was told before.
func (v *Visit) keyMoment(s *record.Outcome, m record.Moment, p ask.Pressed) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	now := v.clock.Now()
	v.lookAround(now)
	m.Step = s.Step().ID
	at := now
	switch {
	case p.NotTimed != "":
		m.NotTimed = p.NotTimed
	case p.Tap != nil:
		touched, tap, why := v.touch(p, now)
		if m.NotTimed = why; why == "" && touched.Before(now) {
			_, uncertainty := tap.At()
			at, m.Tap, m.UncertaintyNS = touched, &tap, uncertainty.Nanoseconds()
		}
	case !p.At.IsZero() && p.At.Before(now):
		at, m.UncertaintyNS = p.At, p.Uncertainty.Nanoseconds()
	}
	if a, _ := v.record.Alarm(); a != nil {
		for _, t := range a.Instants() {
			if cue := now.Add(t.Elapsed - v.journal.Elapsed(now)); t.What.Cues() && at.Before(cue) {
				at, m.Tap = cue, nil
			}
		}
	}
	m.BeforeNS = now.Sub(at).Nanoseconds()
	return v.addLocked(now, m)
}

// alarmWatch waits for a key, or until the attempt shows what is waited for. What silences is
// done here; to skip leaves the step out.
func (v *Visit) alarmWatch(ctx context.Context, s *record.Outcome, w ask.Watch, most time.Duration,
	over func(*record.Alarm) bool) (ask.Pressed, error) {
	w.ID = s.Step().ID + w.ID
	w.Keys = append(w.Keys, ask.Hush, ask.Skip, ask.Leave)
	began := v.clock.Now()
	for {
		pressed, err := v.watch(ctx, w, func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			a, at := r.Alarm()
			return time.Time{}, ask.AlarmStatus{Since: now.Sub(began), Most: most}, at == s && over(a)
		})
		if err != nil {
			return pressed, err
		}
		switch pressed.Key {
		case ask.Hush:
			return pressed, v.hush(ctx, s, pressed)
		case ask.Skip:
			if err := v.leaveAlarmOut(ctx, s, false); !errors.Is(err, errBack) {
				return pressed, err
			}
		case ask.Leave:
			return pressed, errLeave
		default:
			return pressed, nil
		}
	}
}

// hush tells at once how what sounds is silenced, and tells the controller to switch off what
// this program can. Whether it heeds that is not for us to promise.
func (v *Visit) hush(ctx context.Context, s *record.Outcome, p ask.Pressed) error {
	outputs := seen(v, func(r *record.Record) []*site.Output { return r.Site().AlarmOutputs() })
	ours := slices.DeleteFunc(slices.Clone(outputs), func(o *site.Output) bool {
		_,
			can := v.byController(o)
		return !can
	})
	v.operator.Tell(ask.UnsetAtOnce{Outputs: namesOf(ours)})
	m := record.Moment{What: record.SilencedNow}
	for _, o := range ours {
		source, _ := v.byController(o)
		limited, cancel := context.WithTimeout(ctx, switchLimit)
		if err := source.Energise(limited, o, false); err != nil {
			m.Failed = bounded(err.Error(), longestRaw)
		}
		cancel()
	}
	return v.keyMoment(s, m, p)
}

// told tells whether an attempt shows an instant that no key told.
func told(what ...record.Instant) func(*record.Alarm) bool {
	return func(a *record.Alarm) bool {
		return slices.ContainsFunc(a.Instants(), func(t record.Timed) bool {
			return slices.Contains(what, t.What) && t.By != record.ByKey
		})
	}
}

// setting sets the system and times the exit.
func (v *Visit) setting(ctx context.Context, s *record.Outcome) error {
	if seen(v, (*record.Record).SystemMayBeSet) {
		v.operator.Tell(ask.SystemLeftSet{})
	}
	if err := v.cueMoment(s, record.ToSet, ""); err != nil {
		return err
	}
	pressed, err := v.alarmWatch(ctx, s, ask.Watch{ID: "/begin", Title: ask.AlarmMoment{Do: record.Setting}, Urgent: true,
		Lines: []ask.Phrase{ask.WalkOutAdvice}, Keys: []ask.Key{ask.Begun}}, 0, told(record.Setting, record.SystemSet))
	if err != nil || s.Concluded() {
		return err
	}
	if pressed.Key == ask.Begun {
		if err := v.keyMoment(s, record.Moment{What: record.Setting}, pressed); err != nil {
			return err
		}
	}
	_, err = v.waitSet(ctx, s, ask.Watch{Title: ask.AlarmMoment{Do: record.SystemSet}})
	return err
}

// waitSet waits until the system is set, and tells whether it was.
func (v *Visit) waitSet(ctx context.Context, s *record.Outcome, w ask.Watch) (bool, error) {
	most := seen(v, func(r *record.Record) time.Duration { return r.Site().Setting.Exit.Duration() })
	w.ID, w.Lines, w.Keys = "/set", append(w.Lines, ask.ByItselfAdvice), []ask.Key{ask.IsSet, ask.Silent}
	pressed, err := v.alarmWatch(ctx, s, w, most, told(record.SystemSet))
	switch {
	case err != nil || s.Concluded():
		return false, err
	case pressed.Key == ask.IsSet || pressed.Key == ask.Silent:
		m := record.Moment{What: record.SystemSet, Never: pressed.Key == ask.Silent}
		return !m.Never, v.keyMoment(s, m, pressed)
	}
	return pressed.Key != ask.Hush, nil
}

// setAgain tells the technician to set the system where it is not known to be set. It returns errLeave where it
// does not set.
func (v *Visit) setAgain(ctx context.Context, s *record.Outcome) error {
	if seen(v, (*record.Record).SystemIsSet) {
		return nil
	}
	if err := v.cueMoment(s, record.ToSet, ""); err != nil {
		return err
	}
	set, err := v.waitSet(ctx, s, ask.Watch{Title: ask.AlarmMoment{Do: record.ToSet},
		Lines: []ask.Phrase{ask.WalkOutAdvice}, Urgent: true})
	if err == nil && !set && !s.Concluded() {
		v.operator.Tell(ask.NotSet{})
		return errLeave
	}
	return err
}

// operated waits until what the technician was told to operate is operated. point is "" where
// the site file does not say which detector that is.
func (v *Visit) operated(ctx context.Context, s *record.Outcome, w ask.Watch, cue, what record.Instant,
	point site.Point) (ask.Pressed, error) {
	if err := v.cueMoment(s, cue, point); err != nil {
		return ask.Pressed{}, err
	}
	title := ask.AlarmMoment{Do: what}
	_ = v.look(func(r *record.Record) {
		if z, d, err := r.Site().Find(point); err == nil {
			title.Detector = &programme.DetectorName{Point: point, Name: d.Name, Zone: programme.NameOfZone(z)}
		}
	})
	w.Title, w.Keys, w.Urgent = title, []ask.Key{ask.Opened}, true
	over := func(a *record.Alarm) bool {
		_, is := a.First(what, func(t record.Timed) bool { return t.By != record.ByKey && t.Point == point })
		return is || what == record.EntryOpened && told(record.Entering, record.Unset)(a)
	}
	pressed, err := v.alarmWatch(ctx, s, w, 0, over)
	if err == nil && pressed.Key == ask.Opened {
		err = v.keyMoment(s, record.Moment{What: what, Point: point}, pressed)
	}
	return pressed, err
}

// entry enters by the entry route and unsets the system in time.
func (v *Visit) entry(ctx context.Context, s *record.Outcome) error {
	if err := v.setAgain(ctx, s); err != nil || s.Concluded() {
		return err
	}
	route := seen(v, func(r *record.Record) site.Point { return r.Site().Setting.Route })
	_, err := v.operated(ctx, s, ask.Watch{ID: "/open"}, record.ToEnter, record.EntryOpened, route)
	if err != nil || s.Concluded() {
		return err
	}
	most := seen(v, func(r *record.Record) time.Duration { return r.Site().Setting.Entry.Duration() })
	return v.unset(ctx, s, ask.Watch{Keys: []ask.Key{ask.IsUnset, ask.WentOff, ask.Silent}}, most, "")
}

// unset waits until the system is unset. stops is the output that may stop by itself
// meanwhile, "" for none.
func (v *Visit) unset(ctx context.Context, s *record.Outcome, w ask.Watch, most time.Duration, stops string) error {
	w.ID, w.Title, w.Urgent = "/unset", ask.AlarmMoment{Do: record.Unset, Output: stops}, true
	for {
		pressed, err := v.alarmWatch(ctx, s, w, most, told(record.Unset))
		if err != nil || s.Concluded() {
			return err
		}
		var m record.Moment
		switch pressed.Key {
		case ask.Hush:
			continue
		case ask.WentOff:
			m.What = record.Alarmed
			v.operator.Tell(ask.AlarmCame{})
		case ask.Stopped:
			m.What, m.Output = record.OutputOff, stops
		case ask.IsUnset, ask.Silent:
			m.What, m.Never = record.Unset, pressed.Key == ask.Silent
			return v.keyMoment(s, m, pressed)
		default:
			return nil // the controller told it
		}
		w.Keys = slices.DeleteFunc(slices.Clone(w.Keys), func(k ask.Key) bool { return k == pressed.Key })
		if err := v.keyMoment(s, m, pressed); err != nil {
			return err
		}
	}
}
