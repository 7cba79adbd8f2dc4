// Package lines talks with the technician in plain lines, where input or
// output is no terminal. Answers and keys are words, one a line.
package lines

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"sync/atomic"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/words"
)

// What is printed is no wider than width; of a board that has more rows, what is proved is
// only counted.
const (
	width = 100
	rows  = 40
)

// Operator is the technician behind plain lines.
type Operator struct {
	say   words.Language
	out   io.Writer
	mu    sync.Mutex
	start sync.Once
	in    io.Reader
	lines chan string
	flush func() // drops what was typed ahead; nil for input that no person types

	board atomic.Pointer[ask.Board] // as it was told last
}

// New talks over a reader and a writer in a language. flush, if not nil, is called before
// each question: what a person typed before it is no answer to it.
func New(in io.Reader, out io.Writer, flush func(), language words.Language) *Operator {
	return &Operator{say: language, in: in, out: out, lines: make(chan string), flush: flush}
}

// input reads lines for as long as the program lives; it is begun by the first
// talk. A read cannot be cancelled, so a line that nobody waits for stays in
// the channel.
func (o *Operator) input() <-chan string {
	o.start.Do(func() {
		go func() {
			defer close(o.lines)
			r := bufio.NewReader(o.in)
			for {
				text, err := r.ReadString('\n')
				if text = strings.TrimSpace(text); err == nil || text != "" {
					o.lines <- text
				}
				if err != nil {
					return
				}
			}
		}()
	})
	if o.flush != nil {
		o.flush()
		select {
		case <-o.lines:
		default:
		}
	}
	return o.lines
}

func (o *Operator) print(texts ...string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, text := range texts {
		for _, l := range screen.Wrap(screen.Clean(text), width) {
			fmt.Fprintln(o.out, l)
		}
	}
}

// list prints lines as they are laid out.
func (o *Operator) list(lines []string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, l := range lines {
		fmt.Fprintln(o.out, l)
	}
}

// Tell prints notices.
func (o *Operator) Tell(notices ...ask.Notice) {
	for _, n := range notices {
		o.print(typed.Lines(o.say, n)...)
	}
}

// Ask prints a question and takes the next line that answers it. The end of
// the input is a pause.
func (o *Operator) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	lines, about := typed.Question(o.say, q)
	o.list(typed.List(o.say, q, typed.Look{Columns: width, Rows: rows}))
	o.print(lines...)
	if _, is := q.Takes.(ask.OneOf); is {
		for _, option := range typed.Options(q) {
			o.print("   " + o.say.Say(typed.Word(option.Word)) + ": " + o.say.Say(option.Label))
		}
	}
	in := o.input()
	for {
		select {
		case text, ok := <-in:
			if !ok {
				return ask.Answer{}, fmt.Errorf("%w: the input ended at the question %q", ask.ErrPaused, q.ID)
			}
			if _, is := q.Takes.(ask.Points); is && typed.IsWholeBoard(o.say, text) {
				o.list(typed.List(o.say, q, typed.Look{Columns: width, Whole: true}))
				continue
			}
			answer, err := typed.Answer(o.say, q, text)
			if err == nil {
				answer.Shown = about
				return answer, nil
			}
			o.print("   " + typed.Refusal(o.say, err))
		case <-ctx.Done():
			return ask.Answer{}, ctx.Err()
		}
	}
}

// Watch prints what to do; lines that are the word of a key press it.
func (o *Operator) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	o.print(typed.Watch(o.say, w)...)
	o.print("   " + o.say.Say(typed.TypePrompt) + " " + strings.Join(typed.KeyWords(o.say, w.Keys), ", "))
	watching := &watching{o: o, keys: make(chan ask.Pressed), done: make(chan struct{}), over: make(chan struct{})}
	go watching.run(o.input(), w.Keys)
	return watching, nil
}

type watching struct {
	o          *Operator
	keys       chan ask.Pressed
	done, over chan struct{}
	once       sync.Once
}

func (w *watching) run(in <-chan string, keys []ask.Key) {
	defer close(w.over)
	for {
		select {
		case text, ok := <-in:
			if !ok {
				close(w.keys)
				return
			}
			key := typed.Key(w.o.say, keys, text)
			if key == "" {
				w.o.print("   " + w.o.say.Say(typed.NoKey{Text: screen.Cut(text, 30), Words: typed.KeyWords(w.o.say, keys)}))
				continue
			}
			select {
			case w.keys <- ask.Pressed{Key: key}:
			case <-w.done:
				return
			}
		case <-w.done:
			return
		}
	}
}

func (w *watching) Pressed() <-chan ask.Pressed { return w.keys }
func (w *watching) Status(ask.Phrase)           {}
func (w *watching) Say(n ask.Notice)            { w.o.Tell(n) }
func (w *watching) Close() {
	w.once.Do(func() { close(w.done) })
	<-w.over
}
