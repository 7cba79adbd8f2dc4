package german

import (
	"loopwitness/commission/words"

	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofResults says what tables say beside trials.
func (l Language) ofResults(p words.Phrase) string {
	switch p := p.(type) {
	case record.OffBecause:
		return germanOffReasons[p]
	case record.Result:
		return germanAnswers[p] + germanFaultResults[p]
	case words.VoltageOff:
		text := "Versorgungsspannung, Netz weg seit " + l.Duration(p.After)
		if p.After < time.Second {
			text = "Versorgungsspannung, Netz eben getrennt"
		}
		if more := p.AtMost - p.After; more >= time.Second {
			text += ", höchstens " + l.Duration(p.AtMost) + ", nicht durchweg beobachtet"
		}
		if p.Loaded {
			text += ", alle Ausgänge ein"
		}
		return text
	case words.ReadBefore:
		return "vorher abgelesen: " + l.volts(p.Volt)
	case words.ColdRestart:
		return l.coldRestart(p)
	case words.Before:
		return "davor: " + l.Say(p.Answers)
	case words.ToChange:
		return "zu ändern: " + p.Text
	}
	return l.ofFitted(p)
}

// ofFitted says what is fitted, as the site file declares it.
func (l Language) ofFitted(p words.Phrase) string {
	switch p := p.(type) {
	case words.ZoneHead:
		return l.zoneHead(p)
	case words.Zones:
		return zones(p)
	case words.ComputedTried:
		if p.Tried == 0 {
			return p.Computed + " berechnet, nichts erprobt"
		}
		return p.Computed + " berechnet, " + l.Duration(p.Tried.Round(time.Second)) + " erprobt"
	case words.BatteryForm:
		return germanForms[site.Form(p)]
	case words.CellCount:
		return count(p.N, "Zelle", "Zellen")
	case words.DeclaredAs:
		return "angegeben: " + l.Say(p.Of)
	case words.LimitCell:
		text := l.Number(p.SI, words.AsNeeded) + " s"
		if !site.Limit(p).Declared() {
			text += ", angenommen"
		}
		return text
	case words.LimitsBy:
		return l.limitsBy(p)
	case words.SteadyRule:
		return l.steadyRule(p.Steady)
	}
	return ""
}

var germanForms = map[site.Form]string{
	site.Direct: "direkt am Ladegerät", site.Converter: "hinter einem Wandler", site.Inline: "Akkupack in der Zuleitung",
}

func (l Language) zoneHead(p words.ZoneHead) string {
	parts := words.List{By: words.Semicolons, Of: []words.Phrase{words.AsTyped(capital(l.Say(p.Zone)))}}
	if p.Area != "" {
		parts.Of = append(parts.Of, words.Named(p.Area))
	}
	if p.Kind != "" {
		parts.Of = append(parts.Of, p.Kind)
	}
	if p.Hint != nil {
		wiring, _, _ := strings.Cut(l.Say(*p.Hint), ":")
		parts.Of = append(parts.Of, words.AsTyped(wiring))
	}
	parts.Of = append(parts.Of, p.Cable)
	return l.Say(parts)
}

// zones joins numbers that follow each other: 1, 3–5.
func zones(all words.Zones) string {
	var texts []string
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1] == all[j]+1 {
			j++
		}
		text := fmt.Sprint(all[i])
		if j > i {
			text = fmt.Sprintf("%d–%d", all[i], all[j])
		}
		texts, i = append(texts, text), j+1
	}
	return strings.Join(texts, ", ")
}

// limitsBy names each who says so once.
func (l Language) limitsBy(all words.LimitsBy) string {
	var texts []string
	for _, limit := range all {
		if text := l.Say(limit); !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return strings.Join(texts, "; ")
}

func (l Language) steadyRule(s site.Limit) string {
	return "Angenommen: Niemand hat es angegeben, und ein üblicher Wert von uns gilt; daran allein scheitert " +
		"nichts. Stumm: In dieser Zeit, oder bis der Techniker aufgab, wurde nichts gemeldet. Eine Meldung musste " +
		l.Number(s.SI, words.AsNeeded) + " s lang bestehen (" + l.Say(s) + "). Was um mehr als seine Unsicherheit " +
		"innerhalb der Grenze liegt, ist nachgewiesen; was näher daran liegt, ist unentschieden."
}

var germanAnswers = map[record.Result]string{
	record.Done:          "erledigt",
	record.NotApplicable: "entfällt",
	record.Defect:        "Mangel",
	record.Works:         "funktioniert",
	record.Fails:         "funktioniert nicht",
	record.Yes:           "ja",
	record.No:            "nein",
	record.AsItIs:        "so gelassen",
	record.LeftOut:       "nicht geprüft",
}

var germanChecked = map[record.Result]string{
	record.Done:          "ja",
	record.NotApplicable: "entfällt",
	record.Defect:        "Mangel",
	record.LeftOut:       "nicht kontrolliert",
	"":                   "offen",
}

func (l Language) volts(all []float64) string {
	var texts []string
	for _, v := range all {
		texts = append(texts, l.Number(v, 2)+" V")
	}
	return strings.Join(texts, ", ")
}

func (l Language) coldRestart(p words.ColdRestart) string {
	limit := "Grenze " + l.Duration(p.Limit.Duration()) + ", " + l.Say(p.Limit)
	if p.Silent {
		return "Kaltstart: Die Zentrale meldete sich nicht wieder (" + limit + ")."
	}
	return "Kaltstart: Nachdem alle Versorgung weg gewesen war, kam die erste Meldung " +
		l.Duration(p.Took.Round(100*time.Millisecond)) + " nach ihrer Wiederkehr (" + limit + ")."
}

// ofTrials says what trials showed and how they were timed.
func (l Language) ofTrials(p words.Phrase) string {
	switch p := p.(type) {
	case words.BrokenOff:
		return count(p.Trials, "Versuch", "Versuche") + " abgebrochen"
	case words.LastTrial:
		return l.lastTrial(p)
	case words.StruckTrial:
		return fmt.Sprintf("Versuch %d (%s) ist gestrichen und zählt nicht: "+
			"%s", p.Trial, l.Say(words.RuledTrial(p.Verdict)), quoted(p.Reason))
	case words.EarlierTrial:
		return l.earlierTrial(p)
	case words.ResponseTimes:
		return l.responseTimes(p.Of)
	case words.TimesInFull:
		return l.timesInFull(p.Of)
	case words.OperationsCounted:
		return operations(p.Of)
	case words.BoundsNote:
		return l.boundsNote(p.Confidence)
	case words.Share:
		return l.Number(math.Floor(1000*float64(p))/10, 1) + " %" // a bound is never rounded up
	case words.HowTimed:
		return l.howTimed(p)
	case words.HeardByEither:
		return germanOfEither(p.Zones)
	case words.OutputTrial:
		return l.outputTrial(p)
	case words.CutOffSaid:
		return l.cutOffSaid(p)
	case words.ChimeTrial:
		return l.chimeTrial(p)
	case words.ChimeMissed:
		return fmt.Sprintf("Versuch %d; davor: in %d nicht gehört", p.Trials, p.Missed)
	}
	return ""
}
