package judge

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// AboutVisitOpen is what the finding of an unfinished visit is about.
const AboutVisitOpen = "Visit not finished"

// find lists all defects and limitations, each with what it concerns.
func (a *Assessment) find() {
	for _, s := range a.Checklist {
		a.findCheck(s)
	}
	for _, d := range a.Detectors {
		a.findDetector(d)
	}
	for _, d := range a.OnStandby {
		a.findDetector(d)
	}
	a.findSupply()
	for _, o := range a.Outputs {
		a.findOutput(o)
	}
	a.findRestart()
	a.findComputed()
	a.findLeftOut()
	a.findRest()
}

// findLeftOut lists what is fitted at the site and was no part of the visit at all: a
// programme is believed no more than a verdict.
func (a *Assessment) findLeftOut() {
	r := a.Record
	var missing []programme.Step
	whole := programme.Of(r.Site(), programme.Checklist{})
	for _, step := range whole {
		if r.Find(step.ID) == nil && !step.Optional {
			missing = append(missing, step)
		}
	}
	if r.Opened().Visit == programme.Retest && len(missing) > 0 {
		a.limit("", "Extent", fmt.Sprintf("a retest: %d of the %d steps of a whole visit were part of it, with %d of the site's %d detectors; for the others see the visit that it follows",
			len(whole)-len(missing), len(whole), len(a.Detectors), r.Site().Detectors()))
		return
	}
	for _, step := range missing {
		a.limit("", r.Title(step), "no part of this visit: not tested")
	}
}

func (a *Assessment) defect(step, about, text string) {
	a.Findings = append(a.Findings, Finding{fmt.Sprintf("F%d", len(a.Findings)+1), about, text, step})
}

func (a *Assessment) limit(step, about, text string) {
	a.Limitations = append(a.Limitations, Finding{fmt.Sprintf("L%d", len(a.Limitations)+1), about, text, step})
}

// because appends a reason or remark to a text.
func because(text, remark string) string {
	if remark == "" {
		return text
	}
	return text + ": " + remark
}

// noted appends what the technician wrote to what was found.
func noted(text string, remarks []string) string {
	if len(remarks) == 0 {
		return text
	}
	return text + " (noted: " + strings.Join(remarks, "; ") + ")"
}

func (a *Assessment) findCheck(s *record.Outcome) {
	switch {
	case s.Result() == record.Defect:
		a.defect(s.Step().ID, "Checklist", because("not so: “"+s.Step().Text+"”", s.Remark()))
	case s.Result() == record.LeftOut || !s.Concluded():
		a.limit(s.Step().ID, "Checklist", because("not checked: “"+s.Step().Text+"”", s.Remark()))
	}
}

func (a *Assessment) findDetector(d DetectorLine) {
	about := fmt.Sprintf("%s %s", d.Point, d.Detector.Name)
	if d.Step.Step().Stage == programme.StageSupply {
		about += ", on standby"
	}
	what := describe(d)
	switch d.Verdict {
	case record.Proved:
		a.findProved(d, about)
	case record.NotTested:
		if d.Step.Step().Stage == programme.StageWalkTest && a.provedOnStandby(d.Point) {
			what += " in the walk-test, but proved once on standby"
		}
		a.limit(d.Step.Step().ID, about, because(what, strings.Join(d.Remarks, "; ")))
	case record.Undecided:
		a.limit(d.Step.Step().ID, about, noted(what, d.Remarks))
	default:
		a.defect(d.Step.Step().ID, about, noted(what, d.Remarks))
	}
}

func (a *Assessment) provedOnStandby(p site.Point) bool {
	for _, d := range a.OnStandby {
		if d.Point == p && d.Verdict == record.Proved {
			return true
		}
	}
	return false
}

// findProved lists what limits a proof.
func (a *Assessment) findProved(d DetectorLine, about string) {
	if d.Step.Step().Stage == programme.StageSupply && !d.Step.Last().Operate.MainsOff() {
		a.limit(d.Step.Step().ID, about, "proved, but mains had not been removed")
	}
	if d.Step.Result() == record.LeftOut {
		a.limit(d.Step.Step().ID, about, because("proved before, then not tested again", d.Step.Remark()))
	}
	if d.Operated.Also != nil {
		a.limit(d.Step.Step().ID, about, fmt.Sprintf("zone %d (%s) answered as well; look for a short between the two loops", d.Operated.Also.Number, d.Operated.Also.Name))
	}
}

// describe says what a verdict means for this detector, and where to look.
func describe(d DetectorLine) string {
	j, half := d.Operated, "operated"
	if d.Restored.Verdict == d.Verdict && d.Operated.Verdict != d.Verdict {
		j, half = d.Restored, "restored"
	}
	times := ""
	if d.Trials > 1 {
		times = fmt.Sprintf(" in the last of %d trials", d.Trials)
	}
	switch {
	case d.Verdict == record.Silent && j.Garbled != "":
		return "reported " + j.Garbled + " when " + half + times + ", which controller.yaml does not know"
	case d.Verdict == record.Silent && j.GaveUp:
		return fmt.Sprintf("no report when %s%s, when the technician gave up after %.0f s", half, times, math.Floor(j.Waited.Seconds())) + "; look for a bridged or broken loop, or a wrong address"
	case d.Verdict == record.Silent:
		return fmt.Sprintf("no report within %.0f s when %s%s", math.Floor(j.Waited.Seconds()), half, times) + "; look for a bridged or broken loop, or a wrong address"
	case d.Verdict == record.Crossed:
		return fmt.Sprintf("zone %d (%s) answered instead%s; look for swapped terminals", j.Other.Number, j.Other.Name, times)
	case d.Verdict == record.Inverted:
		return "reported the opposite when " + half + times + "; look for normally open set where normally closed is wired"
	case d.Verdict == record.Unsteady:
		return fmt.Sprintf("changed %d times when %s once%s; look for a loose magnet or a bad joint", j.Changes, half, times)
	case d.Verdict == record.Late:
		return fmt.Sprintf("reported after %s when %s, later than its limit%s", seconds(j.Response), half, times)
	case d.Verdict == record.Undecided:
		return fmt.Sprintf("reported after %s when %s, too close to its limit to decide%s (probability of conforming %.0f %%)", seconds(j.Response), half, times, 100*j.Probability)
	}
	return "not tested"
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }

func (a *Assessment) findSupply() {
	for _, l := range a.Readings {
		about := l.Step.Step().Text
		switch {
		case l.Void != "":
			a.limit(l.Step.Step().ID, about, fmt.Sprintf("%.2f V shows nothing: %s", l.Reading.Value, l.Void))
		case !l.Taken:
			a.limit(l.Step.Step().ID, about, because("not measured", l.Step.Remark()))
		case l.Decision.Verdict == checks.Fail:
			a.defect(l.Step.Step().ID, about, fmt.Sprintf("%.2f V, outside its limit (%s)", l.Reading.Value, l.Limit()))
		case l.Decision.Verdict == checks.Undecided:
			a.limit(l.Step.Step().ID, about, fmt.Sprintf("%.2f V ± %.2f V, too close to its limit (%s) to decide", l.Reading.Value, l.Uncertainty, l.Limit()))
		}
	}
	if m := a.Record.Voltmeter(); m != nil {
		until, err := time.Parse(time.DateOnly, m.Calibrated)
		if err == nil && until.Before(a.Record.Begun().AddDate(0, 0, -1)) {
			a.limit(programme.IDVoltmeter, "Voltmeter", "its calibration was valid until "+m.Calibrated+" only")
		}
	}
	if m := a.Record.Voltmeter(); m != nil && m.Uncertainty == 0 {
		a.limit(programme.IDVoltmeter, "Voltmeter", "its uncertainty was not stated; readings were held against their limits as if exact")
	}
	switch path := a.Record.Find(programme.IDPath); {
	case path == nil:
	case path.Result() == record.No:
		a.limit(path.Step().ID, "Reporting on standby", because("the router or gateway stayed on mains, so reporting off the premises during a mains failure was not proved", path.Remark()))
	case path.Result() == record.LeftOut || !path.Concluded():
		a.limit(path.Step().ID, "Reporting on standby", because("whether the router or gateway has standby power was not established", path.Remark()))
	}
	if a.Record.Find(programme.IDMainsPresent) != nil && a.Record.Site().Supply.Battery.Chemistry == "none" {
		a.limit("", "Supply", "no standby battery is fitted: the system stops when mains fails")
	}
	for _, id := range []string{programme.IDMainsOff, programme.IDMainsOn} {
		if s := a.Record.Find(id); s != nil && s.Result() == record.LeftOut {
			a.limit(id, "Supply", because("not done: “"+s.Step().Text+"”", s.Remark()))
		}
	}
}

// Limit says what the reading was held against.
func (l ReadingLine) Limit() string {
	text := fmt.Sprintf("at least %s V", checks.FormatNumber(l.Lower.SI))
	if l.Upper != nil {
		text = fmt.Sprintf("%s V to %s V", checks.FormatNumber(l.Lower.SI), checks.FormatNumber(l.Upper.SI))
	}
	if l.Upper != nil && l.Upper.Source != l.Lower.Source {
		return text + ", lower by " + l.Lower.Source + ", upper by " + l.Upper.Source
	}
	return text + ", " + l.Lower.Source
}

func (a *Assessment) findOutput(o OutputLine) {
	about := a.Record.Title(o.Step.Step())
	remarks := strings.Join(o.Remarks, "; ")
	switch o.Verdict {
	case record.Silent:
		verb := "was not heard"
		if o.Output.Kind == site.Strobe {
			verb = "was not seen"
		}
		a.defect(o.Step.Step().ID, about, because(verb, remarks))
	case record.NotTested:
		a.limit(o.Step.Step().ID, about, because("not tested", remarks))
	}
	if why := a.Record.Stuck(o.Output.Name); why != "" && !a.stuckTold[o.Output.Name] {
		a.stuckTold[o.Output.Name] = true
		a.limit(o.Step.Step().ID, about, "could not be switched off at once: "+why)
	}
}

func (a *Assessment) findRestart() {
	r := a.Restart
	if r == nil {
		return
	}
	switch r.Verdict {
	case record.NotTested:
		a.limit(r.Step.Step().ID, "Cold restart", because("not tested", r.Step.Remark()))
	case record.Undecided:
		a.limit(r.Step.Step().ID, "Cold restart", fmt.Sprintf("the controller reported again after %.2f s, too close to its limit of %s to decide", r.Took.Seconds(), checks.FormatDuration(r.Limit.Duration())))
	case record.Silent:
		a.defect(r.Step.Step().ID, "Cold restart", "the controller did not report again after all power had been off")
	case record.Late:
		a.defect(r.Step.Step().ID, "Cold restart", fmt.Sprintf("the controller reported again only after %s (limit %s, %s)",
			checks.FormatDuration(r.Took.Round(100*time.Millisecond)), checks.FormatDuration(r.Limit.Duration()), r.Limit.Source))
	}
}

// findComputed lists computations that failed or could not decide. What could
// not be computed for want of an input is told beside the others.
func (a *Assessment) findComputed() {
	for _, c := range a.Computed {
		text := because(because(c.Result, "limit "+c.Limit), c.Change)
		switch c.Verdict {
		case checks.Fail:
			a.defect(c.Step, c.About+", computed", text)
		case checks.Undecided:
			a.limit(c.Step, c.About+", computed", text)
		}
	}
}

// findRest lists what concerns the visit as a whole.
func (a *Assessment) findRest() {
	r := a.Record
	if r.Simulated() {
		a.limit("", "Visit", "signals or readings were simulated: this is practice, no evidence of any installation")
	}
	for _, l := range r.Sources() {
		if l.TimedBy != r.Sources()[0].TimedBy {
			a.limit("", "Times", "signals were timed in more than one way; see “How times were taken”")
			break
		}
	}
	a.lifeSafety()
	if !r.MainsOff().IsZero() {
		a.defect(programme.IDMainsOn, "Supply", "mains is still removed")
	}
	if c := r.Customer(); c != nil && c.Refused {
		a.limit("", "Customer", because("was shown this list and does not accept it", c.Position))
	} else if c != nil && c.Name == "" {
		a.limit("", "Customer", because("nobody signed for the customer", c.Position))
	}
	for i := range r.Site().Zones {
		if raw := r.Garbled(r.Site().Zones[i].Address); raw != "" {
			a.limit("", fmt.Sprintf("Zone %d %s", r.Site().Zones[i].Number, r.Site().Zones[i].Name), "reported "+raw+", which controller.yaml does not know")
		}
	}
	if strangers := r.Strangers(); len(strangers) > 0 {
		atLeast := ""
		if len(strangers) >= record.MostStrangers {
			atLeast = "at least "
		}
		a.limit("", "Signals", fmt.Sprintf("the controller reported %s%d addresses that the site file does not have", atLeast, len(strangers)))
	}
	if losses := r.Losses(); len(losses) > 0 {
		a.limit("", "Signals", fmt.Sprintf("%d signals were lost, since they came faster than they could be written, between %s and %s; trials that waited meanwhile were taken again",
			r.Lost(), r.Local(losses[0].From).Format(time.TimeOnly), r.Local(losses[len(losses)-1].To).Format(time.TimeOnly)))
	}
	if len(a.Detectors) > 0 && a.Counts[record.Proved] == 0 {
		a.defect("", "Detection", "no detector at all was proved")
	}
	if c := r.Customer(); c != nil && !c.Refused && c.Name != "" {
		if missing := notAccepted(c.Accepted, slices.Concat(a.Findings, a.Limitations)); len(missing) > 0 {
			a.limit("", "Customer", "was not shown, or did not accept: "+strings.Join(missing, ", "))
		}
	}
	// Last, so that the numbers of the others stay when it is gone.
	if all, open := r.Count(""); open > 0 {
		a.defect("", AboutVisitOpen, fmt.Sprintf("%d of %d steps are open", open, all))
	}
}

func (a *Assessment) lifeSafety() {
	for i := range a.Record.Site().Zones {
		if z := &a.Record.Site().Zones[i]; z.Kind.Trait().LifeSafety {
			a.limit("", fmt.Sprintf("Zone %d %s", z.Number, z.Name), "a fire or gas detector: only the time of its signal was taken; what else the fire code asks for was not tested here")
		}
	}
}

// notAccepted tells which findings and limitations were not among those that somebody
// accepted, by their texts.
func notAccepted(accepted []string, all []Finding) (missing []string) {
	seen := map[string]bool{}
	for _, line := range accepted {
		_, text, _ := strings.Cut(line, " ")
		seen[text] = true
	}
	for _, f := range all {
		if _, text, _ := strings.Cut(f.Line(), " "); !seen[text] && f.About != AboutVisitOpen {
			missing = append(missing, f.ID)
		}
	}
	return missing
}
