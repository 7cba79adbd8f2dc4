package german

import (
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/words"
)

var germanHints = map[typed.Hint]string{
	typed.BackHint:        "nur Enter: zurück",
	typed.LeaveOutHint:    "nur Enter: auslassen",
	typed.WholeYesHint:    "das ganze Wort ja eingeben",
	typed.NoBackHint:      "nein: zurück",
	typed.FileHint:        "Namen einer PNG- oder JPEG-Datei eingeben",
	typed.NotMeasuredHint: "keine eingeben, wenn nicht messbar",
	typed.OpenLoopHint:    "offen eingeben, wenn es so angezeigt wird",
	typed.CautionWord:     "VORSICHT",
	typed.ChoosePrompt:    "wählen:",
	typed.AnswerPrompt:    "Antwort:",
	typed.YesNoPrompt:     "ja oder nein:",
	typed.TypePrompt:      "eingeben:",
	typed.PauseMeaning:    "unterbrechen",
	typed.SpaceKey:        "Leertaste",
	typed.ArrowsMeaning:   "Pfeiltasten, dann Enter",
	typed.NothingChosen:   "(noch keine Antwort)",
	typed.ListHint: "rest: alles Offene ist, wie es sein soll; Nummern, etwa 2 5: diese einzeln; einzeln: alle " +
		"nacheinander; verlassen: jetzt nicht",
	typed.BriefListHint: "rest: so bei allen offenen; Punkte, etwa 2.1 3.4: diese haben eine eigene Liste; einzeln: " +
		"Zeile für Zeile; verlassen: jetzt nicht",
	typed.AllHint:       "alle zeigt die ganze Übersicht",
	typed.NotPairedHint: "Noch hat kein Telefon die Fragen.",
	typed.NoRoomHint: "Dieses Fenster ist zu klein für den Code, den eine Kamera liest. Machen Sie es größer, oder " +
		"geben Sie die Adresse im Browser des Telefons ein.",
	typed.UnencryptedHint: "Nichts davon ist verschlüsselt: Wer in diesem Netzwerk ist, kann mitlesen und antworten.",
	typed.NotConnected:    "NICHT VERBUNDEN mit der Zentrale",
}

// germanExample is an example with the words that are typed in German.
func germanExample(e typed.Example) string {
	switch e {
	case typed.LevelExample:
		return "96 dB(A) in 3 m ± 0,1 m über 55 dB klasse 2"
	case typed.ConductorExample:
		return "0,22 mm2, 22 AWG"
	case typed.CableExample:
		return "4 rot schwarz grün weiß / Flur"
	case typed.ValuesExample:
		return "12,4 ohm >200 Mohm >200 Mohm"
	}
	return string(e)
}

// ofTyped says what stands on a screen because a person types.
func (l Language) ofTyped(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.Hint:
		return germanHints[p], germanHints[p] != ""
	case typed.Example:
		return "zum Beispiel " + germanExample(p), true
	case typed.QuantityExample:
		return "zum Beispiel " + l.quantity(string(p)), true
	case typed.BuildingShows:
		return "im Übungsgebäude: " + l.word(p.Text), true
	case typed.OfferHint:
		return l.word(p.Option.Word) + ": " + l.Say(p.Option.Label), true
	case typed.RedoHint:
		return "wiederholen eingeben, um das noch einmal zu tun: " + l.Say(p.Of), true
	case typed.MeterShows:
		return "das Übungsvoltmeter zeigt " + l.quantity(p.Text), true
	}
	return l.ofBoard(p)
}
