package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

var (
	englishUntimed = map[record.Untimed]string{
		record.NoTouch:      "no touch tells when they were operated",
		record.OwnTime:      "restored when the technician liked",
		record.ClockUnknown: "the phone's clock was not known then",
		record.ClockWide:    "the phone's clock was not known well enough then",
		record.StampedLate:  "this program may have stamped their reports too late then",
	}
	englishTaps          = map[record.TapBy]string{record.ByTouch: "touch", record.ByCount: "count"}
	englishMarks         = map[record.TapBy]string{record.ByTouch: "t", record.ByCount: "c"}
	englishMeansOfAnswer = map[record.Means]string{record.AtTerminal: "terminal", record.OnPhone: "phone"}
)

// ofTimed says what was done with a phone.
func (l English) ofTimed(p Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Untimed:
		return englishUntimed[p], englishUntimed[p] != ""
	case record.TapBy:
		return englishTaps[p], englishTaps[p] != ""
	case record.Means:
		return englishMeansOfAnswer[p], englishMeansOfAnswer[p] != ""
	case TimedFrom:
		return englishMarks[p.By] + " " + l.Number(p.Second, 2), englishMarks[p.By] != ""
	case judge.NotTimed:
		where := ""
		if p.OnStandby {
			where = " on standby"
		}
		return points(p.Of) + where + ": proved to be reported; how fast was not measured, since " + l.Say(p.Why), true
	case judge.OnlyReported:
		return "a fire or gas detector: only that its signal comes was shown, and not how fast; what else the fire code " +
			"asks for was not tested here", true
	case CuesGiven:
		return l.cuesGiven(p.Of), true
	case CueMarks:
		return cueMarks(p), true
	case Devices:
		return devices(p.Of), true
	case TouchedAt:
		return p.At.Format("15:04:05.000"), true
	case Between:
		return l.Number(p.From, p.Decimals) + " to " + l.Number(p.To, p.Decimals), true
	}
	return "", false
}

func (l English) cuesGiven(c judge.Cues) string {
	var ways List
	for _, way := range []struct {
		n  int
		by string
	}{{c.Told, "by this program"}, {c.Touched, "by a touch of the phone"}, {c.Counted, "by the count of the phone"}} {
		if way.n > 0 {
			ways.Of = append(ways.Of, AsTyped(fmt.Sprintf("%d cued %s", way.n, way.by)))
		}
	}
	if c.NotTimed > 0 {
		ways.Of = append(ways.Of, AsTyped(fmt.Sprintf("%d not timed", c.NotTimed)))
	}
	ways.By = And
	text := "Of " + count(c.Told+c.Touched+c.Counted+c.NotTimed, "trial that was carried to its end",
		"trials that were carried to their end") + ", " + l.Say(ways) + "."
	if !c.ByPhone() {
		return text
	}
	text += fmt.Sprintf(
		" Touch and count are by the phone's clock. How far it is from that of this program was bounded by "+
			"messages to and fro, whose ways may differ: to ± %s s at worst, ± %s s typically (half of the bounds). A person "+
			"misses the instant that they touch for, or count to, by up to %s s (k = 2, rounded up; after Repp 2005 and Deber "+
			"et al. 2016). Both are in the ± of such a time: what is closer to its limit than that is undecided.",
		l.Number(c.Widest.Seconds(), 3),
		l.Number(c.Typical.Seconds(), 3),
		l.Number(record.TapPerson.Seconds(), 1),
	)
	if c.OwnClock {
		text += " What the controller showed was told with a key of the same phone: cue and report are by one clock."
	}
	return text
}

func cueMarks(m CueMarks) string {
	var parts []string
	if m.Touched {
		parts = append(parts, "t: timed from a touch of the phone.")
	}
	if m.Counted {
		parts = append(parts, "c: timed from the end of the phone's count.")
	}
	if m.NotTimed {
		parts = append(parts, "Not timed: it was reported, or restored, and how fast was not measured.")
	}
	return strings.Join(parts, " ")
}

// devices lists phones, the first few of many.
func devices(of []string) string {
	const most = 3
	var parts []string
	for i, d := range of {
		switch {
		case i == most:
			return strings.Join(parts, ", ") + fmt.Sprintf(" and %d more", len(of)-most)
		case d == "":
			parts = append(parts, "a phone that does not describe itself")
		default:
			parts = append(parts, "phone, by its own description "+quoted(d))
		}
	}
	return strings.Join(parts, ", ")
}
