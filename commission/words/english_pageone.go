package words

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// ofPageOne says what stands on page one, and every verdict.
func (l English) ofPageOne(p Phrase) (string, bool) {
	for _, of := range []func(Phrase) string{l.ofVerdicts, frontFixed, l.frontFacts, l.frontLooks} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	i, is := p.(DueInterval)
	return "", is && (i.Of.None || !i.Of.Agreed)
}

var englishRuled = map[Verdict]string{
	Passed: "passed", PassedUntimed: "reported", Failed: "failed", Undecided: "undecided", Untested: "not tested",
	Informative: "info", NoMatter: "n. a.",
}

var englishRuledReasons = map[Reason]string{
	BecauseLate: "late", BecauseSilent: "silent", Crossed: "crossed", Inverted: "inverted", Unsteady: "unsteady",
	Dangerous: "danger", StillToDo: "open", NotValid: "void", NotCleared: "not cleared", NotSeen: "not seen",
	Unsure: "unsure", OutsideUsual: "beyond a usual limit", RestsOnOurs: "rests on an assumption",
	AnswerLacks: "an answer is missing",
}

var englishMeanings = map[Verdict]string{
	Passed: "passed: as it should be", PassedUntimed: "reported, not timed", Failed: "failed: not as it should be",
	Undecided: "undecided: not to be told, for the reason named", Untested: "not tested",
	Informative: "info: held against nothing",
}

func (l English) ofVerdicts(p Phrase) string {
	switch p := p.(type) {
	case Verdict:
		return englishRuled[p]
	case Reason:
		return englishRuledReasons[p]
	case Ruled:
		text := englishRuled[p.Is]
		if p.Because != "" {
			text += ": " + englishRuledReasons[p.Because]
		}
		return text
	case VerdictMeans:
		return englishMeanings[Verdict(p)]
	case VerdictsNote:
		return "Passed: as it should be, by what was operated, read, computed or answered in this visit. Reported: the " +
			"detector was reported and restored, how fast was not timed. Failed: not as it should be, with the reason. " +
			"Undecided: too near its limit to tell, beyond one that is only usual, or resting on an assumption. Not tested: nothing " +
			"was shown. " +
			"For information (info): held " +
			"against nothing. n. a.: there is no such thing here. The record has its own codes for each."
	}
	return ""
}

func frontFixed(p Phrase) string {
	switch p := p.(type) {
	case Heading:
		return englishFrontHeadings[p]
	case FrontLabel:
		return englishFrontLabels[p]
	case FrontNote:
		return englishFrontNotes[p]
	case FrontFigure:
		return englishFrontFigures[p]
	}
	return ""
}

var englishFrontHeadings = map[Heading]string{
	SummaryHeading:       "Summary of a walk-test certificate",
	FrontListHeading:     "What remains to be done, and what limits the result",
	FrontAlarmHeading:    "One alarm, from the first signal to rest",
	FrontSupplyHeading:   "Supply and outputs",
	FrontPremisesHeading: "Premises and system",
}

var englishFrontLabels = map[FrontLabel]string{
	TestedBy: "tested by", TestedFor: "for", SealedBy: "sealed with the key of", OnTest: "system on test",
	NextDueOn: "next visit due", Address: "Address", FrontWhat: "What is the matter, and what to do", FrontPart: "Part",
	FrontWho: "By whom, by when",
}

var englishFrontNotes = map[FrontNote]string{
	NobodySigned:   "nobody has signed yet",
	NoLicence:      "no licence stated",
	NotSealed:      "nobody",
	NotSealedMeans: "unsigned: nothing shows who made it",
	ThrowAwayKey:   "nobody",
	ThrowAwayMeans: "a throw-away key: it proves nothing about who made it",
	NotOnTest:      "not stated",
	NothingLeft:    "Nothing was found, and nothing limits the result.",
	NotToScale:     "The line is not to scale: instants that lie close together are set apart.",
	CautionInShort: "This page tells what was declared, operated and measured in one visit. It declares no conformity " +
		"with any standard. Local codes, the authority that has jurisdiction, the insurer's conditions and licensed " +
		"practice decide.",
	NeverCame:      "never",
	OutputsInShort: "Outputs",
	StandbyInShort: "Standby, computed",
	MainsInShort:   "Mains present",
	WithLoad:       "with all outputs on",
	NothingAgreed:  "not agreed yet",
}

var englishFrontFigures = map[FrontFigure]string{
	PassedFigure: "detectors passed", ReportedFigure: "reported, not timed", UntestedFigure: "not tested or not measured",
}

// frontFacts says who says so, and what else has room in a box.
func (l English) frontFacts(p Phrase) string {
	switch p := p.(type) {
	case OnTestTimes:
		switch {
		case p.To == "":
			return "from " + named(p.From)
		case p.From == "":
			return "until " + named(p.To)
		}
		return named(p.From) + " to " + named(p.To)
	case KeyBegins:
		return "key " + p.Digits + " …"
	case DueOn:
		switch {
		case p.Of.None:
			return "none agreed"
		case !p.Of.Agreed:
			return "not agreed"
		case p.Of.Due.IsZero():
			return "not known"
		}
		return l.Date(p.Of.Due)
	case DueInterval:
		switch {
		case p.Of.None || !p.Of.Agreed:
			return ""
		case p.Of.Due.IsZero():
			return named(p.Of.Interval.Text) + " after the last visit to the whole system"
		}
		return named(p.Of.Interval.Text) + " after " + l.Date(p.Of.From)
	case TakenOn:
		return l.takenOn(p.Of)
	case SummaryOf:
		text := "This page is the summary of the full certificate, revision %d, of the same record, which is attached " +
			"here, too. The full certificate has every detector, reading and answer; ask %s for it."
		return fmt.Sprintf(text, p.Revision, orElse(named(p.Company), "whoever made this"))
	case MoreOutstanding:
		return l.moreOutstanding(p)
	}
	return ""
}

func orElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func (l English) takenOn(u *record.Undertaken) string {
	if u == nil {
		return englishFrontNotes[NothingAgreed]
	}
	var parts []string
	if u.Who != "" {
		parts = append(parts, named(u.Who))
	}
	if u.By != "" {
		parts = append(parts, "by "+u.By)
	}
	if u.Action != "" {
		parts = append(parts, l.Say(u.Action))
	}
	return orElse(strings.Join(parts, ", "), englishFrontNotes[NothingAgreed])
}

func (l English) moreOutstanding(p MoreOutstanding) string {
	var parts []string
	add := func(g Graded, one, many string) {
		if all := g.Dangers + g.Faults + g.Advice; all > 0 {
			parts = append(parts, count(all, one, many)+" ("+graded(g)+")")
		}
	}
	add(p.Findings, "finding", "findings")
	add(p.Limitations, "limitation", "limitations")
	where := "on the next page"
	if p.Summary {
		where = "in the full certificate"
	}
	return "And " + strings.Join(parts, " and ") + " more: see the list " + where + "."
}

// frontLooks says the supply in one look, and the alarm.
func (l English) frontLooks(p Phrase) string {
	switch p := p.(type) {
	case VoltsWithin:
		text := l.Number(p.Volt, 2)
		if p.Within > 0 {
			text += " ± " + l.Number(p.Within, 2)
		}
		return text + " V"
	case WithoutMains:
		if p.After < time.Second {
			return "Mains just removed"
		}
		return l.Duration(p.After) + " without mains"
	case StandbyNeeds:
		unit := " Ah"
		if p.InWattHours {
			unit = " Wh"
		}
		fitted := p.Fitted
		if fitted == "" {
			fitted = l.Number(p.Of, 1) + unit
		}
		return l.Number(p.Need, 1) + unit + " of " + fitted
	case StandbyFor:
		text := named(p.Standby)
		if p.Alarm != "" {
			text += ", then alarm for " + named(p.Alarm)
		}
		return text
	case AlarmInShort:
		text := count(p.Instants, "instant", "instants") + " of one alarm, counted from the intrusion"
		if p.Never > 0 {
			text += "; " + fmt.Sprintf("%d more never came", p.Never)
		}
		if p.More > 0 {
			text += fmt.Sprintf("; the %d later ones stand in the table of the alarm", p.More)
		}
		return text + "."
	case AlarmInstant:
		return l.alarmInShort(p.Of)
	}
	return ""
}

func (l English) alarmInShort(row judge.AlarmEvent) string {
	switch {
	case row.Never:
		return "never"
	case row.NotTimed != "" || row.What == judge.Received && row.Uncertainty == 0:
		return "not timed"
	}
	return signed(l, row.Since) + " s"
}
