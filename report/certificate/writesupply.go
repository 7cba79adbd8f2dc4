package certificate

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// decided gives a decision its word and tone.
var decided = map[checks.Verdict]Cell{
	checks.Pass:      {Text: "within", Tone: Good, Bold: true},
	checks.Undecided: {Text: "undecided", Tone: Warn, Bold: true},
	checks.Fail:      {Text: "outside", Tone: Bad, Bold: true},
}

func (w writer) supply() Section {
	if len(w.a.Readings()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Reading", Width: 66}, {Head: "Taken", Width: 16}, {Head: "Value", Unit: "V", Width: 14, Right: true},
		{Head: "±", Unit: "V", Width: 12, Right: true}, {Head: "Limit", Width: 53}, {Head: "Result", Width: 19}}}
	for _, l := range w.a.Readings() {
		t.Rows = append(t.Rows, w.readingRow(l))
	}
	blocks := []Block{t}
	if len(w.a.OnStandby()) > 0 {
		blocks = append(blocks, Prose{Text: "Operated again for the time without mains, one detector of each powered kind (the first detector where none is powered):"}, w.detectorTable(w.a.OnStandby()))
	}
	for _, text := range []string{w.path(), w.restart()} {
		if text != "" {
			blocks = append(blocks, Prose{Text: text})
		}
	}
	blocks = append(blocks, Prose{Text: "Measured at the controller's supply terminals. Rule: a reading is held against its limit with its expanded uncertainty (k = 2; the meter's and that of the last digit read) as a guard band (JCGM 100, 106).", Quiet: true})
	return Section{"Supply", blocks}
}

func (w writer) readingRow(l judge.ReadingLine) Row {
	row := Row{Remark: joined("; ", l.Outcome.Notes()...)}
	text := w.readingText(l)
	row.Remark = joined("; ", row.Remark, l.Outcome.Remark(), earlierReadings(l.Outcome))
	if l.Void != "" {
		row.Cells = []Cell{{Text: w.stepName(l.Outcome)}, {Text: w.r.Local(l.Outcome.At()).Format("15:04:05"), Tone: Quiet}, {Text: fmt.Sprintf("%.2f", l.Reading.Value), Tone: Quiet}, {},
			{Text: english.Say(l.Void), Tone: Quiet}, {Text: "not tested", Tone: Warn, Bold: true}}
		return row
	}
	if !l.Taken {
		row.Cells = []Cell{{Text: w.stepName(l.Outcome)}, {Text: "–", Tone: Quiet}, {Text: "–", Tone: Quiet}, {}, {Text: english.Say(l.Limit), Tone: Quiet}, {Text: "not tested", Tone: Warn, Bold: true}}
		return row
	}
	u := "n/s"
	if l.Uncertainty > 0 {
		u = fmt.Sprintf("%.2f", l.Uncertainty)
	}
	row.Cells = []Cell{{Text: text}, {Text: w.r.Local(l.Outcome.At()).Format("15:04:05"), Tone: Quiet}, {Text: fmt.Sprintf("%.2f", l.Reading.Value)},
		{Text: u, Tone: Quiet}, {Text: english.Say(l.Limit), Tone: Quiet}, decided[l.Decision.Verdict]}
	return row
}

// readingText names a reading by when it was really taken, not by when it was due.
func (w writer) readingText(l judge.ReadingLine) string {
	if !l.Taken || !l.Reading.WhileOff {
		return w.stepName(l.Outcome)
	}
	text := "Supply voltage, mains removed for " + checks.FormatDuration(l.Reading.SinceOff.Round(time.Second))
	if l.Outcome.Step().Load {
		text += ", sounder on"
	}
	return text
}

// earlierReadings are those that were taken again.
func earlierReadings(s *record.Outcome) string {
	if len(s.Readings()) < 2 {
		return ""
	}
	var values []string
	for _, r := range s.Readings()[:len(s.Readings())-1] {
		values = append(values, fmt.Sprintf("%.2f V", r.Value))
	}
	return "read before: " + strings.Join(values, ", ")
}

func (w writer) path() string {
	switch w.r.PathOnStandby() {
	case record.Yes:
		return "The router or gateway on the way off the premises had lost mains as well and went on working."
	case record.No:
		return "The router or gateway on the way off the premises stayed on mains: see the limitations."
	case record.NotApplicable:
		return "No router or gateway stands between the controller and whoever is told."
	}
	return ""
}

func (w writer) restart() string {
	r := w.a.Restart()
	if r == nil || !r.Tested {
		return ""
	}
	limit := fmt.Sprintf("limit %s, %s", checks.FormatDuration(r.Limit.Duration()), english.Say(r.Limit))
	if r.Verdict == record.Silent {
		return "Cold restart: the controller did not report again (" + limit + ")."
	}
	return fmt.Sprintf("Cold restart: after all power had been off, the first report came %s after its return (%s).",
		checks.FormatDuration(r.Took.Round(100*time.Millisecond)), limit)
}

func (w writer) stepName(s *record.Outcome) string {
	return english.Say(programme.NameOf(w.r.Site(), s.Step()))
}
