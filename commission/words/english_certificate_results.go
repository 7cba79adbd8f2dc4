package words

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// ofResults says what tables say beside trials.
func (l English) ofResults(p Phrase) string {
	switch p := p.(type) {
	case ZoneEntry:
		return fmt.Sprintf("%d %s", p.Number, p.Name)
	case record.Result:
		return englishAnswers[p]
	case Checked:
		return englishChecked[record.Result(p)]
	case Decided:
		return englishDecided[checks.Ruling(p)]
	case VoltageOff:
		text := "Supply voltage, mains removed for " + l.Duration(p.After)
		if p.Loaded {
			text += ", all outputs on"
		}
		return text
	case ReadBefore:
		return "read before: " + l.volts(p.Volt)
	case ColdRestart:
		return l.coldRestart(p)
	case Before:
		return "before: " + l.Say(p.Answers)
	case ToChange:
		return "to change: " + p.Text
	}
	return ""
}

var englishAnswers = map[record.Result]string{
	record.Done:          "done",
	record.NotApplicable: "not applicable",
	record.Defect:        "defect",
	record.Works:         "works",
	record.Fails:         "fails",
	record.Yes:           "yes",
	record.No:            "no",
	record.AsItIs:        "as it is",
	record.LeftOut:       "not tested",
}

var englishChecked = map[record.Result]string{
	record.Done:          "done",
	record.NotApplicable: "n. a.",
	record.Defect:        "defect",
	record.LeftOut:       "not checked",
	"":                   "open",
}

var englishDecided = map[checks.Ruling]string{
	checks.Pass: "within", checks.Undecided: "undecided", checks.Fail: "outside",
}

func (l English) volts(all []float64) string {
	var texts []string
	for _, v := range all {
		texts = append(texts, l.Number(v, 2)+" V")
	}
	return strings.Join(texts, ", ")
}

func (l English) coldRestart(p ColdRestart) string {
	limit := "limit " + l.Duration(p.Limit.Duration()) + ", " + l.Say(p.Limit)
	if p.Silent {
		return "Cold restart: the controller did not report again (" + limit + ")."
	}
	return "Cold restart: after all power had been off, the first report came " +
		l.Duration(p.Took.Round(100*time.Millisecond)) + " after its return (" + limit + ")."
}

// ofTrials says what trials showed and how they were timed.
func (l English) ofTrials(p Phrase) string {
	switch p := p.(type) {
	case KindLimit:
		return l.Say(p.Kind) + " " + l.timeLimit(p.Limit)
	case WalkTestLimits:
		return l.walkTestLimits(p)
	case BrokenOff:
		return count(p.Trials, "trial", "trials") + " broken off"
	case LastTrial:
		var earlier []string
		for _, e := range p.Earlier {
			earlier = append(earlier, l.Say(e))
		}
		return fmt.Sprintf("%s in trial %d of %d; before: %s", l.Say(p.Verdict), p.Trials, p.Trials,
			strings.Join(earlier, ", "))
	case EarlierTrial:
		return l.earlierTrial(p)
	case ResponseTimes:
		return l.responseTimes(p.Of)
	case ReportingProof:
		return l.reportingProof(p.Of)
	case HowTimed:
		return l.howTimed(p.By)
	case ChimeTrial:
		return l.chimeTrial(p)
	case ChimeMissed:
		return fmt.Sprintf("trial %d; before: not heard in %d", p.Trials, p.Missed)
	}
	return ""
}
