package words

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofResults says what tables say beside trials.
func (l English) ofResults(p Phrase) string {
	switch p := p.(type) {
	case record.OffBecause:
		return englishOffReasons[p]
	case record.Result:
		return englishAnswers[p] + englishFaultResults[p]
	case VoltageOff:
		text := "Supply voltage, mains removed for " + l.Duration(p.After)
		if p.After < time.Second {
			text = "Supply voltage, mains just removed"
		}
		if more := p.AtMost - p.After; more >= time.Second {
			text += ", at most " + l.Duration(p.AtMost) + ", not all of it watched"
		}
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
	return l.ofFitted(p)
}

// ofFitted says what is fitted, as the site file declares it.
func (l English) ofFitted(p Phrase) string {
	switch p := p.(type) {
	case ZoneHead:
		return l.zoneHead(p)
	case Zones:
		return zones(p)
	case ComputedTried:
		if p.Tried == 0 {
			return p.Computed + " computed, nothing tried"
		}
		return p.Computed + " computed, " + l.Duration(p.Tried.Round(time.Second)) + " tried"
	case BatteryForm:
		return englishForms[site.Form(p)]
	case CellCount:
		return count(p.N, "cell", "cells")
	case DeclaredAs:
		return "declared: " + l.Say(p.Of)
	case LimitCell:
		text := l.Number(p.SI, AsNeeded) + " s"
		if !site.Limit(p).Declared() {
			text += ", assumed"
		}
		return text
	case LimitsBy:
		return l.limitsBy(p)
	case SteadyRule:
		return l.steadyRule(p.Steady)
	}
	return ""
}

var englishForms = map[site.Form]string{
	site.Direct: "on the controller's terminals", site.Converter: "behind a converter", site.Inline: "inline pack",
}

func (l English) zoneHead(p ZoneHead) string {
	parts := List{By: Semicolons, Of: []Phrase{AsTyped(capital(l.Say(p.Zone)))}}
	if p.Area != "" {
		parts.Of = append(parts.Of, Named(p.Area))
	}
	if p.Kind != "" {
		parts.Of = append(parts.Of, p.Kind)
	}
	if p.Hint != nil {
		wiring, _, _ := strings.Cut(l.Say(*p.Hint), ":")
		parts.Of = append(parts.Of, AsTyped(wiring))
	}
	parts.Of = append(parts.Of, p.Cable)
	return l.Say(parts)
}

// zones joins numbers that follow each other: 1, 3–5.
func zones(all Zones) string {
	var texts []string
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1] == all[j]+1 {
			j++
		}
		text := fmt.Sprint(all[i])
		if j > i {
			text = fmt.Sprintf("%d–%d", all[i], all[j])
		}
		texts, i = append(texts, text), j+1
	}
	return strings.Join(texts, ", ")
}

// limitsBy names each who says so once.
func (l English) limitsBy(all LimitsBy) string {
	var texts []string
	for _, limit := range all {
		if text := l.Say(limit); !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return strings.Join(texts, "; ")
}

func (l English) steadyRule(s site.Limit) string {
	return "Assumed: nobody declared it, and a usual value of ours counts; nothing fails by it alone. Silent: nothing " +
		"was reported in that time, or until the technician gave up. A report had to stand for " + l.Number(
		s.SI,
		AsNeeded,
	) +
		" s (" + l.Say(
		s,
	) + "). Within its limit by more than its uncertainty is proved; closer than that is undecided."
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
	case BrokenOff:
		return count(p.Trials, "trial", "trials") + " broken off"
	case LastTrial:
		return l.lastTrial(p)
	case StruckTrial:
		return fmt.Sprintf("trial %d (%s) is struck and does not count: %s", p.Trial, l.Say(RuledTrial(p.Verdict)), quoted(p.Reason))
	case EarlierTrial:
		return l.earlierTrial(p)
	case ResponseTimes:
		return l.responseTimes(p.Of)
	case TimesInFull:
		return l.timesInFull(p.Of)
	case OperationsCounted:
		return operations(p.Of)
	case BoundsNote:
		return l.boundsNote(p.Confidence)
	case Share:
		return l.Number(math.Floor(1000*float64(p))/10, 1) + " %" // a bound is never rounded up
	case HowTimed:
		return l.howTimed(p)
	case HeardByEither:
		return englishOfEither(p.Zones)
	case OutputTrial:
		return l.outputTrial(p)
	case CutOffSaid:
		return cutOff(p)
	case ChimeTrial:
		return l.chimeTrial(p)
	case ChimeMissed:
		return fmt.Sprintf("trial %d; before: not heard in %d", p.Trials, p.Missed)
	}
	return ""
}
