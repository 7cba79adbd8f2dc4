package journal

import (
	"bytes"
	"time"
)

const (
	sector = 512 // the smallest piece that a disk writes whole
	// longestTorn bounds what stands behind a line with a gap: more than that is
	// not of the same write, and the gap is damage.
	longestTorn = 256 << 10
	// longestWait bounds the time that the entries of one write span: they waited for the
	// sync before it. A common disk answers within a second; one that stands still is
	// given up by the system after 30 s (from memory: the common limit of a command to
	// one), and may be tried again once.
	longestWait = time.Minute
)

// waits are the kinds of entries that wait for a sync together: what comes by itself.
// Any other is the last of its write, as a visit acknowledges it before it goes on.
var waits = map[string]bool{"signal": true, "connection": true, "sampled": true, "system": true, "overrun": true,
	"absent": true, "clock-stepped": true}

// tornFrom tells whether what stands from an offset of the file to its end, beginning with
// a line that cannot be read, was left so by one torn write; and how many whole lines are
// in it.
func (c *Contents) tornFrom(all []byte, offset int) (lines int, torn bool) {
	text, rest, _ := bytes.Cut(all, []byte("\n"))
	switch {
	case !missing(text, rest, offset):
		return 0, false
	case len(rest) == 0:
		return 0, true
	case len(rest) > longestTorn || len(c.Entries) == 0: // the first entry is alone in its write
		return 0, false
	}
	b := behind{n: len(c.Entries) + 1, run: c.Entries[len(c.Entries)-1].Run}
	for at := offset + len(text) + 1; len(rest) > 0; at += len(text) + 1 {
		var whole bool
		if b.over {
			return 0, false
		}
		text, rest, whole = bytes.Cut(rest, []byte("\n"))
		switch {
		case !whole || missing(text, rest, at):
			b.n, b.head = b.n+1, ""
		case !b.take(text):
			return 0, false
		}
	}
	return b.lines, true
}

// behind is what stands behind a gap, as far as it was read.
type behind struct {
	n           int    // the last line is at least that one
	head        string // of the last line; "" where that is not known
	run         int
	lines       int
	first, last time.Duration // the span of their times
	over        bool          // nothing more is of this write
}

// take reads the next line, and tells whether it can be of the same write as those before.
func (b *behind) take(text []byte) bool {
	e, prev, err := decode(text)
	switch {
	case err != nil:
		return false
	case b.head != "" && (prev != b.head || e.N != b.n+1):
		return false
	case e.N <= b.n || e.Run < b.run || b.lines > 0 && e.Run != b.run:
		return false
	}
	if b.lines == 0 {
		b.first, b.last = e.Elapsed, e.Elapsed
	}
	b.first, b.last = min(b.first, e.Elapsed), max(b.last, e.Elapsed)
	b.n, b.head, b.run, b.over = e.N, hash(text), e.Run, !waits[e.Kind]
	b.lines++
	return b.last-b.first <= longestWait
}

// missing tells whether a line that cannot be read, at an offset of the file, lost a
// sector. The last line did where it has a NUL anywhere, which no entry holds: not every
// disk writes in sectors of that size.
func missing(text, rest []byte, offset int) bool {
	return len(rest) == 0 && bytes.IndexByte(text, 0) >= 0 || gap(text, offset)
}

// gap tells whether a sector of the line that begins at an offset of the file
// was never written: NULs from the line's start or a sector's start to a
// sector's end.
func gap(text []byte, offset int) bool {
	for i := 0; i < len(text); i++ {
		if text[i] != 0 || i > 0 && (offset+i)%sector != 0 {
			continue
		}
		end := i + sector - (offset+i)%sector
		if end <= len(text) && len(bytes.Trim(text[i:end], "\x00")) == 0 {
			return true
		}
	}
	return false
}
