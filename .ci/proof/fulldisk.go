package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// fullDisk lets the disk be full at each write of a visit, within it and at its sync, and
// at each half kilobyte of the real program's journal. The visit has to end with words,
// all that was acknowledged has to be there, and when there is room again it goes on and
// comes to the same outcome.
type fullDisk struct{}

func (fullDisk) name() string { return "full-disk" }

func (fullDisk) run(ctx context.Context, o options) (result, error) {
	cases, err := o.simulatedCases(o.of(4, 2))
	if err != nil {
		return result{}, err
	}
	t := newTally()
	for i, c := range cases {
		if err := o.fullInMemory(ctx, t, c, o.of(1, 9)); err != nil {
			return result{}, fmt.Errorf("%s: %w", c.name, err)
		}
		if i == 0 || !o.short {
			if err := o.fullForTheProgram(ctx, t, c, o.of(1, 8)); err != nil {
				return result{}, fmt.Errorf("%s: %w", c.name, err)
			}
		}
	}
	t.note("%d sites", len(cases))
	return t.result(), nil
}

// fullFile is a file on a disk that is full at one of its writes or syncs.
type fullFile struct {
	bytes.Buffer
	acknowledged  int // bytes that a sync returned for
	writes, fails int // so many writes, and the one that fails, from 1; 0 for none
	fits          int // per cent of that write; 101: its sync fails
}

func (f *fullFile) Write(p []byte) (int, error) {
	f.writes++
	if f.writes != f.fails || f.fits > 100 {
		return f.Buffer.Write(p)
	}
	n, _ := f.Buffer.Write(p[:len(p)*f.fits/100])
	return n, syscall.ENOSPC
}

func (f *fullFile) Sync() error {
	if f.writes == f.fails {
		return syscall.ENOSPC
	}
	f.acknowledged = f.Len()
	return nil
}

func (f *fullFile) Close() error { return nil }

// fullInMemory tries every so many writes.
func (o options) fullInMemory(ctx context.Context, t *tally, c visitCase, every int) error {
	whole := &fullFile{}
	if err := inMemory(ctx, c, whole); err != nil {
		return err
	}
	want, err := outcomeIn(whole.Bytes())
	if err != nil {
		return err
	}
	fits := []int{0, 50, 99, 100, 101}
	return each(ctx, len(fits)*whole.writes/every, func(i int) error {
		f := &fullFile{fails: 1 + i/len(fits)*every, fits: fits[i%len(fits)]}
		t.try(fmt.Sprintf("%s, write %d, %d %% of it", c.name, f.fails, f.fits), o.facesFull(ctx, c, f, want))
		return nil
	})
}

func (o options) facesFull(ctx context.Context, c visitCase, f *fullFile, want outcome) error {
	switch err := within(longestRun, func() error { return inMemory(ctx, c, f) }); {
	case err == nil:
		return unnoticed{"the visit came to its end on a full disk"}
	case errors.Is(err, errHangs), strings.Contains(err.Error(), "has a fault"):
		return err
	case !errors.Is(err, syscall.ENOSPC):
		return fmt.Errorf("its last words do not say why: %w", err)
	}
	dir, err := o.folder("full-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "journal.jsonl")
	if err := os.WriteFile(path, f.Bytes(), 0o600); err != nil {
		return err
	}
	before := f.Bytes()[:f.acknowledged]
	if len(wholeLines(f.Bytes())) > 0 {
		if err := goOn(ctx, c, path); err != nil {
			return err
		}
		got, err := outcomeAt(path)
		if err = errors.Join(err, compared(want, got)); err != nil {
			return err
		}
	}
	after, err := os.ReadFile(path)
	return errors.Join(err, kept(before, after))
}

// within is errHangs where something takes too long; it goes on then.
func within(limit time.Duration, do func() error) error {
	done := make(chan error, 1)
	go func() { done <- do() }()
	select {
	case err := <-done:
		return err
	case <-time.After(limit):
		return errHangs
	}
}

// configured is what a simulated visit of a case needs, and its first entry.
func configured(c visitCase, at time.Time) (visit.Config, record.Opened, error) {
	s, err := site.Read("site.yaml", c.Site)
	if err != nil {
		return visit.Config{}, record.Opened{}, err
	}
	listening, err := listen.Read("controller.yaml", c.Controller, s)
	if err != nil {
		return visit.Config{}, record.Opened{}, err
	}
	by := clock.NewSimulated(at)
	building, err := simulated.New(s, by, listening.Simulated)
	if err != nil {
		return visit.Config{}, record.Opened{}, err
	}
	answers, err := scripted.Read("answers.yaml", c.Answers)
	if err != nil {
		return visit.Config{}, record.Opened{}, err
	}
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	config := simulated.Join(visit.Config{Operator: scripted.New(answers, by, io.Discard, words.English{}),
		Source: building, Clock: by, Tool: "proof"})
	return config, record.Opened{Visit: programme.Handover, Number: s.Reference + "/1", SiteName: "site.yaml",
		Site: string(s.Raw), Programme: programme.Of(s, list)}, err
}

// morning is when visits in memory begin.
var morning = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

// inMemory runs the visit of a case with its journal in any file.
func inMemory(ctx context.Context, c visitCase, f journal.File) error {
	config, opened, err := configured(c, morning)
	if err != nil {
		return err
	}
	v, err := visit.StartOn(config, journal.On(f), opened)
	if err != nil {
		return err
	}
	return errors.Join(v.Run(ctx), v.Close())
}

// goOn resumes the visit of a case and runs it to its end.
func goOn(ctx context.Context, c visitCase, path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	at, err := latest(data, morning)
	if err != nil {
		return err
	}
	config, _, err := configured(c, at)
	if err != nil {
		return err
	}
	v, err := visit.Resume(config, path)
	if err != nil {
		return fmt.Errorf("it does not go on: %w", err)
	}
	return errors.Join(v.Run(ctx), v.Close())
}

// outcomeIn is the outcome of a journal's text.
func outcomeIn(data []byte) (outcome, error) {
	contents, err := journal.Read(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return nil, err
	}
	return outcomeOf(r), nil
}

// block is what ulimit -f counts in a POSIX shell: 512 bytes.
const block = 512

// fullForTheProgram lets files be no longer than so many blocks.
func (o options) fullForTheProgram(ctx context.Context, t *tally, c visitCase, every int) error {
	whole, err := o.undisturbed(ctx, c)
	if err != nil {
		return err
	}
	return each(ctx, (whole.bytes-1)/block/every, func(i int) error {
		n := 1 + i*every
		t.try(fmt.Sprintf("%s, full at byte %d", c.name, n*block), o.facesLimit(ctx, whole, n))
		return nil
	})
}

func (o options) facesLimit(ctx context.Context, whole uninterrupted, blocks int) error {
	dir, err := o.folder("full-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := whole.lay(dir); err != nil {
		return err
	}
	limited, cancel := context.WithTimeout(ctx, longestRun)
	defer cancel()
	cmd := exec.CommandContext(limited, "sh", "-c", fmt.Sprintf(`ulimit -f %d; exec "$0" "$@"`, blocks), o.program,
		"visit", "start", "--kind", "handover", "--job", dir, "--simulated-time", "--answers",
		filepath.Join(dir, "answers.yaml"))
	said, err := cmd.CombinedOutput()
	const notRun = 2
	switch {
	case limited.Err() != nil:
		return errors.Join(errHangs, ctx.Err())
	case err == nil || cmd.ProcessState.ExitCode() != notRun:
		return unnoticed{fmt.Sprintf("exit code %d on a full disk: %s", cmd.ProcessState.ExitCode(), said)}
	case !bytes.Contains(said, []byte("file too large")): // EFBIG in words
		return fmt.Errorf("its last words do not say why: %s", said)
	}
	v := killedVisit{o: o, t: newTally(), of: whole, dir: dir}
	return v.end(ctx)
}
