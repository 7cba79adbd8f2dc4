package record

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/journal"
)

const kindTakenBack = "photograph-taken-back"

// TakenBack tells that a photograph does not belong to the visit after all, or must not.
type TakenBack struct {
	Name   string `json:"name"` // of its file
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"` // a name, as given
	AfterRest
}

// Kind names the entry.
func (TakenBack) Kind() string { return kindTakenBack }

// Withdrawal is a photograph's having been taken back, and when.
type Withdrawal struct {
	TakenBack
	Shows Motif // what the photograph was about
	Entry int   // that had added it
	At    time.Time
}

// Withdrawals are the photographs that were taken back, in the order in which that was done.
func (r *Record) Withdrawals() []Withdrawal { return slices.Clone(r.withdrawals) }

// MayTakeBack tells why a photograph cannot be taken back, nil if it can.
func (r *Record) MayTakeBack(t TakenBack) error {
	_, err := r.takesBack(t)
	return err
}

// takesBack is the place of the photograph that is taken back.
func (r *Record) takesBack(t TakenBack) (int, error) {
	i := slices.IndexFunc(r.photographs, func(p Photograph) bool { return p.Name == t.Name })
	switch {
	case i < 0:
		return i, fmt.Errorf("the visit has no photograph %q", t.Name)
	case strings.TrimSpace(t.Reason) == "":
		return i, fmt.Errorf("%s is taken back without a reason", t.Name)
	case CheckCaption(t.Reason) != nil, CheckCaption(t.By) != nil:
		return i, fmt.Errorf("a reason and a name are one line each, of at most %d characters", longestCaption)
	}
	return i, nil
}

func (r *Record) takenBack(e journal.Entry, t TakenBack) error {
	i, err := r.takesBack(t)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNoSense, err)
	}
	p := r.photographs[i]
	r.photographs = slices.Delete(r.photographs, i, i+1)
	r.withdrawals = append(r.withdrawals, Withdrawal{t, p.Shows, p.Entry, e.At})
	return nil
}
