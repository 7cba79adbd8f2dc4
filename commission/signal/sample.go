package signal

import (
	"fmt"
	"time"
)

// Sample is a voltage of the supply that the controller measured of itself, how well is
// not known.
type Sample struct {
	At   time.Time `json:"-"` // of arrival; in a journal it is the time of the entry
	Volt float64   `json:"volt"`
	Raw  string    `json:"raw,omitempty"` // the payload, shortened
}

// Kind names the entry of a journal.
func (Sample) Kind() string { return "sampled" }

// highestSample is the highest voltage that the supply of an alarm can have; batteries
// of 48 V are charged with less than 60 V.
const highestSample = 100.0

// Check refuses a voltage that no supply has.
func (s Sample) Check() error {
	if !(s.Volt >= 0 && s.Volt <= highestSample) {
		return fmt.Errorf("sampled: %v V", s.Volt)
	}
	return nil
}

// Sampler is a Receiver that takes samples, too, delivered in their order among the
// signals; a Source says in its Listening that it delivers them.
type Sampler interface{ Sample(Sample) }
