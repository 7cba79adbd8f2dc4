package record

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/commission/journal"
)

const kindDiscarded = "discarded"

// Discarded tells that the visit was set aside; nothing follows it.
type Discarded struct {
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"` // a name, as given
	AfterRest
}

// Kind names the entry.
func (Discarded) Kind() string { return kindDiscarded }

// Discard is a visit's having been set aside, and when.
type Discard struct {
	Discarded
	At time.Time
}

// Discarded is by whom and for what reason the visit was set aside, nil if it was not.
func (r *Record) Discarded() *Discard { return copied(r.discard) }

func (r *Record) discarded(e journal.Entry, d Discarded) error {
	switch {
	case strings.TrimSpace(d.Reason) == "":
		return fmt.Errorf("%w: a visit is set aside without a reason", ErrNoSense)
	case r.Done():
		return fmt.Errorf("%w: a visit that is complete is set aside", ErrNoSense)
	}
	r.endTrial(ByPause, e.Elapsed)
	r.discard = &Discard{d, e.At}
	return nil
}

// betweenRuns are the kinds of entries that are added while the visit rests, in a run of
// their own, which is no attendance.
var betweenRuns = map[string]bool{kindPhotograph: true, kindDiscarded: true, kindCorrected: true,
	kindTakenBack: true}
