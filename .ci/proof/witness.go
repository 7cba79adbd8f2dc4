package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/journal"
)

// witness knows what must be on a disk.
type witness struct {
	d        *disk
	all      map[string][][]byte // whole contents that a file ever has, from the beginning to the end
	had      map[string][][]byte // those until now
	there    map[string]bool     // it has a name
	reported map[string]int      // how many of them were, when that was said
	entries  map[string][]byte   // of a journal: the lines that a sync returned for
}

func newWitness(d *disk) *witness {
	w := &witness{d: d, had: map[string][][]byte{}, there: map[string]bool{}, reported: map[string]int{},
		entries: map[string][]byte{}}
	for path, f := range d.live {
		w.note(path, f)
	}
	w.allReported()
	return w
}

// foresee notes what the files will have been in the end.
func (w *witness) foresee(all []call) error {
	to := newWitness(w.d.copy())
	for _, c := range all {
		if err := to.d.take(c); err != nil {
			return err
		}
		to.saw(c)
	}
	w.all = to.had
	return nil
}

func isJournal(path string) bool { return filepath.Base(path) == "journal.jsonl" }

// passing are names of files that nobody is told of.
func passing(path string) bool {
	name := filepath.Base(path)
	return strings.HasSuffix(name, ".lock") || strings.HasSuffix(name, ".part") || strings.Contains(name, ".torn-after-")
}

// note takes a file's content as one that it may have.
func (w *witness) note(path string, f *file) {
	switch {
	case f == nil || f.folder || passing(path):
	case isJournal(path):
		w.entries[path] = wholeLines(f.data)
	default:
		w.had[path], w.there[path] = append(w.had[path], f.data), true
	}
}

// saw learns from a call that was done. It comes after the disk has taken it.
func (w *witness) saw(c call) {
	paths := c.paths(w.d.root)
	switch c.name {
	case "unlink", "unlinkat":
		delete(w.there, paths[0])
	case "rename", "renameat", "renameat2", "link", "linkat":
		w.note(paths[1], w.d.live[paths[1]])
	case "open", "openat":
		if h := w.d.open[c.gave]; h != nil && isJournal(h.path) && w.entries[h.path] == nil {
			w.entries[h.path] = []byte{}
		}
	case "close":
		if h := w.d.closed; h != nil && h.write && !isJournal(h.path) {
			w.note(h.path, h.of) // written in its place: whole once it is closed
		}
	case "fsync", "fdatasync":
		for _, h := range w.d.open {
			if isJournal(h.path) && bytes.Equal(h.of.synced, h.of.data) {
				w.acknowledge(h.path, wholeLines(h.of.synced))
			}
		}
	case "write":
		if n := c.number(0); n == 1 || n == 2 {
			w.said(c.texts[0])
		}
	}
}

// said counts files as reported whose names are told, and entries that the visit wrote
// before it went on to speak.
func (w *witness) said(text string) {
	for path := range w.entries {
		if f := w.d.live[path]; f != nil {
			w.acknowledge(path, untilOwn(f.data))
		}
	}
	for path := range w.there {
		if strings.Contains(text, filepath.Base(path)) {
			w.reported[path] = len(w.had[path])
		}
	}
}

func (w *witness) acknowledge(path string, lines []byte) {
	if len(lines) > len(w.entries[path]) {
		w.entries[path] = lines
	}
}

// untilOwn are the entries up to the last that is not written beside what is shown.
func untilOwn(data []byte) []byte {
	lines := bytes.SplitAfter(wholeLines(data), []byte("\n"))
	for len(lines) > 0 && len(factsIn(lines[len(lines)-1])) == 0 {
		lines = lines[:len(lines)-1]
	}
	return bytes.Join(lines, nil)
}

// allReported counts everything as reported, as at the end of the program.
func (w *witness) allReported() {
	for path := range w.entries {
		if f := w.d.live[path]; f != nil {
			w.acknowledge(path, wholeLines(f.data))
		}
	}
	for path := range w.there {
		w.reported[path] = len(w.had[path])
	}
}

// key tells states apart, together with what is asked of them.
func (w *witness) key(s state) [sha256.Size]byte {
	h := sha256.New()
	for _, path := range slices.Sorted(maps.Keys(s)) {
		if passing(path) {
			continue
		}
		fmt.Fprintln(h, path, len(s[path]), len(w.entries[path]), w.reported[path])
		h.Write(s[path])
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// holds asks of a disk after a power cut what was acknowledged before.
func (w *witness) holds(o options, s state) error {
	for path := range w.there {
		if _, there := s[path]; !there && w.reported[path] > 0 {
			return fmt.Errorf("%s is gone, and was reported", w.short(path))
		}
	}
	for path, is := range s {
		if isJournal(path) || passing(path) {
			continue
		}
		from := min(max(0, w.reported[path]-1), len(w.all[path]))
		if !slices.ContainsFunc(w.all[path][from:], func(v []byte) bool { return bytes.Equal(v, is) }) {
			return fmt.Errorf("%s has %d bytes that are neither its old content nor its new one", w.short(path), len(is))
		}
	}
	for path, lines := range w.entries {
		is, there := s[path]
		if !there && len(lines) == 0 {
			continue
		}
		if err := opens(o, is, lines); err != nil {
			return fmt.Errorf("%s: %w", w.short(path), err)
		}
	}
	return nil
}

func (w *witness) short(path string) string { return strings.TrimPrefix(path, w.d.root+"/") }

// opens opens a journal that a power cut has left, and writes on.
func opens(o options, data, acknowledged []byte) error {
	dir, err := o.folder("opens-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "journal.jsonl")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		return err
	}
	w, contents, _, err := journal.Open(path)
	if err != nil {
		return fmt.Errorf("it does not open: %w", err)
	}
	if !bytes.HasPrefix(contents.Whole, acknowledged) {
		err = fmt.Errorf("%d bytes of entries were acknowledged, and %d are there or others", len(acknowledged),
			len(contents.Whole))
	}
	_, more := w.Append(time.Now(), "more", struct{}{})
	if err := errors.Join(err, more, w.Close()); err != nil {
		return err
	}
	again, err := journal.ReadFile(path)
	if err == nil && len(again.Entries) != len(contents.Entries)+1 {
		err = errors.New("it does not go on after the power cut")
	}
	return err
}

// cut cuts the power now, in all ways that differ from those before.
func (w *witness) cut(ctx context.Context, o options, t *tally, when string, seen map[[sha256.Size]byte]bool) error {
	cuts := w.d.cuts()
	var ways []string
	for _, what := range slices.Sorted(maps.Keys(cuts)) {
		if key := w.key(cuts[what]); !seen[key] {
			seen[key] = true
			ways = append(ways, what)
		}
	}
	return each(ctx, len(ways), func(i int) error {
		t.try(when+", "+ways[i], w.holds(o, cuts[ways[i]]))
		return nil
	})
}
