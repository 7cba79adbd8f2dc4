package words

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// ofOutputs says the rows of sounders and strobes.
func (l English) ofOutputs(row *Row, c judge.Computed) {
	switch r := c.Row.(type) {
	case judge.CurrentRow:
		l.current(row, r, c.Ruling)
	case judge.LevelRow:
		l.level(row, r, c.Ruling)
	case judge.MarginRow:
		l.margin(row, r, c.Ruling)
	case judge.CutOffRow:
		l.cutOff(row, r, c.Ruling)
	}
}

// aboutOutput names the row of an output, "" for any other.
func aboutOutput(r judge.Row) string {
	switch r := r.(type) {
	case judge.CurrentRow:
		return "Current of " + r.Output
	case judge.LevelRow:
		return "Sound level of " + r.Output
	case judge.MarginRow:
		return r.Output + " over the ambient level"
	case judge.CutOffRow:
		return "Cut-off of " + r.Output
	}
	return ""
}

func outputFormula(r judge.Row) string {
	switch r := r.(type) {
	case judge.CurrentRow:
		return "measured against declared"
	case judge.LevelRow:
		return levelFormula(r)
	case judge.MarginRow:
		return "level with the sounder less that without it; meter's limits at both by IEC 61672-1:2013, k = 2"
	case judge.CutOffRow:
		return "observed against declared: up to a tenth more holds, less than half is not decided"
	}
	return ""
}

func levelFormula(r judge.LevelRow) string {
	text := "as read where it stands: rooms reflect, so it is carried to no other distance. U = 2·√Σ(a/√3)² of the " +
		"meter's limit (IEC 61672-1:2013), its last digit and 20 lg((d ± u)/d); one wall may lower a steady tone by 6 dB"
	if r.Background > 0 {
		text += "; background taken off by ISO 3744:2010"
	}
	return text
}

func (l English) current(row *Row, r judge.CurrentRow, v checks.Ruling) {
	row.Inputs, row.Result, row.Limit = "declared "+r.Declared, r.Measured, "not above "+r.Declared+", site file"
	if v != checks.Pass {
		row.Change = "correct the site file, and see whether adapter and battery still suffice"
	}
}

func (l English) level(row *Row, r judge.LevelRow, v checks.Ruling) {
	inputs := []string{l.reading(r.Measured), "distance ± " + l.within(r.Within)}
	if r.Class > 0 {
		frequency := r.Frequency
		if frequency == "" {
			frequency = "2 kHz to 4 kHz assumed"
		}
		inputs = append(inputs, fmt.Sprintf("class %d ± %.1f dB at %s", r.Class, r.Tolerance, frequency))
	}
	if r.Background > 0 {
		inputs = append(inputs, fmt.Sprintf("%.1f dB of background taken off", r.Background))
	}
	row.Inputs = strings.Join(inputs, ", ")
	row.Result = fmt.Sprintf("%.1f dB%s at %s", r.Level, weighted(r.Weighting),
		Metres(l.Units, r.Distance, AsNeeded, l.Number))
	if r.UpperBound {
		row.Result = "at most " + row.Result + ", too near to the ambient level"
	}
	if r.Class == 0 {
		row.Result += ": that it sounded; a meter without a class shows no level"
	} else {
		within := fmt.Sprintf("−%.1f +%.1f dB", r.Down, r.Up)
		if down, up := fmt.Sprintf("%.1f", r.Down), fmt.Sprintf("%.1f", r.Up); down == up {
			within = "± " + up + " dB"
		}
		row.Result += ", " + within
	}
	if r.Declared != "" {
		row.Limit = "at least " + r.Declared + " at " + l.run(r.DeclaredAt) + ", site file"
	}
	switch {
	case v == checks.Fail:
		row.Change = "look for a weak supply, a covered horn, or another sounder than the site file has"
	case r.Elsewhere:
		row.Change = fmt.Sprintf(
			"measure at %s: by distance alone a level falls by 20 lg(d2/d1), in rooms by less, by nobody "+
				"knows how much",
			l.run(r.DeclaredAt),
		)
	case v == checks.Undecided && r.Class == 0:
		row.Change = "measure with a meter of class 1 or 2"
	}
}

func weighted(weighting string) string {
	if weighting == "" {
		return ""
	}
	return "(" + weighting + ")"
}

func (l English) margin(row *Row, r judge.MarginRow, v checks.Ruling) {
	row.Inputs, row.Result = l.reading(r.Measured), l.Number(r.Margin, 1)+" dB over the ambient level where it was read"
	if r.Uncertainty > 0 {
		row.Result += fmt.Sprintf(" ± %.1f dB", r.Uncertainty)
	}
	row.Limit = fmt.Sprintf("at least %s dB, %s", checks.FormatNumber(r.Limit.SI), l.Say(r.Limit))
	switch v {
	case checks.Fail:
		row.Change = "a louder sounder, or one nearer to where it has to be heard"
	case checks.Undecided:
		row.Change = "agree a margin for this place, and declare it: limits, margin"
	}
}

func (l English) cutOff(row *Row, r judge.CutOffRow, v checks.Ruling) {
	row.Inputs, row.Result = "observed in this visit", "stopped by itself after "+r.Observed
	if r.Exceeded {
		row.Result = "had not stopped after " + strings.TrimPrefix(r.Observed, "> ")
	}
	if r.Declared != "" {
		row.Limit = r.Declared + ", site file"
	}
	switch {
	case v == checks.Fail:
		row.Change = "set the controller's sounder time, or correct the site file"
	case v == checks.Undecided && r.Exceeded:
		row.Change = "watch it until it stops"
	case v == checks.Undecided && r.Declared != "":
		row.Change = "find out what stopped it so early, and try it again"
	}
}
