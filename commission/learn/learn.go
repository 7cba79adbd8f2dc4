// Package learn makes a site of what reports while somebody walks through it and opens
// each thing once. Learner is a fold of signals and of what was said of them, without a
// clock or a screen; Walk is the talk about it, over any way of asking.
package learn

import (
	"regexp"
	"slices"
	"strconv"
	"time"

	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Chatter is how soon after its last change an address changes again without that being
// another operation: a hand needs longer to close one thing and open the next. Common
// practice, no source.
const Chatter = time.Second

// Said is what was said of one thing that was opened, or of a zone.
type Said struct {
	What     What
	Address  string
	Name     string            // of the detector; of its zone, too, where that has one only
	Zone     string            // the zone's name, where that was asked, too
	Kind     site.DetectorKind // of the detector
	Location string
	// Photographs are the names of those that were taken of it.
	Photographs []string
}

// What is said.
type What string

// What can be said of an address.
const (
	Detector What = "detector" // a further detector reports under it; the first makes the zone
	Same     What = "same"     // a detector that is known already
	Complete What = "complete" // it has no more detectors than are known
)

// Sound tells whether that can have been said: a draft may come from anybody.
func (s Said) Sound() bool {
	if s.What == Detector {
		return Fit(s.Address) && s.Name != "" && slices.Contains(site.Kinds, string(s.Kind))
	}
	return Fit(s.Address) && (s.What == Same || s.What == Complete)
}

// Operation is something that was opened: an address that reported it.
type Operation struct {
	Address string
	State   signal.State
	Raw     string
	// Zone is the zone that has the address, nil for none. It is not to be changed.
	Zone *site.Zone
}

// Learner is what a walk has come to. New makes it.
type Learner struct {
	site    *site.Site // what the file has
	said    []Said
	zones   []site.Zone             // learnt, in the order in which they reported first
	more    map[int][]site.Detector // further ones on zones of the file
	all     map[string]bool         // zones that have no more
	states  map[string]heard
	waiting []Operation
	asking  string            // the address that is being asked about
	garbled map[string]string // what was not understood, by address
	any     bool
}

// heard is what an address reported last.
type heard struct {
	state signal.State
	at    time.Time
	kept  bool // it is of an earlier time
	open  bool // it is the operation of a thing that is not at rest yet
}

// New begins with what a site has, nil for nothing, and what was said before a break.
func New(s *site.Site, said []Said) *Learner {
	if s == nil {
		s = &site.Site{}
	}
	l := &Learner{site: s, states: map[string]heard{}, garbled: map[string]string{}}
	l.said = slices.Clone(said)
	l.fold()
	return l
}

// Said is all that was said.
func (l *Learner) Said() []Said { return slices.Clone(l.said) }

// Site is the site that the file would have.
func (l *Learner) Site() *site.Site { return l.site }

// Zones are those that were learnt; the caller may change them.
func (l *Learner) Zones() []site.Zone {
	zones := slices.Clone(l.zones)
	for i := range zones {
		zones[i].Detectors = slices.Clone(zones[i].Detectors)
	}
	return zones
}

// Further are the detectors that were learnt on zones of the file, by number.
func (l *Learner) Further() map[int][]site.Detector {
	more := map[int][]site.Detector{}
	for number, detectors := range l.more {
		more[number] = slices.Clone(detectors)
	}
	return more
}

// Learnt counts zones and detectors that were learnt.
func (l *Learner) Learnt() (zones, detectors int) {
	for _, z := range l.zones {
		detectors += len(z.Detectors)
	}
	for _, of := range l.more {
		detectors += len(of)
	}
	return len(l.zones), detectors
}

// AnythingHeard tells whether any message ever came.
func (l *Learner) AnythingHeard() bool { return l.any }

// mostAddresses bounds those that are followed: a site has 2,000 zones at most.
const mostAddresses = 10_000

// Fit tells whether an address can stand in a site file.
func Fit(address string) bool {
	return address != "" && oneline.Check(address) == nil && oneline.Clean(address) == address
}

// Of is what a signal is to a walk.
type Of int

// What a signal can be.
const (
	Nothing  Of = iota // that has to be told, or waits to be asked about
	Garbled            // something new that nobody understands
	Finished           // an operation on a zone that has no more detectors
)

// Heard takes a signal, and says what it is.
func (l *Learner) Heard(s signal.Signal) Of {
	l.any = true
	if s.Kept == signal.Again { // it was here before, and may be late
		return Nothing
	}
	if s.State == signal.NotUnderstood || !Fit(s.Address) {
		before, twice := l.garbled[s.Address]
		if twice && before == s.Raw || !twice && len(l.garbled) >= mostAddresses {
			return Nothing
		}
		l.garbled[s.Address] = s.Raw
		return Garbled
	}
	was, known := l.states[s.Address]
	if !known && len(l.states) >= mostAddresses {
		return Nothing
	}
	now := heard{state: s.State, at: s.At, kept: s.Kept != ""}
	operated := l.operated(was, known, s)
	now.open = operated || was.open && s.State != signal.Restored
	l.states[s.Address] = now
	switch {
	case !operated || l.passing(s.Address):
	case l.all[s.Address]:
		return Finished
	default:
		l.wait(s)
	}
	return Nothing
}

// operated tells whether a signal says that something was opened just now: a change of
// state that is none of a loose contact. What stood open at first is told by its closing.
func (l *Learner) operated(was heard, known bool, s signal.Signal) bool {
	switch {
	case s.Kept != "", known && was.state == s.State, s.State == signal.Trouble:
		return false
	case known && !was.kept && s.At.Sub(was.at) < Chatter:
		return false
	case s.State == signal.Restored:
		return known && (was.state == signal.Active || was.state == signal.Tamper) && !was.open
	}
	return true
}

// passing tells whether an address is that of motion detectors while a question stands:
// whoever walks to answer it sets them off.
func (l *Learner) passing(address string) bool {
	z := l.zoneAt(address)
	return l.asking != "" && z != nil && z.Kind.Motion()
}

// wait puts an operation behind those that wait, each address once.
func (l *Learner) wait(s signal.Signal) {
	if !slices.ContainsFunc(l.waiting, func(o Operation) bool { return o.Address == s.Address }) {
		l.waiting = append(l.waiting, Operation{Address: s.Address, State: s.State, Raw: s.Raw})
	}
}

// ZoneName is what the zone of an address is called, "" for none.
func (l *Learner) ZoneName(address string) string {
	if z := l.zoneAt(address); z != nil {
		return z.Name
	}
	return ""
}

// Next is the operation to ask about; until Say or Forget it is the one that is being
// asked about.
func (l *Learner) Next() (Operation, bool) {
	l.asking = ""
	if len(l.waiting) == 0 {
		return Operation{}, false
	}
	o := l.waiting[0]
	l.waiting = l.waiting[1:]
	l.asking = o.Address
	o.Zone = l.zoneAt(o.Address)
	return o, true
}

// Say takes what was said of the operation.
func (l *Learner) Say(s Said) {
	l.asking = ""
	l.said = append(l.said, s)
	l.fold()
}

// Forget leaves the operation that is being asked about as if it had not been.
func (l *Learner) Forget() { l.asking = "" }

// TakeBack forgets the detector that was learnt last, and tells which; false for none.
func (l *Learner) TakeBack() (Said, bool) {
	for i := len(l.said) - 1; i >= 0; i-- {
		if s := l.said[i]; s.What == Detector {
			if z := l.zoneAt(s.Address); z != nil {
				s.Zone = z.Name
			}
			l.said = slices.Delete(l.said, i, i+1)
			l.fold()
			return s, true
		}
	}
	return Said{}, false
}

// fold makes zones and detectors of all that was said.
func (l *Learner) fold() {
	l.zones, l.more, l.all = nil, map[int][]site.Detector{}, map[string]bool{}
	for _, s := range l.said {
		switch s.What {
		case Complete:
			l.all[s.Address] = true
		case Detector:
			l.detector(s)
		}
	}
}

func (l *Learner) detector(s Said) {
	d := site.Detector{Name: s.Name, Location: s.Location, Kind: s.Kind}
	if z := l.site.ZoneAt(s.Address); z != nil {
		l.more[z.Number] = append(l.more[z.Number], d)
		return
	}
	at := slices.IndexFunc(l.zones, func(z site.Zone) bool { return z.Address == s.Address })
	if at < 0 {
		at = len(l.zones)
		l.zones = append(l.zones, site.Zone{Number: l.number(s.Address), Name: s.Name, Kind: s.Kind,
			Address: s.Address})
	}
	z := &l.zones[at]
	z.Detectors = append(z.Detectors, d)
	if s.Zone != "" {
		z.Name = s.Zone
	}
}

// zoneAt is the zone of an address with all the detectors that are known, nil for none.
func (l *Learner) zoneAt(address string) *site.Zone {
	if z := l.site.ZoneAt(address); z != nil {
		with := *z
		with.Detectors = slices.Concat(z.Detectors, l.more[z.Number])
		return &with
	}
	for i := range l.zones {
		if l.zones[i].Address == address {
			z := l.zones[i]
			return &z
		}
	}
	return nil
}

// lastDigits are those that an address ends in, or that stand last in it.
var lastDigits = regexp.MustCompile(`(?:^|[^0-9])0*([1-9][0-9]{0,3})[^0-9]*$`)

// highestNumber is the highest that a zone can have.
const highestNumber = 9999

// number is the number for a new zone: the one in its address, or the next above all, or
// the first that is free.
func (l *Learner) number(address string) int {
	taken, highest := map[int]bool{}, 0
	for _, z := range slices.Concat(l.site.Zones, l.zones) {
		taken[z.Number], highest = true, max(highest, z.Number)
	}
	if m := lastDigits.FindStringSubmatch(address); m != nil {
		if n, err := strconv.Atoi(m[1]); err == nil && !taken[n] {
			return n
		}
	}
	n := highest + 1
	if n > highestNumber {
		for n = 1; taken[n]; n++ {
		}
	}
	return n
}
