package certificate

import (
	"fmt"

	"loopwitness/commission/record"
)

func (w writer) documentNumber() string { return documentNumber(w.r, w.o.Revision) }

// documentNumber is the number of the visit's certificate with its revision, from 1.
func documentNumber(r *record.Record, revision int) string {
	return fmt.Sprintf("%s rev. %d", r.Opened().Document, max(1, revision))
}
