package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"strconv"
	"strings"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// englishClockLaws say what entries of a record contradict in its clocks.
var germanClockLaws = map[record.Law]string{
	record.LawClocksAgree: "the time of day and the time that passed do not go together, and no entry says that " +
		"the clock was set or the computer slept",
}

// ofConsistency says what contradicts itself in a record, and what became of the computer.
func (l Language) ofConsistency(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Law:
		said := cmp.Or(germanClockLaws[p], germanTimeLaws[p], germanReadingLaws[p], germanFaultLaws[p])
		return said, said != ""
	case judge.Contradicted:
		return fmt.Sprintf("the record contradicts itself in %s: %s", entries(p), l.Say(p.Law)), true
	case judge.WasAbsent:
		why := "the program did not run"
		if p.Asleep {
			why = "the computer slept"
		}
		return fmt.Sprintf("%s for %s (%s); what waited meanwhile was tried again, and no such time counts",
			why, l.Duration(roughly(p.Lasted)), occasions(p.Times, p.From, p.To)), true
	case judge.ClockSet:
		often := ""
		if p.Times > 1 {
			often = fmt.Sprintf("%d times, most of all ", p.Times)
		}
		return fmt.Sprintf("the computer's clock was set %s%s during the visit (at %s); no duration rests on it",
			often, l.direction(p.By, p.AtLeast), p.At.Format(time.TimeOnly)), true
	case ask.TrialAbsent:
		why := "this program could not run"
		if p.Asleep {
			why = "this computer slept"
		}
		return fmt.Sprintf("For %s %s while the detector was awaited, so the time would be wrong: it does not count. "+
			"Let it come to rest, then once more. If this goes on, close other programs.",
			l.Duration(p.Lasted.Round(10*time.Millisecond)), why), true
	case ask.WasAbsent:
		if p.Asleep {
			return fmt.Sprintf("This computer slept for %s: that time does not count.", l.Duration(roughly(p.Lasted))), true
		}
		return fmt.Sprintf("This program was stopped for %s: that time does not count.",
			l.Duration(roughly(p.Lasted))), true
	case ask.ClockWasSet:
		return fmt.Sprintf("This computer's clock was set %s. The visit's times do not rest on it; the record says so.",
			l.direction(p.By, p.AtLeast)), true
	}
	return "", false
}

// direction is a step of a clock.
func (l Language) direction(by time.Duration, atLeast bool) string {
	way := "forward by "
	if by < 0 {
		way = "back by "
	}
	if atLeast {
		way += "at least "
	}
	return way + l.Duration(roughly(by.Abs()))
}

// roughly is a duration as a person needs it.
func roughly(d time.Duration) time.Duration {
	if d < time.Minute {
		return d.Round(100 * time.Millisecond)
	}
	return d.Round(time.Second)
}

func occasions(times int, from, to time.Time) string {
	if times == 1 {
		return "noticed at " + from.Format(time.TimeOnly)
	}
	return fmt.Sprintf("%d times, from %s to %s", times, from.Format(time.TimeOnly), to.Format(time.TimeOnly))
}

// entries names the entries of a contradiction.
func entries(c judge.Contradicted) string {
	var named []string
	for _, n := range c.Entries {
		named = append(named, strconv.Itoa(n))
	}
	text := "entry " + named[0]
	if len(named) > 1 {
		text = "entries " + strings.Join(named, ", ")
	}
	if more := c.All - len(named); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}
