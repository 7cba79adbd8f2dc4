package visit

import (
	"errors"
	"fmt"
	"slices"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// mostAtOnce is how many entries share one sync at most: enough for 20,000 a
// second on a disk that needs 50 ms for it.
const mostAtOnce = 1000

// write takes what happened into the record and appends it to the journal, for who holds
// the lock. Nobody else sees the record before all is durable. Once the journal has
// failed, it goes on in memory, for the copy that is made of it.
func (v *Visit) write(all []arrival) error {
	dropped := v.full && slices.ContainsFunc(all, func(a arrival) bool { return fromOutside(a.fact) })
	err := v.writeAll(all)
	if err == nil && dropped {
		v.intake.wrote(journal.ErrFull) // who waits for it is not told that it was kept
	} else {
		v.intake.wrote(err)
	}
	return err
}

func (v *Visit) writeAll(all []arrival) error {
	if all = v.sift(v.withMoves(all)); len(all) == 0 {
		return v.failed
	}
	defer v.notify()
	for some := range slices.Chunk(all, mostAtOnce) {
		if err := v.writeAtOnce(some); err != nil {
			return err
		}
	}
	return v.tellRefused()
}

func (v *Visit) writeAtOnce(some []arrival) error {
	if v.failed != nil && v.journal.Failed() == nil {
		return v.failed // a fault: the record may not be whole
	}
	events := make([]journal.Event, len(some))
	for i, a := range some {
		events[i] = journal.Event{At: a.at, TimeOfDay: v.timeOfDay(a), Kind: a.fact.Kind(), Body: a.fact}
	}
	var taken []arrival
	_, err := v.journal.AppendExamined(events, func(i int, e journal.Entry) error {
		err := v.examine(some[i], e)
		if err == nil {
			taken = append(taken, some[i])
		}
		return err
	})
	switch {
	case err == nil:
		for _, a := range taken {
			v.tell(a.at, a.fact)
		}
	case v.journal.Failed() == nil:
		return v.notWritten(err)
	case v.failed == nil:
		v.failed = err
	}
	return v.failed
}

// examine takes an entry into the record before it is written. What came from outside and
// the record refuses, without having been changed by it, is left out and counted.
func (v *Visit) examine(a arrival, e journal.Entry) error {
	err := v.record.Take(e)
	if err == nil || !fromOutside(a.fact) {
		return err
	}
	if _, is := a.fact.(signal.Sample); is {
		return journal.ErrLeftOut // the next comes soon
	}
	if v.refused == nil {
		v.refused = &arrival{at: a.at, fact: signal.Overrun{Lost: 1}}
	} else {
		*v.refused = widened(v.refused.at, v.refused.fact.(signal.Overrun), a.at)
	}
	return journal.ErrLeftOut
}

func fromOutside(f record.Fact) bool {
	switch f.(type) {
	case signal.Signal, signal.Connection, signal.Sample, signal.System:
		return true
	}
	return false
}

// tellRefused writes how much was left out: it counts as lost.
func (v *Visit) tellRefused() error {
	if v.refused == nil {
		return v.failed
	}
	lost := *v.refused
	v.refused = nil
	return v.writeAtOnce([]arrival{lost})
}

// notWritten ends the visit over entries that the record refuses, or that there is no room
// for. None of them was written, and the record is again what the journal says.
func (v *Visit) notWritten(why error) error {
	if errors.Is(why, journal.ErrFull) {
		v.full = true
		v.journal.UseReserve()
	} else {
		why = fmt.Errorf("what nobody could read back is not written, and what was written before stays: %w", why)
	}
	why = errors.Join(why, v.refold(v.journal.Memory()))
	if v.ending == nil {
		v.ending = why
	}
	return why
}
