package visit

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// ErrPaused: the visit was paused and can be resumed at the very step.
var ErrPaused = ask.ErrPaused

var (
	// errLeave: the technician leaves the stage.
	errLeave = errors.New("leave the stage")
	// errBack: the technician takes a choice back.
	errBack = errors.New("back")
)

// Run takes the steps that are open until all are concluded. It returns nil
// when the visit is complete and ErrPaused when it can be resumed; on every way
// out, a panic included, outputs that it energised are switched off.
func (v *Visit) Run(ctx context.Context) (err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	defer v.keepWriting()()
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the program has a fault: %v", p)
		}
		err = errors.Join(err, guarded(v.switchAllOff))
		if err != nil {
			_ = v.add(record.Paused{By: pauseReason(err)}) // the journal may be what failed
			v.warnMainsOff()
		}
		err = errors.Join(err, guarded(v.source.Close))
		if failed := guarded(v.settle); !errors.Is(err, failed) {
			err = errors.Join(err, failed)
		}
	}()
	// The journal knows how times are taken before the first signal comes.
	if err := v.add(v.source.About()); err != nil {
		return err
	}
	if err := v.source.Start(ctx, receiver{v}); err != nil {
		return fmt.Errorf("listen to the controller: %w", err)
	}
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

func pauseReason(err error) string {
	switch {
	case errors.Is(err, ask.ErrPaused):
		return "the technician"
	case errors.Is(err, context.Canceled):
		return "the end of the program was asked for"
	}
	return "an error"
}

// afterBreak tells of what a break may have left behind.
func (v *Visit) afterBreak(ctx context.Context) error {
	var on []string
	var mainsOff bool
	if err := v.look(func(r *record.Record) {
		for _, name := range r.Energised() {
			on = append(on, name)
		}
		mainsOff = !r.MainsOff().IsZero()
	}); err != nil {
		return err
	}
	if mainsOff {
		if bench, ok := v.source.(Bench); ok {
			bench.Mains(false)
		}
		v.operator.Tell("Mains was removed before the break and may still be: the standby battery has been carrying the system since.")
	}
	if len(on) == 0 {
		return nil
	}
	v.operator.Tell("Before the break "+strings.Join(on, ", ")+" was switched on and may still be on. It is switched off now.", words.English{}.Say(judge.CautionSounder))
	return v.switchAllOff()
}

// warnMainsOff reminds of what is easily forgotten.
func (v *Visit) warnMainsOff() {
	off := false
	_ = v.look(func(r *record.Record) { off = !r.MainsOff().IsZero() }) // told whatever else has failed
	if off {
		v.operator.Tell("   MAINS IS STILL REMOVED: the standby battery carries the system until the adapter is plugged in again.")
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
		if err != nil {
			return err
		}
	}
}

var introductions = map[programme.Stage]string{
	programme.StageInspection: "Look before anything is operated.",
	programme.StageWalkTest:   "Operate every detector on its own, then let it go back to rest. Times run from the cue.",
	programme.StageSupply:     "Measure with mains present, then prove that the system lives on without it.",
	programme.StageOutputs:    "Hear, see and time what the system does.",
	programme.StageHandOver:   "Leave the system and its user ready.",
	programme.StageSignOff:    "Names under what was found.",
}

func (v *Visit) introduce(stage programme.Stage) {
	all, open := 0, 0
	_ = v.look(func(r *record.Record) { all, open = r.Count(stage) }) // a failure is met at the next step
	v.operator.Tell("", fmt.Sprintf("== %s ==  %d of %d steps open", strings.ToUpper(string(stage)), open, all), introductions[stage])
}

func (v *Visit) take(ctx context.Context, s *record.Outcome) error {
	switch s.Step().Kind {
	case programme.StepCheck:
		return v.check(ctx, s)
	case programme.StepDetector:
		return v.detector(ctx, s)
	case programme.StepInstrument:
		return v.instrument(ctx, s)
	case programme.StepReading:
		return v.reading(ctx, s)
	case programme.StepAct:
		return v.act(ctx, s)
	case programme.StepPath:
		return v.path(ctx, s)
	case programme.StepOutput:
		return v.output(ctx, s)
	case programme.StepChime:
		return v.chime(ctx, s)
	case programme.StepRestart:
		return v.restart(ctx, s)
	case programme.StepSign:
		return v.sign(ctx, s)
	}
	return fmt.Errorf("the programme has a step of the kind %q, which this version cannot take", s.Step().Kind)
}

// leaveOption stands first in every choice: taken by mistake, it does no harm.
var leaveOption = ask.Option{Word: "leave", Label: "not now: leave this stage"}

// choose asks for one of several words; "leave" comes back as errLeave.
func (v *Visit) choose(ctx context.Context, id, text, help string, options ...ask.Option) (string, error) {
	word, err := v.operator.Ask(ctx, ask.Question{ID: id, Text: text, Help: help, Shape: ask.Choice, Options: append([]ask.Option{leaveOption}, options...)})
	if err == nil && word == leaveOption.Word {
		err = errLeave
	}
	return word, err
}

// keep asks a question that is one of several of a step. Its answer is written
// at once; after a break it is taken from there and not asked for again.
func (v *Visit) keep(ctx context.Context, s *record.Outcome, q ask.Question) (string, error) {
	var text string
	var given bool
	if err := v.look(func(r *record.Record) { text, given = r.Given(s, q.ID) }); err != nil {
		return "", err
	}
	if given {
		v.operator.Tell("   " + q.Text + ": " + text + " (answered before the break)")
	} else {
		var err error
		text, err = v.operator.Ask(ctx, q)
		wayBack := text == leaveOption.Word && q.Shape == ask.Choice || text == "" && q.Back
		if err != nil || wayBack {
			return text, err
		}
	}
	return text, v.add(record.Given{Step: s.Step().ID, Question: q.ID, Text: text})
}

// text asks for a line; Enter alone takes the choice before it back (errBack).
func (v *Visit) text(ctx context.Context, s *record.Outcome, question, text, help string) (string, error) {
	if help != "" {
		help += "; "
	}
	answer, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID + question, Text: text, Help: help + "Enter alone goes back", Shape: ask.Text, Optional: true, Back: true})
	if err == nil && answer == "" {
		err = errBack
	}
	return answer, err
}

// needed asks for a line that must not be empty.
func (v *Visit) needed(ctx context.Context, s *record.Outcome, question, text, help string) (string, error) {
	return v.keep(ctx, s, ask.Question{ID: s.Step().ID + question, Text: text, Help: help, Shape: ask.Text})
}

// optional asks for a line that may be empty.
func (v *Visit) optional(ctx context.Context, s *record.Outcome, question, text, help string, check func(string) error) (string, error) {
	return v.keep(ctx, s, ask.Question{ID: s.Step().ID + question, Text: text, Help: help, Shape: ask.Text, Optional: true, Check: check})
}

func (v *Visit) yes(ctx context.Context, q ask.Question) (bool, error) {
	q.Shape = ask.YesNo
	word, err := v.operator.Ask(ctx, q)
	return word == "yes", err
}

// leaveOut concludes a step without a test.
func (v *Visit) leaveOut(ctx context.Context, s *record.Outcome) error {
	reason, err := v.text(ctx, s, "/reason", "Why is it not tested?", "The reason is printed on the certificate")
	if err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: reason})
}

// note asks for a note; none is written for Enter alone.
func (v *Visit) note(ctx context.Context, s *record.Outcome) error {
	text, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/note", Text: "Note, printed on the certificate", Help: "Enter alone writes none", Shape: ask.Text, Optional: true})
	if err != nil || text == "" {
		return err
	}
	return v.add(record.Note{Step: s.Step().ID, Text: text})
}

func (v *Visit) title(s *record.Outcome) string {
	var title string
	_ = v.look(func(r *record.Record) { title = words.English{}.Say(programme.NameOf(r.Site(), s.Step())) }) // a failure is met at the next step
	return title
}
