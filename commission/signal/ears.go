package signal

import (
	"fmt"
	"slices"
)

// Together describes several ears as one source: what is said of all is the worst of each.
// A computer takes the times of each: what a person's keys tell, or what is simulated, is no ear.
func Together(ears []Listening) Listening {
	l := Listening{Way: Several, TimedBy: ByComputer, Ears: ears}
	for _, ear := range ears {
		l.UncertaintyNS = max(l.UncertaintyNS, ear.UncertaintyNS)
		l.Sampled = l.Sampled || ear.Sampled
		l.Simulated = l.Simulated || ear.Simulated
		for _, a := range ear.Tells {
			if !slices.Contains(l.Tells, a) {
				l.Tells = append(l.Tells, a)
			}
		}
	}
	return l
}

// EarsOf are those that can report an address: all, where none is known to. None where there is
// one source for everything.
func (l Listening) EarsOf(address string) []Listening {
	var of []Listening
	for _, ear := range l.Ears {
		if slices.Contains(ear.Addresses, address) {
			of = append(of, ear)
		}
	}
	if len(of) == 0 {
		return l.Ears
	}
	return of
}

// Ear is one of several, by its way; false where it is none.
func (l Listening) Ear(way Way) (Listening, bool) {
	i := slices.IndexFunc(l.Ears, func(ear Listening) bool { return ear.Way == way })
	if i < 0 {
		return Listening{}, false
	}
	return l.Ears[i], true
}

// Of is the ear that something came by, the whole where there are not several.
func (l Listening) Of(way Way) Listening {
	if ear, is := l.Ear(way); is {
		return ear
	}
	return l
}

func (l Listening) checkEars() error {
	if (l.Way == Several) != (len(l.Ears) > 1) || l.Way == Several && l.Addresses != nil {
		return fmt.Errorf("listening: way %q, %d ears", l.Way, len(l.Ears))
	}
	seen := map[Way]bool{}
	for _, ear := range l.Ears {
		if ear.Way == Several || len(ear.Ears) > 0 || seen[ear.Way] {
			return fmt.Errorf("listening: ear %q", ear.Way)
		}
		if err := ear.Check(); err != nil {
			return err
		}
		seen[ear.Way] = true
	}
	return nil
}
