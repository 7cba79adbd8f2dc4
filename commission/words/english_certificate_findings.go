package words

import (
	"strings"

	"loopwitness/commission/judge"
)

// ofFindings says how findings stand on a certificate.
func (l English) ofFindings(p Phrase) string {
	switch p := p.(type) {
	case Grade:
		return englishGrades[judge.Severity(p)]
	case Matter:
		return l.whatIs(p.Of)
	case ToDo:
		return l.toDo(p.Of)
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
	case LimitationsFigure:
		return plural(p.N, "limitation", "limitations")
	}
	return ""
}

var englishGrades = map[judge.Severity]string{judge.Danger: "danger", judge.Fault: "fault", judge.Advice: "advice"}

func graded(g Graded) string {
	var parts []string
	add := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, count(n, one, many))
		}
	}
	add(g.Dangers, "danger", "dangers")
	add(g.Faults, "fault", "faults")
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
		return l.finding(f)
	}
	row := l.rowOf(c)
	text := row.Result
	if row.Limit != "" {
		text += " (limit: " + row.Limit + ")"
	}
	return because(text, f.Because)
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

func (l English) rowOf(c judge.ComputedSo) Row {
	return l.Computed(judge.Computed{Row: c.Row, Ruling: c.Ruling, Danger: c.Danger, Assumed: c.Assumed})
}
