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
	// idsFor is how long an id is: a controller that counts from one again after it was off says other things by then.
	idsFor = 10 * time.Minute
)

type digest = [sha256.Size]byte

// repeats tells calls that say again what was said. It is for one goroutine at a time.
type repeats struct {
	within time.Duration
	ids    map[digest]delivered
	order  []digest // the oldest first, from next
	next   int
	last   map[digest]saying
	missed map[digest]time.Time // until when a call that was not answered with success is expected again, by call.says
	taken  map[digest]time.Time // until when one that was is the same
}

// delivered is a call that has an id.
type delivered struct {
	at   time.Time
	kept bool // it was answered with success
}

// said is what was said of one thing: in which state it is, and in which words.
type said struct {
	of, text digest
	state    string
}

// saying is what was said last of one thing, and until when the same is a repetition: since it was answered, and
// since it was not.
type saying struct {
	text          digest
	state         string
	until, unsure time.Time
}

func newRepeats(within time.Duration) *repeats {
	return &repeats{within: within, ids: map[digest]delivered{}, last: map[digest]saying{},
		missed: map[digest]time.Time{}, taken: map[digest]time.Time{}}
}

// delivery names a call that has an id. Senders count for each of their devices, or from one again after
// they were off: the same id of another path, or with other words, is another call.
func delivery(id, path string, body []byte) digest {
	content := sha256.Sum256(body)
	return sha256.Sum256([]byte(id + "\x00" + path + "\x00" + string(content[:])))
}

// here tells whether a delivery was here, and whether it was kept, and remembers it.
func (r *repeats) here(d digest, at time.Time) (again, kept bool) {
	was, again := r.ids[d]
	if again && at.Sub(was.at) <= idsFor {
		return true, was.kept
	}
	switch {
	case again:
	case len(r.order) < mostIDs:
		r.order = append(r.order, d)
	default:
		delete(r.ids, r.order[r.next])
		r.order[r.next] = d
		r.next = (r.next + 1) % mostIDs
	}
	r.ids[d] = delivered{at: at}
	return false, false
}

// kept remembers that a delivery was answered with success.
func (r *repeats) kept(d digest) {
	if was, here := r.ids[d]; here {
		was.kept = true
		r.ids[d] = was
	}
}

// alike tells whether the last that was said of a thing is the same, a short time ago, and remembers
// it from now on: whoever repeats for long has said one thing. While it is not answered, what its sender
// sends again is the same, too.
func (r *repeats) alike(s said, at time.Time) bool {
	was, known := r.last[s.of]
	if !known && len(r.last) >= mostStates {
		clear(r.last)
	}
	now := saying{text: s.text, state: s.state}
	if r.within > 0 {
		now.until = at.Add(r.within + keptWithin)
	}
	again := known && was.text == s.text && (!at.After(was.until) || !at.After(was.unsure))
	if again {
		now.unsure = was.unsure
	}
	r.last[s.of] = now
	return again
}

// overtaken tells whether another state was said of a thing last.
func (r *repeats) overtaken(s said) bool {
	was, known := r.last[s.of]
	return known && was.state != s.state
}

// answered begins the time in which the same is a repetition anew, from an answer of success.
func (r *repeats) answered(all []said, at time.Time) {
	r.change(all, func(was *saying) {
		if r.within > 0 {
			was.until = at.Add(r.within)
		}
	})
}

// unanswered lets the same be a repetition for a while, since there was no answer of success.
func (r *repeats) unanswered(all []said, at time.Time) {
	r.change(all, func(was *saying) { was.unsure = at.Add(unsure) })
}

// change changes what is known of things of which nothing else was said since.
func (r *repeats) change(all []said, how func(*saying)) {
	for _, s := range all {
		if was, known := r.last[s.of]; known && was.text == s.text {
			how(&was)
			r.last[s.of] = was
		}
	}
}

// until remembers a call in a map until an instant.
func until(in map[digest]time.Time, d digest, end time.Time) {
	if len(in) >= mostStates {
		clear(in)
	}
	in[d] = end
}

// stands tells whether a call is remembered still.
func stands(in map[digest]time.Time, d digest, at time.Time) bool {
	end, is := in[d]
	return is && !at.After(end)
}
