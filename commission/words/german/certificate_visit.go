package german

import (
	"loopwitness/commission/kit/runs"
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
		return l.Say(p.Kind) + " vom " + l.Date(p.Day)
	case words.ResultSentence:
		return germanResults[judge.Overall(p)]
	case words.Detail:
		return l.detail(p)
	case words.Span:
		return l.Moment(p.From) + " bis " + l.Moment(p.To)
	case words.Extent:
		return extent(p)
	case words.Pause:
		return l.times(p.From, p.To) + " (" + germanStops[p.Why] + ")"
	case words.Outage:
		return "Zentrale weg " + l.times(p.From, p.To) + byEar(" (", p.Ear, ")")
	case words.MorePauses:
		return fmt.Sprintf("und %d weitere, siehe Aufzeichnung", p.N)
	case words.MeterUncertainty:
		if p.Volt == 0 {
			return "Unsicherheit nicht angegeben"
		}
		return "± " + l.Number(p.Volt, words.AsNeeded) + " V bei 12 V (95 %)"
	case words.Accepts:
		return "erkennt an: " + strings.Join(runs.Short(p.IDs), " ")
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
	judge.Satisfactory:    "Alles, was diese Art von Termin verlangt, wurde beurteilt und ist eingehalten.",
	judge.NotFinished:     "Ein Urteil über das Ganze gibt es noch nicht.",
	judge.WithLimitations: "Nichts, was geprüft wurde, ist durchgefallen; was dieses Ergebnis einschränkt, steht unten.",
	judge.Unsatisfactory:  "Die Mängel unten sind zu beheben und erneut zu prüfen.",
}

// germanDetails are said with the text behind them.
var germanDetails = map[words.DetailKind]string{
	words.LicenceDetail:    "Zulassung",
	words.GradeDetail:      "Grad",
	words.ClassDetail:      "Klasse",
	words.AccountDetail:    "Kennung",
	words.RateDetail:       "bei Entladung in",
	words.FittedDetail:     "eingebaut",
	words.AlarmForDetail:   "danach Alarm für",
	words.FollowsDetail:    "folgt auf",
	words.CalibratedDetail: "kalibriert bis",
	words.PhotoTakenDetail: "aufgenommen",
	words.HeardAsDetail:    "tönt mit",
	words.DrawsDetail:      "Aufnahme",
	words.ForDetectors:     "gibt Meldern bis zu",
	words.ForSounders:      "gibt Sirenen und Blitzleuchten bis zu",
	words.WithinDetail:     "innerhalb von",
	words.ToDetail:         "auf",
	words.InAlarmDetail:    "bei Alarm",
	words.AtDetail:         "in",
	words.RecordedDetail:   "Aufzeichnung durch",
	words.FuseDetail:       "Sicherung",
	words.CircuitDetail:    "Netzstromkreis:",
}

// germanQuantities are details that are values, in the decimals of whoever typed them.
var germanQuantities = map[words.DetailKind]bool{
	words.RateDetail: true, words.AlarmForDetail: true, words.HeardAsDetail: true, words.DrawsDetail: true,
	words.ForDetectors: true, words.ForSounders: true, words.WithinDetail: true, words.ToDetail: true,
	words.InAlarmDetail: true,
}

func (l Language) detail(d words.Detail) string {
	if d.Text == "" || germanDetails[d.Kind] == "" {
		return ""
	}
	if word, _, _ := strings.Cut(d.Text, " "); strings.EqualFold(word, germanDetails[d.Kind]) {
		return named(d.Text) // it was typed with the word
	}
	text := d.Text
	switch {
	case d.Kind == words.AtDetail:
		text = l.run(text)
	case germanQuantities[d.Kind]:
		text = l.quantity(text)
	case d.Kind == words.CalibratedDetail || d.Kind == words.FittedDetail:
		text = l.day(text)
	}
	return germanDetails[d.Kind] + " " + named(text)
}

func extent(p words.Extent) string {
	text := fmt.Sprintf("%d von %d Meldern des Gehtests betätigt", p.Operated, p.Detectors)
	if p.OfSite != p.Detectors {
		text += fmt.Sprintf(" (das Objekt hat %d)", p.OfSite)
	}
	add := func(done, all int, what string) {
		if all > 0 {
			text += fmt.Sprintf("; %d von %d %s", done, all, what)
		}
	}
	add(p.Energised, p.Outputs, "Sirenen und Blitzleuchten erprobt")
	add(p.Read, p.Readings, "Spannungen abgelesen")
	add(p.Answered, p.Checks, "Punkten der Checkliste beantwortet")
	return text
}

// times are from when to when on a day; an open end is left out.
func (l Language) times(from, to time.Time) string {
	if to.IsZero() {
		return l.TimeOfDay(from)
	}
	return l.TimeOfDay(from) + " bis " + l.TimeOfDay(to)
}
