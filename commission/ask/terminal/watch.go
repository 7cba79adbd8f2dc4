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
	"loopwitness/commission/kit/screen"
)

// Watch prints what to do and reads single keys until it is closed.
func (o *Operator) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	bell := ""
	if w.Alert {
		bell = "\a"
	}
	o.Tell("", w.Title)
	for _, l := range w.Lines {
		o.Tell("   " + l)
	}
	if help := keyHelp(w.Keys); help != o.shown || !w.Alert { // the same keys need not be told twice
		o.Tell("   " + help)
		o.shown = help
	}
	_, _ = io.WriteString(o.out, bell)

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
	watching := &watching{o: o, fd: fd, state: state, reader: reader, keys: make(chan string), done: make(chan struct{}), over: make(chan struct{})}
	go watching.read(w.Keys)
	return watching, nil
}

func keyHelp(keys []ask.Key) string {
	var parts []string
	for _, k := range keys {
		name := string(k.Rune)
		if k.Rune == ' ' {
			name = "space"
		}
		parts = append(parts, unbroken("["+name+"] "+k.Help))
	}
	return strings.Join(append(parts, unbroken("[Ctrl-C] pause")), " · ")
}

// unbroken keeps a key and its meaning on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }

type watching struct {
	o          *Operator
	fd         int
	state      *term.State
	reader     cancelreader.CancelReader
	keys       chan string
	done, over chan struct{}
	once       sync.Once
	status     string
}

// read turns bytes into the words of keys. One read is one key: an arrow or an
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
		if word := meaning(buffer[:n], keys); word != "" && !w.press(word) {
			return
		}
	}
}

// press delivers a word unless the watch is being closed.
func (w *watching) press(word string) bool {
	select {
	case w.keys <- word:
		return true
	case <-w.done:
		return false
	}
}

// meaning is the word of the key that was read, "" for none.
func meaning(read []byte, keys []ask.Key) string {
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
		if k.Rune == r || k.Rune == ' ' && r == '\r' {
			return k.Word
		}
	}
	return ""
}

func (w *watching) Keys() <-chan string { return w.keys }

// clearLine goes to the beginning of the line and clears it.
const clearLine = "\r\x1b[K"

func (w *watching) Status(text string) {
	w.o.mu.Lock()
	defer w.o.mu.Unlock()
	if text = screen.Cut(screen.Clean(text), w.o.columns()-3); text != w.status {
		w.status = text
		_, _ = io.WriteString(w.o.out, clearLine+"   "+text)
	}
}

func (w *watching) Say(text string) {
	w.o.mu.Lock()
	_, _ = io.WriteString(w.o.out, clearLine)
	w.status = ""
	w.o.mu.Unlock()
	w.o.print("\r\n", text)
}

func (w *watching) Close() {
	w.once.Do(func() {
		close(w.done)
		if w.reader.Cancel() { // where a read cannot be cancelled, the next key ends it
			<-w.over
		}
		_ = w.reader.Close()
		flush(w.fd)
		_, _ = io.WriteString(w.o.out, clearLine)
		_ = term.Restore(w.fd, w.state)
	})
}
