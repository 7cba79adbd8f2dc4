package certificate

import (
	"fmt"

	"loopwitness/commission/record"
)

func (w writer) documentNumber() string {
	number := documentNumber(w.r, w.o.Revision)
	if w.o.Summary {
		number += " summary" // as its file is named, in every language
	}
	return number
}

// documentNumber is the number of the visit's certificate with its revision, from 1.
func documentNumber(r *record.Record, revision int) string {
	return fmt.Sprintf("%s rev. %d", r.Opened().Number, max(1, revision))
}
