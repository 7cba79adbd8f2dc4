package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// dangers are told before all else.
func (w writer) dangers() []string {
	var all []string
	for _, f := range append(w.a.Findings(), w.a.Limitations()...) {
		if f.Severity() == judge.Danger {
			all = append(all, w.say(words.DangerFirst{Of: f}))
		}
	}
	return all
}

// graded counts findings by severity.
func graded(all []judge.Finding) words.Graded {
	var g words.Graded
	for _, f := range all {
		switch f.Severity() {
		case judge.Danger:
			g.Dangers++
		case judge.Fault:
			g.Faults++
		case judge.Advice:
			g.Advice++
		}
	}
	return g
}

// outstanding are findings, then limitations, each the gravest first, then standing notes.
func (w writer) outstanding() Section {
	var items Items
	add := func(f judge.Finding, tone Tone) {
		items = append(items, Item{Front: len(items) + 1, Mark: f.ID, Tone: tone, Grade: w.say(words.Grade(f.Severity())),
			Sign: graveLooks[f.Severity()], About: w.say(f.Subject),
			Text: w.say(words.Matter{Of: f}), Then: w.say(words.ToDo{Of: f, Undertaken: w.undertaken(f)})})
	}
	for _, f := range w.a.Findings() {
		add(f, Bad)
	}
	for _, f := range w.a.Limitations() {
		add(f, Warn)
	}
	items = append(items, w.alikeNotes()...)
	if len(items) == 0 {
		return w.section(words.OutstandingHeading, w.prose(words.NoneNote))
	}
	marks := w.quiet(words.MarksNote)
	marks.Leads = true
	s := w.section(words.OutstandingHeading, marks, items)
	s.Elsewhere = w.say(words.FrontShowsNote)
	return s
}

func (w writer) undertaken(f judge.Finding) *record.Undertaken {
	if u := w.a.Undertaken(f); u != nil {
		return &u.Undertaken
	}
	return nil
}
