package terminal

import (
	"os"

	"golang.org/x/term"
)

// Keep remembers how a terminal is set, and gives what sets it so again.
func Keep(in *os.File) (restore func()) {
	fd := int(in.Fd())
	state, err := term.GetState(fd)
	if err != nil {
		return func() {}
	}
	return func() { _ = term.Restore(fd, state) }
}
