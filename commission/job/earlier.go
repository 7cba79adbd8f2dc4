package job

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

var (
	// ErrPractice says why a visit takes nothing in of one of the job: that one was practice,
	// and is no evidence of any installation.
	ErrPractice = errors.New("it was practice, and shows nothing of the installation")
	// ErrNoReason says that a sample was asked for, and nobody says who agreed.
	ErrNoReason = errors.New("who agreed that only a sample of the detectors is taken? " +
		"Say it with --sample-reason, or as maintenance: sample_source in the site file")
	// ErrNotAfter says that such a visit takes nothing in of earlier ones.
	ErrNotAfter = errors.New("takes in no earlier visit")
)

// Beginning is how a visit begins.
type Beginning struct {
	Kind programme.VisitKind
	// Share of the detectors is taken, above 0 and up to 1, as Reason says; 0 for what the
	// site file declares.
	Share  float64
	Reason string
	// After are visits of other jobs, taken in beside those of this one.
	After []record.Earlier
	// Language is the tag of the visit's language, "" for the site's.
	Language string
	// Practice: it is practice itself, and practice visits count for it.
	Practice bool
}

// LeftOut is an earlier visit of the job of which nothing is taken in, and why.
type LeftOut struct {
	Visit string
	Why   error
}

// remembers are the kinds of visits that take the earlier ones of their job in.
var remembers = map[programme.VisitKind]bool{programme.Maintenance: true, programme.Retest: true,
	programme.AfterAlarm: true}

// Remember is what a later visit takes in of one, with what it says in words; journal is the
// SHA-256 of its journal, hexadecimal.
func Remember(a *judge.Assessment, journal string) record.Earlier {
	then := a.Remembered(journal)
	shown, of := map[string]string{}, languages.OfVisit(a.Record())
	for _, f := range slices.Concat(a.Findings(), a.Limitations()) {
		shown[f.ID] = words.Shown(of, f)
	}
	for i := range then.Outstanding {
		then.Outstanding[i].Shown = shown[then.Outstanding[i].ID]
	}
	return then
}

// remember takes the earlier visits in. Of those of the job it does not take those that were
// set aside or never came to anything; one that was broken off is taken in as far as it came.
// One that cannot be read is named: what it left is not known.
func (f Folder) remember(o *record.Opened, b Beginning) (left []LeftOut, err error) {
	if b.Kind == programme.Handover && len(b.After) > 0 {
		return nil, fmt.Errorf("a %s %w", b.Kind, ErrNotAfter)
	}
	var all []record.Earlier
	if remembers[b.Kind] {
		if all, left, err = f.remembered(b.Practice); err != nil {
			return left, err
		}
	}
	for _, l := range left {
		if !errors.Is(l.Why, ErrPractice) {
			o.EarlierUnread = append(o.EarlierUnread[:min(len(o.EarlierUnread), 99)], l.Visit)
		}
	}
	o.Earlier = latest(all, b.After)
	return left, nil
}

// remembered are the latest visits of the job, the oldest first, and those that are left out.
func (f Folder) remembered(practice bool) (all []record.Earlier, left []LeftOut, err error) {
	visits, err := f.Visits()
	if err != nil {
		return nil, nil, err
	}
	copied := map[string]int{} // of the same first entry
	var certificates []record.Earlier
	for _, v := range slices.Backward(visits) {
		if errors.Is(v.Unread, ErrNeverBegan) || v.Unread == nil && len(all) == record.MostEarlier {
			continue
		}
		r, then, err := v.remembered()
		switch {
		case err != nil:
			left = append(left, LeftOut{oneline.Clean(v.Name), err})
		case r.Discarded() != nil, !r.Done() && !slices.ContainsFunc(r.Outcomes(), (*record.Outcome).Taken):
		case r.Simulated() && !practice:
			left = append(left, LeftOut{v.Name, ErrPractice})
		case then.Check() != nil:
			left = append(left, LeftOut{v.Name, then.Check()})
		default:
			if n := copied[v.first]; n > 0 { // one of the two is stale
				if all[n-1].Ended.Before(then.Ended) {
					all[n-1] = then
				}
				continue
			}
			all = append(all, then)
			copied[v.first] = len(all)
			for _, e := range r.Earlier() {
				if e.Certificate != "" { // what it left was carried on there
					e.Outstanding, e.Site = nil, ""
					certificates = append(certificates, e)
				}
			}
		}
	}
	slices.Reverse(all)
	return append(all, certificates...), left, nil
}

// remembered is what a later visit takes in of it.
func (v Visit) remembered() (*record.Record, record.Earlier, error) {
	contents, err := v.Contents()
	if err != nil {
		return nil, record.Earlier{}, err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return nil, record.Earlier{}, fmt.Errorf("%s: %w", v.Journal(), err)
	}
	sum := sha256.Sum256(contents.Whole)
	return r, Remember(judge.Without(r, v.Lost(r)...), hex.EncodeToString(sum[:])), nil
}

// latest are those begun last, in their order, each journal once. Those that were named are
// among them, however old they are.
func latest(all, named []record.Earlier) []record.Earlier {
	seen := map[string]bool{}
	byHand := map[string]bool{}
	var out []record.Earlier
	for i, e := range slices.Concat(named, all) {
		if !seen[e.Journal] {
			seen[e.Journal], byHand[e.Journal] = true, i < len(named)
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b record.Earlier) int { return a.Begun.Compare(b.Begun) })
	for i := 0; len(out) > record.MostEarlier && i < len(out); {
		if byHand[out[i].Journal] {
			i++
			continue
		}
		out = slices.Delete(out, i, i+1)
	}
	return bounded(out)
}

// bounded leaves details of the oldest visits out where all would be too many, and the site
// file of all but the latest.
func bounded(all []record.Earlier) []record.Earlier {
	detectors, outstanding, said := record.MostRemembered, record.MostRemembered, record.MostSaid
	for i := range slices.Backward(all) {
		e := &all[i]
		if i < len(all)-1 {
			e.Site = ""
		}
		if len(e.Detectors) > detectors {
			e.DetectorsLeft += len(e.Detectors)
			e.Detectors = nil
		}
		kept := 0 // the gravest stand first
		for kept < len(e.Outstanding) && outstanding > 0 && e.Outstanding[kept].Size() <= said {
			said -= e.Outstanding[kept].Size()
			outstanding--
			kept++
		}
		e.OutstandingLeft += len(e.Outstanding) - kept
		e.Outstanding = e.Outstanding[:kept]
		detectors -= len(e.Detectors)
	}
	return all
}

// sample chooses the detectors of a maintenance visit, where a share of them was agreed.
func (b Beginning) sample(o *record.Opened, s *site.Site) error {
	sampling := record.Sampling{Share: b.Share, Reason: b.Reason}
	if b.Kind == programme.Maintenance && b.Share == 0 && s.Maintenance.Sample.Given() {
		sampling.Share = s.Maintenance.Sample.SI
		if oneline.Blank(sampling.Reason) {
			sampling.Reason = s.Maintenance.SampleSource
		}
	}
	if sampling.Share == 0 || sampling.Share == 1 {
		return nil
	}
	if oneline.Blank(sampling.Reason) {
		return ErrNoReason
	}
	o.Sampling = &sampling
	o.Sampling.Points = o.Sampled(s, nil)
	return nil
}
