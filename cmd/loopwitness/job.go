package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// job is a job folder.
type job struct{ dir string }

// command is what to type next for this job.
func (j job) command(words string) string {
	if j.dir != "." {
		words += " --job " + j.dir
	}
	return "loopwitness " + words
}

func (j job) path(parts ...string) string {
	return filepath.Join(append([]string{j.dir}, parts...)...)
}

// site reads the job's site file.
func (j job) site() (*site.Site, error) {
	path := j.path("site.yaml")
	data, err := strictyaml.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no %s; write one with: loopwitness site new, or name the job's folder with --job", path)
	}
	if err != nil {
		return nil, err
	}
	return site.Read(path, data)
}

// source makes the source of signals that controller.yaml asks for; without
// the file, the technician watches the controller's own indication.
func (j job) source(s *site.Site, c clock.Clock) (signal.Source, error) {
	config, err := listen.ReadFile(j.path("controller.yaml"), s)
	if errors.Is(err, fs.ErrNotExist) {
		config, err = listen.Keyboard, nil
	}
	if err != nil {
		return nil, err
	}
	return config.Source(s, c)
}

// checklist reads checklist-<kind>.yaml of the job folder, or the built-in one.
func (j job) checklist(kind programme.VisitKind) (programme.Checklist, error) {
	path := j.path("checklist-" + string(kind) + ".yaml")
	data, err := strictyaml.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		path, data = programme.BuiltInChecklist(kind)
		err = nil
	}
	if err != nil {
		return programme.Checklist{}, err
	}
	return programme.ReadChecklist(path, data)
}

// visits are the names of the job's visits, the oldest first.
func (j job) visits() ([]string, error) {
	entries, err := os.ReadDir(j.path("visits"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	began := map[string]time.Time{}
	var names []string
	for _, e := range entries {
		info, err := os.Stat(j.journal(e.Name()))
		if err != nil {
			continue
		}
		began[e.Name()] = info.ModTime()
		names = append(names, e.Name())
	}
	sort.Slice(names, func(a, b int) bool { return began[names[a]].Before(began[names[b]]) })
	return names, nil
}

func (j job) journal(visit string) string { return j.path("visits", visit, "journal.jsonl") }

// errNoVisit: the job has no visit of the kind asked for.
var errNoVisit = errors.New("no such visit")

// errNeverBegan: power failed before the first entry was written; there is
// nothing in such a visit.
var errNeverBegan = errors.New("the visit ended before its first entry was written; begin another, and remove its folder")

// record folds the journal of a visit, without holding it. An empty name
// stands for the visit written to last.
func (j job) record(name string) (string, *record.Record, error) {
	if name == "" {
		names, err := j.visits()
		if err != nil {
			return "", nil, err
		}
		names = slices.DeleteFunc(names, func(n string) bool {
			_, _, err := j.record(n)
			return errors.Is(err, errNeverBegan)
		})
		if len(names) == 0 {
			return "", nil, fmt.Errorf("%w: %s has no visits yet; begin one with: loopwitness visit start", errNoVisit, j.dir)
		}
		name = names[len(names)-1]
	}
	contents, err := journal.ReadFile(j.journal(name))
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil, fmt.Errorf("%w: %s; see: loopwitness visit show --list", errNoVisit, j.journal(name))
	}
	if err != nil {
		return "", nil, err
	}
	if len(contents.Entries) == 0 {
		return "", nil, fmt.Errorf("%s: %w", j.journal(name), errNeverBegan)
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return "", nil, fmt.Errorf("%s: %w", j.journal(name), err)
	}
	return name, r, nil
}

// unfinished is the name of the newest visit that still has open steps.
func (j job) unfinished() (string, error) {
	names, err := j.visits()
	if err != nil {
		return "", err
	}
	for i := len(names) - 1; i >= 0; i-- {
		_, r, err := j.record(names[i])
		if errors.Is(err, errNeverBegan) {
			continue
		}
		if err != nil {
			return "", err
		}
		if !r.Done() {
			return names[i], nil
		}
	}
	what := "every visit is finished"
	if len(names) == 0 {
		what = "there is none yet"
	}
	return "", fmt.Errorf("%w to go on with, %s; begin one with: %s", errNoVisit, what, j.command("visit start"))
}

// newVisitName is <date>-<kind>, with a number from the second of a day on.
func (j job) newVisitName(kind programme.VisitKind, now time.Time) string {
	base := now.Format(time.DateOnly) + "-" + string(kind)
	name := base
	for n := 2; ; n++ {
		if _, err := os.Stat(j.path("visits", name)); errors.Is(err, fs.ErrNotExist) {
			return name
		}
		name = fmt.Sprintf("%s-%d", base, n)
	}
}

// open prepares the first entry of a visit.
func (j job) open(s *site.Site, kind programme.VisitKind, name string) (record.Opened, error) {
	list, err := j.checklist(kind)
	if err != nil {
		return record.Opened{}, err
	}
	opened := record.Opened{Visit: kind, Document: s.Reference + "/" + name, SiteName: "site.yaml", Site: string(s.Raw)}
	if kind != programme.Retest {
		opened.Programme = programme.Of(s, list)
		return opened, nil
	}
	previous, r, err := j.record("")
	if err != nil {
		return record.Opened{}, fmt.Errorf("a retest follows an earlier visit: %w", err)
	}
	opened.Follows = previous
	opened.Programme = programme.OfRetest(s, list, r.Opened().Programme, judge.Unsatisfied(r))
	return opened, nil
}
