package certificate

import (
	"fmt"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"strings"
)

func (w writer) outputs() Section {
	if len(w.a.Outputs) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Output", Width: 52}, {Head: "Kind", Width: 20}, {Head: "Trial", Width: 58}, {Head: "Measured", Width: 32}, {Head: "Result", Width: 18}}}
	for _, o := range w.a.Outputs {
		result := Cell{Text: "works", Tone: Good, Bold: true}
		switch o.Verdict {
		case record.Silent:
			result = Cell{Text: "fails", Tone: Bad, Bold: true}
		case record.NotTested:
			result = Cell{Text: "not tested", Tone: Warn, Bold: true}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: o.Output.Name, Bold: true}, {Text: string(o.Output.Kind), Tone: Quiet},
			{Text: w.outputTrial(o)}, {Text: outputReadings(o.Step)}, result}, Remark: strings.Join(o.Remarks, "; ")})
	}
	return Section{"Outputs", []Block{t, Prose{Text: "Heard and seen by the technician; sound levels and currents as measured, uncertainty not stated.", Quiet: true}}}
}

func (w writer) outputTrial(o judge.OutputLine) string {
	if o.Step.Step().Kind != programme.StepChime {
		if o.Verdict == record.NotTested {
			return ""
		}
		return "energised, observed, switched off"
	}
	text := fmt.Sprintf("zone %d opened", o.Step.Step().Zone)
	if o.Report > 0 {
		text += fmt.Sprintf(", reported after %.2f s", o.Report.Seconds())
	}
	if o.Verdict == record.Proved {
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
