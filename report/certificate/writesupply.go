package certificate

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

func (w writer) supply() Section {
	if len(w.a.Readings()) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.ReadingColumn, 66), w.column(words.TakenColumn, 16),
		w.measures(words.ValueColumn, words.Volt, 14), w.measures(words.UncertaintyColumn, words.Volt, 12),
		w.column(words.LimitColumn, 53), w.column(words.ResultColumn, 19)}}
	for _, l := range w.a.Readings() {
		t.Rows = append(t.Rows, w.readingRow(l))
	}
	blocks := []Block{t}
	if c, is := w.supplyOverTime(); is {
		blocks = append(blocks, Charts{c})
	}
	if w.notStated() {
		blocks = append(blocks, w.quiet(words.NotStatedNote))
	}
	blocks = append(blocks, w.faults()...)
	if len(w.a.OnStandby()) > 0 {
		lead := w.prose(words.OnStandbyNote)
		lead.Leads = true
		blocks = append(blocks, lead, w.detectorTable(w.a.OnStandby(), false))
		if marks := marksOf(w.a.OnStandby()); marks != (words.CueMarks{}) {
			blocks = append(blocks, w.quiet(marks))
		}
	}
	if note, known := pathNotes[w.r.PathOnStandby()]; known {
		blocks = append(blocks, w.prose(note))
	}
	if r := w.a.Restart(); r != nil && r.Tested {
		blocks = append(blocks, w.prose(words.ColdRestart{Silent: r.Verdict == record.Silent, Took: r.Took, Limit: r.Limit}))
	}
	return w.section(words.SupplyHeading, append(blocks, w.quiet(words.SupplyRuleNote))...)
}

var pathNotes = map[record.Result]words.Note{
	record.Yes: words.PathOffMainsNote, record.No: words.PathOnMainsNote, record.NotApplicable: words.NoPathNote,
}

// notStated tells whether the uncertainty of a reading is unknown.
func (w writer) notStated() bool {
	for _, l := range w.a.Readings() {
		if l.Taken && l.Uncertainty == 0 {
			return true
		}
	}
	return false
}

func (w writer) readingRow(l judge.ReadingLine) Row {
	remarks := remarked(append(l.Outcome.Notes(), l.Outcome.Remark())...)
	if l.Taken && l.Reading.Sampled {
		remarks = append(remarks, words.SampledNote)
	}
	return Row{Cells: w.readingCells(l), Remark: w.semicolons(append(remarks, earlierReadings(l.Outcome)...)...)}
}

func (w writer) readingCells(l judge.ReadingLine) []Cell {
	name := Cell{Text: w.say(programme.NameOf(w.r.Site(), l.Outcome.Step()))}
	notTested := w.readingVerdict(l)
	if l.Void == "" && !l.Taken {
		return []Cell{name, missing, missing, {}, {Text: w.say(l.Limit), Tone: Quiet}, notTested}
	}
	taken := Cell{Text: w.o.Language.TimeOfDay(w.r.Local(l.Outcome.At())), Tone: Quiet}
	value := Cell{Text: w.number(l.Reading.Value, 2)}
	if l.Void != "" {
		value.Tone = Quiet
		return []Cell{name, taken, value, {}, {Text: w.say(l.Void), Tone: Quiet}, notTested}
	}
	if l.Reading.WhileOff { // named by when it was really taken, not by when it was due
		name.Text = w.say(words.VoltageOff{After: l.Reading.SinceOff.Round(time.Second),
			AtMost: l.Reading.SinceOffAtMost.Round(time.Second), Loaded: l.Outcome.Step().Load})
	}
	u := Cell{Text: w.say(words.NotStatedStatus), Tone: Quiet}
	if l.Uncertainty > 0 {
		u.Text = w.number(l.Uncertainty, 2)
	}
	return []Cell{name, taken, value, u, {Text: w.say(l.Limit), Tone: Quiet}, w.readingVerdict(l)}
}

// readingVerdict is what a reading says about its limit. One without a limit of its own counts in what is computed.
func (w writer) readingVerdict(l judge.ReadingLine) Cell {
	switch {
	case l.Void != "" || !l.Taken:
		return w.ruled(words.Ruled{Is: words.Untested})
	case l.Limit.Open():
		return w.ruled(words.Ruled{Is: words.Informative})
	}
	if doubt := l.Doubt(); doubt != "" {
		return w.ruled(words.RuledUndecided(doubt))
	}
	return w.decided(l.Decision.Ruling)
}

// earlierReadings are those that were taken again.
func earlierReadings(s *record.Outcome) []words.Phrase {
	all := s.Readings()
	if len(all) < 2 {
		return nil
	}
	var before words.ReadBefore
	for _, r := range all[:len(all)-1] {
		before.Volt = append(before.Volt, r.Value)
	}
	return []words.Phrase{before}
}
