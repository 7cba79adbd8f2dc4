package journal

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

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
// after its first failed write or sync, or once the file is no longer what it made of it:
// what is appended then is kept in memory, for Rescue. Close it.
type Writer struct {
	mu      sync.Mutex
	f       File
	place   *place // nil for a file without a name
	n       int
	run     int
	head    string
	begun   time.Time
	all     []byte // every whole line, also those that could not be written
	size    int64  // how long the file is, as far as it is durable
	reserve bool   // see UseReserve
	failed  error
	closed  bool
}

// syncFolder makes the name of a file durable; tests watch it, and let it fail.
var syncFolder = atomicfile.SyncFolder

// Create begins a journal in a new file; the folder is made, for its owner alone. A file
// that exists already is an error (fs.ErrExist).
func Create(path string) (*Writer, error) {
	if err := atomicfile.MakeFolder(filepath.Dir(path), privateFolder); err != nil {
		return nil, fmt.Errorf("make the visit's folder: %w", err)
	}
	lock, err := hold(path)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND|os.O_CREATE|os.O_EXCL, private)
	if err == nil {
		if err = syncFolder(filepath.Dir(path)); err != nil {
			err = errors.Join(err, f.Close(), os.Remove(path)) // so that it can be begun again
		}
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("begin the journal: %w", err), lock.Release())
	}
	w := On(f)
	w.place = &place{path: path, file: f, lock: lock}
	return w, nil
}

// On begins a journal in a file that is open already and empty. It holds nobody
// off and makes no name durable; Create does.
func On(f File) *Writer { return &Writer{f: f, head: noPrev, run: 1} }

// Recovered tells what Open set aside: the bytes of an unfinished last write, how many
// whole lines are among them, and the file they went to. All zero when the journal was whole.
type Recovered struct {
	Bytes int
	Lines int
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
		return nil, Contents{}, Recovered{}, errors.Join(err, lock.Release())
	}
	w.place.lock = lock
	return w, c, rec, nil
}

func open(path string) (*Writer, Contents, Recovered, error) {
	f, err := readfile.OpenFor(path, os.O_RDWR|os.O_APPEND)
	if err != nil {
		return nil, Contents{}, Recovered{}, fmt.Errorf("open the journal: %w", err)
	}
	c, err := readOpen(f)
	var rec Recovered
	if err == nil {
		rec, err = setAside(f, path, c)
	}
	if err != nil {
		return nil, Contents{}, Recovered{}, errors.Join(err, f.Close())
	}
	w := On(f)
	w.place = &place{path: path, file: f}
	w.head, w.n, w.all, w.size = c.Head, len(c.Entries), slices.Clip(c.Whole), int64(len(c.Whole))
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
	return readOpen(f)
}

func readOpen(f *os.File) (Contents, error) {
	info, err := f.Stat()
	if err == nil && info.Size() > MostBytes {
		err = tooLarge(info.Size())
	}
	var c Contents
	if err == nil {
		c, err = Read(f)
	}
	if err != nil {
		return Contents{}, fmt.Errorf("%s: %w", f.Name(), err)
	}
	return c, nil
}

// setAside moves an unfinished last line into a sibling file, durably, before
// it is cut off.
func setAside(f *os.File, path string, c Contents) (Recovered, error) {
	if len(c.Torn) == 0 {
		return Recovered{}, nil
	}
	side, err := writeSynced(fmt.Sprintf("%s.torn-after-%d", path, len(c.Entries)), c.Torn)
	if err != nil {
		return Recovered{}, fmt.Errorf("set the unfinished last line aside: %w", err)
	}
	if err := cut(f, path, int64(len(c.Whole))); err != nil {
		return Recovered{}, fmt.Errorf("cut the unfinished last line off: %w", err)
	}
	return Recovered{Bytes: len(c.Torn), Lines: c.TornLines, File: side}, nil
}

// cut shortens a file that is open for appending, which not every system lets one cut.
func cut(f *os.File, path string, to int64) error {
	again, err := readfile.OpenFor(path, os.O_WRONLY)
	if err != nil {
		return err
	}
	if mine, err := f.Stat(); err != nil || !is(again, mine) {
		return errors.Join(ErrReplaced, err, again.Close())
	}
	return errors.Join(again.Truncate(to), again.Sync(), again.Close())
}

// is tells whether an open file is the one that is known.
func is(f *os.File, known fs.FileInfo) bool {
	info, err := f.Stat()
	return err == nil && os.SameFile(info, known)
}

// writeSynced writes a new file; where there is one of that name, a number is added.
func writeSynced(path string, data []byte) (string, error) {
	name := path
	for n := 2; ; n++ {
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, private)
		if errors.Is(err, fs.ErrExist) && n <= mostNames {
			name = fmt.Sprintf("%s-%d", path, n)
			continue
		}
		if err != nil {
			return name, err
		}
		_, err = f.Write(data)
		return name, errors.Join(err, f.Sync(), f.Close(), syncFolder(filepath.Dir(path)))
	}
}

// Event is what an entry is to tell: when it happened, with its monotonic
// reading, and what. Body is anything that encodes as JSON.
type Event struct {
	At   time.Time
	Kind string
	Body any
	// TimeOfDay is what the entry tells as its time; that of At if zero.
	TimeOfDay time.Time
}

// Append writes one entry and returns it once it is durable. After the first
// failure every call returns an error that wraps ErrDead.
func (w *Writer) Append(at time.Time, kind string, body any) (Entry, error) {
	entries, err := w.AppendAll([]Event{{At: at, Kind: kind, Body: body}})
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
	return w.AppendExamined(events, func(int, Entry) error { return nil })
}

// ErrLeftOut is what examine returns of an entry that is not to be written, while the
// others of its batch are.
var ErrLeftOut = errors.New("it is left out")

// AppendExamined is AppendAll that shows each entry, as it will stand in the journal, and
// the number of its event, before any is written. What examine refuses keeps the whole
// batch out, and so does what there is no room for (ErrFull); the Writer goes on then.
func (w *Writer) AppendExamined(events []Event, examine func(int, Entry) error) ([]Entry, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.closed {
		return nil, fmt.Errorf("%w: %w", ErrDead, os.ErrClosed)
	}
	if len(events) == 0 && w.failed == nil {
		return nil, nil
	}
	entries, lines, err := w.encode(events, examine)
	if err != nil {
		return nil, err
	}
	w.all = append(w.all, lines...)
	if w.failed != nil {
		return nil, fmt.Errorf("%w: %w", ErrDead, w.failed)
	}
	w.failed = errBrokenOff // until it is done
	if w.failed = w.write(lines); w.failed != nil {
		return nil, fmt.Errorf("write the journal: %w", w.failed)
	}
	return entries, nil
}

// errBrokenOff is met after a fault of this program during a write.
var errBrokenOff = errors.New("a write was broken off")

// write writes whole lines. What others did to the file is noticed before the first, so
// that nothing is added to what is not ours, and after each sync.
func (w *Writer) write(lines []byte) error {
	err := w.unchanged()
	for len(lines) > 0 && err == nil {
		n := atOnce(lines)
		if _, err = w.f.Write(lines[:n]); err == nil {
			err = w.f.Sync()
		}
		if err == nil {
			w.size += int64(n)
			err = w.unchanged()
		}
		lines = lines[n:]
	}
	return err
}

// Watch lets the Writer end once one more lock was removed, as it does by its own; nil for
// none.
func (w *Writer) Watch(lock *Lock) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.place != nil {
		w.place.more = lock
	}
}

func (w *Writer) unchanged() error {
	if w.place == nil {
		return nil
	}
	return w.place.unchanged(w.size)
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

// encode makes the entries and lines that come next, and counts them.
func (w *Writer) encode(events []Event, examine func(int, Entry) error) (entries []Entry, lines []byte, err error) {
	head, begun := w.head, w.begun
	for i, event := range events {
		if begun.IsZero() {
			begun = event.At
		}
		body, err := Marshal(event.Body)
		if err != nil {
			return nil, nil, fmt.Errorf("encode %s: %w", event.Kind, err)
		}
		// UTC drops the monotonic reading, so what has passed is counted before.
		passed := event.At.Sub(begun)
		e := Entry{N: w.n + 1 + len(entries), Run: w.run, Elapsed: passed,
			At: cmp.Or(event.TimeOfDay, event.At).UTC(), Kind: event.Kind, Body: body}
		text, err := encode(e, head)
		if err != nil {
			return nil, nil, fmt.Errorf("encode %s: %w", event.Kind, err)
		}
		if err := w.room(len(lines) + len(text) + 1); err != nil {
			return nil, nil, fmt.Errorf("%s: %w", event.Kind, err)
		}
		switch err := examine(i, e); {
		case errors.Is(err, ErrLeftOut):
			continue
		case err != nil:
			return nil, nil, err
		}
		entries, lines, head = append(entries, e), append(append(lines, text...), '\n'), hash(text)
	}
	w.n, w.head, w.begun = w.n+len(entries), head, begun
	return entries, lines, nil
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
	w.closed = true
	err := w.f.Close()
	if w.place != nil {
		err = errors.Join(err, w.place.lock.Release())
	}
	return err
}
