package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// promise is what a screen promises: how many facts were in the journal when each of its
// lines was shown. It is taken from the same run of the same job, in this process and
// without an attack. Signals are left out: they are written beside what is shown.
type promise struct {
	lines []string
	facts []int
	all   []string // the facts, as factOf names them
}

// promised runs a copy of a job on and tells what its screen promises; in simulated time
// if its controller is simulated. The visit is begun where the job has none.
func promised(ctx context.Context, dir string) (promise, error) {
	f := job.At(dir)
	st, err := f.Site()
	if err != nil {
		return promise{}, err
	}
	answers, err := strictyaml.ReadFile(filepath.Join(dir, "answers.yaml"))
	if err != nil {
		return promise{}, err
	}
	script, err := scripted.Read("answers.yaml", answers)
	if err != nil {
		return promise{}, err
	}
	name, contents := journalIn(dir)
	began := time.Now()
	if len(wholeLines(contents)) > 0 {
		if began, err = latest(contents, began); err != nil {
			return promise{}, err
		}
	}
	listening, err := f.Config(st)
	if err != nil {
		return promise{}, err
	}
	var c clock.Clock = clock.Real{}
	if listening.Way == "simulated" {
		c = clock.NewSimulated(began)
	}
	source, err := listening.Source(st, c)
	if err != nil {
		return promise{}, err
	}
	shown := &shown{}
	config := simulated.Join(visit.Config{Operator: scripted.New(script, c, shown, words.English{}), Source: source,
		Clock: c, Tool: "proof"})
	v, err := beginOrResume(f, config, name, contents)
	if err != nil {
		return promise{}, err
	}
	shown.journal, _ = journalIn(dir)
	shown.promise = promise{} // what was told of a torn line stands before the first line that is compared
	err = v.Run(ctx)
	_, contents = journalIn(dir)
	shown.all = factsIn(contents)
	return shown.promise, errors.Join(err, v.Close())
}

func beginOrResume(f job.Folder, c visit.Config, path string, contents []byte) (*visit.Visit, error) {
	if len(wholeLines(contents)) > 0 {
		return visit.Resume(c, path)
	}
	st, err := f.Site()
	if err != nil {
		return nil, err
	}
	of, opened, err := f.New(st, programme.Handover, c.Clock.Now())
	if err != nil {
		return nil, err
	}
	return visit.Start(c, of.Journal(), opened)
}

// latest is the later of a time and that of the last entry.
func latest(contents []byte, t time.Time) (time.Time, error) {
	lines := bytes.Split(bytes.TrimSuffix(wholeLines(contents), []byte("\n")), []byte("\n"))
	var last struct{ At time.Time }
	if err := json.Unmarshal(lines[len(lines)-1], &last); err != nil {
		return t, err
	}
	if last.At.After(t) {
		t = last.At
	}
	return t, nil
}

// shown notes with each line that is shown how many facts the journal has.
type shown struct {
	promise
	journal string
}

func (s *shown) Write(p []byte) (int, error) {
	if s.journal == "" {
		return len(p), nil
	}
	data, err := os.ReadFile(s.journal)
	if err != nil {
		return 0, err
	}
	n := facts(data)
	for line := range strings.Lines(string(p)) {
		s.lines, s.facts = append(s.lines, line), append(s.facts, n)
	}
	return len(p), nil
}

// beside are the kinds of entries that are written beside what is shown: of the controller, and of a computer that was too
// busy to run the program in time, which need not be so again.
var beside = []string{signal.Signal{}.Kind(), signal.Sample{}.Kind(), signal.Connection{}.Kind(),
	signal.Overrun{}.Kind(), record.Absent{}.Kind(), record.ClockStepped{}.Kind(), record.Shown{}.Kind()}

// facts counts the whole entries of a journal that are not written beside what is shown.
func facts(data []byte) int { return len(factsIn(data)) }

// factsIn names those entries: what happened, and at what.
func factsIn(data []byte) (all []string) {
	for line := range bytes.Lines(wholeLines(data)) {
		var e struct {
			Kind string
			Body struct {
				Step, Half, Question, Output string
				On                           bool
			}
		}
		if json.Unmarshal(line, &e) == nil && !slices.Contains(beside, e.Kind) {
			all = append(all, fmt.Sprintln(e.Kind, e.Body))
		}
	}
	return all
}

var figures = regexp.MustCompile(`[0-9]+`)

// begins is the line of the screen from which on promises are compared.
var begins = regexp.MustCompile(`^Visit .* (begun: .*|goes on\.)\n$`)

// errOtherScreen says that the screens differ, so that nothing can be said of the lines
// that follow.
var errOtherScreen = errors.New("the screen is another one than without the attack")

// holds compares what a killed run had shown with its journal. Figures may differ: times.
func (p promise) holds(screen string, data []byte) error {
	lines := slices.Collect(strings.Lines(screen))
	at := slices.IndexFunc(lines, begins.MatchString)
	if at < 0 {
		return nil
	}
	is := facts(data)
	if is == 0 {
		return errors.New("the screen said that the visit was begun, and the journal is empty")
	}
	for i, line := range lines[at+1:] {
		if !strings.HasSuffix(line, "\n") || i >= len(p.lines) {
			break
		}
		if figures.ReplaceAllString(line, "#") != figures.ReplaceAllString(p.lines[i], "#") {
			return fmt.Errorf("%w: %q for %q", errOtherScreen, line, p.lines[i])
		}
		if is < p.facts[i] {
			return fmt.Errorf("the screen had shown %q, which comes after %d facts; the journal has %d", line, p.facts[i], is)
		}
	}
	return nil
}

// holdsFor compares what a killed run had shown with its journal where runs are not alike
// line by line: what stood in the journal when a line was shown for the first time without an attack
// has to stand in it, from whatever run.
func (p promise) holdsFor(screen string, data []byte) error {
	lines := slices.Collect(strings.Lines(screen))
	at := slices.IndexFunc(lines, begins.MatchString)
	if at < 0 {
		return nil
	}
	is := factsIn(data)
	for _, line := range lines[at+1:] {
		i := slices.IndexFunc(p.lines, func(l string) bool {
			return figures.ReplaceAllString(l, "#") == figures.ReplaceAllString(line, "#")
		})
		if i < 0 {
			continue
		}
		for _, fact := range p.all[:p.facts[i]] {
			if !slices.Contains(is, fact) {
				return fmt.Errorf("the screen had shown %q; the journal has nothing of: %s", line, strings.TrimSpace(fact))
			}
		}
	}
	return nil
}
