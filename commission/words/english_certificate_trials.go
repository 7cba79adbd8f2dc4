package words

import (
	"fmt"
	"math"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// timeLimit is a limit on time, and who says so.
func (l English) timeLimit(s site.Limit) string {
	return l.Number(s.SI, AsNeeded) + " s (" + l.Say(s) + ")"
}

func (l English) walkTestLimits(p WalkTestLimits) string {
	each := func(limits []KindLimit) string {
		var texts []string
		for _, k := range limits {
			texts = append(texts, l.Say(k))
		}
		return strings.Join(texts, ", ")
	}
	return fmt.Sprintf("Limits: response %s; restored: %s. Silent: nothing within %s, or until the technician gave up. "+
		"A report had to stand for %s. Rule: within its limit by more than its uncertainty is proved; closer than that "+
		"is undecided (JCGM 106). The bar shows the response against its limit (the tick).", each(p.Response),
		each(p.Restore), each(p.ListenFor), l.timeLimit(p.Steady))
}

func (l English) earlierTrial(p EarlierTrial) string {
	text := l.Say(p.Verdict)
	if p.WhenRestored {
		text += " when restored"
	}
	if p.Reported {
		text += " (operated: " + l.Number(p.Operated.Seconds(), 2) + " s)"
	}
	return text
}

func (l English) responseTimes(s judge.Summary) string {
	seconds := func(v float64) string { return l.Number(v, 2) + " s" }
	deviation := ""
	if !math.IsNaN(s.StandardDeviation) {
		deviation = " (standard deviation " + seconds(s.StandardDeviation) + ")"
	}
	return fmt.Sprintf("Response of %s in their last trial: mean %s%s, median %s, 90 %% within %s, 95 %% within %s "+
		"(percentiles by p(N+1), Hyndman–Fan 6), longest %s; limit %s.", count(s.N, "detector", "detectors"),
		seconds(s.Mean), deviation, seconds(s.P50), seconds(s.P90), seconds(s.P95), seconds(s.Max), seconds(s.Limit))
}

func (l English) reportingProof(p judge.Proof) string {
	percent := func(share float64, decimals int) string { return l.Number(100*share, decimals) + " %" }
	return fmt.Sprintf("%d of %d operations were reported, repeats counted. At %s confidence this proves that at least "+
		"%s of operations are reported (exact binomial lower bound, Clopper–Pearson), if detectors are alike. Counted "+
		"is every operation that was reported, or missed past its limit even if it was broken off then. To show 99 %% "+
		"takes %d operations without a miss.", p.Reported, p.Operations, percent(p.Confidence, 0),
		percent(math.Floor(1000*p.LowerBound)/1000, 1), p.NeededFor99) // a bound is never rounded up
}

func (l English) howTimed(by signal.Listening) string {
	bound := "A time runs from the cue and contains the technician's own delay: it is an upper bound of the system's " +
		"response and can never flatter it."
	if by.ByHand {
		bound = "A time runs from the cue and contains the technician's own delays, to operate and to press the key; a " +
			"key pressed too early would shorten it."
	}
	return fmt.Sprintf("How times were taken: %s, %s; uncertainty ± %s s (k = 2). %s", l.Say(by.Way), l.Say(by.TimedBy),
		l.Number(float64(by.UncertaintyNS)/1e9, 2), bound)
}

func (l English) chimeTrial(p ChimeTrial) string {
	text := fmt.Sprintf("zone %d opened", p.Zone)
	if p.Reported > 0 {
		text += ", reported after " + l.Number(p.Reported.Seconds(), 2) + " s"
	}
	if p.Works {
		text += ", heard after " + l.Number(p.Heard.Seconds(), 1) + " s (by hand)"
	}
	return text
}
