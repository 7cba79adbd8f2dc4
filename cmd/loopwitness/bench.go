package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen"
	"loopwitness/commission/listen/bench"
	"loopwitness/commission/site"
)

func newBench(s streams) *cobra.Command {
	var dir, scenario string
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "A practice controller: it speaks as controller.yaml has it, from a simulated building",
		Long: "Be a practice controller with a simulated building behind it, in a process of its own: it speaks over " +
			"MQTT,\nby web hooks or in answers to requests, as the job's controller.yaml says, for a visit, listen or a " +
			"phone\nin another window. It runs only where controller.yaml says practice: yes: every page of a visit then " +
			"says\nthat it was practice, and no evidence of any installation.\n\n" + benchKeys + "\n" +
			"\n--scenario names a YAML file: building: (as simulated: in controller.yaml), spread: and retained:, and " +
			"steps:,\nfor example {after: 5 s, do: open, at: \"3.1\"} or {after: 1 min, do: storm, rate: 1000, for: 10 " +
			"s}.\nIt ends with Ctrl-C.\nExit status: 0 ended by you; 2 could not run.",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return practise(ctx, s, job.At(dir), scenario) }),
	}
	jobFlag(cmd, &dir)
	cmd.Flags().StringVar(&scenario, "scenario", "", "YAML file of what the building is like and what happens in it")
	return cmd
}

// benchKeys is what can be typed.
const benchKeys = `Type, each with Enter:
  3.1 open, 3.1 close, 3.1     a detector is opened, closed, opened for a moment; a number alone is a zone's first
  all                          each is opened for a moment, one after the other
  mains off, mains on, battery off, battery on
  set, unset                   with exit time, entry time and alarm as site.yaml has them
  restart 30 s                 the controller is gone, and comes back
  silence 10 s                 it reports nothing
  storm 1000 10 s              so many reports a second, for a time
  again                        the scenario from its beginning
  quit`

// lookAgain is how often it is looked whether controller.yaml still says that it is practice.
const lookAgain = 2 * time.Second

func practise(ctx context.Context, s streams, f job.Folder, scenario string) error {
	st, err := f.Site()
	if err != nil {
		return advised(f, err)
	}
	config, err := f.Config(st)
	if err != nil {
		return err
	}
	if !config.Practice {
		return fmt.Errorf("%w\n    write it in %s: every page of a visit then says that it was practice", bench.ErrNoPractice,
			f.ControllerPath())
	}
	var happens bench.Scenario
	if scenario != "" {
		data, err := strictyaml.ReadFile(scenario)
		if err != nil {
			return err
		}
		if happens, err = listen.ReadScenario(filepath.Base(scenario), data, st); err != nil {
			return err
		}
	}
	shown := benchShown{s}
	b, err := bench.New(st, clock.Real{}, config.Bench(), happens, shown.event)
	if err != nil {
		return err
	}
	s.say("PRACTICE: a simulated building speaks by %s. It is no installation, and every page of a visit says so.",
		config.Way)
	if err := b.Start(ctx); err != nil {
		return err
	}
	s.say("%s", benchKeys)
	err = shown.follow(ctx, b, st, func() error { return stillPractice(f, st) })
	if closed := b.Close(); err == nil {
		err = closed
	}
	return err
}

// errPracticeOver ends a bench whose file is used for something else.
var errPracticeOver = errors.New(`controller.yaml no longer says practice: yes: the practice controller has ended`)

func stillPractice(f job.Folder, st *site.Site) error {
	if c, err := f.Config(st); err == nil && !c.Practice { // one that cannot be read is being written
		return errPracticeOver
	}
	return nil
}

// benchShown shows what happens, and takes what is typed.
type benchShown struct{ streams }

// follow does what is typed until it is over.
func (h benchShown) follow(ctx context.Context, b *bench.Bench, st *site.Site, still func() error) error {
	typed := make(chan string)
	go func() {
		for in := bufio.NewScanner(h.in); in.Scan(); { // once nobody types any more, a scenario may go on
			if strings.TrimSpace(in.Text()) == "" {
				continue
			}
			select {
			case typed <- in.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	look := time.NewTicker(lookAgain)
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-look.C:
			if err := still(); err != nil {
				return err
			}
		case line := <-typed:
			if strings.TrimSpace(line) == "?" {
				h.say("%s", benchKeys)
				continue
			}
			c, err := bench.ParseCommand(line, st)
			if err != nil {
				printError(h.out, err)
				continue
			}
			if c.Do == bench.Quit {
				return nil
			}
			b.Do(c)
		}
	}
}

// event shows what happened, with its time.
func (h benchShown) event(e bench.Event) {
	(&heardLive{streams: h.streams}).line(e.At, benchText(e))
}

// benchText says what happened.
func benchText(e bench.Event) string {
	switch e.What {
	case bench.Reported:
		return fmt.Sprintf("%-10s %s", e.Of, e.Detail)
	case bench.Itself:
		return fmt.Sprintf("controller %s: %s", e.Of, e.Detail)
	case bench.Ordered:
		return fmt.Sprintf("told: %s %s", e.Of, e.Detail)
	case bench.Works:
		return e.Of + " sounds or flashes"
	case bench.Stops:
		return e.Of + " has stopped"
	case bench.Left:
		return "the controller is gone"
	case bench.Arrived:
		return "the controller is back"
	case bench.Connected:
		return "connected to " + e.Of + "; all states are told"
	case bench.Silent:
		return "nothing is reported for " + e.Detail
	case bench.Stormy:
		return fmt.Sprintf("storm of %d reports a second for %s", e.Count, e.Detail)
	case bench.StormOver:
		return fmt.Sprintf("storm over: %d reports in %s", e.Count, e.Detail)
	case bench.CallFailed:
		return "NOT TAKEN by the web hook: " + e.Detail
	case bench.CallsAgain:
		return "the web hook takes calls again"
	case bench.CallsLost:
		return fmt.Sprintf("more than %d calls wait: further ones are lost", e.Count)
	case bench.Asked:
		return "asked for its status"
	case bench.NotLetIn:
		return "NOT LET IN: somebody asks with no token, or a wrong one"
	case bench.NotReported:
		return e.Of + ": no rule of controller.yaml reports this address"
	case bench.Played:
		return "the scenario is over"
	}
	return string(e.What)
}
