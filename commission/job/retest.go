package job

import (
	"fmt"
	"slices"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Again is a step of a retest and why it is taken. With neither, each attendance needs it,
// or the earlier visit did not have it.
type Again struct {
	Step     programme.Step
	Findings []judge.Finding  // of the earlier visit that rest on it
	For      []programme.Name // steps to be taken again that lean on it
}

// retest is what a retest that begins now follows, and its programme.
func (f Folder) retest(s *site.Site, list programme.Checklist) (string, []programme.Step, error) {
	previous, err := f.Newest()
	if err != nil {
		return "", nil, fmt.Errorf("a retest follows an earlier visit: %w", err)
	}
	r, err := previous.Record()
	if err != nil {
		return "", nil, fmt.Errorf("a retest follows an earlier visit: %w", err)
	}
	return previous.Name, programme.OfRetest(s, list, f.had(r), judge.Unsatisfied(r)), nil
}

// mostFollowed bounds how many visits a retest looks back through: names of visits that
// follow one another in a circle must not run for ever.
const mostFollowed = 100

// had are the steps of a visit, and of those that it follows.
func (f Folder) had(r *record.Record) []programme.Step {
	steps := r.Programme()
	for range mostFollowed {
		if r.Opened().Follows == "" {
			break
		}
		earlier, err := f.Visit(r.Opened().Follows)
		if err != nil {
			break
		}
		if r, err = earlier.Record(); err != nil {
			break
		}
		for _, st := range r.Programme() {
			if !slices.ContainsFunc(steps, func(s programme.Step) bool { return s.ID == st.ID }) {
				steps = append(steps, st)
			}
		}
	}
	return steps
}

// Again are the steps of a programme that follows a visit of that name, and why each is
// taken. Steps of the sign-off are not among them. Errors are as those of Visit.
func (f Folder) Again(follows string, s *site.Site, steps []programme.Step) ([]Again, error) {
	v, err := f.Visit(follows)
	if err != nil {
		return nil, err
	}
	r, err := v.Record()
	if err != nil {
		return nil, err
	}
	a := judge.Assess(r)
	open := judge.Unsatisfied(r)
	needed := programme.NeededFor(steps, open)
	names := map[string]programme.Name{}
	for _, st := range steps {
		names[st.ID] = programme.NameOf(s, st)
	}
	var all []Again
	for _, st := range steps {
		if st.Kind == programme.StepSign || st.Kind == programme.StepOutstanding {
			continue
		}
		again := Again{Step: st}
		for _, f := range slices.Concat(a.Findings(), a.Limitations()) {
			if slices.Contains(a.RestsOn(f), st.ID) {
				again.Findings = append(again.Findings, f)
			}
		}
		for _, id := range needed[st.ID] {
			again.For = append(again.For, names[id])
		}
		if walk := programme.IDOfWalk(st.Point); st.Look() && open[walk] && names[walk].ID != "" {
			again.For = append(again.For, names[walk])
		}
		all = append(all, again)
	}
	return all, nil
}

// Revised is the entry by which a visit takes the site file in as it is now.
func (f Folder) Revised(r *record.Record, s *site.Site) (record.SiteChanged, error) {
	opened := r.Opened()
	list, err := f.checklist(opened.Visit)
	if err != nil {
		return record.SiteChanged{}, err
	}
	whole := programme.OfKind(opened.Visit, s, list)
	if opened.Visit == programme.Retest {
		if whole, err = f.revisedRetest(r, s, list); err != nil {
			return record.SiteChanged{}, err
		}
	}
	picture, err := f.Logo(s)
	if err != nil {
		return record.SiteChanged{}, err
	}
	steps := r.CompletedNow(s, programme.Revised(r.Site(), s, r.Programme(), whole))
	return record.SiteChanged{Site: string(s.Raw), Logo: picture, Programme: steps}, nil
}

// revisedRetest is the programme of a retest at a site as it is now: what it had, what the
// visit that it follows left open, and what the change affects.
func (f Folder) revisedRetest(r *record.Record, s *site.Site, list programme.Checklist) ([]programme.Step, error) {
	again := map[string]bool{}
	for _, st := range r.Programme() {
		again[st.ID] = true
	}
	before := programme.Of(r.Site(), programme.Checklist{})
	for _, st := range programme.Of(s, programme.Checklist{}) {
		i := slices.IndexFunc(before, func(b programme.Step) bool { return b.ID == st.ID })
		if !st.Optional && (i < 0 || before[i] != st || programme.Affected(r.Site(), s, st)) {
			again[st.ID] = true
		}
	}
	return programme.OfRetest(s, list, f.had(r), again), nil
}
