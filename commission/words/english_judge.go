package words

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofJudge says findings, what they concern, verdicts and cautions.
func (l English) ofJudge(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Finding:
		return l.finding(p), true
	case judge.Subject:
		return l.subject(p), true
	case judge.Part:
		return englishParts[p], englishParts[p] != ""
	case judge.Shown:
		return l.shown(p), true
	case judge.Overall:
		return string(p), true
	case judge.Caution:
		return englishCautions[p], englishCautions[p] != ""
	case judge.Misplaced:
		return englishMisplaced[p], englishMisplaced[p] != ""
	case judge.Range:
		return l.limits(p), true
	case judge.Lack:
		return l.lack(p), true
	case Alike:
		return string(p[0]) + " and " + string(p[1]), true
	case OpenLoop:
		return "open", true
	case FaultReads:
		return "fault " + p.Ohm, true
	case site.Limit:
		return l.authority(p), true
	case record.Verdict:
		return string(p), true
	case record.Half:
		return string(p), true
	}
	for _, of := range []func(Phrase) (string, bool){l.ofDetectors, l.ofSupply, l.ofVisit, l.ofSeverity, l.ofTimed,
		l.ofFaults} {
		if text, has := of(p); has {
			return text, true
		}
	}
	return "", false
}

var englishParts = map[judge.Part]string{
	judge.PartChecklist: "Checklist",
	judge.PartVoltmeter: "Voltmeter",
	judge.PartSupply:    "Supply",
	judge.PartReporting: "Reporting on standby",
	judge.PartRestart:   "Cold restart",
	judge.PartVisit:     "Visit",
	judge.PartTimes:     "Times",
	judge.PartCustomer:  "Customer",
	judge.PartSignals:   "Signals",
	judge.PartDetection: "Detection",
	judge.PartExtent:    "Extent",
	judge.PartLimits:    "Limits",
	judge.PartVoltages:  "Voltages at detectors",
	judge.PartLoops:     "Loops",
	judge.PartOutputs:   "Outputs",
	judge.PartRecord:    "Record",
	judge.PartComputer:  "Computer",

	judge.PartCentre:      "Receiving centre",
	judge.PartPhotographs: "Photographs",
	judge.PartEarlier:     "Earlier visits",
}

func (l English) subject(s judge.Subject) string {
	switch {
	case s.Detector != nil:
		about := briefly(*s.Detector)
		if s.Detector.OnStandby {
			about += ", on standby"
		}
		return about
	case s.Zone != nil:
		return capital(l.Say(*s.Zone))
	case s.Step != nil:
		return l.Say(*s.Step)
	case s.Computed != nil:
		return l.aboutRow(s.Computed) + ", computed"
	}
	return l.Say(s.Part)
}

func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + text[size:]
}

// finding is what is the matter, with the reason and the remarks as typed.
func (l English) finding(f judge.Finding) string {
	text := because(l.Say(f.What), f.Because)
	if len(f.Noted) > 0 {
		text += " (noted: " + englishQuotes.All(f.Noted) + ")"
	}
	return text
}

// because appends a reason or remark to a text.
func because(text, remark string) string {
	if remark == "" {
		return text
	}
	return text + ": " + quoted(remark)
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }

var englishHalves = map[record.Half]string{record.Operate: "operated", record.Restore: "restored"}

// shown says what a trial means for its detector, and where to look.
func (l English) shown(s judge.Shown) string {
	j, half, times := s.Judgement, englishHalves[s.Half], ""
	if s.Trials > 1 {
		times = fmt.Sprintf(" in the last of %d trials", s.Trials)
	}
	switch j.Verdict {
	case record.Silent:
		return l.silent(j, half, times)
	case record.Crossed:
		return l.Say(
			*j.Other,
		) + ", answered instead" + times + "; look for swapped terminals, a detector on the other zone's loop, or a " +
			"wrong address"
	case record.Inverted:
		return "reported the opposite when " + half + times +
			"; look for normally open set where normally closed is wired"
	case record.Unsteady:
		return fmt.Sprintf("changed %d times when %s once%s; look for a loose magnet or a bad joint", j.Changes, half, times)
	case record.Late:
		return fmt.Sprintf("reported after %s when %s, later than its limit of %s%s",
			seconds(j.Response), half, l.Duration(j.Limit), times)
	case record.Undecided:
		return fmt.Sprintf("reported after %s ± %s when %s, too close to its limit of %s to decide%s (probability of "+
			"conforming %.0f %%)",
			seconds(j.Response), seconds(j.Uncertainty), half, l.Duration(j.Limit), times, 100*j.Probability)
	case record.Reported:
		return "reported when " + half + "; how fast was not measured"
	case record.Proved:
		return fmt.Sprintf("reported after %s when %s", seconds(j.Response), half)
	}
	return "not tested"
}

func (l English) silent(j record.Judgement, half, times string) string {
	const look = "; look for a bridged or broken loop, or a wrong address"
	waited := fmt.Sprintf("%.0f s", math.Floor(j.Waited.Seconds()))
	switch {
	case j.NotTimed != "" && j.Garbled == "":
		return "no report when " + half + times + ", in the technician's own order and time" + look
	case j.Garbled != "":
		return "reported " + englishQuotes.Readable(
			j.Garbled,
			"nothing",
		) + " when " + half + times + ", which controller.yaml does not know"
	case j.GaveUp:
		return "no report when " + half + times + ", when the technician gave up after " + waited + look
	}
	return "no report within " + waited + " when " + half + times + look
}

func (l English) ofDetectors(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.NotSo:
		return "not so: “" + l.Say(p.Item) + "”", true
	case judge.NotChecked:
		return "not checked: “" + l.Say(p.Item) + "”", true
	case judge.NotDone:
		return "not done: “" + l.Say(p.Act) + "”", true
	case judge.NotTested:
		if p.ProvedOnStandby {
			return "not tested in the walk-test, but proved once on standby", true
		}
		return "not tested", true
	case judge.NoPart:
		return "no part of this visit: not tested", true
	case judge.ProvedWithMains:
		return "proved, but mains had not been removed", true
	case judge.ProvedThenLeft:
		return "proved before, then not tested again", true
	case judge.AlsoAnswered:
		return l.Say(p.Zone) + ", answered as well; look for a short between the two loops", true
	case judge.ReportGarbled:
		return "reported " + englishQuotes.Readable(p.Raw, "nothing") + ", which controller.yaml does not know", true
	case judge.OnlyTimed:
		return "a fire or gas detector: only the time of its signal was taken; " +
			"what else the fire code asks for was not tested here", true
	case judge.NoneProved:
		return "no detector at all was proved", true
	case judge.HeardElsewhere:
		return englishHeardElsewhere(p.Signals), true
	case judge.StrangersReported:
		atLeast := ""
		if p.AtLeast {
			atLeast = "at least "
		}
		return fmt.Sprintf("the controller reported %s%d addresses that the site file does not have",
			atLeast, p.Addresses), true
	case judge.PhotographLost:
		return fmt.Sprintf("%s, entry %d, is no longer there as it was added", p.Name, p.Entry), true
	case judge.SignalsLost:
		return fmt.Sprintf("%d signals were lost between %s and %s, since they came faster than they could be "+
			"written; trials that waited meanwhile were taken again",
			p.Signals, p.From.Format(time.TimeOnly), p.To.Format(time.TimeOnly)), true
	case judge.NotObserved:
		if p.Kind == site.Strobe {
			return "was not seen", true
		}
		return "was not heard", true
	case judge.SwitchedOffLate:
		return "could not be switched off at once: " + p.Why, true
	}
	return "", false
}

var englishMisplaced = map[judge.Misplaced]string{
	judge.WithMains:      "read while mains was present",
	judge.WithoutMains:   "read while mains was removed",
	judge.OutputOff:      "read while its output was off",
	judge.OutputUnproved: "an output of its load was not shown to work then",
}

func (l English) ofSupply(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.ReadingVoid:
		why := l.Say(p.Why)
		if p.Why == judge.OutputOff {
			why = "read while " + p.Output + " was off"
		}
		if p.Why == judge.OutputUnproved {
			why = "not shown to work when it was read: " + p.Output
		}
		return fmt.Sprintf("%.2f V shows nothing: %s", p.Volt, why), true
	case judge.NotMeasured:
		return "not measured", true
	case judge.ReadingOutside:
		return fmt.Sprintf("%.2f V, outside its limit (%s)", p.Volt, l.Say(p.Limit)), true
	case judge.ReadingUndecided:
		if p.Beyond {
			return fmt.Sprintf("%.2f V ± %.2f V, outside a limit that is only usual (%s): undecided", p.Volt, p.Uncertainty,
				l.Say(p.Limit)), true
		}
		return fmt.Sprintf("%.2f V ± %.2f V, too close to its limit (%s) to decide", p.Volt, p.Uncertainty,
			l.Say(p.Limit)), true
	case judge.CalibrationOver:
		return "its calibration was valid until " + p.Until + " only", true
	case judge.CalibrationNotStated:
		return "until when it is calibrated was not stated", true
	case judge.UncertaintyNotStated:
		return "its uncertainty was not stated; readings were held against their limits as if exact", true
	case judge.PathOnMains:
		return "the router or gateway stayed on mains, so reporting off the premises during a mains failure " +
			"was not proved", true
	case judge.PathNotKnown:
		return "whether the router or gateway has standby power was not established", true
	case judge.NoBattery:
		return "no standby battery is fitted: the system stops when mains fails", true
	case judge.MainsStillRemoved:
		return "mains is still removed", true
	case judge.RestartSilent:
		return "the controller did not report again after all power had been off", true
	case judge.RestartLate:
		return fmt.Sprintf("the controller reported again only after %s (limit %s, %s)",
			l.Duration(p.Took.Round(100*time.Millisecond)), l.Duration(p.Limit.Duration()), l.Say(p.Limit)), true
	case judge.RestartUndecided:
		return fmt.Sprintf("the controller reported again after %s, too close to its limit of %s to decide",
			seconds(p.Took), l.Duration(p.Limit.Duration())), true
	case judge.ComputedSo:
		row := l.Computed(judge.Computed{Row: p.Row, Ruling: p.Ruling, Danger: p.Danger, Assumed: p.Assumed})
		text := row.Result
		if row.Limit != "" {
			text = because(text, "limit "+row.Limit)
		}
		return because(text, row.Change), true
	}
	return "", false
}

func (l English) ofVisit(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Practice:
		return "signals or readings were simulated: this is practice, no evidence of any installation", true
	case judge.TimedDifferently:
		return "signals were timed in more than one way; see “How times were taken”", true
	case judge.CustomerRefused:
		return "was shown this list and does not accept it", true
	case judge.NobodySigned:
		return "nobody signed for the customer", true
	case judge.NotAccepted:
		return "was not shown, or did not accept: " + strings.Join(p.IDs, ", "), true
	case judge.RetestExtent:
		return fmt.Sprintf("a retest: %d of the %d steps of a whole visit were part of it, with %d of the site's %d "+
			"detectors; for the others see the visit that it follows", p.Steps, p.AllSteps, p.Detectors, p.AllDetectors), true
	}
	return "", false
}

// limits says what a voltage is held against.
func (l English) limits(r judge.Range) string {
	lower := checks.FormatNumber(r.Lower.SI)
	switch {
	case r.Open():
		return "judged together with the others"
	case r.Lower.By == "":
		return "at most " + checks.FormatNumber(r.Upper.SI) + " V, " + l.Say(*r.Upper)
	}
	if r.Upper == nil {
		return "at least " + lower + " V, " + l.Say(r.Lower)
	}
	text := lower + " V to " + checks.FormatNumber(r.Upper.SI) + " V"
	if l.Say(*r.Upper) != l.Say(r.Lower) {
		return text + ", lower by " + l.Say(r.Lower) + ", upper by " + l.Say(*r.Upper)
	}
	return text + ", " + l.Say(r.Lower)
}

// authority is who says what a limit is.
func (English) authority(s site.Limit) string {
	if s.By == site.Named {
		return named(s.Source)
	}
	return string(s.By)
}
