package terminal

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/muesli/cancelreader"
	"golang.org/x/term"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/screen"
)

// Watch prints what to do and reads single keys until it is closed.
func (o *Operator) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	o.print("\n", "")
	o.print("\n", typed.Watch(o.say, w)...)
	if help := o.keyHelp(w.Keys); help != o.shown || !w.Urgent { // the same keys need not be told twice
		o.print("\n", "   "+help)
		o.shown = help
	}
	if w.Urgent {
		o.write(bell)
	}
	return o.keys(w.Keys)
}

// keys reads single keys until it is closed.
func (o *Operator) keys(keys []ask.Key) (*watching, error) {
	fd := int(o.in.Fd())
	state, err := term.MakeRaw(fd)
	if err != nil {
		return nil, fmt.Errorf("read single keys: %w", err)
	}
	flush(fd) // a key from before the cue must not answer it
	reader, err := cancelreader.NewReader(o.in)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("read single keys: %w", err), term.Restore(fd, state))
	}
	watching := &watching{
		o:      o,
		fd:     fd,
		state:  state,
		reader: reader,
		keys:   make(chan ask.Pressed),
		done:   make(chan struct{}),
		over:   make(chan struct{}),
	}
	go watching.read(keys)
	return watching, nil
}

func (o *Operator) keyHelp(keys []ask.Key) string {
	var parts []string
	for _, k := range keys {
		name := string(typed.Runes[k])
		if name == " " {
			name = o.say.Say(typed.SpaceKey)
		}
		parts = append(parts, unbroken("["+name+"] "+o.say.Say(k)))
	}
	return strings.Join(append(parts, unbroken("[Ctrl-C] "+o.say.Say(typed.PauseMeaning))), " · ")
}

// unbroken keeps a key and its meaning on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }

type watching struct {
	o          *Operator
	fd         int
	state      *term.State
	reader     cancelreader.CancelReader
	keys       chan ask.Pressed
	done, over chan struct{}
	once       sync.Once
	status     string
}

// read turns bytes into keys. One read is one key: an arrow or an
// é comes as several bytes, and means nothing here.
func (w *watching) read(keys []ask.Key) {
	defer close(w.over)
	defer func() {
		if recover() != nil {
			w.press(ask.Gone) // a fault here must not leave the terminal raw
		}
	}()
	buffer := make([]byte, 64)
	for {
		n, err := w.reader.Read(buffer)
		if errors.Is(err, cancelreader.ErrCanceled) {
			return
		}
		if err != nil {
			w.press(ask.Gone)
			return
		}
		if key := meaning(buffer[:n], keys); key != "" && !w.press(key) {
			return
		}
	}
}

// press delivers a key unless the watch is being closed.
func (w *watching) press(key ask.Key) bool {
	select {
	case w.keys <- ask.Pressed{Key: key}:
		return true
	case <-w.done:
		return false
	}
}

// meaning is the key that was read, "" for none.
func meaning(read []byte, keys []ask.Key) ask.Key {
	for _, b := range read {
		if b == ctrlC || b == ctrlD || b == ctrlZ {
			return ask.Interrupted
		}
	}
	r, size := utf8.DecodeRune(read)
	if strings.Trim(string(read), string(r)) != "" || size == 0 {
		return "" // several different keys at once: pasted, or a sequence
	}
	for _, k := range keys {
		if typed.Runes[k] == r || k == ask.Ready && r == '\r' {
			return k
		}
	}
	return ""
}

func (w *watching) Pressed() <-chan ask.Pressed { return w.keys }

// clearLine goes to the beginning of the line and clears it.
const clearLine = "\r\x1b[K"

func (w *watching) Status(p ask.Phrase) {
	text := ""
	if p != nil {
		text = w.o.say.Say(p)
	}
	w.o.mu.Lock()
	defer w.o.mu.Unlock()
	if text = screen.Cut(screen.Clean(text), w.o.columns()-3); text != w.status {
		w.status = text
		if n, is := p.(ask.Notice); is && n.Weight() == ask.Alarm {
			text = bell + text
		}
		_, _ = io.WriteString(w.o.out, clearLine+"   "+text)
	}
}

func (w *watching) Say(n ask.Notice) {
	w.o.mu.Lock()
	_, _ = io.WriteString(w.o.out, clearLine)
	w.status = ""
	w.o.mu.Unlock()
	w.o.notice("\r\n", n)
}

func (w *watching) Close() {
	w.once.Do(func() {
		close(w.done)
		if w.reader.Cancel() { // where a read cannot be cancelled, the next key ends it
			<-w.over
		}
		_ = w.reader.Close()
		flush(w.fd)
		w.o.write(clearLine)
		_ = term.Restore(w.fd, w.state)
	})
}
