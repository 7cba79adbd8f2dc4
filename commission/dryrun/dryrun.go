// Package dryrun runs whole visits unattended, in simulated time and in memory, so that
// what comes of them can be tested by the hundred. It is for tests only.
package dryrun

import (
	"bytes"
	"context"
	"errors"
	"io"
	"time"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// ErrReal says that the controller of a visit is not simulated.
var ErrReal = errors.New("a dry run needs listen: simulated")

// Morning is when every dry run begins.
var Morning = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

// Visit is a whole visit: the texts of its files.
type Visit struct {
	Site, Controller, Answers []byte
	Kind                      programme.VisitKind // "" for a hand-over
	Talk                      io.Writer           // what is said in it; nil for nowhere
}

// Run runs a hand-over visit. See Visit.Run.
func Run(site, controller, answers []byte) (*judge.Assessment, error) {
	return Visit{Site: site, Controller: controller, Answers: answers}.Run(context.Background())
}

// Run runs the visit to its end and judges it. Files that are refused: an error that
// wraps strictyaml.ErrRefused, and no assessment. A question that has no answer ends it: an error
// that wraps ask.ErrUnanswered, and the assessment of what there was until then.
func (v Visit) Run(ctx context.Context) (*judge.Assessment, error) { return v.run(ctx, &memory{}) }

// run runs the visit and writes its journal.
func (v Visit) run(ctx context.Context, into journal.File) (*judge.Assessment, error) {
	c := clock.NewSimulated(Morning)
	opened, source, err := v.open(c)
	if err != nil {
		return nil, err
	}
	answers, err := scripted.Read("answers.yaml", v.Answers)
	if err != nil {
		return nil, err
	}
	talk := v.Talk
	if talk == nil {
		talk = io.Discard
	}
	technician := scripted.New(answers, c, talk, words.English{})
	config := simulated.Join(visit.Config{Operator: technician, Source: source, Clock: c, Tool: "dry run"})
	running, err := visit.StartOn(config, journal.On(into), opened)
	if err != nil {
		return nil, err
	}
	err = running.Run(ctx)
	if stuck := technician.Stuck(); stuck != nil {
		err = stuck
	}
	return judge.Assess(running.Record()), errors.Join(err, running.Close())
}

// open reads the files of the visit and makes its first entry and its building.
func (v Visit) open(c clock.Clock) (opened record.Opened, building *simulated.Controller, err error) {
	s, err := site.Read("site.yaml", v.Site)
	if err != nil {
		return opened, nil, err
	}
	listening, err := listen.Read("controller.yaml", v.Controller, s)
	if err != nil {
		return opened, nil, err
	}
	if listening.Way != "simulated" {
		return opened, nil, ErrReal
	}
	if building, err = simulated.New(s, c, listening.Simulated); err != nil {
		return opened, nil, err
	}
	kind := v.Kind
	if kind == "" {
		kind = programme.Handover
	}
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(kind))
	return record.Opened{Visit: kind, Number: s.Reference + "/1", SiteName: "site.yaml", Site: string(s.Raw),
		Programme: programme.OfKind(kind, s, list)}, building, err
}

// memory is a file that is no file.
type memory struct{ bytes.Buffer }

func (*memory) Sync() error  { return nil }
func (*memory) Close() error { return nil }
