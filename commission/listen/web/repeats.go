package web

import (
	"crypto/sha256"
	"time"
)

const (
	mostIDs    = 8192 // that are remembered
	mostStates = 4096
	// unsure is how long a call is remembered that was not answered with success: its sender is to
	// call again, and what it says then is no news, whether it was kept after all or lost.
	unsure = 60 * time.Second
)

type digest = [sha256.Size]byte

// repeats tells calls that say again what was said. It is for one goroutine at a time.
type repeats struct {
	within time.Duration
	ids    map[digest]bool // true where it was answered with success
	order  []digest        // the oldest first, from next
	next   int
	last   map[digest]saying
	unkept map[digest]time.Time // until when a call is expected again, by call.without
}

// said is what was said of one thing.
type said struct{ of, text digest }

// saying is what was said last of one thing, and until when the same is a repetition.
type saying struct {
	text  digest
	until time.Time
}

func newRepeats(within time.Duration) *repeats {
	return &repeats{within: within, ids: map[digest]bool{}, last: map[digest]saying{}, unkept: map[digest]time.Time{}}
}

// delivery names a call that has an id. Senders count for each of their devices, or from one again after
// they were off: the same id of another path, or with other words, is another call.
func delivery(id, path string, body []byte) digest {
	content := sha256.Sum256(body)
	return sha256.Sum256([]byte(id + "\x00" + path + "\x00" + string(content[:])))
}

// here tells whether a delivery was here, and whether it was kept, and remembers it.
func (r *repeats) here(d digest) (again, kept bool) {
	if kept, again = r.ids[d]; again {
		return true, kept
	}
	if len(r.order) < mostIDs {
		r.order = append(r.order, d)
	} else {
		delete(r.ids, r.order[r.next])
		r.order[r.next] = d
		r.next = (r.next + 1) % mostIDs
	}
	r.ids[d] = false
	return false, false
}

// kept remembers that a delivery was answered with success.
func (r *repeats) kept(d digest) {
	if _, here := r.ids[d]; here {
		r.ids[d] = true
	}
}

// alike tells whether the last that was said of a thing is the same, a short time ago, and remembers
// it from now on: whoever repeats for long has said one thing. While it is not answered, what its sender
// sends again is the same, too.
func (r *repeats) alike(s said, at time.Time) bool {
	was, known := r.last[s.of]
	again := known && was.text == s.text && !at.After(was.until)
	if !known && len(r.last) >= mostStates {
		clear(r.last)
	}
	until := at.Add(r.within + keptWithin)
	if r.within <= 0 {
		until = time.Time{}
	}
	r.last[s.of] = saying{s.text, until}
	return again
}

// answered begins the time in which the same is a repetition anew, from an answer of success.
func (r *repeats) answered(all []said, at time.Time) {
	if r.within > 0 {
		r.expect(all, at.Add(r.within))
	}
}

// expect lets what was said last count as a repetition until an instant.
func (r *repeats) expect(all []said, until time.Time) {
	for _, s := range all {
		if was, known := r.last[s.of]; known && was.text == s.text {
			r.last[s.of] = saying{s.text, until}
		}
	}
}

// missed remembers that a call was not answered with success, until an instant.
func (r *repeats) missed(d digest, until time.Time) {
	if len(r.unkept) >= mostStates {
		clear(r.unkept)
	}
	r.unkept[d] = until
}

// wasMissed tells whether such a call was not answered with success before.
func (r *repeats) wasMissed(d digest, at time.Time) bool {
	until, was := r.unkept[d]
	return was && !at.After(until)
}
