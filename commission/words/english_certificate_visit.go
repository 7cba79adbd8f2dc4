package words

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/runs"
)

// ofThisVisit says what kind of visit it was, what belonged to it and what came of it.
func (l English) ofThisVisit(p Phrase) string {
	switch p := p.(type) {
	case VisitOf:
		return l.Say(p.Kind) + " of " + l.Date(p.Day)
	case ResultSentence:
		return englishResults[judge.Overall(p)]
	case Detail:
		return l.detail(p)
	case Span:
		return l.Moment(p.From) + " to " + l.Moment(p.To)
	case Extent:
		return extent(p)
	case Pause:
		return l.times(p.From, p.To) + " (" + englishStops[p.Why] + ")"
	case Outage:
		return "controller lost " + l.times(p.From, p.To) + byEar(" (", p.Ear, ")")
	case MorePauses:
		return fmt.Sprintf("and %d more, see the record", p.N)
	case MeterUncertainty:
		if p.Volt == 0 {
			return "uncertainty not stated"
		}
		return "± " + l.Number(p.Volt, AsNeeded) + " V near 12 V (95 %)"
	case Accepts:
		return "accepts " + strings.Join(runs.Short(p.IDs), " ")
	}
	return ""
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

var englishResults = map[judge.Overall]string{
	judge.Satisfactory:    "Everything that this kind of visit asks for was judged, and held.",
	judge.NotFinished:     "There is no verdict on the whole yet.",
	judge.WithLimitations: "Nothing that was tried failed; what limits this result is listed below.",
	judge.Unsatisfactory:  "The findings below have to be put right and tested again.",
}

// englishDetails are said with the text behind them.
var englishDetails = map[DetailKind]string{
	LicenceDetail:    "licence",
	GradeDetail:      "grade",
	ClassDetail:      "class",
	AccountDetail:    "account",
	RateDetail:       "at the rate of",
	FittedDetail:     "fitted",
	AlarmForDetail:   "then alarm for",
	FollowsDetail:    "follows",
	CalibratedDetail: "calibrated until",
	PhotoTakenDetail: "taken",
	HeardAsDetail:    "sounds at",
	DrawsDetail:      "draws",
	ForDetectors:     "gives detectors up to",
	ForSounders:      "gives sounders and strobes up to",
	WithinDetail:     "within",
	ToDetail:         "to",
	InAlarmDetail:    "in alarm",
	AtDetail:         "at",
	RecordedDetail:   "record by",
	FuseDetail:       "fuse",
	CircuitDetail:    "mains circuit:",
}

func (l English) detail(d Detail) string {
	if d.Kind == AtDetail {
		d.Text = l.run(d.Text)
	}
	if d.Kind == CalibratedDetail || d.Kind == FittedDetail {
		d.Text = l.day(d.Text)
	}
	if d.Text == "" || englishDetails[d.Kind] == "" {
		return ""
	}
	if word, _, _ := strings.Cut(d.Text, " "); strings.EqualFold(word, englishDetails[d.Kind]) {
		return named(d.Text) // it was typed with the word
	}
	return englishDetails[d.Kind] + " " + named(d.Text)
}

func extent(p Extent) string {
	text := fmt.Sprintf("%d of %d detectors of the walk-test operated", p.Operated, p.Detectors)
	if p.OfSite != p.Detectors {
		text += fmt.Sprintf(" (the site has %d)", p.OfSite)
	}
	add := func(done, all int, what string) {
		if all > 0 {
			text += fmt.Sprintf("; %d of %d %s", done, all, what)
		}
	}
	add(p.Energised, p.Outputs, "sounders and strobes tried")
	add(p.Read, p.Readings, "voltages read")
	add(p.Answered, p.Checks, "items of the checklist answered")
	return text
}

// times are from when to when on a day; an open end is left out.
func (l English) times(from, to time.Time) string {
	if to.IsZero() {
		return l.TimeOfDay(from)
	}
	return l.TimeOfDay(from) + " to " + l.TimeOfDay(to)
}
