package main

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func simulatedTimeFlag(cmd *cobra.Command, is *bool) {
	cmd.Flags().BoolVar(is, "simulated-time", false,
		"let time pass at once: for a job whose controller.yaml says listen: simulated, with --answers")
}

// clock is what the visit goes by: the computer's clock, or a simulated one that begins
// at the latest of some times.
func (o visitOptions) clock(times ...time.Time) (clock.Clock, error) {
	if !o.simulatedTime {
		return clock.Real{}, nil
	}
	if o.answers == "" {
		return nil, errors.New("nobody can answer in simulated time; name a file of answers with --answers, " +
			"or leave --simulated-time out")
	}
	return clock.NewSimulated(slices.MaxFunc(times, time.Time.Compare)), nil
}

// source makes the job's source; in simulated time it must be simulated, too.
func (o visitOptions) source(f job.Folder, st *site.Site, c clock.Clock) (signal.Source, error) {
	source, err := f.Source(st, c)
	if err != nil || !o.simulatedTime {
		return source, err
	}
	if _, is := source.(*simulated.Controller); !is {
		return nil, fmt.Errorf("time can be simulated only where the controller is; write listen: simulated in %s, "+
			"or leave --simulated-time out", f.ControllerPath())
	}
	return source, nil
}

// practice says that a visit with the source is an exercise, where it is.
func (s streams) practice(source signal.Source) {
	if isSimulated(source) {
		s.say("%s", s.around(words.PracticeVisit))
	}
}

// isSimulated tells whether a visit with the source is an exercise.
func isSimulated(source signal.Source) bool {
	return source.About().Simulated
}
