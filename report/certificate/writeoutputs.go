package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func (w writer) outputs() Section {
	if len(w.a.Outputs()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.OutputColumn, 48), w.column(words.KindColumn, 17),
		w.column(words.TrialColumn, 52), w.column(words.MeasuredColumn, 45), w.column(words.ResultColumn, 18)}}
	for _, o := range w.a.Outputs() {
		t.Rows = append(t.Rows, Row{
			Cells: []Cell{
				{Text: w.commas(typed(o.Output.Name, o.Output.Location)...)},
				{Text: w.say(o.Output.Kind), Tone: Quiet},
				{Text: w.outputTrial(o)},
				{Text: w.outputReadings(o)},
				w.ruled(answered(o.Result)),
			},
			Remark: w.outputRemark(o)})
	}
	return w.section(words.OutputsHeading, t, w.quiet(words.OutputsNote))
}

func (w writer) outputTrial(o judge.OutputLine) string {
	step := o.Outcome.Step()
	if step.Kind == programme.StepChime {
		return w.say(words.ChimeTrial{Zone: step.Zone, Tried: o.Trials > 0, Reported: o.Report, Heard: o.Heard,
			Works: o.Result == record.Works})
	}
	because, after := o.Outcome.OffBecause()
	return w.say(words.OutputTrial{Kind: o.Output.Kind, Energised: o.Outcome.Energised(),
		On: o.Outcome.On(), Because: because, After: after, Result: o.Result})
}

func (w writer) outputReadings(o judge.OutputLine) string {
	var parts []words.Phrase
	for _, quantity := range []record.Quantity{record.LevelReading, record.CurrentReading} {
		if r := o.Outcome.ReadingWhileOn(quantity); r != nil {
			parts = append(parts, words.Measured(r.AsTyped))
		}
	}
	if o.Output.Kind == site.Sounder {
		cutOff := words.CutOffSaid{Declared: o.Output.CutOff.Text}
		if r := o.Outcome.Reading(record.CutOffReading); r != nil {
			cutOff.Observed = r.AsTyped
		}
		parts = append(parts, cutOff)
	}
	return w.semicolons(parts...)
}

// declared is what the site file says of an output, nothing if it says nothing.
func (w writer) declared(o *site.Output) []words.Phrase {
	detail := func(kind words.DetailKind, text string) words.Phrase { return words.Detail{Kind: kind, Text: text} }
	of := words.List{By: words.Commas, Of: []words.Phrase{words.Measured(o.Current.Text), words.Measured(o.Level.Text),
		detail(words.AtDetail, o.LevelAt.Text), detail(words.HeardAsDetail, o.Frequency.Text)}}
	if len(of.Parts(w.o.Language)) == 0 {
		return nil
	}
	return []words.Phrase{words.DeclaredAs{Of: of}}
}

// outputRemark is what was remarked, and what was before.
func (w writer) outputRemark(o judge.OutputLine) string {
	parts := append(w.declared(o.Output), remarked(o.Remarks...)...)
	if o.Missed > 0 {
		parts = append(parts, words.ChimeMissed{Trials: o.Trials, Missed: o.Missed})
	}
	return w.semicolons(append(parts, earlierAnswers(o.Outcome)...)...)
}
