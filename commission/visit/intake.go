package visit

import (
	"strings"
	"sync"
	"time"

	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

const (
	// mostWaiting bounds what waits for the disk. It bridges a disk that stands
	// still for thirteen seconds while 5,000 signals come in each of them, far more
	// than any alarm sends; the texts are bounded below, so 100 MiB at the very
	// most, and 10 MiB as signals are.
	mostWaiting = 1 << 16
	// longestAddress and longestRaw bound the texts of a signal, in bytes: whoever
	// may publish at the broker chooses them.
	longestAddress = 512
	longestRaw     = 768
)

// arrival is what came by itself, and when, with its monotonic reading.
type arrival struct {
	at   time.Time
	fact record.Fact
	// unset is how far the time of day was set afterwards, and at the same instant.
	unset time.Duration
}

// intake is where arrivals wait for the disk, in the order in which they came.
// Whoever brings one never waits. When there is no room, the signals that are
// lost are counted where they would have stood.
type intake struct {
	mu      sync.Mutex
	waiting []arrival
	most    int
	filled  chan struct{} // something waits
	keeping keeping
}

func newIntake(most int) *intake { return &intake{most: most, filled: make(chan struct{}, 1)} }

// put lets an arrival wait, unless there is no room.
func (q *intake) put(a arrival) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.waiting) >= q.most {
		return false
	}
	q.append(a)
	return true
}

// putOrCount lets what the controller reported wait, or counts it as lost.
func (q *intake) putOrCount(a arrival) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.waiting) < q.most {
		q.append(a)
		return
	}
	q.keeping.lost = true
	last := &q.waiting[len(q.waiting)-1]
	if o, there := last.fact.(signal.Overrun); there {
		*last = widened(last.at, o, a.at)
		return
	}
	q.append(arrival{at: a.at, fact: signal.Overrun{Lost: 1}})
}

// widened is an overrun with one more signal, which may have been stamped before
// others by another hand.
func widened(from time.Time, o signal.Overrun, at time.Time) arrival {
	to := from.Add(time.Duration(o.LastedNS))
	if at.After(to) {
		to = at
	}
	if at.Before(from) {
		from = at
	}
	return arrival{at: from, fact: signal.Overrun{Lost: o.Lost + 1, LastedNS: to.Sub(from).Nanoseconds()}}
}

func (q *intake) append(a arrival) {
	q.waiting = append(q.waiting, a)
	q.keeping.came++
	select {
	case q.filled <- struct{}{}:
	default:
	}
}

// all hands over everything that waits.
func (q *intake) all() []arrival {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.first(len(q.waiting))
}

// until hands over what was stamped up to an instant, with what stands before it.
func (q *intake) until(at time.Time) []arrival {
	q.mu.Lock()
	defer q.mu.Unlock()
	n := len(q.waiting)
	for n > 0 && q.waiting[n-1].at.After(at) {
		n--
	}
	return q.first(n)
}

func (q *intake) first(n int) []arrival {
	first := q.waiting[:n:n]
	q.waiting = q.waiting[n:]
	q.keeping.taken += uint64(n)
	return first
}

// receiver takes what the source hears, and does not let it wait for the disk.
type receiver struct{ v *Visit }

func (r receiver) Signal(s signal.Signal) {
	defer r.v.recovered("listening")
	s.Address, s.Raw = bounded(s.Address, longestAddress), bounded(s.Raw, longestRaw)
	r.v.intake.putOrCount(arrival{at: s.At, fact: s})
}

// System waits for the disk as a signal does.
func (r receiver) System(s signal.System) {
	defer r.v.recovered("listening")
	s.Raw = bounded(s.Raw, longestRaw)
	r.v.intake.putOrCount(arrival{at: s.At, fact: s})
}

// Connection waits for the disk where there is no room: the loss of a connection
// must not be lost.
func (r receiver) Connection(c signal.Connection) {
	defer r.v.recovered("listening")
	c.Detail = bounded(c.Detail, longestRaw)
	at := r.v.clock.Now()
	if !r.v.intake.put(arrival{at: at, fact: c}) {
		_ = r.v.addAt(at, c) // kept in v.failed
	}
}

// bounded is a text of a machine as one line, what could not be seen made visible, cut
// where it is longer than so many bytes.
func bounded(text string, most int) string {
	text = screen.Clean(text)
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}

// keepWriting lets nothing wait longer than the disk needs, until it is stopped.
func (v *Visit) keepWriting() (stop func()) {
	stopped := make(chan struct{})
	var writing sync.WaitGroup
	writing.Go(func() {
		defer v.recovered("writing signals")
		for {
			select {
			case <-v.intake.filled:
				_ = v.settle() // kept in v.failed
			case <-stopped:
				return
			}
		}
	})
	return func() {
		close(stopped)
		writing.Wait()
	}
}

// settle takes all that waits into the journal and the record.
func (v *Visit) settle() error {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.write(v.intake.all())
}
