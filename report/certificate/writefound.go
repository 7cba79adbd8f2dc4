package certificate

import (
	"slices"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// found is what the site file does not say and was asked on the premises: what was found
// counts as if the file had it, what was not is a limitation. Loops that are held against
// nothing stand here, too.
func (w writer) found() Section {
	lines := slices.DeleteFunc(w.a.Found(), func(l judge.FoundLine) bool { return l.Told })
	unheld := w.a.UnheldLoops()
	if len(lines)+len(unheld) == 0 {
		return Section{}
	}
	t := w.foundTable(lines)
	for _, l := range unheld {
		t.Rows = append(t.Rows, w.foundLoop(Cell{Text: w.say(l.Detector)}, l.Taken))
	}
	blocks := []Block{t, w.quiet(words.FoundNote)}
	if len(unheld) > 0 || slices.ContainsFunc(lines, w.unheld) {
		blocks = append(blocks, w.quiet(words.UnheldNote))
	}
	return w.section(words.FoundHeading, blocks...)
}

// told is what was written down as it was told of a system or an alarm. Nothing of it counts.
func (w writer) told() Section {
	lines := slices.DeleteFunc(w.a.Found(), func(l judge.FoundLine) bool { return !l.Told })
	if len(lines) == 0 {
		return Section{}
	}
	return w.section(words.ToldHeading, w.foundTable(lines))
}

// unheld tells whether a loop was read at a step, and is held against nothing.
func (w writer) unheld(l judge.FoundLine) bool {
	z := w.r.Site().Zone(l.Outcome.Step().Zone)
	return l.Loop != nil && z != nil && z.Wiring == site.WiringUnknown
}

func (w writer) foundTable(lines []judge.FoundLine) Table {
	t := Table{Columns: []Column{w.column(words.PartColumn, 62), w.column(words.KeyColumn, 62),
		w.column(words.ValueColumn, 24), w.column(words.HowColumn, 32)}}
	for i := 0; i < len(lines); i++ {
		l := lines[i]
		if n, about := w.alikeUnknown(lines[i:]); n > 0 {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: about}, missing, missing, missing},
				Remark: w.semicolons(remarked(l.Outcome.Remark())...)})
			i += n - 1
			continue
		}
		part := Cell{Text: w.say(l.Name)}
		if l.Loop != nil {
			t.Rows = append(t.Rows, w.foundLoop(part, l.Loop))
			part = Cell{}
		}
		if len(l.Values) == 0 {
			t.Rows = append(t.Rows, Row{Cells: []Cell{part, missing, missing, missing},
				Remark: w.semicolons(remarked(l.Outcome.Remark())...)})
		}
		for _, v := range l.Values {
			value, how := missing, missing
			if v.Text != "" {
				value = Cell{Text: w.say(words.FoundText{Key: v.Key, Text: v.Text})}
				if v.By != "" {
					how = Cell{Text: w.say(v.By), Tone: Quiet}
				}
			}
			t.Rows = append(t.Rows, Row{Cells: []Cell{part, {Text: w.say(words.KeyOf(v.Key))}, value, how}})
			part = Cell{}
		}
	}
	return t
}

// alikeUnknown is how many lines from the first on say the same of one zone after the other, that nothing was found, and
// what they are about together; 0 if they are few.
func (w writer) alikeUnknown(lines []judge.FoundLine) (n int, about string) {
	const several = 3
	first := lines[0]
	part, _, named := strings.Cut(w.say(first.Name), ": ") // its zone stands behind
	var zones words.Zones
	for _, l := range lines {
		same, _, _ := strings.Cut(w.say(l.Name), ": ")
		zone := l.Outcome.Step().Zone
		if len(l.Values) > 0 || l.Loop != nil || zone == 0 || same != part || l.Outcome.Remark() != first.Outcome.Remark() {
			break
		}
		zones = append(zones, zone)
	}
	if len(zones) < several || !named {
		return 0, ""
	}
	return len(zones), part + ": " + w.say(words.AlikeZones{Of: zones})
}

// foundLoop is a loop that was read, as it was read.
func (w writer) foundLoop(part Cell, r *record.Taken) Row {
	return Row{Cells: []Cell{part, {Text: w.say(words.FoundLoopKey)},
		{Text: w.say(words.FoundLoop{Typed: r.AsTyped, Open: r.Open})}, {Text: w.say(record.ByMeter), Tone: Quiet}}}
}
