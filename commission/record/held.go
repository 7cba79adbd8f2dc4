package record

import (
	"fmt"
	"slices"

	"loopwitness/commission/journal"
)

const kindHeld = "held"

// Held tells by what the technician answers from here on, and as what the device
// describes itself.
type Held struct {
	By     Means  `json:"by"`
	Device string `json:"device,omitempty"`
}

// Kind names the entry.
func (Held) Kind() string { return kindHeld }

// Means is what the technician answers with.
type Means string

// The means.
const (
	AtTerminal Means = "terminal"
	OnPhone    Means = "phone"
)

// Code names it.
func (m Means) Code() string { return "means/" + string(m) }

func (r *Record) held(_ journal.Entry, h Held) error {
	if !slices.Contains([]Means{AtTerminal, OnPhone}, h.By) {
		return fmt.Errorf("%w: the questions are held by %q", ErrUnknownKind, h.By)
	}
	r.means = h
	if h.By == OnPhone && !slices.Contains(r.devices, h.Device) {
		r.devices = append(r.devices, h.Device)
	}
	return nil
}

// Devices are the phones that the technician answered with, as they describe themselves,
// in the order of their first use.
func (r *Record) Devices() []string { return slices.Clone(r.devices) }

// Held is by what the technician answered at the cue: at the terminal where nothing tells.
func (t *Trial) Held() Means {
	if t.held == "" {
		return AtTerminal
	}
	return t.held
}
