package visit

import (
	"context"
	"slices"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// undertaken are what was undertaken about the findings that are listed, as more of what
// a question is about.
func undertaken(a *judge.Assessment) []ask.Phrase {
	var about []ask.Phrase
	for _, f := range outstanding(a) {
		if u := a.Undertaken(f); u != nil {
			about = append(about, ask.UndertakenSo{ID: f.ID, Undertaken: u.Undertaken})
		}
	}
	return about
}

// undertake asks what is done about each finding, by what day and by whom, and about
// limitations that the technician names. What was said before stands, and is not asked
// for again.
func (v *Visit) undertake(ctx context.Context, a *judge.Assessment) error {
	asked := false
	for _, f := range a.Findings() {
		if a.Undertaken(f) != nil {
			continue
		}
		asked = true
		if later, err := v.undertakeOne(ctx, f); err != nil || later {
			return err
		}
	}
	if !asked {
		return nil
	}
	return v.undertakeLimitations(ctx, a.Limitations())
}

func (v *Visit) undertakeLimitations(ctx context.Context, limitations []judge.Finding) error {
	if len(limitations) == 0 {
		return nil
	}
	var ids []string
	for _, f := range limitations {
		ids = append(ids, f.ID)
	}
	text, err := v.ask(ctx, ask.Question{ID: "undertaking/limitations",
		What: ask.ToUndertake{Ask: ask.LimitationsUndertaking}, Takes: ask.Names{Of: ids, Several: true}, Optional: true})
	if err != nil {
		return err
	}
	chosen := ask.SplitNames(text)
	for _, f := range limitations {
		if !slices.Contains(chosen, f.ID) {
			continue
		}
		if later, err := v.undertakeOne(ctx, f); err != nil || later {
			return err
		}
	}
	return nil
}

var offeredActions = []ask.Option{{Word: ask.UsualAction, Label: ask.UsualActionChoice},
	{Word: ask.AllLater, Label: ask.AllLaterChoice}}

// undertakeOne asks about one finding; later tells that nothing more is said now.
func (v *Visit) undertakeOne(ctx context.Context, f judge.Finding) (later bool, err error) {
	fact := record.Undertaken{Said: f.Said()}
	of := func(what ask.Undertaking, takes ask.Takes, help ask.Phrase, about ...ask.Phrase) string {
		if err != nil {
			return ""
		}
		var text string
		text, err = v.ask(ctx, ask.Question{ID: "undertaking/" + f.ID + "/" + string(what),
			What: ask.ToUndertake{Ask: what}, Help: help, About: about, Takes: takes, Optional: true})
		return text
	}
	switch text := of(ask.WhatUndertaking, ask.Line{Offers: offeredActions}, ask.UndertakeAdvice, ask.Outstanding{Finding: f}); {
	case err != nil || text == "":
		return false, err
	case text == ask.AllLater:
		return true, nil
	case text == ask.UsualAction:
		fact.Action = record.PutRight
	default:
		fact.Action = record.Action(text)
	}
	fact.By = of(ask.DayUndertaking, ask.Date{From: seen(v, (*record.Record).FirstDay)}, nil)
	fact.Who = of(ask.WhoUndertaking, ask.Line{}, nil)
	if err != nil {
		return false, err
	}
	return false, v.add(fact)
}
