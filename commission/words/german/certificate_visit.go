package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"
	"time"

	"loopwitness/commission/judge"
)

// ofThisVisit says what kind of visit it was, what belonged to it and what came of it.
func (l Language) ofThisVisit(p words.Phrase) string {
	switch p := p.(type) {
	case words.VisitOf:
		return l.Say(p.Kind) + " of " + l.Date(p.Day)
	case words.ResultSentence:
		return germanResults[judge.Overall(p)]
	case words.Detail:
		return detail(p)
	case words.Span:
		return l.Moment(p.From) + " to " + l.Moment(p.To)
	case words.Extent:
		return extent(p)
	case words.Pause:
		return l.times(p.From, p.To) + " (" + germanStops[p.Why] + ")"
	case words.Outage:
		return "controller lost " + l.times(p.From, p.To)
	case words.MorePauses:
		return fmt.Sprintf("and %d more, see the record", p.N)
	case words.MeterUncertainty:
		if p.Volt == 0 {
			return "uncertainty not stated"
		}
		return "± " + l.Number(p.Volt, words.AsNeeded) + " V near 12 V (95 %)"
	case words.Accepts:
		return accepts(p.IDs)
	}
	return ""
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

var germanResults = map[judge.Overall]string{
	judge.Satisfactory:    "Everything that this kind of visit asks for was judged, and held.",
	judge.NotFinished:     "There is no verdict on the whole yet.",
	judge.WithLimitations: "What was judged held; what limits this result is listed below.",
	judge.Unsatisfactory:  "The findings below have to be put right and tested again.",
}

// englishDetails are said with the text behind them.
var germanDetails = map[words.DetailKind]string{
	words.LicenceDetail:    "licence",
	words.GradeDetail:      "grade",
	words.ClassDetail:      "class",
	words.AccountDetail:    "account",
	words.RateDetail:       "at the rate of",
	words.FittedDetail:     "fitted",
	words.AlarmForDetail:   "then alarm for",
	words.FollowsDetail:    "follows",
	words.CalibratedDetail: "calibrated until",
	words.PhotoTakenDetail: "taken",
	words.HeardAsDetail:    "sounds at",
	words.DrawsDetail:      "draws",
	words.ForDetectors:     "gives detectors up to",
	words.ForSounders:      "gives sounders and strobes up to",
	words.WithinDetail:     "within",
	words.ToDetail:         "to",
	words.InAlarmDetail:    "in alarm",
	words.AtDetail:         "at",
	words.RecordedDetail:   "record by",
	words.FuseDetail:       "fuse",
	words.CircuitDetail:    "mains circuit:",
}

func detail(d words.Detail) string {
	if d.Text == "" || germanDetails[d.Kind] == "" {
		return ""
	}
	if word, _, _ := strings.Cut(d.Text, " "); strings.EqualFold(word, germanDetails[d.Kind]) {
		return named(d.Text) // it was typed with the word
	}
	return germanDetails[d.Kind] + " " + named(d.Text)
}

func extent(p words.Extent) string {
	text := fmt.Sprintf("%d of %d detectors of the walk-test operated", p.Operated, p.Detectors)
	if p.OfSite != p.Detectors {
		text += fmt.Sprintf(" (the site has %d)", p.OfSite)
	}
	add := func(done, all int, what string) {
		if all > 0 {
			text += fmt.Sprintf("; %d of %d %s", done, all, what)
		}
	}
	add(p.Energised, p.Outputs, "sounders and strobes energised")
	add(p.Read, p.Readings, "voltages read")
	add(p.Answered, p.Checks, "items of the checklist answered")
	return text
}

// times are from when to when on a day; an open end is left out.
func (l Language) times(from, to time.Time) string {
	if to.IsZero() {
		return l.TimeOfDay(from)
	}
	return l.TimeOfDay(from) + " to " + l.TimeOfDay(to)
}

// accepts names the first of many.
func accepts(ids []string) string {
	if len(ids) > 12 {
		return fmt.Sprintf("accepts %s … %s (%d in all)", strings.Join(ids[:6], " "), ids[len(ids)-1], len(ids))
	}
	if len(ids) == 0 {
		return ""
	}
	return "accepts " + strings.Join(ids, " ")
}
