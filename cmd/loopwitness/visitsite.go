package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// changedSite asks, where site.yaml differs from what a visit goes by, whether it is taken
// in. It returns the entry by which it is, nil to go on as before.
func changedSite(
	ctx context.Context, s streams, f job.Folder, o visitOptions, r *record.Record, operator ask.Operator,
) (*record.SiteChanged, *site.Site, error) {
	now, err := f.Site()
	switch {
	case err != nil && o.takeSite:
		return nil, nil, err
	case err != nil:
		s.wrapped(fmt.Sprintf("The site file cannot be read (%v); the visit goes on with what it says itself.", err))
		return nil, r.Site(), nil
	case string(now.Raw) == string(r.Site().Raw):
		return nil, r.Site(), nil
	}
	changed, err := f.Revised(r, now)
	if err != nil {
		return nil, nil, err
	}
	s.wrapped(f.SitePath() + " is not as the visit has it:")
	for _, line := range differing(string(r.Site().Raw), string(now.Raw), mostDiffering) {
		s.say("   %s", line)
	}
	take, err := takesSite(ctx, s, o, operator, affected(r, now, changed.Programme))
	if err != nil || !take {
		return nil, r.Site(), err
	}
	return &changed, now, nil
}

func takesSite(ctx context.Context, s streams, o visitOptions, operator ask.Operator, affects string) (bool, error) {
	s.wrapped(affects)
	refusal := errors.New("the site file was changed since the visit went by it; take it in with --take-site, " +
		"or go on with what the visit has with --keep-site")
	switch {
	case o.takeSite && o.keepSite:
		return false, errors.New("name --take-site or --keep-site, not both")
	case o.takeSite || o.keepSite:
		return o.takeSite, nil
	case !s.attended(o.answers):
		return false, refusal
	}
	word, err := chosen(ctx, operator, "visit/site-changed", "Take it in?", []choice{
		{"keep", "no: go on with what the visit has"}, {"take", "yes: take it in"}})
	if errors.Is(err, ask.ErrUnanswered) {
		return false, refusal
	}
	return word == "take", err
}

// affected says what taking the site file in does to the steps of a visit.
func affected(r *record.Record, now *site.Site, steps []programme.Step) string {
	had, has := map[string]*record.Outcome{}, map[string]bool{}
	for _, o := range r.Outcomes() {
		had[o.Step().ID] = o
	}
	var again, added []string
	for _, st := range steps {
		has[st.ID] = true
		was := had[st.ID]
		switch {
		case was == nil:
			added = append(added, nameOfStep(now, st))
		case was.Taken() && (was.Step() != st || programme.Affected(r.Site(), now, st)):
			again = append(again, nameOfStep(now, st))
		}
	}
	var removed []string
	for _, o := range r.Outcomes() {
		if !has[o.Step().ID] {
			removed = append(removed, nameOfStep(r.Site(), o.Step()))
		}
	}
	text := "Taken in, "
	for _, part := range []struct {
		what  string
		names []string
	}{{"taken again: ", again}, {"new: ", added}, {"no more: ", removed}} {
		if len(part.names) > 0 {
			text += part.what + several(part.names) + "; "
		}
	}
	return text + "everything else stays as it is, and names under the visit lapse."
}

func nameOfStep(s *site.Site, st programme.Step) string { return english.Say(programme.NameOf(s, st)) }

// several are names in a line, the first of them if they are many.
func several(names []string) string {
	const most = 6
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
