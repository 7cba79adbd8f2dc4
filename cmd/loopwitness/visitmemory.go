package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/report/after"
	"loopwitness/report/verify"
)

// memoryOptions are what a visit is told of earlier ones.
type memoryOptions struct {
	after, trust         []string
	samePremises         bool
	sample, sampleReason string
}

func memoryFlags(cmd *cobra.Command, o *memoryOptions) {
	cmd.Flags().StringArrayVar(&o.after, "after", nil,
		"a sealed certificate of another company's visit here, taken in\nbeside the visits of this job; can be given more "+
			"than once")
	cmd.Flags().BoolVar(&o.samePremises, "same-premises", false,
		"it is of these premises, whatever they are called in it")
	trustFlag(cmd, &o.trust)
	cmd.Flags().StringVar(&o.sample, "sample", "",
		"the share of the detectors that maintenance takes at least, 25%;\n100% for all, whatever the site file says")
	cmd.Flags().StringVar(&o.sampleReason, "sample-reason", "",
		"who agreed to that; printed on the certificate")
}

// beginning is how a visit of a site begins.
func (o memoryOptions) beginning(kind programme.VisitKind, st *site.Site, practice bool, now time.Time) (
	job.Beginning, error,
) {
	b := job.Beginning{Kind: kind, Reason: o.sampleReason, Practice: practice}
	if o.sample != "" {
		share, err := checks.Ratio.Parse(o.sample)
		switch {
		case err != nil:
			return b, fmt.Errorf("--sample: %w", err)
		case share.SI <= 0 || share.SI > 1:
			return b, fmt.Errorf("--sample: %s is no share of the detectors; give one above 0 %% and up to 100 %%",
				o.sample)
		case kind != programme.Maintenance:
			return b, fmt.Errorf("--sample: a %s takes all detectors; only maintenance takes a sample", kind)
		}
		b.Share = share.SI
	}
	if len(o.after) > record.MostEarlier {
		return b, fmt.Errorf("--after: %d certificates are more than the %d that a visit takes in", len(o.after),
			record.MostEarlier)
	}
	trust, err := anchors(o.trust)
	if err != nil {
		return b, err
	}
	for _, file := range o.after {
		if kind == programme.Handover {
			return b, fmt.Errorf("--after: a %s %w", kind, job.ErrNotAfter)
		}
		data, err := readfile.All(file, verify.MaxFile)
		if err != nil {
			return b, err
		}
		e, err := after.Read(file, data, st, after.Options{Options: verify.Options{Tool: tool, Trust: trust, Now: now},
			Practice: practice, SamePremises: o.samePremises})
		if errors.Is(err, after.ErrElsewhere) {
			err = fmt.Errorf("%w; if it is of these premises, say so with --same-premises", err)
		}
		if err != nil {
			return b, fmt.Errorf("%s: %w", file, err)
		}
		b.After = append(b.After, e)
	}
	return b, nil
}

// remembered tells what a visit takes in of earlier ones when it begins, and what follows.
func (s streams) remembered(opened record.Opened, st *site.Site, left []job.LeftOut) {
	for _, l := range left {
		s.wrapped(s.around(words.EarlierLeftOut, l.Visit, l.Why))
	}
	if len(opened.Earlier) > 0 {
		s.say("%s", s.around(words.EarlierTaken))
		s.earlierVisits(opened)
	}
	if carried := len(record.CarriedOn(opened.Earlier)); carried > 0 {
		asked := 0
		for _, step := range opened.Programme {
			if step.Kind == programme.StepOutstanding {
				asked++
			}
		}
		s.wrapped(s.around(words.LeftAsked, carried, asked, carried-asked))
	}
	s.siteChanged(opened, st)
	if sampling := opened.Sampling; sampling != nil {
		s.wrapped(s.around(words.SampleTaken, len(sampling.Points), st.Detectors(),
			s.language().Number(100*sampling.Share, words.AsNeeded), s.named(sampling.Reason)))
	}
}

func (s streams) earlierVisits(opened record.Opened) {
	for _, e := range opened.Earlier {
		line := s.around(words.EarlierSo, s.named(e.Number), e.Begun.Local().Format(time.DateOnly), s.named(e.Company),
			judge.Overall(e.Result), e.Journal)
		if by := e.SealedBy; by != nil {
			trust := words.EarlierUntrusted
			if by.Trusted {
				trust = words.EarlierTrusted
			}
			line += s.around(words.EarlierSealed, e.Certificate, s.named(by.Name), s.around(trust), by.Fingerprint)
			if e.SealedRules != e.Rules {
				line += s.around(words.EarlierRules, e.SealedRules, e.Rules)
			}
		}
		s.wrapped(line)
	}
}

// mostChanges is how many changes of the site file are told on a screen.
const mostChanges = 12

func (s streams) siteChanged(opened record.Opened, now *site.Site) {
	latest := opened.LatestEarlier()
	if latest == nil || latest.Site == "" {
		return
	}
	before, err := site.Read("site.yaml", []byte(latest.Site))
	if err != nil {
		s.wrapped(s.around(words.EarlierSiteUnread))
		return
	}
	all := site.Changes(before, now)
	if len(all) == 0 {
		return
	}
	s.wrapped(s.around(words.SiteChangedSince, s.named(latest.Number)))
	for i, c := range all {
		if i == mostChanges {
			s.say("%s", s.around(words.MoreOfThem, len(all)-i))
			return
		}
		s.wrapped("– " + screen.Clean(s.language().Say(c)))
	}
}

// outstanding tells what became of what earlier visits left.
func (s streams) outstanding(a *judge.Assessment) {
	opened := a.Record().Opened()
	if len(opened.Earlier) == 0 {
		return
	}
	s.say("%s", s.around(words.EarlierTaken))
	s.earlierVisits(opened)
	s.siteChanged(opened, a.Record().Site())
	if len(a.Outstanding()) > 0 {
		s.say("%s", s.around(words.LeftThere))
	}
	for _, l := range a.Outstanding() {
		s.wrapped("– " + screen.Clean(s.language().Say(words.ThenFound{Of: l.Then})) + ": " +
			s.language().Say(words.CameOfIt{Of: l}))
	}
	s.say("")
}
