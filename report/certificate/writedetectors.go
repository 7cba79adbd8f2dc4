package certificate

import (
	"maps"
	"slices"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func (w writer) detectors() Section {
	if len(w.a.Detectors()) == 0 {
		return w.section(words.NoScheduleHeading, w.prose(words.NoDetectorNote))
	}
	blocks := []Block{w.detectorTable(w.a.Detectors(), true)}
	if marks := marksOf(w.a.Detectors()); marks != (words.CueMarks{}) {
		blocks = append(blocks, w.quiet(marks))
	}
	if slices.ContainsFunc(w.a.Detectors(), asTechnicianSaid) {
		blocks = append(blocks, w.quiet(words.BankNote))
	}
	return w.section(words.ScheduleHeading, append(blocks, w.prose(words.OperationsCounted{Of: w.a.Operations()}),
		w.quiet(words.OwnZoneNote), w.quiet(words.VerdictsNote{}))...)
}

// asTechnicianSaid tells whether which detector was operated is as the technician said: one of
// several on a zone, that nobody was told to operate. The controller reports the zone alone.
func asTechnicianSaid(d judge.DetectorLine) bool {
	last := d.Outcome.Last()
	return last != nil && last.Operate.Own() && d.Verdict.Proves() && len(d.Zone.Detectors) > 1
}

// marksOf are the marks that stand in a table of detectors.
func marksOf(lines []judge.DetectorLine) (m words.CueMarks) {
	for _, d := range lines {
		m.NotTimed = m.NotTimed || d.Operated.NotTimed != "" && d.Operated.Answered() ||
			d.Restored.NotTimed != "" && d.Restored.Answered()
		if tap := tapOf(d); tap != nil {
			m.Touched, m.Counted = m.Touched || tap.By == record.ByTouch, m.Counted || tap.By == record.ByCount
		}
	}
	return m
}

// tapOf is what a response was timed from, nil for a cue of the program and for none.
func tapOf(d judge.DetectorLine) *record.Tap {
	last := d.Outcome.Last()
	if last == nil || !d.Operated.Timed() {
		return nil
	}
	return last.Operate.Tap()
}

// limits are what the kinds that were part of the walk-test are held against.
func (w writer) limits() Section {
	l := w.r.Site().Limits
	used := map[site.DetectorKind]bool{}
	for _, d := range w.a.Detectors() {
		used[d.Detector.Kind] = true
	}
	if len(used) == 0 {
		return Section{}
	}
	t := Table{Columns: []Column{w.column(words.KindColumn, 50), w.column(words.ResponseColumn, 24),
		w.column(words.SilentColumn, 24), w.column(words.RestoredColumn, 24), w.column(words.ByColumn, 58)}}
	for i := range t.Columns[1:4] {
		t.Columns[i+1].Right = true
	}
	for _, name := range site.Kinds {
		kind := site.DetectorKind(name)
		if !used[kind] {
			continue
		}
		of := []site.Limit{l.Response[kind], l.ListenFor[kind], l.Restore[kind]}
		cells := []Cell{{Text: w.say(kind)}}
		for _, limit := range of {
			cells = append(cells, Cell{Text: w.say(words.LimitCell(limit))})
		}
		t.Rows = append(t.Rows, Row{Cells: append(cells, Cell{Text: w.say(words.LimitsBy(of)), Tone: Quiet})})
	}
	return w.section(words.LimitsHeading, t, w.quiet(words.SteadyRule{Steady: l.Steady}))
}

// detectorTable has a head over the detectors of each zone, with what is fitted there if
// it is not said elsewhere.
func (w writer) detectorTable(lines []judge.DetectorLine, whole bool) Table {
	trials := w.column(words.TrialsColumn, 10)
	trials.Right = true
	t := Table{Columns: []Column{
		w.column(words.PointColumn, 12), w.column(words.DetectorColumn, 79),
		w.measures(words.ResponseColumn, words.Second, 17), {Width: 17},
		w.measures(words.RestoredColumn, words.Second, 16), w.measures(words.UncertaintyColumn, words.Second, 10),
		trials, w.column(words.VerdictColumn, 19),
	}}
	for i, d := range lines {
		row := w.detectorRow(d)
		if i == 0 || d.Zone != lines[i-1].Zone {
			row.Head = w.zoneHead(d.Zone, whole, len(lines) > manyRows)
			row.HeadBrief = true // its number
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (w writer) detectorRow(d judge.DetectorLine) Row {
	response, restored, bar, u := missing, missing, Cell{}, Cell{}
	limit := w.r.Site().Limits.Response[d.Detector.Kind].SI
	notTimed := Cell{Text: w.say(words.NotTimedStatus), Tone: Quiet}
	switch {
	case d.Operated.Timed():
		seconds := d.Operated.Response.Seconds()
		response = Cell{Text: w.number(seconds, 2)}
		if tap := tapOf(d); tap != nil {
			response.Text = w.say(words.TimedFrom{By: tap.By, Second: seconds})
		}
		u = Cell{Text: w.number(d.Operated.Uncertainty.Seconds(), 2), Tone: Quiet}
		bar.Bar = &Bar{
			Value: seconds,
			Limit: limit,
			Full:  limit * 1.5,
			Tone:  looks[words.RuledTrial(d.Operated.Verdict).Is].tone,
		}
	case d.Operated.Answered():
		response = notTimed
	}
	switch {
	case d.Restored.Timed():
		restored = Cell{Text: w.number(d.Restored.Response.Seconds(), 2)}
	case d.Restored.Answered():
		restored = notTimed
	}
	return Row{Cells: []Cell{{Text: string(d.Name.Point), Bold: true}, {Text: w.detector(d)},
		response, bar, restored, u, {Text: w.count(d.Trials)},
		w.ofDetector(d)}, Remark: w.detectorRemark(d)}
}

// zoneHead is a zone above its detectors. Among many, its area is not said twice.
func (w writer) zoneHead(z *site.Zone, whole, many bool) string {
	head := words.ZoneHead{Zone: programme.NameOfZone(z)}
	if whole {
		hint := programme.HintOf(z)
		head.Area, head.Kind, head.Hint, head.Cable = z.Area, z.Kind, &hint, w.cableOf(z)
		if many && slices.ContainsFunc([]string{" ", ",", ":"}, func(end string) bool {
			return strings.HasPrefix(z.Name, z.Area+end)
		}) {
			head.Area = "" // its name begins with it
		}
	}
	return w.say(head)
}

// detector is its name, where it is, and its kind if that is not the zone's.
func (w writer) detector(d judge.DetectorLine) string {
	of := typed(d.Detector.Name, d.Detector.Location)
	if d.Detector.Kind != d.Zone.Kind {
		of = append(of, d.Detector.Kind)
	}
	return w.commas(of...)
}

// detectorRemark is what was before the last trial, and what was remarked.
func (w writer) detectorRemark(d judge.DetectorLine) string {
	var parts []words.Phrase
	if d.Trials > 1 {
		parts = append(parts, words.LastTrial{Verdict: d.Verdict, Trial: numberOfLast(d.Outcome),
			Trials: len(d.Outcome.Attempts()), Earlier: earlier(d), Mended: d.Outcome.Mended()})
	}
	struck := d.Outcome.Struck()
	for _, n := range slices.Sorted(maps.Keys(struck)) {
		parts = append(parts, words.StruckTrial{Trial: n, Verdict: struck[n].AsTaken().Verdict(), Reason: struck[n].Struck()})
	}
	if n := d.Outcome.BrokenOff(); n > 0 {
		parts = append(parts, words.BrokenOff{Trials: n})
	}
	return w.semicolons(append(parts, remarked(without(d.Remarks, d.Outcome.Mended())...)...)...)
}

// numberOfLast is the number of the last complete attempt, counted from 1 among all.
func numberOfLast(s *record.Outcome) int {
	last := s.Last()
	return 1 + slices.IndexFunc(s.Attempts(), func(a record.Attempt) bool {
		return last != nil && a.Operate == last.Operate
	})
}

// earlier are the trials before the last.
func earlier(d judge.DetectorLine) []words.EarlierTrial {
	var all []words.EarlierTrial
	tried := d.Outcome.Tried()
	for _, t := range tried[:len(tried)-1] {
		j := t.Operate.Judge()
		all = append(
			all,
			words.EarlierTrial{Verdict: t.Verdict(), WhenRestored: j.Verdict.Proves() && t.Verdict() != j.Verdict,
				Reported: j.Timed(), Operated: j.Response},
		)
	}
	return all
}

// without are remarks without those that are told elsewhere.
func without(remarks, told []string) []string {
	return slices.DeleteFunc(slices.Clone(remarks), func(text string) bool { return slices.Contains(told, text) })
}
