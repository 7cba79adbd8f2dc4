package record

import (
	"fmt"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// Sample is a voltage of the supply that the controller measured of itself, and how
// things stood.
type Sample struct {
	At       time.Time
	Volt     float64
	OffAt    time.Time     // when mains was removed; zero while it was present
	SinceOff time.Duration // that was watched, from removing mains to the sample
	// SinceOffAtMost is that time with breaks, sleep and stops of the program.
	SinceOffAtMost time.Duration
}

// AsTyped is the sample as a reading has it.
func (s Sample) AsTyped() string { return fmt.Sprintf("%.2f V", s.Volt) }

// SampleNear is how far from its due time a sample may be to stand for a reading.
const SampleNear = 10 * time.Second

// Samples are what the controller measured of its supply, in their order.
func (r *Record) Samples() []Sample { return slices.Clone(r.samples) }

func (r *Record) sampled(e journal.Entry, s signal.Sample) error {
	if err := s.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrNoSense, err)
	}
	taken := Sample{At: e.At, Volt: s.Volt}
	if !r.mainsOff.IsZero() {
		taken.OffAt, taken.SinceOff = r.mainsOff, r.SinceOff(e.Elapsed)
		taken.SinceOffAtMost = r.passed(e.Elapsed) - r.mainsOffPassed
	}
	r.samples = append(r.samples, taken)
	return nil
}

// SampleFor is the sample nearest to when a reading without mains is due, while mains
// is removed still; false if there is none near enough, or the reading is no such one.
func (r *Record) SampleFor(s programme.Step) (Sample, bool) {
	return r.nearest(s, func(Sample) bool { return true })
}

func (r *Record) nearest(s programme.Step, fits func(Sample) bool) (best Sample, found bool) {
	if s.Kind != programme.StepReading || !s.OnStandby() || s.Load || s.OfCurrent() || r.mainsOff.IsZero() {
		return Sample{}, false
	}
	far := func(sample Sample) time.Duration { return (sample.SinceOff - s.After()).Abs() }
	for _, sample := range r.samples {
		near := sample.OffAt.Equal(r.mainsOff) && far(sample) <= SampleNear && fits(sample)
		if near && (!found || far(sample) < far(best)) {
			best, found = sample, true
		}
	}
	return best, found
}

// Reading is a sample as the reading of a step.
func (s Sample) Reading(step string) Reading {
	q, _ := checks.Voltage.Parse(s.AsTyped()) // it was checked when it came
	return Reading{Step: step, Quantity: VoltageReading, Value: q.SI, Unit: checks.Voltage.SI, AsTyped: q.Text,
		Sampled: true}
}

// asSampled is the sample that a reading says it is; one that nobody measured is refused.
func (r *Record) asSampled(o *Outcome, f Reading) (Sample, error) {
	sample, found := r.nearest(o.step, func(s Sample) bool { return s.Reading(f.Step) == f })
	if !found {
		return Sample{}, fmt.Errorf("%w: step %q has no such sample", ErrNoSense, f.Step)
	}
	return sample, nil
}
