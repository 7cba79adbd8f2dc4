// Package ask is how a visit talks with the technician: values only, no sentence and
// no key. Two kinds of talk: a question, which nothing else can come before, and a
// watch, during which a signal, a key or the clock may come first. The terminal, plain
// lines and scripted answers all speak through it, each in its own way.
package ask

import (
	"context"
	"errors"
)

var (
	// ErrPaused says that the technician broke off, or the input ended.
	ErrPaused = errors.New("paused")
	// ErrUnanswered says that the scripted answers have none for a question.
	ErrUnanswered = errors.New("no answer is given for a question")
)

// Operator is the technician, as the visit meets them.
type Operator interface {
	// Ask blocks until answered. Errors: ErrPaused, ErrUnanswered, or the
	// context's.
	Ask(context.Context, Question) (Answer, error)
	// Tell lets the technician know.
	Tell(...Notice)
	// Watch begins a wait.
	Watch(context.Context, Watch) (Watching, error)
}

// Phrase is something that can be said: a code, with the arguments that its type
// holds.
type Phrase = interface{ Code() string }

// Verbatim is a text that is the same in every language: what somebody typed, or what
// a command asks.
type Verbatim string

// Code names it.
func (Verbatim) Code() string { return "verbatim" }
