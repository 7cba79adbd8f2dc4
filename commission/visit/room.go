package visit

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// What a technician who operates in their own order is asked.

const roamID = string(programme.StageWalkTest) + "/roam"

var (
	notYetOption   = ask.Option{Word: "not yet", Label: ask.NotYetOperated}
	nothingOption  = ask.Option{Word: "nothing came", Label: ask.NothingCame}
	leftOutOption  = ask.Option{Word: string(record.LeftOut), Label: ask.NotTestedAtAll}
	oneByOneOption = ask.Option{Word: "one by one", Label: ask.OneByOne}
	notRestOption  = ask.Option{Word: "not at rest", Label: ask.NotAtRest}
	noneOption     = ask.Option{Word: "none", Label: ask.NoneOfThese}
	rightOption    = ask.Option{Word: "right", Label: ask.ItWasRight}
)

// which asks which detector of a bank was operated, those that are open first.
func (r *roaming) which(ctx context.Context, op record.Operation) error {
	v, name := r.v, operated{op.Zone, op.At}
	var options []ask.Option
	var zone programme.ZoneName
	at := map[string]*record.Outcome{}
	if err := v.look(func(rec *record.Record) {
		zone = programme.NameOfZone(rec.Site().Zone(op.Zone))
		options = append([]ask.Option{noneOption}, optionsOf(rec, rec.OfZone(op.Zone), at)...)
	}); err != nil {
		return err
	}
	answer, err := v.operator.Ask(ctx, ask.Question{ID: fmt.Sprintf("%s/zone-%d", roamID, op.Zone),
		What: ask.WhichOf{Zone: zone}, Takes: ask.OneOf{Options: options}})
	if err != nil {
		return err
	}
	s := at[answer.Text]
	tell := func(n ask.Notice) { v.operator.Tell(n) }
	switch {
	case s == nil:
		r.handled[name] = true
	case s.Concluded():
		r.handled[name] = true
		r.operatedAgain(op, tell)
	default:
		r.claimed[name] = s
		r.heard(op, s, tell)
	}
	return nil
}

// optionsOf are detectors as options, the open ones first, by the words that are put into at.
func optionsOf(r *record.Record, all []*record.Outcome, at map[string]*record.Outcome) (options []ask.Option) {
	for _, concluded := range []bool{false, true} {
		for _, o := range all {
			if o.Concluded() == concluded {
				at[string(o.Step().Point)] = o
				options = append(options, ask.Option{Word: string(o.Step().Point), Label: programme.NameOf(r.Site(), o.Step())})
			}
		}
	}
	return options
}

// notThat asks what was operated instead of what was reported last. That was crossed then, and
// what was written of the other counts no more.
func (r *roaming) notThat(ctx context.Context) error {
	v, l := r.v, r.last
	if l == nil {
		v.operator.Tell(ask.NothingToCorrect{})
		return nil
	}
	s, shown, err := r.instead(ctx, l)
	if err != nil {
		return err
	}
	name := operated{l.op.Zone, l.op.At}
	switch {
	case l.attempt > 0:
		if err := v.add(record.Struck{Step: l.step.Step().ID, Trial: l.attempt, Reason: shown}); err != nil {
			return err
		}
		v.operator.Tell(ask.Struck{Step: v.name(l.step), Number: l.attempt})
		r.last = nil
	case s != nil && s.Step().Zone == l.op.Zone:
		r.inRoom = slices.DeleteFunc(r.inRoom, func(o *record.Outcome) bool { return o == l.step })
		r.claimed[name] = s
		r.heard(l.op, s, func(n ask.Notice) { v.operator.Tell(n) })
		return nil
	default:
		r.handled[name], r.last = true, nil
	}
	r.inRoom = slices.DeleteFunc(r.inRoom, func(o *record.Outcome) bool { return o == l.step && verdictOf(o) == "" })
	switch {
	case s == nil:
		return nil
	case s.Step().Zone == l.op.Zone: // no report counts twice
		v.operator.Tell(ask.ToOperateAgain{Step: v.name(s)})
		return nil
	}
	return r.crossed(ctx, l.op, s)
}

// instead asks what was operated instead, nil for nothing of the site, and returns the reason
// why what was reported does not count, as it was shown. errBack says that it was right.
func (r *roaming) instead(ctx context.Context, l *lastHeard) (s *record.Outcome, shown string, err error) {
	v := r.v
	near, all := map[string]*record.Outcome{}, map[string]*record.Outcome{}
	var name programme.Name
	options := []ask.Option{rightOption}
	if err := v.look(func(rec *record.Record) {
		name = programme.NameOf(rec.Site(), l.step.Step())
		everything := detectorsOf(rec)
		optionsOf(rec, everything, all)
		delete(all, string(l.step.Step().Point))
		var close []*record.Outcome
		for _, o := range append(rec.InRoom(append(slices.Clone(r.inRoom), l.step)), everything...) {
			if o != l.step && !o.Concluded() && !slices.Contains(close, o) && len(close) < mostNear {
				close = append(close, o)
			}
		}
		options = append(options, optionsOf(rec, close, near)...)
	}); err != nil {
		return nil, "", err
	}
	options = append(options, ask.Option{Word: otherOption.Word, Label: ask.AnotherDetector}, noneOption)
	answer, err := v.operator.Ask(ctx, ask.Question{ID: roamID + "/instead", What: ask.OperatedInstead{Step: name},
		About: []ask.Phrase{ask.WasNotOperated{Step: name}}, Takes: ask.OneOf{Options: options}})
	if err != nil {
		return nil, "", err
	}
	if len(answer.Shown) > 0 {
		shown = answer.Shown[0]
	}
	switch answer.Text {
	case rightOption.Word:
		return nil, shown, errBack
	case noneOption.Word:
		return nil, shown, nil
	case otherOption.Word:
		if answer, err = v.operator.Ask(ctx, ask.Question{ID: roamID + "/instead/other", What: ask.DetectorMatter,
			Takes: ask.Points{Board: seen(v, BoardOf)}, Optional: true, Back: true}); err != nil || all[answer.Text] == nil {
			return nil, shown, orBack(err)
		}
	}
	return all[answer.Text], shown, nil
}

// orBack is an error, or that the technician takes a choice back.
func orBack(err error) error {
	if err == nil {
		return errBack
	}
	return err
}

// crossed writes that a detector was operated when another zone reported.
func (r *roaming) crossed(ctx context.Context, op record.Operation, s *record.Outcome) error {
	v := r.v
	if s.Concluded() {
		if err := v.add(record.Reopened{Step: s.Step().ID}); err != nil {
			return err
		}
	}
	at, _ := v.instant(op.At)
	showed, err := v.creditOperated(ctx, s, at, nil, record.NoTouch, time.Time{})
	if err != nil {
		return err
	}
	if !slices.Contains(r.inRoom, s) {
		r.inRoom = append(r.inRoom, s)
	}
	v.tellShown(s, record.Operate, showed.Judgement)
	return nil
}

// roomDone tells what a room showed, and asks about what it did not.
func (r *roaming) roomDone(ctx context.Context) error {
	v := r.v
	var standing, never []*record.Outcome
	stands := map[*record.Outcome]record.Operation{}
	var told []ask.Notice
	if err := v.look(func(rec *record.Record) {
		for _, op := range r.operations(rec) {
			if s, asks := r.whose(rec, op); s != nil && !asks && !s.Concluded() && op.Restored == 0 {
				standing, stands[s] = append(standing, s), op
			}
		}
		never = slices.DeleteFunc(rec.InRoom(r.inRoom), func(o *record.Outcome) bool { return stands[o].Zone != 0 })
		for _, o := range wellFirst(r.inRoom) {
			shown := ask.RoomShown{Step: programme.NameOf(rec.Site(), o.Step()), How: ask.RoomTried, Verdict: verdictOf(o)}
			if stands[o].Zone != 0 {
				shown.How, shown.Verdict = ask.RoomStillOpen, ""
			}
			told = append(told, shown)
		}
		for _, o := range never {
			told = append(told, ask.RoomShown{Step: programme.NameOf(rec.Site(), o.Step()), How: ask.RoomNoReport})
		}
	}); err != nil {
		return err
	}
	if len(told) == 0 {
		told = []ask.Notice{ask.RoomEmpty{}}
	}
	left := slices.DeleteFunc(slices.Clone(r.touches), func(t *touched) bool { return t.used })
	if len(left) > 0 && len(standing) == 0 {
		told = append(told, ask.TouchesUnanswered{Touches: len(left)})
	}
	v.operator.Tell(told...)
	if err := r.askRoom(ctx, standing, stands, never); err != nil {
		return err
	}
	r.inRoom = slices.DeleteFunc(r.inRoom, func(o *record.Outcome) bool { return o.Concluded() || stands[o].Zone == 0 })
	r.touches = nil
	return nil
}

// wellFirst are detectors, those that need nothing more first: what is told last is seen first.
func wellFirst(all []*record.Outcome) []*record.Outcome {
	return slices.SortedStableFunc(slices.Values(all), func(a, b *record.Outcome) int {
		switch {
		case a.Concluded() == b.Concluded():
			return 0
		case a.Concluded():
			return -1
		}
		return 1
	})
}

// askRoom asks about what stands open, about what was not proved, and about what never came.
func (r *roaming) askRoom(ctx context.Context, standing []*record.Outcome, stands map[*record.Outcome]record.Operation,
	never []*record.Outcome) error {
	for _, s := range standing {
		if err := r.about(s, func() error { return r.stillOpen(ctx, s, stands[s]) }); err != nil {
			return err
		}
	}
	for _, s := range r.inRoom {
		if s.Concluded() || verdictOf(s) == "" || verdictOf(s).Proves() || stands[s].Zone != 0 {
			continue
		}
		if err := r.about(s, func() error { return r.v.afterFailure(ctx, s) }); err != nil {
			return err
		}
	}
	if len(never) > 1 {
		each, err := r.v.ask(ctx, ask.Question{ID: roamID + "/no-reports", What: ask.NoReports{Detectors: len(never)},
			Takes: ask.OneOf{Options: []ask.Option{notYetOption, oneByOneOption}}})
		if err != nil || each == notYetOption.Word {
			return err
		}
	}
	for _, s := range never {
		if err := r.about(s, func() error { return r.noReport(ctx, s) }); err != nil {
			return err
		}
	}
	return nil
}

// noReport asks about a detector of which nothing came.
func (r *roaming) noReport(ctx context.Context, s *record.Outcome) error {
	v := r.v
	word, err := v.ask(ctx, ask.Question{ID: s.Step().ID + "/no-report", What: ask.NoReport{Step: v.name(s)},
		Takes: ask.OneOf{Options: []ask.Option{notYetOption, nothingOption, leftOutOption}}})
	if err != nil {
		return err
	}
	switch word {
	case nothingOption.Word:
		if err := r.silent(s, record.Cue{Half: record.Operate, NotTimed: record.NoTouch}, v.clock.Now()); err != nil {
			return err
		}
		return v.afterFailure(ctx, s)
	case leftOutOption.Word:
		return notBack(v.leaveOut(ctx, s))
	}
	return nil
}

// stillOpen asks about a detector that reported active and is not at rest.
func (r *roaming) stillOpen(ctx context.Context, s *record.Outcome, op record.Operation) error {
	v := r.v
	word, err := v.ask(ctx, ask.Question{ID: s.Step().ID + "/still-open", What: ask.StaysOpen{Step: v.name(s)},
		Takes: ask.OneOf{Options: []ask.Option{notYetOption, notRestOption, leftOutOption}}})
	if err != nil {
		return err
	}
	name := operated{op.Zone, op.At}
	switch word {
	case notRestOption.Word:
		r.handled[name] = true
		at, _ := v.instant(op.At)
		touch, why := r.timing(op)
		before := len(s.Attempts())
		_, err := v.creditOperated(ctx, s, at, touch, why, time.Time{})
		if r.wrote(op, s, before); err != nil {
			return err
		}
		if err := r.silent(s, record.Cue{Half: record.Restore, NotTimed: record.OwnTime}, at); err != nil {
			return err
		}
		if s.Concluded() { // it came to rest in this moment
			return nil
		}
		return v.afterFailure(ctx, s)
	case leftOutOption.Word:
		if err := v.leaveOut(ctx, s); err != nil {
			return notBack(err)
		}
		r.handled[name] = true
	}
	return nil
}

// silent writes that the technician says that nothing came of what they did, and tells it.
func (r *roaming) silent(s *record.Outcome, c record.Cue, at time.Time) error {
	v := r.v
	trial, refused, err := v.ownCue(c, s, since{at: at})
	if err != nil {
		return err
	}
	if refused != nil {
		v.operator.Tell(ask.CueTooOld{Why: refused})
		return errAgain
	}
	if _, err := v.endTrial(s, trial, record.BySilent, v.clock.Now()); err != nil {
		return err
	}
	v.tellShown(s, c.Half, seen(v, func(*record.Record) record.Judgement { return trial.Judge() }))
	return nil
}

// notBack is an error, unless the technician has taken the choice back.
func notBack(err error) error {
	if errors.Is(err, errBack) {
		return nil
	}
	return err
}
