package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/programme"
)

var englishChartLabels = map[ChartLabel]string{
	ResponseAxis: "response / s", DetectorsAxis: "detectors / %", VisitMinutesAxis: "minutes after the first",
	InTimeMark: "in time", NotInTimeMark: "not in time", UnloadedMark: "without load", LoadedMark: "with load",
	MainsOffArea: "mains removed",
}

// ofCharts says what charts of this visit show.
func (l English) ofCharts(p Phrase) (string, bool) {
	switch p := p.(type) {
	case ChartLabel:
		return englishChartLabels[p], englishChartLabels[p] != ""
	case BriefDetector:
		return briefly(programme.DetectorName(p)), true
	case CumulativeSays:
		return l.cumulativeSays(p), true
	case OrderSays:
		return l.orderSays(p), true
	case SupplySays:
		return l.supplySays(p), true
	}
	return "", false
}

func (l English) cumulativeSays(p CumulativeSays) string {
	text := fmt.Sprintf("Each step is a detector. Half of %d were reported within %s s, all within %s s", p.N,
		l.Number(p.Half, 2), l.Number(p.Slowest, 2))
	if p.N == 1 {
		text = fmt.Sprintf("The one detector that was timed was reported within %s s", l.Number(p.Slowest, 2))
	}
	if p.Name != "" {
		text += ": " + p.Name
	}
	var limits []string
	for _, limit := range p.Limits {
		limits = append(limits, l.Number(limit, AsNeeded)+" s")
	}
	text += ". Dashed: limits of " + strings.Join(limits, ", ")
	return text + fmt.Sprintf(", each for its kinds. Strokes below: %s, earlier ones of the same detector too.",
		count(p.Trials, "trial", "trials"))
}

func (l English) orderSays(p OrderSays) string {
	text := fmt.Sprintf("%s in the order of the visit, each in per cent of its own limit.",
		count(p.Trials, "trial", "trials"))
	if p.Name != "" {
		text += fmt.Sprintf(" Nearest to its limit and in time: %s, %s %%.", p.Name, l.Number(p.Nearest, 0))
	}
	if p.Other > 0 {
		text += fmt.Sprintf(" Crosses: %s not in time, or not decided.", count(p.Other, "trial", "trials"))
	}
	if p.Silent > 0 {
		text += fmt.Sprintf(" At the upper edge: %s without any report.", count(p.Silent, "trial", "trials"))
	}
	if p.Other+p.Silent == 0 {
		text += " None was late."
	}
	return text
}

func (l English) supplySays(p SupplySays) string {
	text := "Each mark is a reading."
	if p.Uncertainty > 0 {
		text = fmt.Sprintf("Each mark is a reading, its upright stroke the uncertainty: ± %s V at most.",
			l.Number(p.Uncertainty, 2))
	}
	if p.Lowest > 0 {
		text += fmt.Sprintf(" Without mains, for %s in all, the lowest was %s V", l.Duration(p.Off), l.Number(p.Lowest, 2))
		if p.Loaded {
			text += ", with load"
		}
		text += "."
	}
	return text
}
