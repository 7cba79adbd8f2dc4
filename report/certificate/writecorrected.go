package certificate

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// corrected is what was not as it first stood: texts, the site file, the visit itself.
func (w writer) corrected() Section {
	var items Items
	add := func(p words.Phrase) { items = append(items, Item{Mark: w.count(len(items) + 1), Text: w.say(p)}) }
	if d := w.r.Discarded(); d != nil {
		add(words.VisitSetAside{Reason: d.Reason, By: d.By, At: w.r.Local(d.At)})
	}
	for _, c := range w.r.SiteChanges() {
		add(words.SiteFileChanged{At: w.r.Local(c.At), Again: namesOf(c.Earlier, c.Again),
			Removed: namesOf(c.Earlier, c.Removed)})
	}
	for _, c := range w.r.Corrections() {
		text := words.CorrectedText{Correction: c, At: w.r.Local(c.At)}
		if s := w.r.Find(c.Step); s != nil {
			name := programme.NameOf(w.r.Site(), s.Step())
			text.Of = &name
		}
		add(text)
	}
	for _, b := range w.r.Withdrawals() {
		add(words.PhotographTakenBack{Withdrawal: b, At: w.r.Local(b.At)})
	}
	if len(items) == 0 {
		return Section{}
	}
	return w.section(words.CorrectedHeading, items)
}

func namesOf(s *site.Site, all []*record.Outcome) []programme.Name {
	var names []programme.Name
	for _, o := range all {
		names = append(names, programme.NameOf(s, o.Step()))
	}
	return names
}
