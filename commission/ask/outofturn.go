package ask

import (
	"context"
	"time"

	"loopwitness/commission/record"
)

// What a device of the technician's does out of the order of questions and waits.

// OutOfTurn is what a visit does when it is asked to out of turn. Each may be called from
// any goroutine.
type OutOfTurn struct {
	// Held tells who holds the questions from now on.
	Held func(record.Held)
	// Photograph keeps a photograph, a JPEG or PNG file, and returns its name, or why it is
	// not kept.
	Photograph func(about record.About, caption string, file []byte) (name string, err error)
	// Quiet switches off what sounds, at once.
	Quiet func()
}

// Device is an Operator that may be out of reach while it holds the questions.
type Device interface {
	Operator
	// Serve tells it once what a visit does out of turn.
	Serve(OutOfTurn)
	// Silent is for how long the device that holds the questions has not been heard of; 0
	// where none holds them.
	Silent() time.Duration
	// Keeps tells whether it has touches from out of reach that it has not delivered yet.
	Keeps() bool
	// Hail asks the device to be heard of at once, if it is in reach.
	Hail()
	// Sounding tells it which outputs are on.
	Sounding(outputs []string)
	// Draws tells whether a signature can be drawn on what holds the questions.
	Draws() bool
}

// Pairing is what a phone needs to reach the visit.
type Pairing struct {
	Address     string   // with the token
	Code        []string // the address as lines of half blocks, for a camera
	Fingerprint string   // of the certificate; "" without TLS
	Device      string   // that holds the questions, "" for none yet
}

// The keys of who stands by.
const (
	TakeBack    Key = "take-back" // the questions, to the terminal
	ShowPairing Key = "pairing"   // instead of the board, and the other way round
	ShowAll     Key = "all"       // the whole board, or only what is open
	NextPage    Key = "page"      // of a board that does not fit
)

// StandIn is an Operator that shows how the visit stands while a phone holds the
// questions.
type StandIn interface {
	Operator
	Shower
	// StandBy shows the pairing and the board until the technician takes the questions
	// back (TakeBack), interrupts (Interrupted, Gone), or the context ends (""). Tell may be called
	// meanwhile.
	StandBy(ctx context.Context, p Pairing) Key
}
