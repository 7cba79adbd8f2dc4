package main

import (
	"fmt"
	"time"

	"loopwitness/commission/kit/screen"
	"loopwitness/commission/words"
	"loopwitness/report/due"
)

// due prints what is due, in lines that also a narrow window holds.
func (s streams) due(r *due.Report) {
	s.say("On %s: %s", english.Date(r.On), counted(len(r.Systems), "system", "systems"))
	s.say("\nNext visits")
	for _, y := range r.Systems {
		s.dueLine(when(r.On, y.Due), y.Name+", "+y.Reference+" ("+y.Folder+")")
		s.dueMore(english.Say(words.CountedFrom{Maintenance: y.Maintenance, Kind: y.Counted, From: y.From}))
		if y.Open != "" {
			s.dueMore("visit " + y.Open + " is not finished")
		}
		s.dueMore(english.Say(y.Counts()))
	}
	s.none(len(r.Systems))
	s.say("\nOutstanding, the gravest first")
	for _, m := range r.Outstanding {
		by := m.Severity
		if due.Over(r.On, m.By) {
			by += ", overdue"
		}
		s.dueLine(by, m.Name+" ("+m.System+"), "+m.ID+": "+english.Say(m.Of.Subject)+": "+
			english.Say(words.Matter{Of: m.Of}))
		s.dueMore(english.Say(words.InHand{Action: m.Action, By: m.By, Who: m.Who}))
	}
	s.none(len(r.Outstanding))
	s.say("\nStandby batteries, by the end of their life")
	for _, b := range r.Batteries {
		s.dueLine(when(r.On, b.Until), b.Name+" ("+b.System+")")
		s.dueMore(lifeOf(r.On, b))
	}
	s.none(len(r.Batteries))
	s.say("\nInstruments, by the end of their calibration")
	for _, i := range r.Instruments {
		s.dueLine(when(r.On, i.Until), i.Name+", last at "+counted(i.Systems, "system", "systems"))
	}
	s.none(len(r.Instruments))
}

func (s streams) none(n int) {
	if n == 0 {
		s.say("  none")
	}
}

// The columns of the list: the lead is when, or how grave.
const dueLead = 24

func (s streams) dueLine(lead, text string) {
	if s.width() < 60 { // the lead takes a line of its own
		s.say("  %s", screen.Clean(lead))
		s.dueMore(text)
		return
	}
	s.hanging("  "+screen.Pad(screen.Clean(lead), dueLead)+" ", text)
}

func (s streams) dueMore(text string) {
	indent := "    "
	if s.width() >= 60 {
		indent = fmt.Sprintf("%*s", dueLead+3, "")
	}
	s.hanging(indent, text)
}

// when is a day, and how far it is away.
func when(on, day time.Time) string {
	days := due.Days(on, day)
	switch {
	case day.IsZero():
		return "day not known"
	case days < 0:
		return day.Format(time.DateOnly) + ", overdue"
	case days == 0:
		return day.Format(time.DateOnly) + ", today"
	}
	return day.Format(time.DateOnly) + ", " + counted(days, "day", "days")
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func lifeOf(on time.Time, b due.Battery) string {
	switch {
	case b.Fitted.IsZero():
		return b.Chemistry + ", the site file does not say when it was fitted"
	case b.Until.IsZero():
		return b.Chemistry + ", fitted " + english.Date(b.Fitted) + ", how long it lasts is not known"
	}
	whose := "by the usual life of its kind"
	if b.ByMaker {
		whose = "by its maker's word"
	}
	const year = 365.25
	return fmt.Sprintf("%s, fitted %s, %.1f years old, %s", b.Chemistry, english.Date(b.Fitted),
		float64(due.Days(b.Fitted, on))/year, whose)
}
