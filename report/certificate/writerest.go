package certificate

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission"
)

// decided gives a decision its word and tone.
var decided = map[checks.Verdict]Cell{
	checks.Pass:      {Text: "within", Tone: Good, Bold: true},
	checks.Undecided: {Text: "undecided", Tone: Warn, Bold: true},
	checks.Fail:      {Text: "outside", Tone: Bad, Bold: true},
}

func (w writer) supply() Section {
	if len(w.a.Readings) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Reading", Width: 66}, {Head: "Taken", Width: 16}, {Head: "Value", Unit: "V", Width: 14, Right: true},
		{Head: "±", Unit: "V", Width: 12, Right: true}, {Head: "Limit", Width: 53}, {Head: "Result", Width: 19}}}
	for _, l := range w.a.Readings {
		t.Rows = append(t.Rows, w.readingRow(l))
	}
	blocks := []Block{t}
	if len(w.a.OnStandby) > 0 {
		blocks = append(blocks, Prose{Text: "Operated again for the time without mains, one detector of each powered kind (the first detector where none is powered):"}, w.detectorTable(w.a.OnStandby))
	}
	for _, text := range []string{w.path(), w.restart()} {
		if text != "" {
			blocks = append(blocks, Prose{Text: text})
		}
	}
	blocks = append(blocks, Prose{Text: "Measured at the controller's supply terminals. Rule: a reading is held against its limit with its expanded uncertainty (k = 2) as a guard band (JCGM 106).", Quiet: true})
	return Section{"Supply", blocks}
}

func (w writer) readingRow(l commission.ReadingLine) Row {
	row := Row{Remark: joined("; ", l.Step.Notes...)}
	text := readingText(l)
	row.Remark = joined("; ", row.Remark, l.Step.Remark(), earlierReadings(l.Step))
	if l.Void != "" {
		row.Cells = []Cell{{Text: l.Step.Text}, {Text: w.r.Local(l.Step.At).Format("15:04:05"), Tone: Quiet}, {Text: fmt.Sprintf("%.2f", l.Reading.Value), Tone: Quiet}, {},
			{Text: l.Void, Tone: Quiet}, {Text: "not tested", Tone: Warn, Bold: true}}
		return row
	}
	if !l.Taken {
		row.Cells = []Cell{{Text: l.Step.Text}, {Text: "–", Tone: Quiet}, {Text: "–", Tone: Quiet}, {}, {Text: l.Limit(), Tone: Quiet}, {Text: "not tested", Tone: Warn, Bold: true}}
		return row
	}
	u := "n/s"
	if l.Reading.Uncertainty > 0 {
		u = checks.FormatNumber(l.Reading.Uncertainty)
	}
	row.Cells = []Cell{{Text: text}, {Text: w.r.Local(l.Step.At).Format("15:04:05"), Tone: Quiet}, {Text: fmt.Sprintf("%.2f", l.Reading.Value)},
		{Text: u, Tone: Quiet}, {Text: l.Limit(), Tone: Quiet}, decided[l.Decision.Verdict]}
	return row
}

// readingText names a reading by when it was really taken, not by when it was due.
func readingText(l commission.ReadingLine) string {
	if !l.Taken || !l.Step.WhileOff {
		return l.Step.Text
	}
	text := "Supply voltage, mains removed for " + checks.FormatDuration(l.Step.SinceOff.Round(time.Second))
	if l.Step.Load {
		text += ", sounder on"
	}
	return text
}

// earlierReadings are those that were taken again.
func earlierReadings(s *commission.StepRecord) string {
	if len(s.Readings) < 2 {
		return ""
	}
	var values []string
	for _, r := range s.Readings[:len(s.Readings)-1] {
		values = append(values, fmt.Sprintf("%.2f V", r.Value))
	}
	return "read before: " + strings.Join(values, ", ")
}

func (w writer) path() string {
	switch w.r.PathOnStandby() {
	case commission.Yes:
		return "The router or gateway on the way off the premises had lost mains as well and went on working."
	case commission.No:
		return "The router or gateway on the way off the premises stayed on mains: see the limitations."
	case commission.NotApplicable:
		return "No router or gateway stands between the controller and whoever is told."
	}
	return ""
}

func (w writer) restart() string {
	r := w.a.Restart
	if r == nil || !r.Tested {
		return ""
	}
	limit := fmt.Sprintf("limit %s, %s", checks.FormatDuration(r.Limit.Duration()), r.Limit.Source)
	if r.Verdict == commission.Silent {
		return "Cold restart: the controller did not report again (" + limit + ")."
	}
	return fmt.Sprintf("Cold restart: after all power had been off, the first report came %s after its return (%s).",
		checks.FormatDuration(r.Took.Round(100*time.Millisecond)), limit)
}

func (w writer) outputs() Section {
	if len(w.a.Outputs) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Output", Width: 52}, {Head: "Kind", Width: 20}, {Head: "Trial", Width: 58}, {Head: "Measured", Width: 32}, {Head: "Result", Width: 18}}}
	for _, o := range w.a.Outputs {
		result := Cell{Text: "works", Tone: Good, Bold: true}
		switch o.Verdict {
		case commission.Silent:
			result = Cell{Text: "fails", Tone: Bad, Bold: true}
		case commission.NotTested:
			result = Cell{Text: "not tested", Tone: Warn, Bold: true}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: o.Output.Name, Bold: true}, {Text: string(o.Output.Kind), Tone: Quiet},
			{Text: w.outputTrial(o)}, {Text: outputReadings(o.Step)}, result}, Remark: strings.Join(o.Remarks, "; ")})
	}
	return Section{"Outputs", []Block{t, Prose{Text: "Heard and seen by the technician; sound levels and currents as measured, uncertainty not stated.", Quiet: true}}}
}

func (w writer) outputTrial(o commission.OutputLine) string {
	if o.Step.Kind != commission.StepChime {
		if o.Verdict == commission.NotTested {
			return ""
		}
		return "energised, observed, switched off"
	}
	text := fmt.Sprintf("zone %d opened", o.Step.Zone)
	if o.Report > 0 {
		text += fmt.Sprintf(", reported after %.2f s", o.Report.Seconds())
	}
	if o.Verdict == commission.Proved {
		text += fmt.Sprintf(", heard after %.1f s (by hand)", o.Heard.Seconds())
	}
	return text
}

func outputReadings(s *commission.StepRecord) string {
	var parts []string
	for _, q := range []string{commission.LevelReading, commission.CurrentReading, commission.CutOffReading} {
		if r := s.Reading(q); r != nil {
			text := r.AsTyped
			if q == commission.CutOffReading {
				text = "stops after " + text
			}
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, "; ")
}

func (w writer) computed() Section {
	if len(w.a.Computed) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Computed", Width: 54}, {Head: "Result", Width: 60}, {Head: "Limit", Width: 46}, {Head: "Verdict", Width: 20}}}
	for _, c := range w.a.Computed {
		cell, judged := decided[c.Verdict]
		if !judged {
			cell = Cell{Text: "–", Tone: Quiet}
		}
		if c.Missing != "" {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: c.About}, {Text: c.Missing, Tone: Quiet}, {}, cell}})
			continue
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: c.About}, {Text: c.Result}, {Text: c.Limit, Tone: Quiet}, cell},
			Remark: joined("; ", c.Inputs, c.Formula, labelled("to change:", c.Change))})
	}
	return Section{"Computed", []Block{t, w.loops(), Prose{Text: "From the site file as declared and the readings of this visit. Where the site file says nothing: copper and battery at 20 °C, ageing 1.25, capacity stated for 20 h, Peukert exponent 1.15 (lead-acid) or 1.05 (lithium-ion), a pack of 11.1 V through a converter of 90 %; common practice. Loops: Kirchhoff, seen from the controller's terminals, resistors within 5 %, cable left out.", Quiet: true}}}
}

// loops is what an ohmmeter should read on each zone, for whoever comes next.
func (w writer) loops() Table {
	t := Table{Columns: []Column{{Head: "Loop of zone", Width: 54}, {Head: "Normal", Unit: "Ω", Width: 26, Right: true}, {Head: "One active", Unit: "Ω", Width: 26, Right: true},
		{Head: "Shorted", Unit: "Ω", Width: 16, Right: true}, {Head: "Cut", Unit: "Ω", Width: 14, Right: true}, {Head: "Not told apart by a reading", Width: 44}}}
	for i := range w.r.Site.Zones {
		z := &w.r.Site.Zones[i]
		loop, err := commission.ExpectedLoop(z)
		if err != nil {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprintf("%d %s", z.Number, z.Name)}, {}, {}, {}, {}, {Text: err.Error(), Tone: Quiet}}})
			continue
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprintf("%d %s", z.Number, z.Name)}, {Text: loop.Normal}, {Text: loop.Active}, {Text: loop.Shorted}, {Text: loop.Cut}, {Text: loop.Overlaps, Tone: Quiet}}})
	}
	return t
}

var checkCells = map[commission.Result]Cell{
	commission.Done:          {Text: "done", Tone: Good, Bold: true},
	commission.NotApplicable: {Text: "n. a.", Tone: Quiet, Bold: true},
	commission.Defect:        {Text: "defect", Tone: Bad, Bold: true},
	commission.LeftOut:       {Text: "not checked", Tone: Warn, Bold: true},
}

func (w writer) checklist() Section {
	if len(w.a.Checklist) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{{Head: "Stage", Width: 22}, {Head: "Looked at or handed over", Width: 137}, {Head: "Result", Width: 21}}}
	for _, s := range w.a.Checklist {
		cell, known := checkCells[s.Result()]
		if !known {
			cell = Cell{Text: "open", Tone: Warn, Bold: true}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: string(s.Stage), Tone: Quiet}, {Text: s.Text}, cell}, Remark: s.Remark()})
	}
	return Section{"Checklist", []Block{t, Prose{Text: "Inspected and asked, not measured. n. a.: not applicable, for the reason given.", Quiet: true}}}
}

func (w writer) cautions() Section {
	var items Items
	for i, c := range w.a.Cautions {
		items = append(items, Item{Mark: fmt.Sprint(i + 1), Text: c})
	}
	return Section{"Cautions, and who decides", []Block{items, Prose{Text: commission.Deferral}}}
}

func (w writer) names() Section {
	var boxes Signatures
	for _, s := range w.r.Steps {
		if s.Kind != commission.StepSign {
			continue
		}
		boxes = append(boxes, w.signature(s))
	}
	if len(boxes) == 0 {
		return Section{}
	}
	text := "The technician confirms that the work described was done with reasonable skill and care."
	if c := w.r.Customer(); c != nil && c.Name != "" {
		text += " The customer's representative was shown the findings and limitations and accepts those listed by number beside the name; that acceptance repairs nothing."
	}
	return Section{"Names", []Block{boxes, Prose{Text: text, Quiet: true}}}
}

func (w writer) signature(s *commission.StepRecord) Signature {
	box := Signature{Role: capital(s.Text)}
	signed := s.Signed
	if signed == nil {
		box.Detail = "not signed"
		return box
	}
	box.Name = signed.Name
	when := w.clock(s.At)
	switch {
	case signed.Name == "":
		box.Name, box.Detail = "nobody signed", signed.Position
		return box
	case signed.Role == "technician":
		box.Detail = joined(", ", labelled("licence", signed.Licence), when)
		return box
	}
	var ids []string
	for _, line := range signed.Accepted {
		id, _, _ := strings.Cut(line, " ")
		ids = append(ids, id)
	}
	box.Detail = joined(", ", signed.Position, when, labelled("accepts", shortList(ids)))
	return box
}

// shortList names the first of many.
func shortList(ids []string) string {
	if len(ids) > 12 {
		return strings.Join(ids[:6], " ") + fmt.Sprintf(" … %s (%d in all)", ids[len(ids)-1], len(ids))
	}
	return strings.Join(ids, " ")
}
