package record

import (
	"slices"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

// The laws of answers.
const (
	// LawRemarks: a reason stands where one has to be given, and no remark beside what is well.
	LawRemarks Law = "remarks"
	// LawPartAnswers: what concludes a step is what was answered about it before.
	LawPartAnswers Law = "part-answers"
	// LawStruck: an attempt that counts no more is one that there was, and was struck for a reason.
	LawStruck Law = "struck"
	// LawUndertaking: what is undertaken is something, by a day, about a finding.
	LawUndertaking Law = "undertaking"
	// LawCorrected: a correction is of a text that was typed, with a reason and a name.
	LawCorrected Law = "corrected"
	// LawDays: nothing is undertaken by a day before the visit, nothing calibrated for longer
	// than instruments are.
	LawDays Law = "days"
	// LawNotes: a note says something.
	LawNotes Law = "notes"
	// LawFound: what is found on the premises is a value of a key that the site file lacks.
	LawFound Law = "found"
	// LawExtent: a visit is about detectors that it has, and leaves others out for a reason.
	LawExtent Law = "extent"
)

var answerLaws = []rule{
	{law: LawRemarks, consequence: Limits, entry: on((*Record).remarkMisfits)},
	{law: LawPartAnswers, consequence: Limits, entry: (*Record).answeredOtherwise},
	{law: LawStruck, consequence: Refused},
	{law: LawUndertaking, consequence: Refused},
	{law: LawCorrected, consequence: Refused},
	{law: LawFound, consequence: Refused},
	{law: LawExtent, consequence: Refused},
	{law: LawDays, consequence: Limits,
		entry: func(r *Record, _ journal.Entry, f Fact) bool { return r.misdated(f) }},
	{law: LawNotes, consequence: Limits, entry: on(emptyNote)},
}

func emptyNote(_ *Record, f Note) bool { return oneline.Blank(f.Text) }

// remarked are the answers that are asked for a remark, by the kind of step.
var remarked = map[programme.StepKind][]Result{
	programme.StepCheck:      {NotApplicable, Defect, LeftOut},
	programme.StepDetector:   {LeftOut},
	programme.StepInstrument: {LeftOut},
	programme.StepReading:    {LeftOut},
	programme.StepAct:        {LeftOut},
	programme.StepFault:      {LeftOut},
	programme.StepPath:       {LeftOut},
	programme.StepOutput:     {Fails, LeftOut},
	programme.StepChime:      {LeftOut},
	programme.StepRestart:    {LeftOut},
	programme.StepIsolated:   {LeftOut},
	programme.StepTester:     {LeftOut},
	programme.StepCable:      {LeftOut},
	programme.StepFound:      {LeftOut},

	programme.StepOutstanding: {LeftOut},
	programme.StepSetting:     {LeftOut},
	programme.StepEntry:       {LeftOut},
	programme.StepIntrusion:   {LeftOut},
	programme.StepReceipt:     {LeftOut},
}

// remarkMisfits tells whether a remark is missing that had to be given, or stands beside
// what is well, where none is asked for. A reading that may be left out needs no reason,
// and a value that nobody knew has it.
func (r *Record) remarkMisfits(a Answer) bool {
	s := r.index[a.Step]
	if s == nil {
		return false // it is refused
	}
	well := a.Result == Done || a.Result == Works || a.Result == Yes
	needed := slices.Contains(remarked[s.step.Kind], a.Result) &&
		!(s.step.Kind == programme.StepReading && s.step.Optional) && !(s.step.Value != "" && a.Result == LeftOut)
	return needed && oneline.Blank(a.Remark) || well && a.Remark != ""
}

// answeredOtherwise tells whether a fact says otherwise than the answers from which it was
// made, in the same run: after a break they may be asked for again.
func (r *Record) answeredOtherwise(e journal.Entry, f Fact) bool {
	switch f := f.(type) {
	case PartAnswer:
		return f.Question != f.Step && !strings.HasPrefix(f.Question, f.Step+"/")
	case Answer:
		return r.otherAnswer(e, f)
	case Instrument:
		calibrated := r.otherPart(e, f.Step, "/calibrated", func(text string) bool { return text == f.Calibrated })
		uncertainty := r.otherPart(e, f.Step, "/uncertainty", func(text string) bool {
			q, _ := checks.Voltage.Parse(text) // nothing stands for not stated
			return q.SI == f.Uncertainty
		})
		return calibrated || uncertainty || r.otherPart(e, f.Step, "", func(text string) bool { return text == f.Name })
	case Tester:
		return r.otherTester(e, f)
	case CableTested:
		return r.otherCable(e, f)
	case Reading:
		return r.otherPart(e, f.Step, partOf[f.Quantity], func(text string) bool {
			return text == "" || text == f.AsTyped || quantityText(f.Quantity, text) == f.AsTyped
		})
	}
	return false
}

// partOf are the questions of an output about what is read of it.
var partOf = map[Quantity]string{LevelReading: "/level", CurrentReading: "/current", CutOffReading: "/cut-off",
	VoltageReading: "/voltage", LoopReading: "/ohms"}

// quantityText is a typed quantity as a reading has it.
func quantityText(of Quantity, text string) string {
	q, _ := typed[of].Parse(text)
	return q.Text
}

func (r *Record) otherAnswer(e journal.Entry, a Answer) bool {
	s := r.index[a.Step]
	if s == nil {
		return false // it is refused
	}
	is := func(want string) func(string) bool { return func(text string) bool { return text == want } }
	asAnswered := is(string(a.Result))
	if a.Value != "" { // another value than the one that stood there is a word of its own
		asAnswered = func(text string) bool { return text == string(Done) || text == valueWord }
	}
	if (s.step.Kind == programme.StepCheck || s.step.Kind == programme.StepOutstanding) &&
		r.otherPart(e, a.Step, "", asAnswered) {
		return true
	}
	if a.Value != "" && r.otherPart(e, a.Step, "/value", is(a.Value)) {
		return true
	}
	switch a.Result {
	case Works:
		return r.otherPart(e, a.Step, "/observed", is(string(Yes)))
	case Fails:
		return r.otherPart(e, a.Step, "/observed", is(string(No))) || r.otherPart(e, a.Step, "/note", is(a.Remark))
	case Defect:
		return r.otherPart(e, a.Step, "/note", is(a.Remark))
	case NotApplicable, LeftOut:
		return r.otherPart(e, a.Step, "/reason", is(a.Remark))
	}
	return false
}

// valueWord is what is answered to type a value in the place of the one that stands there.
const valueWord = "value"

// otherPart tells whether something else was answered to a question of a step in this run.
func (r *Record) otherPart(e journal.Entry, step, question string, is func(text string) bool) bool {
	s := r.index[step]
	if s == nil {
		return false // it is refused
	}
	given, was := s.given[step+question]
	return was && given.run == e.Run && !is(given.text)
}
