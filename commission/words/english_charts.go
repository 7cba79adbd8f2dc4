package words

import (
	"fmt"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
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
	switch {
	case len(p.Limits) > 1:
		text += ". Dashed: the limits, each for its kinds of detectors"
	case len(p.Limits) == 1:
		text += ". Dashed: the limit"
	}
	if p.Trials > p.N {
		text += fmt.Sprintf(". Strokes below: all %d trials, the earlier ones too", p.Trials)
	}
	text += "."
	if p.Silent > 0 {
		text += " The curve ends below 100 %: " + count(p.Silent, "more detector was", "more detectors were") +
			" not reported active."
	}
	if p.Slow > 0 {
		text += fmt.Sprintf(" Not among them: %s of kinds that take their own time.", count(p.Slow, "detector", "detectors"))
	}
	return text
}

func (l English) orderSays(p OrderSays) string {
	text := fmt.Sprintf("%s in the order of the visit, each in per cent of its own limit.",
		count(p.Trials, "trial", "trials"))
	if p.Name != "" {
		text += fmt.Sprintf(" Nearest to its limit and in time: %s, %s %%.", p.Name, l.Number(p.Nearest, 0))
	}
	if len(p.Other) > 0 {
		text += " Crosses, not in time or not decided: " + fewPoints(p.Other) + "."
	}
	if len(p.Silent) > 0 {
		text += " Crosses at the upper edge, not reported active: " + fewPoints(p.Silent) + "."
	}
	if len(p.Other)+len(p.Silent) == 0 {
		return text + " None was late."
	}
	return text + " What came of each stands in the schedule."
}

// fewPoints names some points, each once, and counts the rest.
func fewPoints(all []site.Point) string {
	names, more := Few(all)
	if more > 0 {
		return fmt.Sprintf("%s and %d more", names, more)
	}
	return names
}

func (l English) supplySays(p SupplySays) string {
	text := "Each mark is a reading"
	switch {
	case p.Drawn:
		text += fmt.Sprintf(", its upright stroke the uncertainty: ± %s V at most", l.Number(p.Uncertainty, 2))
	case p.Uncertainty > 0:
		text += fmt.Sprintf(", ± %s V at most", l.Number(p.Uncertainty, 2))
	}
	text += "."
	if p.Lowest > 0 {
		text += fmt.Sprintf(" Without mains, for %s in all, the lowest was %s V", l.Duration(p.Off), l.Number(p.Lowest, 2))
		if p.Loaded {
			text += ", with load"
		}
		text += "."
	}
	return text
}
