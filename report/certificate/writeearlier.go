package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// settlingTones are those of what came of something that was outstanding.
var settlingTones = map[judge.Settling]Tone{
	judge.AnsweredRight: Good, judge.TriedWell: Good, judge.TestedNow: Good, judge.AnsweredStill: Bad, judge.TriedAgain: Bad,
	judge.AnsweredNot: Warn, judge.TriedNot: Warn, judge.TriedLimits: Warn, judge.TriedUntold: Warn,
}

// settled is what earlier visits left outstanding, and what came of it.
func (w writer) settled() Section {
	var items Items
	for _, l := range w.a.Outstanding() {
		l.Then.Begun = w.r.Local(l.Then.Begun)
		items = append(items, Item{Mark: w.count(len(items) + 1), Tone: settlingTones[l.How],
			Grade: w.say(
				words.Grade(l.Then.Grade()),
			), Sign: graveLooks[l.Then.Grade()], Text: w.say(words.ThenFound{Of: l.Then}),
			Then: w.say(words.CameOfIt{Of: l, By: w.technicianName(), Day: w.r.Local(w.r.Begun())})})
	}
	if len(items) == 0 {
		return Section{}
	}
	return w.section(words.SettledHeading, items)
}

func (w writer) technicianName() string {
	if s := w.signedBy(); s != nil {
		return s.Name
	}
	return ""
}

// mostChanged is how many changes of the site file a page lists.
const mostChanged = 60

// changes are those of the site file since the latest earlier visit.
func (w writer) changes() Section {
	since, all := w.a.SiteChanges()
	if since == "" {
		return Section{}
	}
	if len(all) == 0 {
		return w.section(words.ChangesHeading, w.prose(words.NothingChanged{Visit: since}))
	}
	var items Items
	for i, c := range all {
		if i == mostChanged {
			items = append(items, Item{Mark: "…", Text: w.say(words.MoreChanges{N: len(all) - i})})
			break
		}
		items = append(items, Item{Mark: w.count(i + 1), Text: w.say(c)})
	}
	lead := w.quiet(words.ChangedSince{Visit: since})
	lead.Leads = true
	return w.section(words.ChangesHeading, lead, items)
}

// earlier are the visits whose records were taken in, and that can be had.
func (w writer) earlier() Section {
	var items Items
	for i, e := range w.r.Earlier() {
		items = append(items, Item{Mark: w.count(i + 1), Text: w.say(words.EarlierVisit{Of: e, Begun: w.r.Local(e.Begun)})})
	}
	if len(items) == 0 {
		return Section{}
	}
	return w.section(words.EarlierHeading, items)
}
