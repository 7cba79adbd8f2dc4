// Package journal keeps the truth of a visit: an append-only file of entries,
// each durable before it counts.
//
// # Format 1
//
// The file is UTF-8 text, one JSON object a line, each line ended by LF:
//
//		{"format":1,"n":1,"at":"2026-11-24T09:02:11.000000001Z","run":1,"ns":0,"kind":"opened","body":{…},"prev":"000…0"}
//		{"n":2,"at":"2026-11-24T09:02:14.512000000Z","run":1,"ns":3511999999,"kind":"cue","body":{…},"prev":"5e1c…"}
//
//	  - format: in the first line only; a reader checks it before all else.
//	  - n: the line's number, from 1, without gaps.
//	  - at: wall time of the event in UTC, RFC 3339 with nine decimals.
//	  - run: which process wrote it, from 1, rising by one at each resumption.
//	  - ns: nanoseconds on the monotonic clock from the run's first entry to the
//	    event; may be less than the entry's before, when two events were stamped
//	    by different hands. Durations are differences of ns within one run,
//	    never of at.
//	  - kind, body: what happened; package record knows the kinds.
//	  - prev: SHA-256, in hexadecimal, of the line before without its LF; 64
//	    zeros in the first line.
//
// A line is the canonical encoding of its entry: keys in this order, no
// blanks, no HTML escapes. A line that decodes but would be written otherwise
// is damage.
//
// # Crash safety
//
// The lines of one AppendAll are written with one write, or several of at most
// 256 KiB or a line, each fsynced before the next and before it returns;
// creating the file also syncs the folder. A crash can therefore tear
// the last write, and nothing else: it leaves a prefix of its lines, the last of
// them without its LF. Where the disk had not yet written all of its sectors,
// one of them may be missing before later ones: it reads as NULs, which no line
// holds. Open sets such a tail aside in a sibling file and cuts it off; a last line
// with a NUL anywhere is such a tail, a line before it only where a whole sector of it
// is NULs, and what stands behind it can be of the same write (torn.go): signals and what
// else comes by itself, within a minute, of one run, and behind them at most one entry of
// a visit's own, which is always the last of its write; the first entry is alone in its.
// Every other misfit is damage and is refused with its line number. The chain
// does not protect its own last line; a seal over Head does.
//
// # What others do to the file
//
// Before each write and after each sync the Writer sees that its path still leads to the
// file that it opened, that the file is as long as it wrote, and that the lock beside it
// is the one that it holds. Anything else (ErrChanged) ends the writing for good. Compare
// and Reread find what was changed in place. Everything that was appended, also what could
// not be written, stays in memory; Rescue writes it, as a whole journal, to a new file
// elsewhere, and copied back to its path it is gone on with.
//
// The lock is a file of its own, <journal>.lock, locked as the system does (flock), so that
// it dies with its process. On one computer, it keeps two from writing; over a network, as
// far as its file system does.
//
// Only plain files are read. A journal has at most MostBytes, 80 MiB; a Writer refuses
// (ErrFull) what would pass 79 MiB, and keeps the rest for the end of the run.
//
// # Growth
//
// New kinds of entries and new fields of bodies keep format 1; a reader that
// does not know a kind, or a field, refuses the journal by that kind's name. A
// new field is left out where it is empty, so that older journals stay as they
// are. A change to the envelope is a new format.
package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
)

// Format is the newest format that this package reads and the one it writes.
const Format = 1

var (
	// ErrDamaged says that the journal does not hold together.
	ErrDamaged = errors.New("the journal is damaged")
	// ErrNewer says that a later version of the tool wrote it.
	ErrNewer = errors.New("the journal was written by a later version")
	// ErrDead says that an earlier write failed, nothing more is taken.
	ErrDead = errors.New("the journal takes no more entries after a failed write")
	// ErrHeld says that another process writes this journal.
	ErrHeld = errors.New("another process holds this visit")
)

const timeLayout = "2006-01-02T15:04:05.000000000Z"

var noPrev = strings.Repeat("0", sha256.Size*2)

// Entry is one event. Elapsed is monotonic, from the first entry of its Run.
type Entry struct {
	N       int
	At      time.Time
	Run     int
	Elapsed time.Duration
	Kind    string
	Body    json.RawMessage
}

type line struct {
	Format int             `json:"format,omitempty"`
	N      int             `json:"n"`
	At     string          `json:"at"`
	Run    int             `json:"run"`
	NS     int64           `json:"ns"`
	Kind   string          `json:"kind"`
	Body   json.RawMessage `json:"body"`
	Prev   string          `json:"prev"`
}

// encode is the canonical line of an entry, without LF.
func encode(e Entry, prev string) ([]byte, error) {
	l := line{N: e.N, At: e.At.UTC().Format(timeLayout), Run: e.Run, NS: e.Elapsed.Nanoseconds(),
		Kind: e.Kind, Body: e.Body, Prev: prev}
	if e.N == 1 {
		l.Format = Format
	}
	return Marshal(l)
}

// Encode is a journal of entries, numbered from 1 and chained anew, as a file has it. It is for
// tests and for those who try what can be forged: a visit's journal is written by a Writer.
func Encode(entries []Entry) ([]byte, error) {
	var all []byte
	prev := noPrev
	for i, e := range entries {
		e.N = i + 1
		text, err := encode(e, prev)
		if err != nil {
			return nil, err
		}
		all, prev = append(append(all, text...), '\n'), hash(text)
	}
	return all, nil
}

// Marshal is a value as a journal has it: JSON in which no character of HTML is escaped, without a line end.
func Marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

func hash(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// Contents is a journal that was read.
type Contents struct {
	Entries []Entry
	Head    string // SHA-256 of the last whole line; 64 zeros for none
	Whole   []byte // the whole lines, as they stand in the file
	Torn    []byte // what a torn write left behind them, if any
	// TornLines is how many whole lines stand in Torn, behind a sector that was never
	// written. They cannot count: what stood before them is not known.
	TornLines int
}

// Read reads a journal to its end, of at most MostBytes. A torn tail is returned, not an
// error; anything else that does not fit wraps ErrDamaged, ErrNewer or ErrTooLarge.
func Read(r io.Reader) (Contents, error) {
	c := Contents{Head: noPrev}
	file, err := io.ReadAll(io.LimitReader(r, MostBytes+1))
	if err == nil && len(file) > MostBytes {
		err = tooLarge(MostBytes + 1)
	}
	if err != nil {
		return Contents{}, fmt.Errorf("read the journal: %w", err)
	}
	all := file
	for len(all) > 0 {
		text, rest, whole := bytes.Cut(all, []byte("\n"))
		if !whole {
			c.Torn = all
			break
		}
		e, err := c.next(text)
		if err != nil {
			if lines, torn := c.tornFrom(all, len(file)-len(all)); torn {
				c.Torn, c.TornLines = all, lines
				break
			}
			return Contents{}, fmt.Errorf("line %d: %w", len(c.Entries)+1, err)
		}
		c.Entries = append(c.Entries, e)
		c.Head = hash(text)
		all = rest
	}
	c.Whole = file[:len(file)-len(c.Torn)]
	return c, nil
}

// next decodes the line that follows what was read so far.
func (c *Contents) next(text []byte) (Entry, error) {
	var format struct {
		Format int `json:"format"`
	}
	if err := json.Unmarshal(text, &format); err != nil {
		return Entry{}, fmt.Errorf("%w: no entry stands here", ErrDamaged)
	}
	if len(c.Entries) == 0 && format.Format > Format {
		return Entry{}, fmt.Errorf("%w: format %d, this one reads up to %d", ErrNewer, format.Format, Format)
	}
	e, prev, err := decode(text)
	switch {
	case err != nil && !errors.Is(err, errNotOurs):
		return Entry{}, err
	case e.N != len(c.Entries)+1:
		return Entry{}, fmt.Errorf("%w: the entry calls itself number %d", ErrDamaged, e.N)
	case prev != c.Head:
		return Entry{}, fmt.Errorf("%w: the line before was changed, removed or added", ErrDamaged)
	}
	return e, err
}

var errNotOurs = fmt.Errorf("%w: not written by this tool", ErrDamaged)

// decode is the entry of a line, and the hash of the line before. Errors wrap ErrDamaged;
// with errNotOurs, which says that the line is not canonical, stands the entry.
func decode(text []byte) (e Entry, prev string, err error) {
	var l line
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&l); err != nil {
		return Entry{}, "", fmt.Errorf("%w: no entry stands here", ErrDamaged)
	}
	at, err := time.Parse(timeLayout, l.At)
	if err != nil {
		return Entry{}, "", fmt.Errorf("%w: %q is no time", ErrDamaged, l.At)
	}
	e = Entry{N: l.N, At: at, Run: l.Run, Elapsed: time.Duration(l.NS), Kind: l.Kind, Body: l.Body}
	if again, err := encode(e, l.Prev); err != nil || !bytes.Equal(again, text) {
		return e, l.Prev, errNotOurs
	}
	return e, l.Prev, nil
}
