package certificate

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

func (w writer) outputs() Section {
	if len(w.a.Outputs()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Output", Width: 52}, {Head: "Kind", Width: 20}, {Head: "Trial", Width: 58}, {Head: "Measured", Width: 32}, {Head: "Result", Width: 18}}}
	for _, o := range w.a.Outputs() {
		result := Cell{Text: "works", Tone: Good, Bold: true}
		switch o.Result {
		case record.Fails:
			result = Cell{Text: "fails", Tone: Bad, Bold: true}
		case record.LeftOut:
			result = Cell{Text: "not tested", Tone: Warn, Bold: true}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: o.Output.Name, Bold: true}, {Text: string(o.Output.Kind), Tone: Quiet},
			{Text: w.outputTrial(o)}, {Text: outputReadings(o.Outcome)}, result}, Remark: outputRemark(o)})
	}
	return Section{"Outputs", []Block{t, Prose{Text: "Heard and seen by the technician; sound levels and currents as measured, uncertainty not stated.", Quiet: true}}}
}

func (w writer) outputTrial(o judge.OutputLine) string {
	if o.Outcome.Step().Kind != programme.StepChime {
		if o.Result == record.LeftOut {
			return ""
		}
		return "energised, observed, switched off"
	}
	text := fmt.Sprintf("zone %d opened", o.Outcome.Step().Zone)
	if o.Report > 0 {
		text += fmt.Sprintf(", reported after %.2f s", o.Report.Seconds())
	}
	if o.Result == record.Works {
		text += fmt.Sprintf(", heard after %.1f s (by hand)", o.Heard.Seconds())
	}
	return text
}

func outputReadings(s *record.Outcome) string {
	var parts []string
	for _, q := range []string{record.LevelReading, record.CurrentReading, record.CutOffReading} {
		if r := s.Reading(q); r != nil {
			text := r.AsTyped
			if q == record.CutOffReading {
				text = "stops after " + text
			}
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, "; ")
}

// outputRemark is what was remarked, and what was before.
func outputRemark(o judge.OutputLine) string {
	trials := ""
	if o.Missed > 0 {
		trials = fmt.Sprintf("trial %d; before: not heard in %d", o.Trials, o.Missed)
	}
	return joined("; ", strings.Join(o.Remarks, "; "), trials, earlierAnswers(o.Outcome))
}
