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
		return fmt.Sprintf("Liste %s: %d von %d offen", l.Say(p.Stage), p.Open, p.All)
	case ask.PutRightList:
		return fmt.Sprintf("Aus früheren Terminen offen, seither behoben? %d von %d offen", p.Open, p.All)
	case ask.Standing:
		return germanStandings[p]
	}
	return ""
}

var germanStandings = map[ask.Standing]string{
	ask.OpenStanding:     "offen",
	ask.ProvedStanding:   "nachgewiesen",
	ask.ReportedStanding: "gemeldet, ohne Zeit",
	ask.FailedStanding:   "nicht nachgewiesen",
	ask.LeftOutStanding:  "nicht geprüft",
	ask.LearntStanding:   "eingelernt",
	ask.KnownStanding:    "in der Objektdatei",
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
		return fmt.Sprintf("und %s, nichts offen: %d Melder", count(p.Zones, "Linie", "Linien"), p.Detectors), true
	case typed.MoreLines:
		return "… und " + count(p.N, "weitere Zeile", "weitere Zeilen"), true
	case typed.ItemSo:
		return itemSo(p), true
	case typed.AddressIs:
		return "Richten Sie die Kamera des Telefons auf den Code, oder geben Sie ein: " + p.Address, true
	case typed.FingerprintIs:
		return "Das Telefon warnt vor einem Zertifikat, das es nicht kennt. Sein SHA-256-Fingerabdruck muss lauten: " +
			p.Fingerprint, true
	case typed.HeldBy:
		return "Die Fragen sind auf: " + named(p.Device), true
	}
	return "", false
}

func reportsNow(p ask.ReportsNow) string {
	switch {
	case p.Garbled != "":
		return germanStates[signal.NotUnderstood] + ": " + quoted(p.Garbled)
	case p.State == signal.Unknown:
		return "keine Meldung"
	case p.State == signal.Restored:
		return "in Ruhe"
	}
	return germanStates[p.State]
}

func (l Language) standing(p ask.StandsSo) string {
	text := l.Say(p.Standing)
	if p.Standing == ask.FailedStanding && p.Verdict != "" {
		text += ": " + l.Say(p.Verdict)
	}
	if p.Current {
		text += ", ist an der Reihe"
	}
	return text
}

var germanItemsSo = map[record.Result]string{
	record.Done: "WIE ES SEIN SOLL", record.NotApplicable: "ENTFÄLLT", record.Defect: "MANGEL",
	record.LeftOut: "NICHT KONTROLLIERT", record.Yes: "BEHOBEN", record.No: "UNVERÄNDERT",
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
