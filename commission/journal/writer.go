package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/gofrs/flock"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/readfile"
)

// File is what a Writer needs of an *os.File.
type File interface {
	io.Writer
	io.Closer
	// Sync returns once all that was written is durable.
	Sync() error
}

// Writer appends to one journal. It is safe for several goroutines, and dead
// after its first failed write or sync. Close it.
type Writer struct {
	mu     sync.Mutex
	f      File
	n      int
	run    int
	head   string
	begun  time.Time
	failed error
	lock   *flock.Flock
}

// syncFolder makes the name of a file durable; tests watch it, and let it fail.
var syncFolder = atomicfile.SyncFolder

// Create begins a journal in a new file; the folder is made. A file that
// exists already is an error (fs.ErrExist).
func Create(path string) (*Writer, error) {
	if err := atomicfile.MakeFolder(filepath.Dir(path), 0o755); err != nil {
		return nil, fmt.Errorf("make the visit's folder: %w", err)
	}
	lock, err := hold(path)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND|os.O_CREATE|os.O_EXCL, 0o644)
	if err == nil {
		if err = syncFolder(filepath.Dir(path)); err != nil {
			err = errors.Join(err, f.Close(), os.Remove(path)) // so that it can be begun again
		}
	}
	if err != nil {
		_ = lock.Unlock()
		return nil, fmt.Errorf("begin the journal: %w", err)
	}
	w := On(f)
	w.lock = lock
	return w, nil
}

// On begins a journal in a file that is open already and empty. It holds nobody
// off and makes no name durable; Create does.
func On(f File) *Writer { return &Writer{f: f, head: noPrev, run: 1} }

// Recovered tells what Open set aside: the bytes of an unfinished last line,
// and the file they went to. Both zero when the journal was whole.
type Recovered struct {
	Bytes int
	File  string
}

// Open goes on with a journal: it returns what stands in it and a Writer for
// the next run. Errors wrap ErrHeld, ErrDamaged or ErrNewer.
func Open(path string) (*Writer, Contents, Recovered, error) {
	lock, err := hold(path)
	if err != nil {
		return nil, Contents{}, Recovered{}, err
	}
	w, c, rec, err := open(path)
	if err != nil {
		_ = lock.Unlock()
		return nil, Contents{}, Recovered{}, err
	}
	w.lock = lock
	return w, c, rec, nil
}

func open(path string) (*Writer, Contents, Recovered, error) {
	c, err := ReadFile(path)
	if err != nil {
		return nil, Contents{}, Recovered{}, err
	}
	rec, err := setAside(path, c)
	if err != nil {
		return nil, Contents{}, Recovered{}, err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return nil, Contents{}, Recovered{}, fmt.Errorf("open the journal: %w", err)
	}
	w := &Writer{f: f, head: c.Head, n: len(c.Entries), run: 1}
	if w.n > 0 {
		w.run = c.Entries[w.n-1].Run + 1
	}
	return w, c, rec, nil
}

// ReadFile reads a journal without holding it, for those who only look.
func ReadFile(path string) (Contents, error) {
	f, err := readfile.Open(path)
	if err != nil {
		return Contents{}, err
	}
	defer f.Close()
	c, err := Read(f)
	if err != nil {
		return Contents{}, fmt.Errorf("%s: %w", path, err)
	}
	return c, nil
}

// setAside moves an unfinished last line into a sibling file, durably, before
// it is cut off.
func setAside(path string, c Contents) (Recovered, error) {
	if len(c.Torn) == 0 {
		return Recovered{}, nil
	}
	side := fmt.Sprintf("%s.torn-after-%d", path, len(c.Entries))
	if err := writeSynced(side, c.Torn); err != nil {
		return Recovered{}, fmt.Errorf("set the unfinished last line aside: %w", err)
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return Recovered{}, err
	}
	err = errors.Join(f.Truncate(int64(len(c.Whole))), f.Sync(), f.Close())
	if err != nil {
		return Recovered{}, fmt.Errorf("cut the unfinished last line off: %w", err)
	}
	return Recovered{Bytes: len(c.Torn), File: side}, nil
}

func writeSynced(path string, data []byte) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close(), syncFolder(filepath.Dir(path)))
}

// Event is what an entry is to tell: when it happened, with its monotonic
// reading, and what. Body is anything that encodes as JSON.
type Event struct {
	At   time.Time
	Kind string
	Body any
}

// Append writes one entry and returns it once it is durable. After the first
// failure every call returns an error that wraps ErrDead.
func (w *Writer) Append(at time.Time, kind string, body any) (Entry, error) {
	entries, err := w.AppendAll([]Event{{at, kind, body}})
	if err != nil {
		return Entry{}, err
	}
	return entries[0], nil
}

// AppendAll writes entries in the order of their events, with one write and one
// sync as far as they are no longer than a torn tail may be, and returns them once
// all are durable; no other entry comes between them. After an error none of them
// counts: if it was one of the disk, the Writer is dead, and the next Open finds as
// many as got there.
func (w *Writer) AppendAll(events []Event) ([]Entry, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.failed != nil {
		return nil, fmt.Errorf("%w: %w", ErrDead, w.failed)
	}
	if len(events) == 0 {
		return nil, nil
	}
	if w.begun.IsZero() {
		w.begun = events[0].At
	}
	entries, lines, head, err := w.encode(events)
	if err != nil {
		return nil, err
	}
	for len(lines) > 0 && err == nil {
		n := atOnce(lines)
		if _, err = w.f.Write(lines[:n]); err == nil {
			err = w.f.Sync()
		}
		lines = lines[n:]
	}
	if err != nil {
		w.failed = err
		return nil, fmt.Errorf("write the journal: %w", err)
	}
	w.n, w.head = w.n+len(entries), head
	return entries, nil
}

// atOnce is how many bytes of whole lines are written with one sync: at least a line, and
// no more than Read takes for one torn write.
func atOnce(lines []byte) int {
	if len(lines) <= longestTorn {
		return len(lines)
	}
	if last := bytes.LastIndexByte(lines[:longestTorn], '\n'); last >= 0 {
		return last + 1
	}
	return bytes.IndexByte(lines, '\n') + 1
}

// encode makes the entries and lines that come next, and the hash of the last.
func (w *Writer) encode(events []Event) (entries []Entry, lines []byte, head string, err error) {
	head = w.head
	for i, event := range events {
		body, err := canonical(event.Body)
		if err != nil {
			return nil, nil, "", fmt.Errorf("encode %s: %w", event.Kind, err)
		}
		// UTC drops the monotonic reading, so what has passed is counted before.
		passed := event.At.Sub(w.begun)
		e := Entry{N: w.n + 1 + i, Run: w.run, Elapsed: passed, At: event.At.UTC(), Kind: event.Kind, Body: body}
		text, err := encode(e, head)
		if err != nil {
			return nil, nil, "", fmt.Errorf("encode %s: %w", event.Kind, err)
		}
		entries, lines, head = append(entries, e), append(append(lines, text...), '\n'), hash(text)
	}
	return entries, lines, head, nil
}

// Elapsed is an instant on the clock of entries' Elapsed: counted from the first entry
// of this run, zero before there is one.
func (w *Writer) Elapsed(at time.Time) time.Duration {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.begun.IsZero() {
		return 0
	}
	return at.Sub(w.begun)
}

// Close ends the writing and lets the visit go.
func (w *Writer) Close() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.failed == nil {
		w.failed = os.ErrClosed
	}
	err := w.f.Close()
	if w.lock != nil {
		err = errors.Join(err, w.lock.Unlock())
	}
	return err
}

// hold takes the lock beside the journal; the lock dies with the process.
func hold(path string) (*flock.Flock, error) {
	name := path + ".lock"
	if err := readfile.Ordinary(name); err != nil {
		return nil, fmt.Errorf("lock the visit: %w", err)
	}
	lock := flock.New(name)
	got, err := lock.TryLock()
	if err != nil {
		return nil, fmt.Errorf("lock the visit: %w", err)
	}
	if !got {
		return nil, heldBy(name)
	}
	// Only for the message above; where a locked file cannot be written, it is shorter.
	host, _ := os.Hostname()
	who := fmt.Appendf(nil, "process %d on %s since %s", os.Getpid(), host, time.Now().Format(time.DateTime))
	_ = os.WriteFile(name, who, 0o644)
	return lock, nil
}
