package words

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// Verdict is what is said of whatever was tried, read, computed or answered: one vocabulary for detectors, outputs,
// supply, computed rows and checklists. The record keeps its own codes.
type Verdict string

// The verdicts.
const (
	Passed        Verdict = "passed"   // it is as it should be
	PassedUntimed Verdict = "reported" // it is, but how fast was not timed
	Failed        Verdict = "failed"   // it is not
	Undecided     Verdict = "undecided"
	Untested      Verdict = "not-tested"
	Informative   Verdict = "info"           // held against nothing
	NoMatter      Verdict = "not-applicable" // there is no such thing here
)

// Reason is why, where it does not stand beside the verdict; "" for none.
type Reason string

// The reasons.
const (
	BecauseLate   Reason = "late"
	BecauseSilent Reason = "silent"
	Crossed       Reason = "crossed"
	Inverted      Reason = "inverted"
	Unsteady      Reason = "unsteady"
	Dangerous     Reason = "danger"
	StillToDo     Reason = "open" // of a visit that is not finished
	NotValid      Reason = "void"
	NotCleared    Reason = "not-cleared"
	NotSeen       Reason = "not-seen"
	Unsure        Reason = "unsure"
	OutsideUsual  Reason = "beyond-usual" // beyond a limit that is only usual
	RestsOnOurs   Reason = "rests-on-ours"
	AnswerLacks   Reason = "answer-lacks"
)

// Ruled is a verdict with its reason.
type Ruled struct {
	Is      Verdict
	Because Reason
}

// VerdictMeans is what a verdict means, for the legend.
type VerdictMeans Verdict

// VerdictsNote explains the vocabulary where it is used at length.
type VerdictsNote struct{}

// Code names the phrase.
func (v Verdict) Code() string      { return "ruled/" + string(v) }
func (r Reason) Code() string       { return "because/" + string(r) }
func (r Ruled) Code() string        { return "certificate/ruled" }
func (v VerdictMeans) Code() string { return "certificate/verdict-means/" + string(v) }
func (VerdictsNote) Code() string   { return "certificate/verdicts" }

// trialsRuled are the verdicts of trials.
var trialsRuled = map[record.Verdict]Ruled{
	record.Proved: {Is: Passed}, record.Reported: {Is: PassedUntimed}, record.Undecided: {Is: Undecided},
	record.NotTested: {Is: Untested}, record.Void: {Untested, NotValid}, record.Late: {Failed, BecauseLate},
	record.Silent: {Failed, BecauseSilent}, record.Crossed: {Failed, Crossed}, record.Inverted: {Failed, Inverted},
	record.Unsteady: {Failed, Unsteady},
}

// answersRuled are the results of lines of checklists and of outputs; "" is a line that is open.
var answersRuled = map[record.Result]Ruled{
	record.Done: {Is: Passed}, record.Works: {Is: Passed}, record.NotApplicable: {Is: NoMatter},
	record.Defect: {Is: Failed}, record.Fails: {Is: Failed}, record.LeftOut: {Is: Untested}, "": {Untested, StillToDo},
}

// RuledAnswer is what is said of an answer; has is false where that is no verdict.
func RuledAnswer(r record.Result) (ruled Ruled, has bool) {
	ruled, has = answersRuled[r]
	return ruled, has
}

// doubtsRuled are why something is undecided that is not too near its limit to tell.
var doubtsRuled = map[judge.Doubt]Reason{judge.BeyondUsual: OutsideUsual, judge.OnOurs: RestsOnOurs,
	judge.AnswerLacks: AnswerLacks}

// RuledUndecided is undecided, for a reason.
func RuledUndecided(d judge.Doubt) Ruled { return Ruled{Undecided, doubtsRuled[d]} }

// Shortly is the reason where there is one, else the verdict: "before: silent".
func (r Ruled) Shortly() Phrase {
	if r.Because != "" {
		return r.Because
	}
	return r.Is
}

// RuledTrial is what is said of a trial.
func RuledTrial(v record.Verdict) Ruled {
	if r, has := trialsRuled[v]; has {
		return r
	}
	return Ruled{Is: Untested}
}
