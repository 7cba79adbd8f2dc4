package german

import (
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/words"
)

var germanHints = map[typed.Hint]string{
	typed.BackHint:        "nur Enter: zurück",
	typed.LeaveOutHint:    "nur Enter: weglassen",
	typed.WholeYesHint:    "das ganze Wort yes (ja) eingeben",
	typed.NoBackHint:      "no (nein): zurück",
	typed.FileHint:        "Namen einer PNG- oder JPEG-Datei eingeben",
	typed.NotMeasuredHint: "none eingeben, wenn nicht messbar",
	typed.OpenLoopHint:    "open eingeben, wenn offen angezeigt",
	typed.CautionWord:     "VORSICHT",
	typed.ChoosePrompt:    "wählen:",
	typed.AnswerPrompt:    "Antwort:",
	typed.YesNoPrompt:     "yes (ja) oder no (nein):",
	typed.TypePrompt:      "eingeben:",
	typed.PauseMeaning:    "unterbrechen",
	typed.SpaceKey:        "Leertaste",
	typed.ArrowsMeaning:   "Pfeiltasten, dann Enter",
	typed.NothingChosen:   "(noch keine Antwort)",
	typed.ListHint: "rest: alles Offene ist, wie es sein soll; Nummern, etwa 2 5: diese einzeln; each: alle " +
		"einzeln; leave: jetzt nicht",
	typed.BriefListHint: "rest: so bei allen offenen; Punkte, etwa 2.1 3.4: diese haben eine eigene Liste; each: Zeile " +
		"für Zeile; leave: jetzt nicht",
	typed.AllHint:       "all zeigt die ganze Übersicht",
	typed.NotPairedHint: "Noch hat kein Telefon die Fragen.",
	typed.NoRoomHint: "Dieses Fenster ist zu klein für den Code, den eine Kamera liest. Machen Sie es größer, oder " +
		"geben Sie die Adresse im Browser des Telefons ein.",
	typed.UnencryptedHint: "Nichts davon ist verschlüsselt: Wer in diesem Netzwerk ist, kann mitlesen und antworten.",
	typed.NotConnected:    "NICHT VERBUNDEN mit der Zentrale",
}

// ofTyped says what stands on a screen because a person types.
func (l Language) ofTyped(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.Hint:
		return germanHints[p], germanHints[p] != ""
	case typed.Example:
		return "zum Beispiel " + string(p), true
	case typed.BuildingShows:
		return "im Übungsgebäude: " + p.Text, true
	case typed.OfferHint:
		return p.Option.Word + ": " + l.Say(p.Option.Label), true
	case typed.RedoHint:
		return "redo eingeben, um zu wiederholen: " + l.Say(p.Of), true
	case typed.MeterShows:
		return "das Übungsvoltmeter zeigt " + p.Text, true
	}
	return l.ofBoard(p)
}
