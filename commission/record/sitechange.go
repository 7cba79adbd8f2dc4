package record

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

const kindSiteChanged = "site-changed"

// SiteChanged tells that the site file was changed during the visit, and that the visit
// goes on with it as it is now.
type SiteChanged struct {
	Site      string           `json:"site"` // the file's exact bytes
	Logo      *LogoFile        `json:"logo,omitempty"`
	Programme []programme.Step `json:"programme"`
}

// Kind names the entry.
func (SiteChanged) Kind() string { return kindSiteChanged }

// SiteChange is a change of the site file during the visit.
type SiteChange struct {
	At      time.Time
	Earlier *site.Site // as it was until then; it must not be changed
	// Again are steps as they stood then, which the change has opened again: what came
	// of them was taken under the earlier file. Removed are those that the site gives no
	// more. Both without steps of which nothing had come.
	Again, Removed []*Outcome
}

// SiteChanges are the changes of the site file during the visit, in their order.
func (r *Record) SiteChanges() []SiteChange {
	all := slices.Clone(r.siteChanges)
	for i := range all {
		all[i].Again, all[i].Removed = slices.Clone(all[i].Again), slices.Clone(all[i].Removed)
	}
	return all
}

// Programme are the steps that the visit has now.
func (r *Record) Programme() []programme.Step {
	var steps []programme.Step
	for _, o := range r.outcomes {
		steps = append(steps, o.step)
	}
	return steps
}

// Taken tells whether anything came of the step.
func (o *Outcome) Taken() bool {
	return len(o.attempts) > 0 || o.answer != nil || len(o.earlier) > 0 || len(o.readings) > 0 || o.instrument != nil ||
		o.tester != nil || o.cable != nil ||
		len(o.found) > 0
}

func (r *Record) siteChanged(e journal.Entry, f SiteChanged) error {
	s, outcomes, index, err := r.changed(f)
	if err != nil {
		return err
	}
	picture, err := r.logos.at(s, f.Logo)
	if err != nil {
		return err
	}
	file := s
	s = r.withFound(file) // what it does not say still counts as it was found
	change := SiteChange{At: e.At, Earlier: r.site}
	var opened []*Outcome
	for i, o := range outcomes {
		was := r.index[o.step.ID]
		switch {
		case was == nil:
		case was.step != o.step || programme.Affected(r.site, s, o.step):
			o.notes, o.noteEntries = was.notes, was.noteEntries
			if was.Taken() {
				change.Again = append(change.Again, was)
				opened = append(opened, o)
			}
		default:
			outcomes[i], index[o.step.ID] = was, was
		}
	}
	for _, was := range r.outcomes {
		if index[was.step.ID] == nil && was.Taken() {
			change.Removed = append(change.Removed, was)
		}
	}
	r.file, r.outcomes, r.index, r.logo = file, outcomes, index, picture
	r.site = r.withFound(file)
	r.siteChanges = append(r.siteChanges, change)
	r.forget()
	for _, o := range opened {
		r.needsMainsOff(o)
	}
	r.lapse()
	return nil
}

// MayChangeSite tells why the site file cannot be taken in now, nil if it can.
func (r *Record) MayChangeSite(f SiteChanged) error {
	_, _, _, err := r.changed(f)
	return err
}

// changed are the site as it is now, and the steps of its programme.
func (r *Record) changed(f SiteChanged) (*site.Site, []*Outcome, map[string]*Outcome, error) {
	s, err := site.Read(r.opening.SiteName, []byte(f.Site))
	if err != nil {
		return nil, nil, nil, err
	}
	outcomes, index, err := programmed(s, f.Programme, r.opening, r.sampledNow())
	if err != nil {
		return nil, nil, nil, err
	}
	return s, outcomes, index, r.mayChange(s, index)
}

// mayChange refuses a change that would hide something: of what is waited for, sounds or
// is without mains now, and of steps that the site gives still.
func (r *Record) mayChange(s *site.Site, index map[string]*Outcome) error {
	switch {
	case r.trial != nil:
		return fmt.Errorf("%w: the site file changes while a trial waits", ErrNoSense)
	case !r.mainsOff.IsZero() && index[programme.IDMainsOn] == nil:
		return fmt.Errorf("%w: mains is removed, and no step puts it back", ErrNoSense)
	case !r.batteryOff.IsZero() && index[programme.IDBatteryOn] == nil:
		return fmt.Errorf("%w: the battery is disconnected, and no step connects it", ErrNoSense)
	}
	for name := range r.on {
		if s.Output(name) == nil {
			return fmt.Errorf("%w: output %q is on, and the site has it no more", ErrNoSense, name)
		}
	}
	gives := map[string]bool{}
	for _, step := range programme.Whole(s, programme.Checklist{}) {
		gives[step.ID] = true
	}
	for _, o := range r.outcomes {
		now := index[o.step.ID]
		leaves := now == nil && gives[o.step.ID]
		if o.step.Kind == programme.StepCheck && o.step.Stage != programme.StageCables {
			leaves = (now == nil || now.step != o.step) && !programme.Outdated(r.site, s, o.step)
		}
		if leaves {
			return fmt.Errorf("%w: step %q leaves the programme", ErrNoSense, o.step.ID)
		}
	}
	return nil
}

// forget drops what is known of addresses under the earlier site file, and the step that
// could be taken again: the programme may have it no more.
func (r *Record) forget() {
	clear(r.states)
	r.recent, r.latestTaken = recent{}, nil
	known := func(address string) bool { return r.site.ZoneAt(address) != nil }
	maps.DeleteFunc(r.strangers, func(address string, _ int) bool { return known(address) })
	maps.DeleteFunc(r.garbled, func(address, _ string) bool { return !known(address) })
	maps.DeleteFunc(r.stuck, func(output, _ string) bool { return r.site.Output(output) == nil })
}

// needsMainsOff opens the steps that remove mains and put it back for one that means
// nothing while it is present.
func (r *Record) needsMainsOff(o *Outcome) {
	if o.step.OnStandby() && r.mainsOff.IsZero() {
		r.unsettle(programme.IDMainsOff, programme.IDMainsOn, programme.IDMainsBack)
	}
}
