package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
)

// ofRoaming says what is told and asked of a technician who operates in their own order.
func (l Language) ofRoaming(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{l.roamNotice, l.roomNotice, l.phoneSilence, l.roamMatter} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	return "", false
}

func (l Language) roamNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Ticked:
		if p.After > 0 {
			return fmt.Sprintf("%s proved: reported after %.2f s, and restored", p.Point, p.After.Seconds())
		}
		return fmt.Sprintf("%s reported, not timed, and restored", p.Point)
	case ask.ReportsActive:
		return l.Say(p.Step) + ": active"
	case ask.TouchedConcluded:
		return l.Say(p.Step) + ": was taken already; the touch that was kept counts for nothing"
	case ask.OperatedAgain:
		return l.Say(p.Zone) + ": operated again; nothing of it is open"
	case ask.NothingToCorrect:
		return "Nothing was heard yet that could be put right."
	case ask.ToOperateAgain:
		return l.Say(p.Step) + ": operate it once more; what was heard counts for nobody."
	case ask.LooksAt:
		return l.looksAt(p)
	case ask.Counting:
		if p.Left == 0 {
			return "NOW"
		}
		return fmt.Sprint(p.Left)
	}
	return ""
}

func (l Language) looksAt(p ask.LooksAt) string {
	text := l.Say(p.Step)
	for _, a := range p.Attempts {
		text += "; " + l.Say(a)
	}
	if p.Result != "" {
		text += "; answered " + quoted(string(p.Result))
	}
	if p.Remark != "" {
		text += ": " + quoted(p.Remark)
	}
	return text
}

var germanRoomHow = map[ask.RoomHow]string{
	ask.RoomTried:     "tried",
	ask.RoomStillOpen: "active still, not at rest",
	ask.RoomNoReport:  "no report came",
}

func (l Language) roomNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.RoomShown:
		if p.How == ask.RoomTried && p.Verdict != "" {
			return l.Say(p.Step) + ": " + string(p.Verdict)
		}
		return l.Say(p.Step) + ": " + germanRoomHow[p.How]
	case ask.RoomHow:
		return germanRoomHow[p]
	case ask.RoomEmpty:
		return "Nothing was heard in this room."
	case ask.TouchesUnanswered:
		return count(p.Touches, "touch", "touches") + " that no report followed"
	case ask.AllOperated:
		return "No detector is open any more."
	}
	return ""
}

func (Language) phoneSilence(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Silenced:
		return "Switching off, as you asked: " + strings.Join(p.Outputs, ", ")
	case ask.PhoneSilent:
		return fmt.Sprintf("The phone has not been heard of for %s. %s is switched off.",
			checks.FormatDuration(p.Since), p.Output)
	case ask.PhoneHolds:
		return fmt.Sprintf("If this phone is out of reach for %s, it is switched off.", checks.FormatDuration(p.Within))
	}
	return ""
}

var germanRoamChoices = map[ask.RoamChoice]string{
	ask.NoneOfThese:     "none of these",
	ask.ItWasRight:      "none: it was right",
	ask.NotYetOperated:  "not operated yet",
	ask.NothingCame:     "operated, and nothing came",
	ask.NotAtRest:       "put at rest, and that was not reported",
	ask.OneByOne:        "go through them one by one",
	ask.NotTestedAtAll:  "not tested, with a reason",
	ask.AnotherDetector: "another one, by its number",
}

func (l Language) roamMatter(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Roaming:
		return "Operate in any order"
	case ask.WhichOf:
		return "Which one was operated? " + l.Say(p.Zone)
	case ask.OperatedInstead:
		return "What was operated instead of " + l.Say(p.Step) + "?"
	case ask.WasNotOperated:
		return l.Say(p.Step) + " was reported, and was not operated"
	case ask.NoReport:
		return "No report came: " + l.Say(p.Step)
	case ask.StaysOpen:
		return "Active still: " + l.Say(p.Step)
	case ask.NoReports:
		return count(p.Detectors, "detector", "detectors") + " of this room did not report"
	case ask.RoamChoice:
		return germanRoamChoices[p]
	case ask.RoamStatus:
		text := fmt.Sprintf("%d of %d still to do", p.Open, p.All)
		if len(p.Active) > 0 {
			text += ", active now:"
		}
		for i, z := range p.Active {
			if i > 0 {
				text += ";"
			}
			text += " " + l.Say(z)
		}
		return text
	}
	return ""
}
