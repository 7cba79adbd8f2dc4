package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"strings"

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
			return fmt.Sprintf("%s nachgewiesen: gemeldet nach %s s, und zurückgestellt", p.Point, l.Number(p.After.Seconds(), 2))
		}
		return fmt.Sprintf("%s gemeldet, ohne Zeit, und zurückgestellt", p.Point)
	case ask.ReportsActive:
		return l.Say(p.Step) + ": aktiv"
	case ask.TouchedConcluded:
		return l.Say(p.Step) + ": war schon genommen; die gespeicherte Berührung zählt nicht"
	case ask.OperatedAgain:
		return l.Say(p.Zone) + ": noch einmal betätigt; nichts davon ist offen"
	case ask.NothingToCorrect:
		return "Noch ist nichts angekommen, was sich berichtigen ließe."
	case ask.ToOperateAgain:
		return l.Say(p.Step) + ": Betätigen Sie ihn noch einmal; was ankam, zählt für keinen."
	case ask.LooksAt:
		return l.looksAt(p)
	case ask.Counting:
		if p.Left == 0 {
			return "JETZT"
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
		text += "; beantwortet mit " + quoted(cmp.Or(l.ofResults(p.Result), string(p.Result)))
	}
	if p.Remark != "" {
		text += ": " + quoted(p.Remark)
	}
	return text
}

var germanRoomHow = map[ask.RoomHow]string{
	ask.RoomTried:     "erprobt",
	ask.RoomStillOpen: "noch aktiv, nicht in Ruhe",
	ask.RoomNoReport:  "keine Meldung kam",
}

func (l Language) roomNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.RoomShown:
		if p.How == ask.RoomTried && p.Verdict != "" {
			return l.Say(p.Step) + ": " + l.Say(p.Verdict)
		}
		return l.Say(p.Step) + ": " + germanRoomHow[p.How]
	case ask.RoomHow:
		return germanRoomHow[p]
	case ask.RoomEmpty:
		return "In diesem Raum kam keine Meldung."
	case ask.TouchesUnanswered:
		return count(p.Touches, "Berührung", "Berührungen") + ", auf die keine Meldung folgte"
	case ask.AllOperated:
		return "Kein Melder ist mehr offen."
	}
	return ""
}

func (l Language) phoneSilence(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Silenced:
		return "Wird ausgeschaltet, wie gewünscht: " + strings.Join(p.Outputs, ", ")
	case ask.PhoneSilent:
		return fmt.Sprintf("Vom Telefon kam seit %s nichts. Wird ausgeschaltet: %s.", l.Duration(p.Since), p.Output)
	case ask.PhoneHolds:
		return fmt.Sprintf("Ist dieses Telefon %s lang außer Reichweite, wird ausgeschaltet.", l.Duration(p.Within))
	}
	return ""
}

var germanRoamChoices = map[ask.RoamChoice]string{
	ask.NoneOfThese:     "keiner von diesen",
	ask.ItWasRight:      "keiner: Es war richtig",
	ask.NotYetOperated:  "noch nicht betätigt",
	ask.NothingCame:     "betätigt, und nichts kam",
	ask.NotAtRest:       "in Ruhe gebracht, das wurde nicht gemeldet",
	ask.OneByOne:        "einzeln durchgehen",
	ask.NotTestedAtAll:  "nicht geprüft, mit Grund",
	ask.AnotherDetector: "ein anderer, nach seiner Nummer",
}

func (l Language) roamMatter(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Roaming:
		return "In beliebiger Folge betätigen"
	case ask.WhichOf:
		return "Welcher wurde betätigt? " + l.Say(p.Zone)
	case ask.OperatedInstead:
		return "Was wurde stattdessen betätigt? Nicht betätigt: " + l.Say(p.Step)
	case ask.WasNotOperated:
		return l.Say(p.Step) + " wurde gemeldet und nicht betätigt"
	case ask.NoReport:
		return "Keine Meldung: " + l.Say(p.Step)
	case ask.StaysOpen:
		return "Noch aktiv: " + l.Say(p.Step)
	case ask.NoReports:
		return count(p.Detectors, "Melder dieses Raums hat", "Melder dieses Raums haben") + " nicht gemeldet"
	case ask.RoamChoice:
		return germanRoamChoices[p]
	case ask.RoamStatus:
		text := fmt.Sprintf("%d von %d noch offen", p.Open, p.All)
		if len(p.Active) > 0 {
			text += ", jetzt aktiv:"
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
