// Package lines talks with the technician in plain lines, where input or
// output is no terminal. Answers and keys are words, one a line.
package lines

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
)

const width = 100

// Operator is the technician behind plain lines.
type Operator struct {
	out   io.Writer
	mu    sync.Mutex
	start sync.Once
	in    io.Reader
	lines chan string
	flush func() // drops what was typed ahead; nil for input that no person types
}

// New talks over a reader and a writer. flush, if not nil, is called before
// each question: what a person typed before it is no answer to it.
func New(in io.Reader, out io.Writer, flush func()) *Operator {
	return &Operator{in: in, out: out, lines: make(chan string), flush: flush}
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

func (o *Operator) print(text string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, l := range screen.Wrap(screen.Clean(text), width) {
		fmt.Fprintln(o.out, l)
	}
}

// Tell prints lines.
func (o *Operator) Tell(texts ...string) {
	for _, t := range texts {
		o.print(t)
	}
}

// Ask prints a question and takes the next line that answers it. The end of
// the input is a pause.
func (o *Operator) Ask(ctx context.Context, q ask.Question) (string, error) {
	o.print(q.Text)
	if q.Help != "" {
		o.print("   " + q.Help)
	}
	if q.Shown != "" {
		o.print("   the practice voltmeter shows " + q.Shown)
	}
	for _, option := range q.Options {
		o.print("   " + option.Word + ": " + option.Label)
	}
	in := o.input()
	for {
		select {
		case text, ok := <-in:
			if !ok {
				return "", fmt.Errorf("%w: the input ended at the question %q", ask.ErrPaused, q.ID)
			}
			answer, err := q.Accept(text)
			if err == nil {
				return answer, nil
			}
			o.print("   " + err.Error())
		case <-ctx.Done():
			return "", ctx.Err()
		}
	}
}

// Watch prints what to do; lines that are the word of a key press it.
func (o *Operator) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	o.print(w.Title)
	var words []string
	for _, l := range w.Lines {
		o.print("   " + l)
	}
	for _, k := range w.Keys {
		words = append(words, k.Word)
	}
	o.print("   type: " + strings.Join(words, ", "))
	watching := &watching{o: o, keys: make(chan string), done: make(chan struct{}), over: make(chan struct{})}
	go watching.run(o.input(), words)
	return watching, nil
}

type watching struct {
	o          *Operator
	keys       chan string
	done, over chan struct{}
	once       sync.Once
}

func (w *watching) run(in <-chan string, words []string) {
	defer close(w.over)
	for {
		select {
		case text, ok := <-in:
			if !ok {
				close(w.keys)
				return
			}
			if !slices.Contains(words, text) {
				w.o.print(fmt.Sprintf("   %q is none of: %s", screen.Cut(text, 30), strings.Join(words, ", ")))
				continue
			}
			select {
			case w.keys <- text:
			case <-w.done:
				return
			}
		case <-w.done:
			return
		}
	}
}

func (w *watching) Keys() <-chan string { return w.keys }
func (w *watching) Status(string)       {}
func (w *watching) Say(text string)     { w.o.print(text) }
func (w *watching) Close() {
	w.once.Do(func() { close(w.done) })
	<-w.over
}
