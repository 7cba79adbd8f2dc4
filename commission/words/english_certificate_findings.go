package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// ofFindings says how findings stand on a certificate.
func (l English) ofFindings(p Phrase) string {
	switch p := p.(type) {
	case Grade:
		return englishGrades[judge.Severity(p)]
	case Matter:
		return l.whatIs(p.Of)
	case ToDo:
		return l.toDo(p.Of) + l.undertakenAbout(p.Undertaken)
	case DangerFirst:
		return "DANGER, act now: " + l.Say(p.Of.Subject) + ": " + l.whatIs(p.Of) + ". " + capital(l.toDo(p.Of)) + "."
	case Graded:
		return graded(p)
	case FindingsFigure:
		text := plural(p.N, "finding", "findings") + " to put right"
		if p.N > 0 {
			text = plural(p.N, "finding", "findings") + ": " + graded(p.Of)
		}
		return text
	case CorrectedText:
		return l.corrected(p)
	case SiteFileChanged:
		return l.siteFileChanged(p)
	case VisitSetAside:
		return "This visit was set aside " + l.Moment(p.At) + because(byWhom(p.By), p.Reason)
	case LimitationsFigure:
		return plural(p.N, "limitation", "limitations")
	}
	return ""
}

var englishGrades = map[judge.Severity]string{judge.Danger: "danger", judge.Fault: "to do", judge.Advice: "advice"}

func graded(g Graded) string {
	var parts []string
	add := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, count(n, one, many))
		}
	}
	add(g.Dangers, "danger", "dangers")
	add(g.Faults, "to do", "to do")
	add(g.Advice, "advice", "advice")
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, ", ")
}

// whatIs says what is the matter, with the reason and the remarks as typed.
func (l English) whatIs(f judge.Finding) string {
	c, isRow := f.What.(judge.ComputedSo)
	if !isRow {
		return l.finding(f) + l.alsoWorse(f.Since)
	}
	row := l.rowOf(c)
	text := row.Result
	if row.Limit != "" {
		text += " (limit: " + row.Limit + ")"
	}
	return because(text+l.alsoWorse(f.Since), f.Because)
}

// toDo is what would change a computed row, else the remedy of the finding.
func (l English) toDo(f judge.Finding) string {
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
	return " by " + named(name)
}

// undertakenAbout is what, by when and by whom, as far as it was said.
func (l English) undertakenAbout(u *record.Undertaken) string {
	if u == nil {
		return ""
	}
	var parts []string
	if u.Action != "" {
		parts = append(parts, l.Say(u.Action))
	}
	if u.By != "" {
		parts = append(parts, "by "+u.By)
	}
	if u.Who != "" {
		parts = append(parts, named(u.Who))
	}
	return "; undertaken: " + strings.Join(parts, ", ")
}

func (l English) corrected(p CorrectedText) string {
	c := p.Correction
	text := l.Say(c.Field)
	if p.Of != nil {
		text += " (" + l.Say(*p.Of) + ")"
	}
	text += ": " + englishQuotes.OrNone(c.Text) + ", before " + englishQuotes.OrNone(c.Earlier) + "; " + because(
		"corrected "+l.Moment(p.At)+byWhom(c.By),
		c.Reason,
	)
	if c.After {
		text += "; after somebody had signed, who has not seen it"
	}
	return text
}

func (l English) siteFileChanged(p SiteFileChanged) string {
	text := "the site file was changed " + l.Moment(p.At)
	add := func(what string, all []programme.Name) {
		if len(all) == 0 {
			return
		}
		var names []string
		for _, n := range all[:min(len(all), 12)] {
			names = append(names, l.Say(n))
		}
		if more := len(all) - len(names); more > 0 {
			names = append(names, fmt.Sprintf("and %d more", more))
		}
		text += "; " + what + ": " + strings.Join(names, ", ")
	}
	add("opened again", p.Again)
	add("no more part of the visit", p.Removed)
	return text
}

func (l English) rowOf(c judge.ComputedSo) Row {
	return l.Computed(judge.Computed{Row: c.Row, Ruling: c.Ruling, Danger: c.Danger, Assumed: c.Assumed})
}
