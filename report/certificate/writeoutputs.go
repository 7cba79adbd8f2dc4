package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

var outputTones = map[record.Result]Tone{record.Works: Good, record.Fails: Bad, record.LeftOut: Warn}

func (w writer) outputs() Section {
	if len(w.a.Outputs()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.OutputColumn, 52), w.column(words.KindColumn, 20),
		w.column(words.TrialColumn, 58), w.column(words.MeasuredColumn, 32), w.column(words.ResultColumn, 18)}}
	for _, o := range w.a.Outputs() {
		t.Rows = append(t.Rows, Row{
			Cells: []Cell{{Text: o.Output.Name, Bold: true}, {Text: w.say(o.Output.Kind), Tone: Quiet},
				{Text: w.outputTrial(o)}, {Text: w.outputReadings(o.Outcome)}, w.status(o.Result, outputTones[o.Result])},
			Remark: w.outputRemark(o)})
	}
	return w.section(words.OutputsHeading, t, w.quiet(words.OutputsNote))
}

func (w writer) outputTrial(o judge.OutputLine) string {
	step := o.Outcome.Step()
	switch {
	case step.Kind == programme.StepChime:
		return w.say(words.ChimeTrial{Zone: step.Zone, Reported: o.Report, Heard: o.Heard, Works: o.Result == record.Works})
	case o.Result == record.LeftOut:
		return ""
	}
	return w.say(words.EnergisedStatus)
}

func (w writer) outputReadings(s *record.Outcome) string {
	var parts []words.Phrase
	for _, quantity := range []record.Quantity{record.LevelReading, record.CurrentReading} {
		if r := s.Reading(quantity); r != nil {
			parts = append(parts, words.AsTyped(r.AsTyped))
		}
	}
	if r := s.Reading(record.CutOffReading); r != nil {
		parts = append(parts, words.Detail{Kind: words.CutOffDetail, Text: r.AsTyped})
	}
	return w.semicolons(parts...)
}

// outputRemark is what was remarked, and what was before.
func (w writer) outputRemark(o judge.OutputLine) string {
	parts := typed(o.Remarks...)
	if o.Missed > 0 {
		parts = append(parts, words.ChimeMissed{Trials: o.Trials, Missed: o.Missed})
	}
	return w.semicolons(append(parts, earlierAnswers(o.Outcome)...)...)
}
