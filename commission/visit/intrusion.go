package visit

import (
	"context"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// intrusion raises an alarm and waits for what follows, until all is at rest again.
func (v *Visit) intrusion(ctx context.Context, s *record.Outcome) error {
	points, err := v.intrudedAt(ctx, s)
	if err != nil {
		return err
	}
	if err := v.setAgain(ctx, s); err != nil || s.Concluded() {
		return err
	}
	for i, point := range points {
		w := ask.Watch{ID: []string{"/operate", "/confirm"}[i], Lines: []ask.Phrase{ask.SilenceAdvice}}
		pressed, err := v.operated(ctx, s, w, record.ToIntrude, record.Intruded, point)
		if err != nil || s.Concluded() {
			return err
		}
		if pressed.Key == ask.Hush {
			return v.afterAlarm(ctx, s)
		}
	}
	for _, o := range seen(v, func(r *record.Record) []*site.Output { return r.Site().AlarmOutputs() }) {
		pressed, err := v.soundsByItself(ctx, s, o)
		if err != nil || s.Concluded() {
			return err
		}
		if pressed.Key == ask.Hush {
			break
		}
	}
	return v.afterAlarm(ctx, s)
}

// intrudedAt asks which detector raises the alarm, and which confirms it where that is needed.
// Those that protect life are not offered, their signal calls other help, nor are those that raise
// an alarm whether the system is set or not, nor the one by which the entry time begins; where a
// site has no others, they are.
func (v *Visit) intrudedAt(ctx context.Context, s *record.Outcome) (points []site.Point, err error) {
	var names, entry, always, life []string
	confirmed := false
	_ = v.look(func(r *record.Record) {
		confirmed = r.Site().Setting.Confirmed
		r.Site().Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
			to := &names
			switch {
			case d.Kind.Trait().LifeSafety:
				to = &life
			case d.Kind.Tamper():
				to = &always
			case p == r.Site().Setting.Route:
				to = &entry
			}
			*to = append(*to, string(p))
		})
	})
	for _, others := range [][]string{entry, always, life} {
		if len(names) == 0 {
			names = others
		}
	}
	ids := []string{"/detector", "/second"}
	if !confirmed || len(names) < 2 {
		ids = ids[:1]
	}
	for i, id := range ids {
		text, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID + id, What: ask.IntrudeAt{Second: i == 1},
			Help: ask.OtherThanEntry, Takes: ask.Names{Of: names}})
		if err != nil {
			return nil, err
		}
		points = append(points, site.Point(text))
		names = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return name == text })
	}
	return points, nil
}

// soundsByItself waits until the controller lets an output sound or flash.
func (v *Visit) soundsByItself(ctx context.Context, s *record.Outcome, o *site.Output) (ask.Pressed, error) {
	key := ask.Sounds
	if o.Kind == site.Strobe {
		key = ask.Flashes
	}
	most := seen(v, func(r *record.Record) time.Duration { return r.Site().Setting.SounderWithin.Duration() })
	pressed, err := v.alarmWatch(ctx, s, ask.Watch{ID: "/" + o.Name, Urgent: true,
		Title: ask.AlarmMoment{Do: record.OutputOn, Output: o.Name, Kind: o.Kind}, Keys: []ask.Key{key, ask.Silent}},
		most, func(*record.Alarm) bool { return false })
	if err != nil || pressed.Key != key && pressed.Key != ask.Silent {
		return pressed, err
	}
	m := record.Moment{What: record.OutputOn, Output: o.Name, Never: pressed.Key == ask.Silent}
	if err := v.keyMoment(s, m, pressed); err != nil || m.Never {
		return pressed, err
	}
	_ = v.look(func(r *record.Record) {
		a, _ := r.Alarm()
		if a == nil {
			return
		}
		from, is := a.First(record.Intruded, nil)
		on, _ := a.First(record.OutputOn, func(t record.Timed) bool { return t.Output == o.Name })
		if took, _ := a.Between(from, on); is {
			v.operator.Tell(ask.SoundedAfter{Output: o.Name, After: max(0, took)})
		}
	})
	return pressed, nil
}

// afterAlarm unsets the system, and asks whether all is at rest. A sounder that is declared to
// stop by itself may be waited for.
func (v *Visit) afterAlarm(ctx context.Context, s *record.Outcome) error {
	if err := v.cueMoment(s, record.ToUnset, ""); err != nil {
		return err
	}
	stops, cutOff := v.stopsByItself(s)
	keys := []ask.Key{ask.IsUnset, ask.Silent}
	if stops != "" {
		keys = append(keys, ask.Stopped)
	}
	if err := v.unset(ctx, s, ask.Watch{Keys: keys}, cutOff, stops); err != nil || s.Concluded() {
		return err
	}
	for {
		pressed, err := v.alarmWatch(ctx, s, ask.Watch{ID: "/at-rest", Title: ask.AlarmMoment{Do: record.AllAtRest},
			Keys: []ask.Key{ask.AtRest, ask.Silent}, Unattended: ask.AtRest}, 0, func(*record.Alarm) bool { return false })
		switch {
		case err != nil || s.Concluded():
			return err
		case pressed.Key != ask.Hush:
			return v.keyMoment(s, record.Moment{What: record.AllAtRest, Never: pressed.Key == ask.Silent}, pressed)
		}
	}
}

// stopsByItself is the first sounder that was heard and is declared to stop by itself.
func (v *Visit) stopsByItself(s *record.Outcome) (output string, cutOff time.Duration) {
	_ = v.look(func(r *record.Record) {
		a, at := r.Alarm()
		if at != s {
			return
		}
		for _, o := range r.Site().AlarmOutputs() {
			on, is := a.First(record.OutputOn, func(t record.Timed) bool { return t.Output == o.Name })
			if output == "" && is && !on.Never && o.Kind == site.Sounder && o.CutOff.SI > 0 {
				output, cutOff = o.Name, o.CutOff.Duration()
			}
		}
	})
	return output, cutOff
}

// receipt asks what the receiving centre says of a path. Where a limit is declared, its clock
// is compared with ours, once: else nobody knows how long the alarm took.
func (v *Visit) receipt(ctx context.Context, s *record.Outcome) error {
	var limited, compared, alarmed bool
	if err := v.look(func(r *record.Record) {
		compared = r.CentreCompared()
		for _, p := range r.Site().Monitoring.SignalledBy() {
			limited = limited || p.Within.Given()
		}
		o := r.Find(programme.IDAlarmIntrusion)
		alarmed = o == nil || o.LastAlarm() != nil
	}); err != nil {
		return err
	}
	if !alarmed {
		return v.leaveAlarmOut(ctx, s, false)
	}
	if err := v.add(record.Moment{Step: s.Step().ID, What: record.ToBegin}); err != nil {
		return err
	}
	fact := record.Received{Step: s.Step().ID}
	if limited && !compared {
		clock, err := v.compareCentre(ctx, s)
		if err != nil {
			return err
		}
		fact.Clock = clock
	}
	text, err := v.ask(ctx, ask.Question{ID: s.Step().ID + "/received", What: ask.CentreSays{Step: v.name(s)},
		Takes: ask.CentreTime{Instead: true}})
	switch {
	case err != nil:
		return err
	case text == ask.Skipped:
		return v.leaveAlarmOut(ctx, s, false)
	case text == ask.Never:
		fact.Never = true
		return v.add(fact)
	}
	fact.Time = text
	fact.Reference, err = v.ask(ctx, ask.Question{ID: s.Step().ID + "/reference",
		What: ask.CentreReference{Step: v.name(s)}, Takes: ask.Line{}, Optional: true})
	if err != nil {
		return err
	}
	return v.add(fact)
}

// compareCentre asks for what the centre's clock shows at the moment of a key, "" where that
// cannot be done.
func (v *Visit) compareCentre(ctx context.Context, s *record.Outcome) (string, error) {
	pressed, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/clock", Title: ask.CentreClockAsked,
		Lines: []ask.Phrase{ask.CentreClockAdvice}, Keys: v.withRedo(ask.Ready, ask.Cannot, ask.Leave)}, forever)
	switch {
	case err != nil:
		return "", err
	case pressed.Key == ask.Leave:
		return "", errLeave
	case pressed.Key == ask.Redo:
		return "", errRedo
	case pressed.Key == ask.Cannot:
		return "", nil
	}
	if err := v.keyMoment(s, record.Moment{What: record.CentreClock}, pressed); err != nil {
		return "", err
	}
	return v.ask(ctx, ask.Question{ID: s.Step().ID + "/clock-said", What: ask.CentreClockAsked, Takes: ask.CentreTime{}})
}
