package record

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"time"

	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// What a visit takes in of earlier ones at most.
const (
	// MostEarlier is how many visits.
	MostEarlier = 10
	// MostRemembered is how many detectors of all of them, and how many findings: of 5,000
	// detectors, the most that a site may have, those of two visits.
	MostRemembered = 10_000
	// MostSaid is how many bytes all of these findings say at most: with the rest, the first
	// entry stays within what is read of a certificate from anybody.
	MostSaid = 1 << 20
	// longestRemembered bounds a time of a detector.
	longestRemembered = 24 * time.Hour
	// longestSaid bounds what a finding says, in bytes.
	longestSaid = 64 << 10
)

var (
	hashForm     = regexp.MustCompile(`^[0-9a-f]{64}$`)
	codeForm     = regexp.MustCompile(`^[a-z][a-z /-]{0,59}$`)
	severityForm = regexp.MustCompile(`^(danger|fault|advice)$`)
	verdicts     = []Verdict{Proved, Reported, Silent, Crossed, Inverted, Unsteady, Late, Undecided, Void, NotTested}
)

// lawfulEarlier refuses what no visit takes in of earlier ones.
func (o Opened) lawfulEarlier() error {
	if err := o.earlierAmiss(); err != nil {
		return refuse(LawEarlier, err)
	}
	return nil
}

func (o Opened) earlierAmiss() error {
	if len(o.Earlier) > MostEarlier || len(o.EarlierUnread) > 100 {
		return fmt.Errorf("it takes in %d visits, and %d that it could not read", len(o.Earlier), len(o.EarlierUnread))
	}
	if o.Visit == programme.Handover && len(o.Earlier) > 0 {
		return errors.New("a hand-over takes in no earlier visit")
	}
	for _, name := range o.EarlierUnread {
		if oneline.Blank(name) {
			return errors.New("a visit that could not be read has no name")
		}
	}
	detectors, outstanding, said := 0, 0, 0
	for i, e := range o.Earlier {
		if err := e.amiss(); err != nil {
			return fmt.Errorf("earlier visit %d: %w", i+1, err)
		}
		if i > 0 && e.Begun.Before(o.Earlier[i-1].Begun) {
			return fmt.Errorf("earlier visit %d was begun before the one that stands before it", i+1)
		}
		if e.Site != "" && i < len(o.Earlier)-1 {
			return fmt.Errorf("earlier visit %d has a site file, and is not the latest", i+1)
		}
		detectors += len(e.Detectors)
		outstanding += len(e.Outstanding)
		for _, f := range e.Outstanding {
			said += f.Size()
		}
	}
	if detectors > MostRemembered || outstanding > MostRemembered || said > MostSaid {
		return fmt.Errorf("it takes in %d detectors and %d findings", detectors, outstanding)
	}
	return o.Sampling.amiss(o.Visit)
}

// Size is how many bytes it says.
func (o Outstanding) Size() (n int) {
	for _, s := range o.Steps {
		n += len(s)
	}
	return n + len(o.Said) + len(o.Shown)
}

// Check tells why a visit takes nothing in of that, nil where it may.
func (e Earlier) Check() error { return e.amiss() }

func (e Earlier) amiss() error {
	switch {
	case !slices.Contains(programme.VisitKinds, e.Visit):
		return fmt.Errorf("%w: of the kind %q", ErrUnknownKind, e.Visit)
	case !visitName.MatchString(visitOf(e.Number)):
		return fmt.Errorf("%q is no number of a visit", e.Number)
	case !hashForm.MatchString(e.Journal), e.Certificate != "" && !hashForm.MatchString(e.Certificate):
		return errors.New("a hash that is none")
	case (e.Certificate == "") != (e.SealedBy == nil), e.SealedBy != nil && !hashForm.MatchString(e.SealedBy.Fingerprint):
		return errors.New("a sealed file without whose seal it is")
	case !codeForm.MatchString(e.Result), e.DetectorsLeft < 0, e.OutstandingLeft < 0:
		return fmt.Errorf("a result %q", e.Result)
	case plausibleYear(e.Begun) != nil, e.Ended.Before(e.Begun):
		return errors.New("it ended before it began")
	}
	ids := map[string]bool{}
	for _, o := range e.Outstanding {
		if !idForm.MatchString(o.ID) || ids[o.ID] || !severityForm.MatchString(o.Severity) || len(o.Said) == 0 ||
			o.Said[0] != '{' || len(o.Said) > longestSaid || len(o.Shown) > longestSaid || len(o.Steps) > MostRemembered {
			return fmt.Errorf("a finding %q that is none", o.ID)
		}
		ids[o.ID] = true
	}
	points := map[site.Point]bool{}
	for _, d := range e.Detectors {
		if points[d.Point] || !slices.Contains(site.Kinds, string(d.Kind)) || !slices.Contains(verdicts, d.Verdict) {
			return fmt.Errorf("a detector %q that is none", d.Point)
		}
		for _, t := range []time.Duration{d.Response, d.Uncertainty, d.Restored, d.RestoredUncertainty} {
			if t < 0 || t > longestRemembered {
				return fmt.Errorf("a detector %q that took %s", d.Point, t)
			}
		}
		points[d.Point] = true
	}
	return nil
}

func (s *Sampling) amiss(visit programme.VisitKind) error {
	switch {
	case s == nil:
		return nil
	case visit != programme.Maintenance:
		return fmt.Errorf("a %s takes no sample of the detectors", visit)
	case s.Share <= 0 || s.Share > 1, oneline.Blank(s.Reason):
		return fmt.Errorf("a sample of %g for the reason %q", s.Share, s.Reason)
	}
	return nil
}

// asRemembered refuses a programme that asks for other things than what was outstanding, or
// whose detectors are not those of its sample. keep is as with Sampled.
func (o Opened) asRemembered(s *site.Site, steps []programme.Step, keep map[site.Point]bool) error {
	if !slices.Equal(steps, programme.WithOutstanding(steps, Asked(o.Earlier, steps, s))) {
		return refuse(LawProgramme, errors.New("it asks for something else than what was outstanding"))
	}
	if o.Sampling == nil {
		return nil
	}
	want := o.Sampled(s, keep)
	if keep == nil && !slices.Equal(want, o.Sampling.Points) {
		return refuse(LawProgramme, errors.New("its sample is not the one that the earlier visits give"))
	}
	var has []site.Point
	for _, st := range steps {
		if st.Kind == programme.StepDetector && st.Stage == programme.StageWalkTest {
			has = append(has, st.Point)
		}
	}
	if !slices.Equal(want, has) {
		return refuse(LawProgramme, errors.New("its detectors are not those of its sample"))
	}
	return nil
}
