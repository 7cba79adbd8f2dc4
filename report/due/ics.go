package due

import (
	"strings"
	"time"

	ical "github.com/arran4/golang-ical"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/words"
)

// product names what made a calendar, as RFC 5545 asks.
const product = "-//loopwitness//due//EN"

// Calendar is what is due as iCalendar (RFC 5545): an event of a whole day for each next visit,
// for each undertaking with a day, for each end of a battery's life that its maker states, and
// for each end of a calibration. An event keeps its UID from one writing to the next, and a next
// visit keeps it when it moves: a calendar that reads the file again moves it. written is when
// it was. It names premises, address, what is to be done and by whom; nothing else.
func (r *Report) Calendar(language words.Language, written time.Time) string {
	c := ical.NewCalendar()
	c.SetProductId(product)
	c.SetMethod(ical.MethodPublish)
	add := func(uid string, day time.Time, summary words.Phrase, place string, more ...string) {
		if day.IsZero() {
			return
		}
		e := c.AddEvent(uid + "@loopwitness")
		e.SetDtStampTime(written.UTC())
		e.SetAllDayStartAt(day)
		e.SetSummary(plain(language.Say(summary)))
		if place != "" {
			e.SetLocation(plain(place))
		}
		if text := strings.Join(more, "; "); text != "" {
			e.SetDescription(plain(text))
		}
		e.SetClass(ical.ClassificationPrivate)
		e.SetTimeTransparency(ical.TransparencyTransparent)
	}
	for _, s := range r.Systems {
		add(digest("visit", s.ID), s.Due, words.DueVisit{Premises: s.Name, Reference: s.Reference}, s.Address,
			language.Say(words.CountedFrom{Maintenance: s.Maintenance, Kind: s.Counted, From: s.From}), language.Say(s.Counts()))
	}
	for _, m := range r.Outstanding {
		add(digest("matter", m.UID), m.By, words.DueMatter{Premises: m.Name, Of: m.Of}, "",
			language.Say(words.Matter{Of: m.Of}), language.Say(words.InHand{Action: m.Action, By: m.By, Who: m.Who}))
	}
	for _, b := range r.Batteries {
		if b.ByMaker {
			add(digest("battery", b.ID), b.Until, words.DueBattery{Premises: b.Name}, "")
		}
	}
	for _, i := range r.Instruments {
		add(digest("meter", i.Name), i.Until, words.DueMeter{Name: i.Name}, "")
	}
	return c.Serialize(ical.WithNewLineWindows)
}

// plain is a text as calendars may hold it: no control character, no character that turns a
// line around.
func plain(text string) string { return oneline.Clean(text) }

// Counts are how many findings and limitations are outstanding.
func (s System) Counts() words.GradesCounted {
	of := func(grade judge.Severity) int { return s.Findings[string(grade)] }
	return words.GradesCounted{Dangers: of(judge.Danger), Faults: of(judge.Fault), Advice: of(judge.Advice)}
}
