package certificate

import (
	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// look is how a verdict is drawn.
type look struct {
	tone Tone
	sign Sign
}

var looks = map[words.Verdict]look{
	words.Passed: {Good, PassedSign}, words.PassedUntimed: {Warn, UntimedSign}, words.Failed: {Bad, FailedSign},
	words.Undecided: {Warn, UndecidedSign}, words.Untested: {Warn, UntestedSign},
	words.Informative: {Quiet, InformativeSign}, words.NoMatter: {Quiet, InformativeSign},
}

// graveLooks are those of how grave a finding is.
var graveLooks = map[judge.Severity]Sign{judge.Danger: DangerSign, judge.Fault: FaultSign, judge.Advice: AdviceSign}

// ruled is a verdict as a cell.
func (w writer) ruled(r words.Ruled) Cell {
	l := looks[r.Is]
	return Cell{Text: w.say(r), Tone: l.tone, Bold: true, Sign: l.sign}
}

// decided is what a value says about its limit.
func (w writer) decided(v checks.Ruling) Cell { return w.ruled(rulings[v]) }

var rulings = map[checks.Ruling]words.Ruled{checks.Pass: {Is: words.Passed}, checks.Undecided: {Is: words.Undecided},
	checks.Fail: {Is: words.Failed}, "": {Is: words.Informative}}

// ofRow is what is said of a computed row.
func ofRow(c judge.Computed) words.Ruled {
	r := rulings[c.Ruling]
	if doubt := c.Doubt(); doubt != "" {
		r = words.RuledUndecided(doubt)
	}
	if c.Danger {
		if c.Ruling == "" {
			r.Is = words.Failed
		}
		r.Because = words.Dangerous
	}
	return r
}

// ofDetector is what is said of a detector. One that is late by a limit that is only ours has not failed.
func (w writer) ofDetector(d judge.DetectorLine) Cell {
	if doubt := w.a.DoubtOf(d); doubt != "" {
		return w.ruled(words.RuledUndecided(doubt))
	}
	return w.ruled(words.RuledTrial(d.Verdict))
}

// answered is what is said of the answer to a line of a checklist, or of an output.
func answered(r record.Result) words.Ruled {
	if ruled, has := words.RuledAnswer(r); has {
		return ruled
	}
	return words.Ruled{Is: words.Untested} // nothing was shown
}

// faultsRuled are what is said of what the controller tells of its own supply.
var faultsRuled = map[judge.FaultShown]words.Ruled{judge.FaultReported: {Is: words.Passed},
	judge.FaultTooLate: {Is: words.Failed, Because: words.BecauseLate},
	judge.FaultNever:   {Is: words.Failed, Because: words.BecauseSilent}, judge.FaultUnclear: {Is: words.Undecided},
	judge.FaultNotCleared: {Is: words.Failed, Because: words.NotCleared},
	judge.FaultUnseen:     {Is: words.Failed, Because: words.NotSeen},
	judge.FaultNotTested:  {Is: words.Untested}}

// ofFault is what is said of one. What was not watched for long enough proves nothing against it.
func ofFault(l judge.FaultLine) words.Ruled {
	r, result := faultsRuled[l.Shown()], l.Outcome.Result()
	unsure := l.Shown() == judge.FaultNever && l.Unsure() || l.Shown() == judge.FaultUnseen ||
		l.Shown() == judge.FaultNotCleared && result != record.NotCleared
	if unsure && r.Is == words.Failed {
		r.Is = words.Undecided
	}
	return r
}
