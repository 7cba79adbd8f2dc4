package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

const kindUndertaken = "undertaken"

// Undertaken tells what is to be done about a finding, by what day and by whom. Said is the
// finding's codes and arguments. What was left out is "".
type Undertaken struct {
	Said   json.RawMessage `json:"said"`
	Action Action          `json:"action,omitempty"`
	By     string          `json:"by,omitempty"` // a day, year-month-day
	Who    string          `json:"who,omitempty"`
}

// Action is what is to be done: as typed, or PutRight.
type Action string

// PutRight is what is offered: to put it right and test it again.
const PutRight Action = "put-right"

// Code names the action that is offered.
func (a Action) Code() string { return "action/" + string(a) }

// Kind names the entry.
func (Undertaken) Kind() string { return kindUndertaken }

// Undertaking is what was undertaken about a finding, and when.
type Undertaking struct {
	Undertaken
	At time.Time

	entry int
}

// Undertakings are what was undertaken, the last for each finding, in the order of their
// entries. One whose finding has changed since stands for nothing: compare Said.
func (r *Record) Undertakings() []Undertaking {
	all := slices.Clone(r.undertakings)
	for i := range all {
		all[i].Said = slices.Clone(all[i].Said)
	}
	return all
}

func (r *Record) undertaken(e journal.Entry, u Undertaken) error {
	switch {
	case r.index[programme.IDTechnician] == nil:
		return refuse(LawUndertaking, errors.New("nobody signs who could undertake anything"))
	case !bytes.HasPrefix(u.Said, []byte("{")):
		return refuse(LawUndertaking, errors.New("something is undertaken about no finding"))
	case u.Action == "" && u.By == "" && u.Who == "":
		return refuse(LawUndertaking, errors.New("nothing is undertaken"))
	case u.By != "" && !isDay(u.By):
		return refuse(LawUndertaking, fmt.Errorf("%q is no day", u.By))
	}
	r.lapse() // who has signed has not seen it
	r.undertakings = append(slices.DeleteFunc(r.undertakings,
		func(was Undertaking) bool { return bytes.Equal(was.Said, u.Said) }), Undertaking{u, e.At, e.N})
	return nil
}

func isDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}
