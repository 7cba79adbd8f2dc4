package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// ofLists says what lists and boards are about.
func (l Language) ofLists(p words.Phrase) string {
	switch p := p.(type) {
	case ask.LooksMatter, ask.LookLine, ask.LooksHere, ask.WithValue, ask.ValueMatter:
		return l.ofLooks(p)
	case ask.ListMatter:
		return fmt.Sprintf("The list of the %s: %d of %d open", l.Say(p.Stage), p.Open, p.All)
	case ask.PutRightList:
		return fmt.Sprintf("Outstanding from earlier visits, put right since? %d of %d open", p.Open, p.All)
	case ask.Standing:
		return germanStandings[p]
	}
	return ""
}

var germanStandings = map[ask.Standing]string{
	ask.OpenStanding:     "open",
	ask.ProvedStanding:   "proved",
	ask.ReportedStanding: "reported, not timed",
	ask.FailedStanding:   "not proved",
	ask.LeftOutStanding:  "not tested",
	ask.LearntStanding:   "learnt",
	ask.KnownStanding:    "in the site file",
}

// ofBoard says what stands on a board, and beside the code that pairs a phone.
func (l Language) ofBoard(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.BoardHead:
		if p.Learnt != nil && p.Site == "" {
			return l.Say(*p.Learnt), true
		}
		text := named(p.Site)
		if p.Learnt != nil {
			return text + "; " + l.Say(*p.Learnt), true
		}
		if p.Stage != "" {
			text += "; " + l.Say(p.Stage) + ": " + l.Say(ask.StepsLeft{All: p.All, Open: p.Open})
		}
		return text, true
	case ask.ReportsNow:
		return reportsNow(p), true
	case ask.StandsSo:
		return l.standing(p), true
	case typed.Tally:
		return fmt.Sprintf("%d %s", p.N, l.Say(p.Standing)), true
	case typed.AllSettled:
		return fmt.Sprintf("and %s, nothing open: %s", count(p.Zones, "zone", "zones"),
			count(p.Detectors, "detector", "detectors")), true
	case typed.MoreLines:
		return "… and " + count(p.N, "line", "lines") + " more", true
	case typed.ItemSo:
		return itemSo(p), true
	case typed.AddressIs:
		return "Point the phone's camera at the code, or type: " + p.Address, true
	case typed.FingerprintIs:
		return "The phone warns of a certificate that it does not know. Its SHA-256 fingerprint has to be " + p.Fingerprint,
			true
	case typed.HeldBy:
		return "The questions are on: " + named(p.Device), true
	}
	return "", false
}

func reportsNow(p ask.ReportsNow) string {
	switch {
	case p.Garbled != "":
		return germanStates[signal.NotUnderstood] + ": " + quoted(p.Garbled)
	case p.State == signal.Unknown:
		return "no report"
	case p.State == signal.Restored:
		return "at rest"
	}
	return germanStates[p.State]
}

func (l Language) standing(p ask.StandsSo) string {
	text := l.Say(p.Standing)
	if p.Standing == ask.FailedStanding && p.Verdict != "" {
		text += ": " + l.Say(p.Verdict)
	}
	if p.Current {
		text += ", its turn"
	}
	return text
}

var germanItemsSo = map[record.Result]string{
	record.Done: "AS IT SHOULD BE", record.NotApplicable: "NOT APPLICABLE", record.Defect: "DEFECT",
	record.LeftOut: "NOT CHECKED", record.Yes: "PUT RIGHT", record.No: "STILL SO",
}

// itemSo is what a line was answered with. It stands behind the line, in capitals: it must not be taken
// for a part of it.
func itemSo(p typed.ItemSo) string {
	text := germanItemsSo[p.Result]
	if p.Remark != "" {
		text += " " + quoted(p.Remark)
	}
	return text
}
