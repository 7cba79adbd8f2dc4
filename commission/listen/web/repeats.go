package web

import (
	"crypto/sha256"
	"time"
)

const (
	mostIDs    = 8192 // that are remembered
	mostStates = 4096
	// unsure is how long a call is remembered that was not answered with success: its sender is to
	// call again, and what it says then is no news, wherever it was kept after all.
	unsure = 60 * time.Second
)

// repeats tells calls that say again what was said. It is for one goroutine at a time.
type repeats struct {
	within time.Duration
	ids    map[[sha256.Size]byte]bool
	order  [][sha256.Size]byte // the oldest first, from next
	next   int
	last   map[string]saying
}

// said is what was said of one thing.
type said struct{ of, text string }

// saying is what was said last of one thing, and until when the same is a repetition.
type saying struct {
	text  string
	until time.Time
}

func newRepeats(within time.Duration) *repeats {
	return &repeats{within: within, ids: map[[sha256.Size]byte]bool{}, last: map[string]saying{}}
}

// id tells whether a call with an id was here, and remembers it.
func (r *repeats) id(id string) (again bool) {
	key := sha256.Sum256([]byte(id))
	if r.ids[key] {
		return true
	}
	if len(r.order) < mostIDs {
		r.order = append(r.order, key)
	} else {
		delete(r.ids, r.order[r.next])
		r.order[r.next] = key
		r.next = (r.next + 1) % mostIDs
	}
	r.ids[key] = true
	return false
}

// forget forgets an id: what came with it was not taken.
func (r *repeats) forget(id string) { delete(r.ids, sha256.Sum256([]byte(id))) }

// alike tells whether the last that was said of a thing is the same, a short time ago, and remembers
// it from now on: whoever repeats for long has said one thing.
func (r *repeats) alike(of, text string, at time.Time) bool {
	was, known := r.last[of]
	again := known && was.text == text && !at.After(was.until)
	if !known && len(r.last) >= mostStates {
		clear(r.last)
	}
	until := at.Add(r.within)
	if r.within <= 0 {
		until = time.Time{}
	}
	r.last[of] = saying{text, until}
	return again
}

// expect lets what was said last count as a repetition until an instant.
func (r *repeats) expect(all []said, until time.Time) {
	for _, s := range all {
		if was, known := r.last[s.of]; known && was.text == s.text {
			r.last[s.of] = saying{s.text, until}
		}
	}
}
