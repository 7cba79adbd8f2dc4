package journal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/gofrs/flock"

	"loopwitness/commission/kit/atomicfile"
)

// file is what a Writer needs of an *os.File.
type file interface {
	io.Writer
	io.Closer
	Sync() error
}

// Writer appends to one journal. It is safe for several goroutines, and dead
// after its first failed write or sync. Close it.
type Writer struct {
	mu     sync.Mutex
	f      file
	n      int
	run    int
	head   string
	begun  time.Time
	failed error
	lock   *flock.Flock
}

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
		err = atomicfile.SyncFolder(filepath.Dir(path))
	}
	if err != nil {
		_ = lock.Unlock()
		return nil, fmt.Errorf("begin the journal: %w", err)
	}
	return &Writer{f: f, head: noPrev, run: 1, lock: lock}, nil
}

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
	f, err := os.Open(path)
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
	return errors.Join(err, f.Sync(), f.Close(), atomicfile.SyncFolder(filepath.Dir(path)))
}

// Append writes one entry and returns it once it is durable. at is when the
// event happened, with its monotonic reading; body is anything that encodes as
// JSON. After the first failure every call returns an error that wraps ErrDead.
func (w *Writer) Append(at time.Time, kind string, body any) (Entry, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.failed != nil {
		return Entry{}, fmt.Errorf("%w: %w", ErrDead, w.failed)
	}
	raw, err := canonical(body)
	if err != nil {
		return Entry{}, fmt.Errorf("encode %s: %w", kind, err)
	}
	if w.begun.IsZero() {
		w.begun = at
	}
	e := Entry{N: w.n + 1, At: at.UTC(), Run: w.run, Elapsed: at.Sub(w.begun), Kind: kind, Body: raw}
	text, err := encode(e, w.head)
	if err != nil {
		return Entry{}, fmt.Errorf("encode %s: %w", kind, err)
	}
	if _, err = w.f.Write(append(text, '\n')); err == nil {
		err = w.f.Sync()
	}
	if err != nil {
		w.failed = err
		return Entry{}, fmt.Errorf("write the journal: %w", err)
	}
	w.n, w.head = e.N, hash(text)
	return e, nil
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
	lock := flock.New(name)
	got, err := lock.TryLock()
	if err != nil {
		return nil, fmt.Errorf("lock the visit: %w", err)
	}
	if !got {
		who, _ := os.ReadFile(name)
		if len(who) == 0 {
			who = []byte("an unknown process")
		}
		return nil, fmt.Errorf("%w: %s", ErrHeld, who)
	}
	host, _ := os.Hostname()
	// Only for the message above; where a locked file cannot be written, it is shorter.
	_ = os.WriteFile(name, fmt.Appendf(nil, "process %d on %s since %s", os.Getpid(), host, time.Now().Format(time.DateTime)), 0o644)
	return lock, nil
}
