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

// germanClockLaws say what entries of a record contradict in its clocks.
var germanClockLaws = map[record.Law]string{
	record.LawClocksAgree: "Uhrzeit und vergangene Zeit passen nicht zusammen, und kein Eintrag sagt, dass die " +
		"Uhr gestellt wurde oder der Computer schlief",
}

// ofConsistency says what contradicts itself in a record, and what became of the computer.
func (l Language) ofConsistency(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Law:
		said := cmp.Or(germanClockLaws[p], germanTimeLaws[p], germanReadingLaws[p], germanFaultLaws[p])
		return said, said != ""
	case judge.Contradicted:
		return fmt.Sprintf("die Aufzeichnung widerspricht sich in %s: %s", entries(p), l.Say(p.Law)), true
	case judge.WasAbsent:
		why := "das Programm lief nicht"
		if p.Asleep {
			why = "der Computer schlief"
		}
		return fmt.Sprintf("%s, zusammen %s (%s); was währenddessen wartete, wurde wiederholt, und diese Zeit "+
			"zählt nicht",
			why, l.Duration(roughly(p.Lasted)), occasions(p.Times, p.From, p.To)), true
	case judge.ClockSet:
		often := ""
		if p.Times > 1 {
			often = fmt.Sprintf("%d-mal, am weitesten ", p.Times)
		}
		return fmt.Sprintf("die Uhr des Computers wurde während des Termins %s%s (um %s); keine Dauer beruht "+
			"auf ihr",
			often, l.direction(p.By, p.AtLeast), p.At.Format(time.TimeOnly)), true
	case ask.TrialAbsent:
		why := "konnte dieses Programm nicht laufen"
		if p.Asleep {
			why = "schlief dieser Computer"
		}
		return fmt.Sprintf("%s lang %s, während der Melder erwartet wurde; die Zeit wäre falsch und zählt "+
			"nicht. Lassen Sie ihn in Ruhe kommen, dann noch einmal. Geschieht das öfter, schließen Sie andere "+
			"Programme.",
			l.Duration(p.Lasted.Round(10*time.Millisecond)), why), true
	case ask.WasAbsent:
		if p.Asleep {
			return fmt.Sprintf("Dieser Computer schlief %s lang: Diese Zeit zählt "+
				"nicht.", l.Duration(roughly(p.Lasted))), true
		}
		return fmt.Sprintf("Dieses Programm stand %s lang still: Diese Zeit zählt nicht.",
			l.Duration(roughly(p.Lasted))), true
	case ask.ClockWasSet:
		return fmt.Sprintf("Die Uhr dieses Computers wurde %s. Die Zeiten des Termins beruhen nicht auf ihr; es "+
			"steht in der Aufzeichnung.",
			l.direction(p.By, p.AtLeast)), true
	}
	return "", false
}

// direction is a step of a clock, as what was done to it.
func (l Language) direction(by time.Duration, atLeast bool) string {
	way := " vorgestellt"
	if by < 0 {
		way = " zurückgestellt"
	}
	atLeastBy := "um "
	if atLeast {
		atLeastBy = "um mindestens "
	}
	return atLeastBy + l.Duration(roughly(by.Abs())) + way
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
		return "bemerkt um " + from.Format(time.TimeOnly)
	}
	return fmt.Sprintf("%d-mal, von %s bis %s", times, from.Format(time.TimeOnly), to.Format(time.TimeOnly))
}

// entries names the entries of a contradiction.
func entries(c judge.Contradicted) string {
	var named []string
	for _, n := range c.Entries {
		named = append(named, strconv.Itoa(n))
	}
	text := "Eintrag " + named[0]
	if len(named) > 1 {
		text = "den Einträgen " + strings.Join(named, ", ")
	}
	if more := c.All - len(named); more > 0 {
		text += fmt.Sprintf(" und %d weiteren", more)
	}
	return text
}
