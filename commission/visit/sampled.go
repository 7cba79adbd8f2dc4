package visit

import (
	"context"
	"math"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// Samples are written seldom, so that the journal stays small: often enough for a
// reading that is due, and sooner when the voltage changes.
const (
	sampleEach   = 5 * time.Second
	sampleSooner = 500 * time.Millisecond
	sampleChange = 0.05 // V
)

// sampling is what was last written of the supply's voltage.
type sampling struct {
	mu   sync.Mutex
	last signal.Sample
}

// worth tells whether a sample is to be written, and remembers it then.
func (s *sampling) worth(now signal.Sample) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	since := now.At.Sub(s.last.At)
	changed := math.Abs(now.Volt-s.last.Volt) >= sampleChange && since >= sampleSooner
	if !s.last.At.IsZero() && since < sampleEach && !changed {
		return false
	}
	s.last = now
	return true
}

// Sample waits for the disk as signals do. One for which there is no room is gone: the
// next comes soon.
func (r receiver) Sample(s signal.Sample) {
	defer r.v.recovered("listening")
	s.Raw = bounded(s.Raw, longestRaw)
	if r.v.sampling.worth(s) {
		r.v.intake.put(arrival{at: s.At, fact: s})
	}
}

// sampled offers what the controller measured of itself when a reading was due. Where
// that was some time ago, nobody stood there: it is taken, and told. A reading that is
// taken again is taken by hand.
func (v *Visit) sampled(ctx context.Context, s *record.Outcome) (taken bool, err error) {
	var sample record.Sample
	var found, away bool
	if err := v.look(func(r *record.Record) {
		if len(s.Readings()) == 0 {
			sample, found = r.SampleFor(s.Step())
		}
		away = found && r.SinceOff(v.journal.Elapsed(v.clock.Now()))-s.Step().After() > record.SampleNear
	}); err != nil || !found {
		return false, err
	}
	if !away {
		answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID + "/sampled", What: ask.SupplyVoltage{Step: v.name(s)}},
			ask.Option{Word: "as sampled", Label: ask.AsSampledChoice{Volt: sample.AsTyped()}},
			ask.Option{Word: "measured", Label: ask.MeasuredChoice})
		if err != nil || answer.Text == "measured" {
			return false, err
		}
	}
	if err := v.add(sample.Reading(s.Step().ID)); err != nil {
		return false, err
	}
	if away {
		v.operator.Tell(ask.TakenAsSampled{Step: v.name(s), Volt: sample.AsTyped(), After: sample.SinceOff})
	}
	return true, nil
}
