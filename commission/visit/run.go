package visit

import (
	"context"
	"errors"
	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ErrPaused says that the visit was paused and can be resumed at the very step.
var ErrPaused = ask.ErrPaused

var (
	// errLeave says that the technician leaves the stage.
	errLeave = errors.New("leave the stage")
	// errBack says that the technician takes a choice back.
	errBack = errors.New("back")
	// errRedo says that the last reading or answer is taken again.
	errRedo = errors.New("redo")
)

// Run takes the steps that are open until all are concluded. It returns nil
// when the visit is complete and its journal, read again, holds all of it; ErrPaused when
// it can be resumed; an error that wraps ErrJournal when the journal failed. On every way
// out, a panic included, outputs that it energised are switched off.
func (v *Visit) Run(ctx context.Context) (err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	defer v.keepWriting()()
	defer v.keepLooking()()
	defer v.keepShowing()()
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the program has a fault: %v", p)
		}
		v.serveNoMore()
		err = errors.Join(err, guarded(func() error { return v.leave(ctx, err) }))
		if err != nil {
			_ = v.add(record.Paused{By: pauseReason(ctx, err)}) // the journal may be what failed
			v.warnSet()
		}
		v.warnMainsOff()
		v.callsInAll()
		err = errors.Join(err, guarded(v.source.Close))
		if failed := guarded(v.settle); !errors.Is(err, failed) {
			err = errors.Join(err, failed)
		}
		err = errors.Join(err, guarded(func() error { return v.proveJournal(err == nil) }))
		err = errors.Join(err, guarded(v.rescue), guarded(v.onlyDurable))
	}()
	// The journal knows how times are taken before the first signal comes.
	if err := v.add(v.source.About()); err != nil {
		return err
	}
	if err := v.source.Start(ctx, receiver{v}); err != nil {
		return fmt.Errorf("listen to the controller: %w", err)
	}
	defer v.serve(ctx)()
	if err := v.afterBreak(ctx); err != nil {
		return err
	}
	return v.steps(ctx)
}

// guarded runs a part of the clean-up; a fault in it must not prevent the rest.
func guarded(clean func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the program has a fault: %v", p)
		}
	}()
	return clean()
}

// pauseReason is why the visit pauses. Who asks for the end while it leaves has not let it
// switch off what is on.
func pauseReason(ctx context.Context, err error) record.Stop {
	switch {
	case ctx.Err() != nil, errors.Is(err, context.Canceled):
		return record.StopAsked
	case errors.Is(err, ask.ErrPaused):
		return record.StopByTechnician
	}
	return record.StopByError
}

// afterBreak tells of what a break may have left behind.
func (v *Visit) afterBreak(ctx context.Context) error {
	var mainsOff bool
	if err := v.look(func(r *record.Record) { mainsOff = !r.MainsOff().IsZero() }); err != nil {
		return err
	}
	if mainsOff {
		v.operator.Tell(ask.MainsMayBeOff{})
	}
	if v.batteryOff() {
		v.operator.Tell(ask.BatteryMayBeOff{})
	}
	if seen(v, (*record.Record).SystemMayBeSet) {
		v.operator.Tell(ask.SystemMayBeSet{Was: seen(v, (*record.Record).SystemStood)})
	}
	return v.offAfterBreak(ctx)
}

// offAfterBreak switches off what a break may have left on, and asks for what only the
// technician can switch.
func (v *Visit) offAfterBreak(ctx context.Context) error {
	ours, byHand := v.apart(v.outputsOn())
	if len(ours) > 0 {
		v.operator.Tell(ask.MayBeOn{Outputs: namesOf(ours)}, ask.LoudCaution{})
	}
	errs := []error{sideBySide(ours, func(o *site.Output) error { return v.switchOff(ctx, o, patienceLeaving, "") })}
	for _, o := range byHand {
		v.operator.Tell(ask.MayBeOnByHand{Output: o.Name})
		errs = append(errs, v.switchOffByHand(ctx, o))
	}
	return errors.Join(errs...)
}

// warnMainsOff reminds of what is easily forgotten, whatever else has failed.
func (v *Visit) warnMainsOff() {
	if off := seen(v, func(r *record.Record) bool { return !r.MainsOff().IsZero() }); off {
		v.operator.Tell(ask.MainsStillOff{})
	}
	if v.batteryOff() {
		v.operator.Tell(ask.BatteryStillOff{})
	}
}

func (v *Visit) steps(ctx context.Context) error {
	stage := programme.Stage("")
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		var next *record.Outcome
		if err := v.look(func(r *record.Record) { next = r.Next() }); err != nil {
			return err
		}
		if next == nil {
			return nil
		}
		if next.Step().Stage != stage {
			stage = next.Step().Stage
			v.introduce(stage)
		}
		err := v.take(ctx, next)
		if errors.Is(err, errBack) || errors.Is(err, errJump) {
			continue // the step is taken from its beginning
		}
		if errors.Is(err, errLeave) {
			stage = ""
			err = v.chooseStage(ctx)
		}
		if errors.Is(err, errRedo) {
			err = v.redo()
		}
		if err != nil {
			return err
		}
	}
}

func (v *Visit) introduce(stage programme.Stage) {
	introduced := seen(v, func(r *record.Record) ask.StageIntroduced {
		all, open := r.Count(stage)
		return ask.StageIntroduced{Stage: stage, All: all, Open: open}
	})
	v.operator.Tell(ask.StageBegins{Stage: stage}, introduced)
}

func (v *Visit) take(ctx context.Context, s *record.Outcome) error {
	v.at = s.Step().ID
	defer func() { v.at = "" }()
	if left, err := v.leftWithStage(s); left || err != nil {
		return err
	}
	switch s.Step().Kind {
	case programme.StepIsolated:
		return v.isolated(ctx, s)
	case programme.StepTester:
		return v.tester(ctx, s)
	case programme.StepCable:
		return v.cable(ctx, s)
	case programme.StepCheck, programme.StepOutstanding:
		return v.check(ctx, s)
	case programme.StepDetector:
		return v.detector(ctx, s)
	case programme.StepInstrument:
		return v.instrument(ctx, s)
	case programme.StepReading:
		return v.reading(ctx, s)
	case programme.StepAct:
		return v.act(ctx, s)
	case programme.StepCharged:
		return v.charged(ctx, s)
	case programme.StepFault:
		return v.fault(ctx, s)
	case programme.StepPath:
		return v.path(ctx, s)
	case programme.StepOutput:
		return v.output(ctx, s)
	case programme.StepChime:
		return v.chime(ctx, s)
	case programme.StepRestart:
		return v.restart(ctx, s)
	case programme.StepExtent:
		return v.extent(ctx, s)
	case programme.StepFound:
		return v.found(ctx, s)
	case programme.StepSetting, programme.StepEntry, programme.StepIntrusion:
		return v.alarm(ctx, s)
	case programme.StepReceipt:
		return v.receipt(ctx, s)
	case programme.StepSign:
		return v.sign(ctx, s)
	}
	return fmt.Errorf("the programme has a step of the kind %q, which this version cannot take", s.Step().Kind)
}

var (
	// leaveOption stands first in every choice but those of checklists: taken by mistake,
	// it does no harm.
	leaveOption     = ask.Option{Word: "leave", Label: ask.LeaveChoice}
	notTestedOption = ask.Option{Word: string(record.LeftOut), Label: ask.NotTestedChoice}
)

// choose asks for one of several options; the first, to leave the stage, comes back as
// errLeave.
func (v *Visit) choose(ctx context.Context, q ask.Question, options ...ask.Option) (ask.Answer, error) {
	q.Takes = ask.OneOf{Options: append([]ask.Option{leaveOption}, options...)}
	answer, err := v.operator.Ask(ctx, q)
	if err == nil && answer.Text == leaveOption.Word {
		err = errLeave
	}
	return answer, err
}

// keep asks a question that is one of several of a step. Its answer is written
// at once; after a break it is taken from there and not asked for again.
func (v *Visit) keep(ctx context.Context, s *record.Outcome, q ask.Question) (string, error) {
	answer, err := v.keepAnswer(ctx, s, q)
	return answer.Text, err
}

func (v *Visit) keepAnswer(ctx context.Context, s *record.Outcome, q ask.Question) (ask.Answer, error) {
	var answer ask.Answer
	var given bool
	if err := v.look(func(r *record.Record) {
		answer.Text, given = r.AnsweredBefore(s, q.ID)
		answer.Confirmed = r.ConfirmedBefore(s, q.ID)
	}); err != nil {
		return answer, err
	}
	if given {
		v.operator.Tell(ask.AnsweredBefore{What: q.What, Text: answer.Text})
	} else {
		var err error
		answer, err = v.operator.Ask(ctx, q)
		_, choice := q.Takes.(ask.OneOf)
		wayBack := answer.Text == leaveOption.Word && choice || answer.Text == "" && q.Back || q.WayBack != "" &&
			answer.Text == q.WayBack
		if err != nil || wayBack {
			return answer, err
		}
	}
	return answer, v.add(
		record.PartAnswer{Step: s.Step().ID, Question: q.ID, Text: answer.Text, Confirmed: answer.Confirmed},
	)
}

// ask asks a question whose answer is a text.
func (v *Visit) ask(ctx context.Context, q ask.Question) (string, error) {
	answer, err := v.operator.Ask(ctx, q)
	return answer.Text, err
}

// text asks for a line; to leave it out takes the choice before it back (errBack).
func (v *Visit) text(ctx context.Context, s *record.Outcome, id string, what, help ask.Phrase) (string, error) {
	answer, err := v.keep(
		ctx,
		s,
		ask.Question{ID: s.Step().ID + id, What: what, Help: help, Takes: ask.Line{}, Optional: true, Back: true},
	)
	if err == nil && answer == "" {
		err = errBack
	}
	return answer, err
}

// needed asks for a line that must not be empty.
func (v *Visit) needed(ctx context.Context, s *record.Outcome, id string, what, help ask.Phrase) (string, error) {
	return v.keep(ctx, s, ask.Question{ID: s.Step().ID + id, What: what, Help: help, Takes: ask.Line{}})
}

// optional asks for what may be left out.
func (v *Visit) optional(
	ctx context.Context,
	s *record.Outcome,
	id string,
	what, help ask.Phrase,
	takes ask.Takes,
) (string, error) {
	return v.keep(ctx, s, ask.Question{ID: s.Step().ID + id, What: what, Help: help, Takes: takes, Optional: true})
}

func (v *Visit) yes(ctx context.Context, q ask.Question) (bool, error) {
	word, err := v.ask(ctx, q)
	return word == ask.Yes, err
}

// leaveOut concludes a step without a test, and those that make no sense without it.
func (v *Visit) leaveOut(ctx context.Context, s *record.Outcome, with ...*record.Outcome) error {
	reason, err := v.text(ctx, s, "/reason", ask.NotTestedMatter, ask.PrintedAdvice)
	if err != nil {
		return err
	}
	for _, other := range with {
		if err := v.leaveUnmeasured(other); err != nil {
			return err
		}
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: reason})
}

// note asks for a note; it may be left out.
func (v *Visit) note(ctx context.Context, s *record.Outcome) error {
	text, err := v.ask(
		ctx,
		ask.Question{ID: s.Step().ID + "/note", What: ask.NoteMatter, Takes: ask.Line{}, Optional: true},
	)
	if err != nil || text == "" {
		return err
	}
	return v.add(record.Note{Step: s.Step().ID, Text: text})
}

// name is what a step is called.
func (v *Visit) name(s *record.Outcome) programme.Name {
	return seen(v, func(r *record.Record) programme.Name { return programme.NameOf(r.Site(), s.Step()) })
}
