// Package terminal talks with the technician in a real terminal.
//
// Questions are prompts of the survey library; a watch reads single keys in raw
// mode. What was typed before a question or a watch is thrown away, Ctrl-D
// counts as Ctrl-C, and Esc is nothing: none of them answers a question. The
// terminal is always given back as it was found.
package terminal

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"

	"github.com/AlecAivazis/survey/v2"
	"github.com/AlecAivazis/survey/v2/core"
	surveyterm "github.com/AlecAivazis/survey/v2/terminal"
	"github.com/muesli/cancelreader"
	"golang.org/x/term"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/words"
)

const (
	ctrlC = 3
	ctrlD = 4
	ctrlZ = 26

	fallbackWidth = 80
	widest        = 100
)

// Operator is the technician at a terminal.
type Operator struct {
	say     words.Language
	in, out *os.File
	mu      sync.Mutex // of out
	shown   string     // the help of keys that stands on the screen
	colour  bool
	aside   aside // what is shown while somebody else has the questions
}

// Possible tells whether both files are terminals, so that one can be asked.
func Possible(in, out *os.File) bool {
	return term.IsTerminal(int(in.Fd())) && term.IsTerminal(int(out.Fd())) && os.Getenv("TERM") != "dumb"
}

// Flush drops what was typed ahead.
func Flush(in *os.File) { flush(int(in.Fd())) }

// New talks over a terminal in a language.
func New(in, out *os.File, language words.Language) *Operator {
	prepare(int(out.Fd()))
	// The list is not filtered, so the library's list must not say that it is.
	survey.SelectQuestionTemplate = strings.NewReplacer("{{ .FilterMessage }}", "",
		"[Use arrows to move, type to filter", "["+language.Say(typed.ArrowsMeaning)).Replace(survey.SelectQuestionTemplate)
	survey.ErrorTemplate = "   {{ .Error.Error }}\n"
	colour := os.Getenv("NO_COLOR") == ""
	core.DisableColor = !colour
	return &Operator{say: language, in: in, out: out, colour: colour}
}

// look is how a list is laid out in the window, above a prompt and so many lines.
func (o *Operator) look(below int) typed.Look {
	_, rows, err := term.GetSize(int(o.out.Fd()))
	if err != nil || rows < 10 {
		rows = 24
	}
	return typed.Look{Columns: o.columns(), Rows: max(rows-below, 5), Colour: o.colour}
}

func (o *Operator) columns() int {
	w, _, err := term.GetSize(int(o.out.Fd()))
	if err != nil || w < 20 {
		w = fallbackWidth
	}
	return min(w, widest) - 1
}

// Tell prints notices, wrapped to the window.
func (o *Operator) Tell(notices ...ask.Notice) {
	for _, n := range notices {
		if o.aside.takes(typed.Lines(o.say, n)) {
			o.ring(n)
			continue
		}
		o.notice("\n", n)
	}
}

// bell calls somebody who does not look at the screen.
const bell = "\a"

func (o *Operator) notice(end string, n ask.Notice) {
	o.print(end, typed.Lines(o.say, n)...)
	o.ring(n)
}

func (o *Operator) ring(n ask.Notice) {
	if n.Weight() == ask.Alarm {
		o.write(bell)
	}
}

func (o *Operator) print(end string, texts ...string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	columns := o.columns()
	for _, t := range texts {
		for _, l := range screen.Wrap(screen.Clean(t), columns) {
			_, _ = io.WriteString(o.out, l+end)
		}
	}
}

// write sends what is no text.
func (o *Operator) write(sequence string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	_, _ = io.WriteString(o.out, sequence)
}

// keyboard is what a prompt reads. Ctrl-C and Ctrl-D interrupt at once and for
// good: the library would lose one that comes while it asks where the cursor is.
type keyboard struct {
	cancelreader.CancelReader
	fd          uintptr
	interrupted bool
}

func (k *keyboard) Fd() uintptr { return k.fd }

func (k *keyboard) Read(p []byte) (int, error) {
	if k.interrupted {
		return 0, surveyterm.InterruptErr
	}
	n, err := k.CancelReader.Read(p)
	for _, b := range p[:max(n, 0)] {
		if b == ctrlC || b == ctrlD {
			k.interrupted = true
			return 0, surveyterm.InterruptErr
		}
	}
	return n, err
}

// Ask prompts until there is an answer, a pause, or the end of the context.
func (o *Operator) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	o.shown = ""
	lines, about := typed.Question(o.say, q)
	o.print("\n", "")
	o.list(typed.List(o.say, q, o.look(o.height(lines)+3)))
	o.print("\n", lines...)
	for {
		answer, err := o.prompt(ctx, q)
		switch {
		case err == nil:
			answer.Shown = about
			return answer, nil
		case ctx.Err() != nil:
			return ask.Answer{}, ctx.Err()
		case errors.Is(err, surveyterm.InterruptErr):
			return ask.Answer{}, ask.ErrPaused
		case errors.Is(err, io.EOF):
			return ask.Answer{}, fmt.Errorf("%w: the terminal is gone", ask.ErrPaused)
		case errors.Is(err, errWhole):
			look := o.look(0)
			look.Whole = true
			o.list(typed.List(o.say, q, look))
			continue
		case stray(err):
			continue
		}
		return ask.Answer{}, fmt.Errorf("ask: %w", err)
	}
}

// errWhole says that the whole board is wished instead of an answer.
var errWhole = errors.New("the whole board")

// height is how many lines texts take in the window.
func (o *Operator) height(texts []string) (n int) {
	for _, t := range texts {
		n += len(screen.Wrap(screen.Clean(t), o.columns()))
	}
	return n
}

// list prints lines that fit the window and may be coloured.
func (o *Operator) list(lines []string) {
	for _, l := range lines {
		o.write(l + "\n")
	}
}

// prompt asks a question with the library.
func (o *Operator) prompt(ctx context.Context, q ask.Question) (answer ask.Answer, err error) {
	err = o.withLibrary(ctx, func(stdio survey.AskOpt) error {
		if _, is := q.Takes.(ask.OneOf); is {
			word, err := o.selectOne(typed.Options(q), stdio)
			if err == nil {
				answer, err = q.Accept(word)
			}
			return err
		}
		message := o.say.Say(typed.AnswerPrompt)
		if _, is := q.Takes.(ask.YesNo); is {
			message = o.say.Say(typed.YesNoPrompt)
		}
		var text string
		whole := false
		err := survey.AskOne(&survey.Input{Message: message}, &text, stdio, survey.WithValidator(func(v any) (err error) {
			_, board := q.Takes.(ask.Points)
			if whole = board && typed.IsWholeBoard(o.say, fmt.Sprint(v)); whole {
				return nil
			}
			if answer, err = typed.Answer(o.say, q, fmt.Sprint(v)); err != nil {
				return errors.New(refusal(typed.Refusal(o.say, err), o.columns()))
			}
			return nil
		}))
		if err == nil && whole {
			err = errWhole
		}
		return err
	})
	return answer, err
}

// indent is what the library writes before a refusal.
const indent = "   "

// refusal is why an answer is refused, in no more than four lines that break between words.
func refusal(why string, columns int) string {
	width := max(columns-len(indent), 20)
	lines := screen.Wrap(screen.Cut(screen.Clean(why), 4*width), width)
	return strings.Join(lines, "\n"+indent)
}

// Secret asks for a passphrase, which is not shown while it is typed. Errors:
// ask.ErrPaused, or the context's.
func (o *Operator) Secret(ctx context.Context, text string) (secret string, err error) {
	for {
		err := o.withLibrary(ctx, func(stdio survey.AskOpt) error {
			return survey.AskOne(&survey.Password{Message: text}, &secret, stdio)
		})
		switch {
		case err == nil:
			return secret, nil
		case ctx.Err() != nil:
			return "", ctx.Err()
		case stray(err):
			continue
		case errors.Is(err, surveyterm.InterruptErr), errors.Is(err, io.EOF):
			return "", ask.ErrPaused
		}
		return "", fmt.Errorf("ask: %w", err)
	}
}

// stray tells whether a prompt ended at an Esc or Alt key, which means nothing.
func stray(err error) bool {
	return strings.Contains(err.Error(), "escape sequence") || strings.Contains(err.Error(), "unexpected rune")
}

// withLibrary runs one prompt of the library. A panic in it must not leave the
// terminal raw.
func (o *Operator) withLibrary(ctx context.Context, prompt func(survey.AskOpt) error) (err error) {
	fd := int(o.in.Fd())
	if state, stateErr := term.GetState(fd); stateErr == nil {
		defer func() { _ = term.Restore(fd, state) }()
	}
	flush(fd)
	reader, err := cancelreader.NewReader(o.in)
	if err != nil {
		return err
	}
	defer reader.Close()
	stop := context.AfterFunc(ctx, func() { reader.Cancel() })
	defer stop()
	keys := &keyboard{CancelReader: reader, fd: o.in.Fd()}
	defer func() {
		if keys.interrupted {
			err = surveyterm.InterruptErr
		}
	}()
	return prompt(survey.WithStdio(keys, o.out, o.out))
}

// selectOne offers options as a list. Where the first is to leave, or says that it is not
// known, the list begins with a line that is no answer: an Enter that nobody meant says nothing.
func (o *Operator) selectOne(options []ask.Option, stdio survey.AskOpt) (string, error) {
	var labels []string
	none := 0
	if len(options) > 0 && (options[0].Label == ask.LeaveChoice || options[0].Label == ask.NotKnownChoice) {
		labels, none = append(labels, o.say.Say(typed.NothingChosen)), 1
	}
	for _, option := range options {
		labels = append(labels, screen.Cut(screen.Clean(o.say.Say(option.Label)), o.columns()-6))
	}
	var at int
	err := survey.AskOne(&survey.Select{Message: o.say.Say(typed.ChoosePrompt), Options: labels, PageSize: 16,
		Filter: func(string, string, int) bool { return true }}, &at, stdio, survey.WithValidator(func(v any) error {
		if chosen, is := v.(core.OptionAnswer); is && chosen.Index < none {
			return errors.New(o.say.Say(typed.ArrowsMeaning))
		}
		return nil
	}))
	if err != nil {
		return "", err
	}
	return options[at-none].Word, nil
}

// Columns is the width of the window that a file is shown in, 0 if it is none.
func Columns(out *os.File) int {
	w, _, err := term.GetSize(int(out.Fd()))
	if err != nil {
		return 0
	}
	return w
}

// IsTerminal tells whether a person may be typing into the file.
func IsTerminal(in *os.File) bool { return term.IsTerminal(int(in.Fd())) }
