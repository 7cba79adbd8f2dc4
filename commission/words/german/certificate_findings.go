package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// ofFindings says how findings stand on a certificate.
func (l Language) ofFindings(p words.Phrase) string {
	switch p := p.(type) {
	case words.Grade:
		return germanGrades[judge.Severity(p)]
	case words.Matter:
		return l.whatIs(p.Of)
	case words.ToDo:
		return l.toDo(p.Of) + l.undertakenAbout(p.Undertaken)
	case words.DangerFirst:
		return "GEFAHR, sofort handeln: " + l.Say(p.Of.Subject) + ": " + l.whatIs(p.Of) + ". " +
			capital(l.toDo(p.Of)) + "."
	case words.Graded:
		return graded(p)
	case words.FindingsFigure:
		text := plural(p.N, "Mangel", "Mängel") + " zu beheben"
		if p.N > 0 {
			text = plural(p.N, "Mangel", "Mängel") + ": " + graded(p.Of)
		}
		return text
	case words.CorrectedText:
		return l.corrected(p)
	case words.SiteFileChanged:
		return l.siteFileChanged(p)
	case words.VisitSetAside:
		return "Dieser Termin wurde verworfen, " + l.Moment(p.At) + because(byWhom(p.By), p.Reason)
	case words.LimitationsFigure:
		return plural(p.N, "Einschränkung", "Einschränkungen")
	}
	return ""
}

var germanGrades = map[judge.Severity]string{judge.Danger: "Gefahr", judge.Fault: "offen", judge.Advice: "Hinweis"}

func graded(g words.Graded) string {
	var parts []string
	add := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, count(n, one, many))
		}
	}
	add(g.Dangers, "Gefahr", "Gefahren")
	add(g.Faults, "offen", "offen")
	add(g.Advice, "Hinweis", "Hinweise")
	if len(parts) == 0 {
		return "keine"
	}
	return strings.Join(parts, ", ")
}

// whatIs says what is the matter, with the reason and the remarks as typed.
func (l Language) whatIs(f judge.Finding) string {
	c, isRow := f.What.(judge.ComputedSo)
	if !isRow {
		return l.finding(f) + l.alsoWorse(f.Since)
	}
	row := l.rowOf(c)
	text := row.Result
	if row.Limit != "" {
		text += " (Grenze: " + row.Limit + ")"
	}
	return because(text+l.alsoWorse(f.Since), f.Because)
}

// toDo is what would change a computed row, else the remedy of the finding.
func (l Language) toDo(f judge.Finding) string {
	if c, isRow := f.What.(judge.ComputedSo); isRow {
		if change := l.rowOf(c).Change; change != "" {
			return change
		}
	}
	return l.Say(f.Remedy())
}

func byWhom(name string) string {
	if name == "" {
		return ""
	}
	return " durch " + named(name)
}

// undertakenAbout is what, by when and by whom, as far as it was said.
func (l Language) undertakenAbout(u *record.Undertaken) string {
	if u == nil {
		return ""
	}
	var parts []string
	if u.Action != "" {
		parts = append(parts, l.Say(u.Action))
	}
	if u.By != "" {
		parts = append(parts, "bis "+l.day(u.By))
	}
	if u.Who != "" {
		parts = append(parts, named(u.Who))
	}
	return "; zugesagt: " + strings.Join(parts, ", ")
}

func (l Language) corrected(p words.CorrectedText) string {
	c := p.Correction
	text := l.Say(c.Field)
	if p.Of != nil {
		text += " (" + l.Say(*p.Of) + ")"
	}
	text += ": " + germanQuotes.OrNone(c.Text) + ", vorher " + germanQuotes.OrNone(c.Earlier) + "; " + because(
		"berichtigt "+l.Moment(p.At)+byWhom(c.By),
		c.Reason,
	)
	if c.After {
		text += "; nachdem jemand unterschrieben hatte, der es nicht gesehen hat"
	}
	return text
}

func (l Language) siteFileChanged(p words.SiteFileChanged) string {
	text := "die Objektdatei wurde geändert, " + l.Moment(p.At)
	add := func(what string, all []programme.Name) {
		if len(all) == 0 {
			return
		}
		var names []string
		for _, n := range all[:min(len(all), 12)] {
			names = append(names, l.Say(n))
		}
		if more := len(all) - len(names); more > 0 {
			names = append(names, fmt.Sprintf("und %d weitere", more))
		}
		text += "; " + what + ": " + strings.Join(names, ", ")
	}
	add("wieder geöffnet", p.Again)
	add("nicht mehr Teil des Termins", p.Removed)
	return text
}

func (l Language) rowOf(c judge.ComputedSo) words.Row {
	return l.Computed(judge.Computed{Row: c.Row, Ruling: c.Ruling, Danger: c.Danger, Assumed: c.Assumed})
}
