package visit

import (
	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// StartOn begins a visit in a journal that is open already and empty, as journal.On makes
// one of anything that can be written to. Close the Visit.
func StartOn(c Config, w *journal.Writer, opened record.Opened) (*Visit, error) {
	return begin(c, w, opened)
}
