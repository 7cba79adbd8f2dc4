package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// errResume says that an unfinished visit is to be gone on with instead.
var errResume = errors.New("go on with the unfinished visit")

// besideUnfinished asks what is to become of an unfinished visit before another is begun:
// the newest, if there are several. It returns that visit with errResume if it is to be
// gone on with.
func besideUnfinished(ctx context.Context, s streams, f job.Folder, o visitOptions, operator ask.Operator) (
	job.Visit, error,
) {
	if !o.beside {
		if err := copiesLeft(f); err != nil {
			return job.Visit{}, err
		}
	}
	visits, records, err := f.UnfinishedOnes()
	if err != nil || len(visits) == 0 || o.beside {
		return job.Visit{}, err
	}
	v, r := visits[len(visits)-1], records[len(visits)-1]
	about := s.unfinished(v, r)
	if running := journal.Held(v.Journal()); running != nil {
		return v, fmt.Errorf("%s; it is running, %w; pause it there first (Ctrl-C)", about, running)
	}
	if n := len(visits) - 1; n > 0 {
		about += s.around(words.UnfinishedMore, n, command(f, "visit show --list"))
	}
	refusal := fmt.Errorf("%s. Go on with it: %s; set it aside: %s; or begin another beside it with --beside", about,
		command(f, "visit resume --visit "+v.Name), command(f, "visit discard --visit "+v.Name+" --reason …"))
	if !s.attended(o.answers) {
		return v, refusal
	}
	s.wrapped(s.around(words.UnfinishedIs, about))
	word, err := chosen(ctx, operator, "visit/unfinished", s.around(words.UnfinishedWhat), s.besideOptions())
	switch {
	case errors.Is(err, ask.ErrUnanswered):
		return v, refusal
	case err != nil:
		return v, err
	case word == "resume":
		return v, errResume
	case word == "leave":
		return v, told{errors.New("nothing was begun")}
	case word == "discard":
		return v, discardAsked(ctx, s, f, v, operator)
	}
	return job.Visit{}, nil
}

// unfinished says which visit, since when, and how far it has come.
func (s streams) unfinished(v job.Visit, r *record.Record) string {
	all, open := r.Count("")
	return s.around(words.UnfinishedSo, v.Name,
		r.Begun().Local().Format("2006-01-02 15:04"), r.Latest().Local().Format("2006-01-02 15:04"), open, all)
}

func (s streams) besideOptions() []choice {
	return []choice{{"resume", s.around(words.UnfinishedResume)}, {"beside", s.around(words.UnfinishedBeside)},
		{"discard", s.around(words.UnfinishedDiscard)}, {"leave", s.around(words.UnfinishedLeave)}}
}

// attended tells whether somebody, or a file of answers, can be asked.
func (s streams) attended(answers string) bool { return answers != "" || terminal.IsTerminal(s.in) }

// choice is an answer with what it does.
type choice struct{ word, does string }

// chosen asks for one of several.
func chosen(ctx context.Context, operator ask.Operator, id, text string, of []choice) (string, error) {
	var options []ask.Option
	for _, c := range of {
		options = append(options, ask.Option{Word: c.word, Label: ask.Verbatim(c.does)})
	}
	answer, err := operator.Ask(ctx, helped(id, text, "", ask.OneOf{Options: options}))
	return answer.Text, err
}

func discardAsked(ctx context.Context, s streams, f job.Folder, v job.Visit, operator ask.Operator) error {
	answer, err := operator.Ask(ctx, helped("visit/discard-reason", s.around(words.DiscardReason), "", ask.Line{}))
	if err != nil {
		return err
	}
	return discard(s, f, v, clock.Real{}, record.Discarded{Reason: strings.TrimSpace(answer.Text), By: account()})
}
