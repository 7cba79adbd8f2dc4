package words

import (
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

func (l English) lastTrial(p LastTrial) string {
	var earlier []string
	for _, e := range p.Earlier {
		earlier = append(earlier, l.Say(e))
	}
	text := fmt.Sprintf("%s in trial %d of %d; before: %s", l.Say(RuledTrial(p.Verdict)), p.Trial, p.Trials,
		strings.Join(earlier, ", "))
	if len(p.Mended) > 0 {
		text += ", mended: " + englishQuotes.All(p.Mended)
	}
	return text
}

func (l English) earlierTrial(p EarlierTrial) string {
	text := l.Say(RuledTrial(p.Verdict).Shortly())
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
	if s.N == 1 {
		return "Response of 1 detector in its last trial: " + seconds(s.Max) + "; longest limit " + seconds(s.Limit) + "."
	}
	text := fmt.Sprintf("Responses of %d detectors, each in its last trial: median %s, ", s.N, seconds(s.P50))
	if s.Percentiles() {
		text += fmt.Sprintf("90 %% within %s, 95 %% within %s, ", seconds(s.P90), seconds(s.P95))
	}
	return text + "longest " + seconds(s.Max) + "; longest limit " + seconds(s.Limit) + "."
}

func (l English) timesInFull(s judge.Summary) string {
	seconds := func(v float64) string { return l.Number(v, 2) + " s" }
	text := fmt.Sprintf("Response times: %d values, mean %s", s.N, seconds(s.Mean))
	if !math.IsNaN(s.StandardDeviation) {
		text += ", standard deviation " + seconds(s.StandardDeviation)
	}
	text += ". Kinds whose response is a tester's matter, as smoke, are left out. "
	switch {
	case s.Bounded():
		text += "Percentiles by p(N+1), Hyndman–Fan 6. If detectors are alike, 95 % of responses are within the longest of " +
			"these values, with a confidence of 95 % (59 values or more; Wilks)."
	case s.Percentiles():
		text += "Percentiles by p(N+1), Hyndman–Fan 6. Fewer than 59 values give no bound of the 95th percentile at a " +
			"confidence of 95 % (Wilks)."
	default:
		text += "Of fewer than 20 values no 95th percentile is told: it would be the longest."
	}
	return text
}

func operations(o judge.Operations) string {
	text := fmt.Sprintf("Operated %s, reported %d; ", count(o.Operated, "time", "times"), o.Reported)
	switch missed := o.Operated - o.Reported; {
	case missed == 0:
		text += "nothing was missed"
	case o.Mended == missed:
		text += fmt.Sprintf("%d missed, mended since and proved", missed)
	case o.Mended > 0:
		text += fmt.Sprintf("%d missed, of which %d before a repair that was proved", missed, o.Mended)
	default:
		text += fmt.Sprintf("%d missed", missed)
	}
	text += fmt.Sprintf("; %d repeated", o.Repeated)
	switch {
	case o.OnStandby > 0 && o.OnStandby == o.Repeated:
		text += ", without mains"
	case o.OnStandby > 0:
		text += fmt.Sprintf(", of which %d without mains", o.OnStandby)
	}
	if o.Struck > 0 {
		text += fmt.Sprintf("; %s not counted", count(o.Struck, "trial was struck and is", "trials were struck and are"))
	}
	return text + "."
}

func (l English) boundsNote(confidence float64) string {
	percent := l.Number(100*confidence, 0) + " %"
	return "At least: the share of its operations that the detector reports, by what was tried, with a confidence of " +
		percent + " (one-sided, exact binomial, Clopper–Pearson). Assumed: operations of the same detector are alike and " +
		"do not depend on each other. What was missed before a repair does not count, nor what was struck. A low figure " +
		"after few operations tells how few they were, not that the detector is poor. Detectors that were operated once " +
		"are not in the table: one operation gives no such figure that helps."
}

func (l English) howTimed(p HowTimed) string {
	by := p.By
	bound := " A time runs from the cue to the signal and has the technician's own delay in it: who is slow lengthens " +
		"it, who moves before the cue shortens it."
	if by.ByHand {
		bound = " A time runs from the cue to the key and has the technician's own delays in it, to operate and to press: " +
			"who is slow lengthens it, who moves before the cue or presses too early shortens it."
	}
	if p.Again {
		bound = ""
	}
	return fmt.Sprintf(
		"How times were taken%s: %s, %s; uncertainty ± %s s (k = 2).%s",
		englishOfZones(p.Zones),
		l.Say(by.Way),
		l.Say(by.TimedBy),
		l.Number(float64(by.UncertaintyNS)/1e9, 2),
		bound,
	) + l.howHeard(
		by,
	)
}

func (l English) chimeTrial(p ChimeTrial) string {
	switch {
	case !p.Tried:
		return fmt.Sprintf("zone %d: not tried", p.Zone)
	case p.Reported == 0 && !p.Works:
		return fmt.Sprintf("zone %d to be opened, not reported", p.Zone)
	}
	text := fmt.Sprintf("zone %d", p.Zone)
	if p.Reported > 0 {
		text += " opened, reported after " + l.Number(p.Reported.Seconds(), 2) + " s"
	} else {
		text += " to be opened, not reported"
	}
	if p.Works {
		text += ", heard after " + l.Number(p.Heard.Seconds(), 1) + " s (by hand)"
	}
	return text
}

// observed is what becomes of an output that works, and of one that fails.
func observed(kind site.OutputKind, r record.Result) string {
	verb := "heard"
	if kind == site.Strobe {
		verb = "seen"
	}
	if r == record.Fails {
		return "not " + verb
	}
	return verb
}

func (l English) outputTrial(p OutputTrial) string {
	if p.Result == record.LeftOut {
		if p.Energised {
			return "energised, not answered for"
		}
		return "not tried"
	}
	text := observed(p.Kind, p.Result)
	if p.Energised {
		text = "energised, " + text
	}
	if p.On > 0 {
		text += ", off after " + l.Duration(p.On.Round(100*time.Millisecond))
	}
	if p.Because != "" {
		text += " (" + l.Say(p.Because) + ")"
	}
	if p.After {
		text += ", answered after it went off"
	}
	return text
}

var englishOffReasons = map[record.OffBecause]string{
	record.OffPhoneSilent: "the phone was out of reach",
	record.OffQuiet:       "silenced by the technician",
	record.OffGuardLost:   "what would have switched it off otherwise was gone",
	record.OffTimeUp:      "its time was up",
	record.OffRefused:     "the controller did not switch it on",
}

func cutOff(p CutOffSaid) string {
	switch {
	case p.Declared == "" && p.Observed == "":
		return "cut-off neither declared nor observed"
	case p.Observed == "":
		return "cut-off " + p.Declared + " declared, not observed"
	case p.Declared == "":
		return "cut-off observed after " + p.Observed
	}
	return "cut-off " + p.Declared + " declared, observed after " + p.Observed
}
