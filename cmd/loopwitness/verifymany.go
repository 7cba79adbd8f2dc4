package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"time"

	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/kit/screen"
	"loopwitness/report/verify"
)

// found is a file to be checked, or why nothing can be where it was looked for.
type found struct {
	path string
	err  error
}

// certificateFiles are the files that arguments name: themselves, or all PDFs below a
// folder, in its order. What cannot be read is among them, and ends nothing.
func certificateFiles(args []string, p passed) iter.Seq[found] {
	return func(yield func(found) bool) {
		for _, arg := range args {
			if info, err := os.Stat(arg); err == nil && info.IsDir() {
				if !below(arg, p, yield) {
					return
				}
			} else if !yield(found{path: arg}) { // its own report tells what hinders
				return
			}
		}
	}
}

// passed is told what was passed over: folders to which only a link leads, and those that
// were named and hold no PDF.
type passed struct{ linked, empty func(path string) }

// below yields the PDFs below a folder; false to yield no more.
func below(named string, p passed, yield func(found) bool) bool {
	folder := named
	if target, err := filepath.EvalSymlinks(folder); err == nil && target != filepath.Clean(folder) {
		folder = target // a link that was named itself is followed
	}
	none, more := true, true
	_ = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err == nil && isLinkToFolder(path, d):
			p.linked(path)
			return nil
		case err == nil && (d.IsDir() || !strings.EqualFold(filepath.Ext(path), ".pdf")):
			return nil
		}
		none = false
		if more = yield(found{path, err}); !more {
			return fs.SkipAll
		}
		return nil // after an error, too: with what stands beside it
	})
	if none && more {
		p.empty(named)
	}
	return more
}

func isLinkToFolder(path string, d fs.DirEntry) bool {
	if d.Type()&fs.ModeSymlink == 0 {
		return false
	}
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// atOnce is how many files are checked at the same time: each may take what
// report/verify allows one.
func atOnce() int { return min(runtime.NumCPU(), 4) }

// reports checks files side by side and gives their reports in the order of the files, each
// as soon as it is there and those before it. No more of them are in memory than are
// checked. It ends early with the context.
func reports(ctx context.Context, files iter.Seq[found], o verify.Options) iter.Seq[*verify.Report] {
	return func(yield func(*verify.Report) bool) {
		ctx, cancel := context.WithCancel(ctx)
		defer cancel()
		waiting := make(chan chan *verify.Report, atOnce()-1)
		go func() {
			defer close(waiting)
			for f := range files {
				report := make(chan *verify.Report, 1)
				select {
				case waiting <- report:
				case <-ctx.Done():
					return
				}
				go func() { report <- checkFound(f, o) }()
			}
		}()
		for report := range waiting {
			select {
			case r := <-report:
				if ctx.Err() != nil || !yield(r) {
					return
				}
			case <-ctx.Done(): // what is being checked ends with the program
				return
			}
		}
	}
}

func checkFound(f found, o verify.Options) *verify.Report {
	if f.err != nil {
		return verify.NotRead(f.path, f.err)
	}
	return checkFile(f.path, o)
}

func checkFile(file string, o verify.Options) *verify.Report {
	data, err := readfile.All(file, verify.MaxFile)
	if err != nil {
		return verify.NotRead(file, err)
	}
	return verify.Check(file, data, o)
}

// progress tells on a terminal how many files were checked, where nothing else shows it.
type progress struct {
	to   *os.File // nil to tell nothing
	told time.Time
}

func (s streams) progress() *progress {
	errs, is := s.err.(*os.File)
	if !is || !terminal.IsTerminal(errs) || terminal.IsTerminal(s.out) {
		return &progress{}
	}
	return &progress{to: errs}
}

func (p *progress) tell(files int) {
	const often = 200 * time.Millisecond
	if p.to != nil && time.Since(p.told) > often {
		p.told = time.Now()
		fmt.Fprintf(p.to, "\r%d files checked …", files)
	}
}

func (p *progress) end() {
	if p.to != nil && !p.told.IsZero() {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}

// tally counts what came of files.
type tally struct {
	files, told, practice, contradicts int
	count                              map[verify.Outcome]int
}

func (t *tally) add(r *verify.Report) {
	t.told++
	t.count[r.Outcome]++
	if r.Simulated {
		t.practice++
	}
	if r.Contradicts {
		t.contradicts++
	}
}

// passedOver tells what was passed over beside the reports, and notes whether a folder was
// empty.
func (s streams) passedOver(empty *atomic.Bool) passed {
	return passed{
		linked: func(path string) {
			fmt.Fprintf(s.err, "%s: a link to a folder, which is not followed; name it to have it checked\n",
				screen.Clean(path))
		},
		empty: func(path string) {
			empty.Store(true)
			fmt.Fprintf(s.err, "there is no PDF in %s\n", screen.Clean(path))
		},
	}
}

// verifyAll checks files and prints the report of each as soon as it is there. What was
// printed stays true when it is broken off, and the exit code says that it was.
func verifyAll(ctx context.Context, s streams, o verifyOptions, options verify.Options, args []string) error {
	t := tally{count: map[verify.Outcome]int{}}
	print := s.printer(o.json)
	p := s.progress()
	var empty atomic.Bool
	for r := range reports(ctx, certificateFiles(args, s.passedOver(&empty)), options) {
		t.files++
		p.tell(t.files)
		// With a fingerprint, which other files there are is no matter; one alone is told.
		if options.Fingerprint != "" && (r.Paper == nil || r.Paper.Fits == "") && !alone(args) {
			continue
		}
		t.add(r)
		if err := print.report(r); err != nil {
			return err
		}
	}
	p.end()
	if err := print.end(t, options.Fingerprint != "" && !alone(args), ctx.Err() != nil); err != nil {
		return err
	}
	switch {
	case ctx.Err() != nil:
		return fmt.Errorf("broken off: what is told above was checked to its end, %d files; the others were not", t.files)
	case empty.Load() && t.count[verify.Failed] == 0 && t.contradicts == 0:
		return errUnchecked
	case options.Fingerprint != "" && t.told == 0:
		fmt.Fprintf(s.err, "the fingerprint fits none of the %d files\n", t.files)
		return told{errUnsatisfactory}
	}
	return outcomeError(t.count, t.contradicts)
}

// alone tells whether arguments name one file, which is no folder.
func alone(args []string) bool {
	info, err := os.Stat(args[0])
	return len(args) == 1 && (err != nil || !info.IsDir())
}

var errUnchecked = told{errors.New("a certificate was not wholly checked")}

// outcomeError gives the outcomes their exit code; they were printed. A record that
// contradicts itself is not green, whoever sealed it.
func outcomeError(count map[verify.Outcome]int, contradicts int) error {
	switch {
	case count[verify.Failed] > 0 || contradicts > 0:
		return told{errUnsatisfactory}
	case count[verify.Unchecked] > 0:
		return errUnchecked
	}
	return nil
}
