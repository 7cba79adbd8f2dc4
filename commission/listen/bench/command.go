package bench

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

// Verb is what is done in the building, as it is typed and as a scenario has it.
type Verb string

// What can be done.
const (
	Open       Verb = "open"        // At is operated
	Close      Verb = "close"       // At is let go
	Touch      Verb = "touch"       // At is operated for a moment
	All        Verb = "all"         // each detector is operated for a moment, one after the other
	MainsOff   Verb = "mains off"   // it is removed
	MainsOn    Verb = "mains on"    // and restored
	BatteryOff Verb = "battery off" // it is disconnected
	BatteryOn  Verb = "battery on"
	Set        Verb = "set" // the exit time begins
	Unset      Verb = "unset"
	Restart    Verb = "restart" // the controller is gone For a time
	Silence    Verb = "silence" // For a time nothing is reported; what happens meanwhile is lost
	Storm      Verb = "storm"   // For a time, Rate reports a second
	Again      Verb = "again"   // the scenario begins anew
	Quit       Verb = "quit"
)

// Verbs are all of a scenario; what is typed knows Again and Quit, too.
var Verbs = []string{string(Open), string(Close), string(Touch), string(All), string(MainsOff), string(MainsOn),
	string(BatteryOff), string(BatteryOn), string(Set), string(Unset), string(Restart), string(Silence), string(Storm)}

// The bounds of commands.
const (
	MostRate    = 20000 // reports a second
	MostFor     = time.Hour
	UsuallyGone = 20 * time.Second // after a restart
)

// Command is one thing to do.
type Command struct {
	Do   Verb
	At   site.Point
	For  time.Duration
	Rate int
}

// OfDetector tells whether a verb needs a detector, and Lasting whether it needs a time.
func (v Verb) OfDetector() bool { return v == Open || v == Close || v == Touch }

// Lasting tells whether a verb lasts for a time.
func (v Verb) Lasting() bool { return v == Restart || v == Silence || v == Storm }

var errNothing = errors.New("nothing is typed")

// ParseCommand reads what somebody typed: "3.1 open", "3.1" (touch), "mains off", "storm 1000 10 s",
// "silence 10 s", "restart", "restart 30 s", "all". A zone's number alone is its first detector.
func ParseCommand(line string, s *site.Site) (Command, error) {
	parts := strings.Fields(strings.ToLower(line))
	if len(parts) == 0 {
		return Command{}, errNothing
	}
	if first := parts[0][0]; first >= '0' && first <= '9' {
		return ofDetector(parts, s)
	}
	verb := Verb(parts[0])
	rest := parts[1:]
	if (verb == "mains" || verb == "battery") && len(rest) > 0 {
		verb, rest = verb+Verb(" "+rest[0]), rest[1:]
	}
	c := Command{Do: verb}
	switch {
	case verb.OfDetector() && len(rest) == 1:
		return ofDetector([]string{rest[0], string(verb)}, s)
	case verb == Storm:
		if len(rest) < 2 {
			return c, errors.New("a storm has a rate and a time: storm 1000 10 s")
		}
		rate, err := strconv.Atoi(rest[0])
		if err != nil || rate < 1 || rate > MostRate {
			return c, fmt.Errorf("a storm has from 1 to %d reports a second", MostRate)
		}
		c.Rate, rest = rate, rest[1:]
	case verb == Restart && len(rest) == 0:
		c.For = UsuallyGone
		return c, nil
	}
	if verb.Lasting() {
		q, err := checks.Time.Parse(strings.Join(rest, " "))
		if err != nil {
			return c, err
		}
		c.For = q.Duration()
		if c.For <= 0 || c.For > MostFor {
			return c, fmt.Errorf("%s lasts at most %s", verb, checks.FormatDuration(MostFor))
		}
		return c, nil
	}
	known := append(slices.Clone(Verbs), string(Again), string(Quit))
	if !slices.Contains(known, string(verb)) || len(rest) > 0 {
		hint := ""
		if near := strictyaml.Nearest(strings.Join(parts, " "), known); near != "" {
			hint = fmt.Sprintf("; is %q meant?", near)
		}
		return c, fmt.Errorf("that is not understood%s", hint)
	}
	if verb.OfDetector() {
		return c, errors.New("which detector? For example: 3.1 open")
	}
	return c, nil
}

func ofDetector(parts []string, s *site.Site) (Command, error) {
	c := Command{Do: Touch, At: site.Point(parts[0])}
	if n, err := strconv.Atoi(parts[0]); err == nil {
		c.At = site.PointOf(n, 0)
	}
	if _, _, err := s.Find(c.At); err != nil {
		return c, err
	}
	if len(parts) > 1 {
		c.Do = Verb(parts[1])
	}
	if len(parts) > 2 || !c.Do.OfDetector() {
		return c, errors.New("a detector can be opened or closed: 3.1 open, 3.1 close, or 3.1 for a moment")
	}
	return c, nil
}
