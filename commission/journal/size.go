package journal

import (
	"errors"
	"fmt"
)

const (
	// MostBytes is how long a journal may be that is read: a thousand times as long as that of a common visit, room
	// for a minute of 5,000 signals a second with short JSON bodies, and little enough for any memory.
	MostBytes = 80 << 20
	// kept is what a Writer keeps of it for the end of a run: outputs that go off, a pause.
	kept = 1 << 20
)

var (
	// ErrTooLarge says that what is read is larger than any journal that a visit writes.
	ErrTooLarge = errors.New("it is too large for a journal")
	// ErrFull says that a journal has no room for an entry.
	ErrFull = errors.New("the journal is full")
)

func tooLarge(size int64) error {
	return fmt.Errorf("%w: at least %d bytes, and at most %d are read, far more than a visit writes; something else was "+
		"put there or added: put the journal back from a copy", ErrTooLarge, size, MostBytes)
}

// UseReserve lets the Writer use what is kept for the end of a run.
func (w *Writer) UseReserve() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.reserve = true
}

// room tells why there is none for so many bytes more.
func (w *Writer) room(bytes int) error {
	most := MostBytes
	if !w.reserve {
		most -= kept
	}
	if len(w.all)+bytes <= most {
		return nil
	}
	return fmt.Errorf("%w: it has %d bytes, and no reader takes more than %d; what it holds stays; begin another visit "+
		"for what is left", ErrFull, len(w.all), MostBytes)
}
