// Package ask is how a visit talks with the technician. Two kinds of talk: a
// question, which nothing else can come before, and a watch, during which a
// signal, a key or the clock may come first. The terminal, plain lines and
// scripted answers all speak through it.
package ask

import (
	"context"
	"errors"
)

var (
	// ErrPaused: the technician broke off (Ctrl-C), or the input ended.
	ErrPaused = errors.New("paused")
	// ErrUnanswered: the scripted answers have none for a question.
	ErrUnanswered = errors.New("no answer is given for a question")
)

// Shape is the shape of an answer.
type Shape int

// The shapes of answers. None of them has a default that Enter alone accepts,
// unless the question is Optional.
const (
	Choice Shape = iota // one of Options
	Text                // a line
	YesNo               // the word yes or no, typed
)

// Question asks for one answer. ID names it in scripted answers; it is the
// step's name and what is asked of it.
type Question struct {
	ID       string
	Text     string
	Help     string // a second line
	Shape    Shape
	Options  []Option
	Optional bool               // an empty line is an answer, for Text
	Check    func(string) error // refuses an answer with a reason, for Text
	Back     bool               // an empty line takes the choice before it back
	Danger   bool               // a YesNo that takes the whole word only
	Shown    string             // what a simulated instrument shows
}

// Option is one of several answers. Word is what scripts and plain lines say.
// The first option of a question must do no harm if it is taken by mistake.
type Option struct{ Word, Label string }

// Watch is a wait that keys may end.
type Watch struct {
	ID    string
	Title string   // what to do
	Lines []string // what helps to do it
	Keys  []Key
	// Unattended is the key word that a script presses when its file says
	// nothing; "" for none.
	Unattended string
	Alert      bool // something has to be done now
}

// Key is a single key with a meaning.
type Key struct {
	Rune rune
	Word string
	Help string
}

// Pressed is the word of a key, or one of these.
const (
	Interrupted = "interrupted" // Ctrl-C
	Gone        = "gone"        // the terminal was closed
)

// Watching is a watch in progress. Close it.
type Watching interface {
	// Keys delivers words of keys; it is closed when no more can come.
	Keys() <-chan string
	// Status replaces the line that tells how things stand.
	Status(string)
	// Say prints a line that stays.
	Say(string)
	// Close gives the screen back. It returns when nothing of the watch runs.
	Close()
}

// Operator is the technician, as the visit meets them.
type Operator interface {
	// Ask blocks until answered. Errors: ErrPaused, ErrUnanswered, or the
	// context's.
	Ask(context.Context, Question) (string, error)
	// Tell prints lines.
	Tell(...string)
	// Watch begins a wait.
	Watch(context.Context, Watch) (Watching, error)
}
