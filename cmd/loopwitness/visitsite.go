package main

import (
	"context"
	"errors"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
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
		s.wrapped(s.around(words.SiteNotReadable, err))
		return nil, r.Site(), nil
	case string(now.Raw) == string(r.Site().Raw):
		return nil, r.Site(), nil
	}
	changed, err := f.Revised(r, now)
	if err != nil {
		return nil, nil, err
	}
	s.wrapped(s.around(words.SiteNotAsVisit, f.SitePath()))
	for _, line := range differing(string(r.Site().Raw), string(now.Raw), mostDiffering) {
		s.say("   %s", line)
	}
	take, err := takesSite(ctx, s, o, operator, s.affected(r, now, changed.Programme))
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
	word, err := chosen(ctx, operator, "visit/site-changed", s.around(words.TakeSiteIn), []choice{
		{"keep", s.around(words.KeepsSite)}, {"take", s.around(words.TakesSite)}})
	if errors.Is(err, ask.ErrUnanswered) {
		return false, refusal
	}
	return word == "take", err
}

// affected says what taking the site file in does to the steps of a visit.
func (s streams) affected(r *record.Record, now *site.Site, steps []programme.Step) string {
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
			added = append(added, s.nameOfStep(now, st))
		case was.Taken() && (was.Step() != st || programme.Affected(r.Site(), now, st)):
			again = append(again, s.nameOfStep(now, st))
		}
	}
	var removed []string
	for _, o := range r.Outcomes() {
		if !has[o.Step().ID] {
			removed = append(removed, s.nameOfStep(r.Site(), o.Step()))
		}
	}
	text := ""
	for _, part := range []struct {
		what  words.AroundCode
		names []string
	}{{words.AffectsAgain, again}, {words.AffectsNew, added}, {words.AffectsRemoved, removed}} {
		if len(part.names) > 0 {
			text += s.around(part.what, s.several(part.names))
		}
	}
	return s.around(words.SiteAffects, text)
}

func (s streams) nameOfStep(of *site.Site, st programme.Step) string {
	return s.language().Say(programme.NameOf(of, st))
}

// several are names in a line, the first of them if they are many.
func (s streams) several(names []string) string {
	const most = 6
	if len(names) > most {
		return s.around(words.AndMore, strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}
