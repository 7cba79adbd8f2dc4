package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/readfile"
)

// Failed is why nothing more is written, nil while it is.
func (w *Writer) Failed() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.closed {
		return nil
	}
	return w.failed
}

// Path is the name of the journal, "" for one that has none.
func (w *Writer) Path() string {
	if w.place == nil {
		return ""
	}
	return w.place.path
}

// Memory are the entries as memory holds them, also those that could not be written.
func (w *Writer) Memory() (Contents, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return Read(bytes.NewReader(w.all))
}

// Durable are the entries that the disk has acknowledged.
func (w *Writer) Durable() (Contents, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return Read(bytes.NewReader(w.all[:w.size]))
}

// Compare reads the file and holds every byte of it against what was written. The
// operating system may answer from its memory instead of the disk. What differs is an
// error that wraps ErrChanged; the Writer is dead then. A journal without a name is as it
// was written.
func (w *Writer) Compare() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.compare()
}

func (w *Writer) compare() error {
	if w.failed != nil {
		return fmt.Errorf("%w: %w", ErrDead, w.failed)
	}
	if w.place == nil {
		return nil
	}
	err := w.place.unchanged(w.size)
	if err == nil {
		err = sameAs(w.place.path, w.all)
	}
	w.failed = err
	return err
}

// sameAs tells how a file differs from what was written into it.
func sameAs(path string, all []byte) error {
	f, err := readfile.Open(path)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrChanged, err)
	}
	defer f.Close()
	piece := make([]byte, longestTorn)
	for at := 0; at < len(all); {
		n, err := io.ReadFull(f, piece[:min(len(piece), len(all)-at)])
		if err != nil {
			return fmt.Errorf("%w: from byte %d it cannot be read: %w", ErrChanged, at+n, err)
		}
		if !bytes.Equal(piece[:n], all[at:at+n]) {
			return fmt.Errorf("%w, between bytes %d and %d", ErrRewritten, at, at+n)
		}
		at += n
	}
	return nil
}

// Reread is Compare that also reads the journal as anybody else would, and returns what
// stands in it: as many entries as were written, with the same Head.
func (w *Writer) Reread() (Contents, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err := w.compare(); err != nil {
		return Contents{}, err
	}
	c, err := w.contents()
	if err == nil && (len(c.Entries) != w.n || c.Head != w.head || len(c.Torn) > 0) {
		err = fmt.Errorf("%w: %d entries instead of %d", ErrRewritten, len(c.Entries), w.n)
	}
	if err != nil {
		w.failed = err
		return Contents{}, err
	}
	return c, nil
}

func (w *Writer) contents() (Contents, error) {
	if w.place == nil {
		return Read(bytes.NewReader(w.all))
	}
	return ReadFile(w.place.path)
}

// Rescue writes everything that memory holds, also what could not be written, into a new
// file: beside the journal, in the folder to which that was moved, as far as it is known, or
// in the first of other folders that takes it. It returns the
// name of the file, which is durable, and how many entries stand in it. Nothing that is
// there is touched. To go on with the visit, the file is copied to where the journal was.
func (w *Writer) Rescue(others ...string) (file string, entries int, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.place == nil {
		return "", 0, fmt.Errorf("%w: the journal has no name", fs.ErrInvalid)
	}
	folder, name := filepath.Split(w.place.path)
	name = fmt.Sprintf("%s.rescued-after-%d", name, w.n)
	file, err = newFile(filepath.Join(folder, name), w.all)
	if now := w.place.now(); err != nil && now != "" {
		if there, again := newFile(filepath.Join(filepath.Dir(now), name), w.all); again == nil {
			return there, w.n, nil
		}
	}
	name = filepath.Base(filepath.Clean(folder)) + "-" + name
	for _, other := range others {
		if err == nil {
			break
		}
		var again error
		if file, again = newFile(filepath.Join(other, name), w.all); again == nil {
			return file, w.n, nil
		}
		err = errors.Join(err, again)
	}
	return file, w.n, err
}

// mostNames bounds how many names are tried for one file.
const mostNames = 1000

// newFile writes a file under a name that nothing has: with a number behind it from the
// second on.
func newFile(path string, content []byte) (string, error) {
	name := path
	for n := 2; n <= mostNames; n++ {
		err := atomicfile.Create(name, content, private)
		if !errors.Is(err, fs.ErrExist) {
			return name, err
		}
		name = fmt.Sprintf("%s-%d", path, n)
	}
	return "", fmt.Errorf("%s: %w", path, fs.ErrExist)
}
