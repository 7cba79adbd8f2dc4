package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ofAsk says what questions and waits are about, and what helps with them.
func (l Language) ofAsk(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{l.matter, l.guardMatter, l.advice, l.choice, l.status, l.ofReadings,
		l.sampledChoice, l.faultPhrase, l.ofLists} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	if text, is := p.(ask.Verbatim); is {
		return string(text), true
	}
	return "", false
}

var germanMatters = map[ask.Matter]string{
	ask.ReasonMatter:      "Aus welchem Grund?",
	ask.DefectMatter:      "Welcher Mangel, und wo?",
	ask.NotTestedMatter:   "Warum nicht geprüft?",
	ask.NoteMatter:        "Bemerkung, steht auf der Bescheinigung",
	ask.StageMatter:       "Mit welchem Abschnitt weiter?",
	ask.StepAgainMatter:   "Welchen Schritt noch einmal?",
	ask.OtherStepMatter:   "Welcher?",
	ask.InsteadMatter:     "Was war stattdessen zu sehen oder zu hören?",
	ask.CurrentMatter:     "Strom jetzt, falls gemessen",
	ask.CutOffMatter:      "Zeit, nach der es von selbst aufhörte, falls beobachtet",
	ask.LevelMatter:       "Schallpegel jetzt und Abstand, falls gemessen",
	ask.LoopMatter:        "Widerstand der Schleife, von der Zentrale getrennt, alles daran in Ruhe",
	ask.DetectorMatter:    "Zu welchem Melder?",
	ask.OutstandingMatter: "Was die Liste oben nennt, bleibt offen",
	ask.AcceptanceMatter:  "Zeigen Sie die Liste oben dem Vertreter des Kunden",
	ask.TechnicianMatter:  "Name des Technikers",
	ask.LicenceMatter:     "Zulassung oder Registrierung des Technikers, falls verlangt",
	ask.CustomerMatter:    "Vertreter des Kunden: Name",
	ask.PositionMatter:    "Funktion dieser Person",
	ask.RefusalMatter:     "Was sagt die Person dazu?",
	ask.CalledMatter:      "Wie möchte die Person genannt werden? Leer lassen, wenn gar nicht.",
	ask.AbsenceMatter:     "Warum unterschreibt niemand für den Kunden?",
	ask.CalibrationMatter: "Kalibriert bis, falls bekannt",
	ask.UncertaintyMatter: "Unsicherheit der Messwerte bei 12 V (95 %), falls bekannt",
	ask.PowerBackMatter:   "Melden Sie „bereit“ in dem Moment, in dem Sie die Versorgung wieder einschalten",
	ask.FirstReportMatter: "Warten auf die erste Meldung der Zentrale",
	ask.StrikeMatter:      "Bei welchem Melder wurde ein Versuch verfälscht?",
	ask.SpoiledMatter:     "Was hat ihn verfälscht?",
}

func (l Language) matter(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Matter:
		return germanMatters[p]
	case ask.NotProved:
		return "Nicht nachgewiesen: " + l.Say(p.Step)
	case ask.NotHeard:
		return "Nicht gehört: " + l.Say(p.Step)
	case ask.Identify:
		return l.Say(p.Step) + ": Art und Kennzeichen"
	case ask.SupplyVoltage:
		return l.Say(p.Step)
	case ask.ToEnergise:
		if p.Location != "" {
			return fmt.Sprintf("%s (%s, %s)", p.Output, germanOutputs[p.Kind], p.Location)
		}
		return fmt.Sprintf("%s (%s)", p.Output, germanOutputs[p.Kind])
	case ask.Observed:
		return fmt.Sprintf("%s ist an. Deutlich %s?", p.Output, perceived(p.Seen))
	case ask.ObservedUntil:
		why := ""
		if p.Why != "" {
			why = " (" + l.Say(p.Why) + ")"
		}
		return fmt.Sprintf("%s ist AUS seit %s%s, nach %s. Deutlich %s, solange eingeschaltet war?", p.Output,
			l.TimeOfDay(p.At), why, l.Duration(p.On.Round(100*time.Millisecond)), perceived(p.Seen))
	case ask.Protected:
		return "Gehörschutz aufgesetzt, niemand in der Nähe von " + strings.Join(p.Outputs, ", ") + "? Dann wird " +
			"eingeschaltet"
	case ask.TakeAgain:
		return "Abgeschlossen: " + l.Say(p.Step) + ". Noch einmal versuchen? Bis dahin zählt es als offen"
	case ask.SwitchedOnByHand:
		return "Schalten Sie " + p.Output + " an der Zentrale von Hand ein. Eingeschaltet?"
	case ask.SwitchedOffByHand:
		return "Ist " + p.Output + " ausgeschaltet?"
	case ask.GoTo:
		return "Gehen Sie zu " + l.Say(p.Step)
	case ask.Now:
		if p.Listen {
			return "JETZT " + l.Say(p.Do) + ", dabei horchen: " + p.Step.Output
		}
		return "JETZT " + l.Say(p.Do) + ": " + l.Say(p.Step)
	case ask.OnStandby:
		return "Im Notbetrieb warten: " + l.Say(p.Step)
	case ask.Outstanding:
		return p.Finding.ID + " " + l.Say(p.Finding.Subject) + ": " + l.Say(p.Finding)
	case ask.NothingOutstanding:
		return "Keine Mängel und keine Einschränkungen offen."
	case ask.ResultStands:
		return "Ergebnis dieses Termins, sobald unterschrieben ist: " + l.Say(p.Result) + "."
	case ask.SignatureOf:
		if p.Role == programme.Customer {
			return "Unterschrift von " + p.Name + ", für den Kunden, unter dieses Ergebnis und die Liste dessen, " +
				"was offen ist"
		}
		return "Unterschrift von " + p.Name + ", Techniker, unter dieses Ergebnis und die Liste dessen, was offen ist"
	}
	return ""
}

// perceived is how an output is noticed.
func perceived(seen bool) string {
	if seen {
		return "gesehen"
	}
	return "gehört"
}

var germanAdvice = map[ask.Advice]string{
	ask.RepairAdvice:      "Nach einer Reparatur wiederholen oder so lassen: Dann wird es ein Mangel.",
	ask.RepeatAdvice:      "Wiederholen oder so lassen: Dann wird es ein Mangel.",
	ask.PrintedAdvice:     "Der Grund steht auf der Bescheinigung",
	ask.BothWaysAdvice:    "Wird eingeschaltet und wieder ausgeschaltet.",
	ask.OffByAnswerAdvice: "Nein schaltet aus; Ja lässt für die Messungen an und schaltet danach aus.",
	ask.ByHandAdvice:      "Sie schalten von Hand ein und aus: Das Programm kann es nicht.",
	ask.AllPowerAdvice:    "Netzteil und Akku werden beide getrennt. " + germanCautions[judge.CautionMains],
	ask.PathAdvice:        "Erst dann ist nachgewiesen, dass Meldungen das Objekt auch bei Netzausfall verlassen.",
	ask.PutRightAdvice:    "Gehen Sie zurück, wenn sich davon noch etwas beheben lässt.",
	ask.AcceptAdvice:      "Mit dem Namen wird anerkannt, was aufgeführt ist, jedes unter seiner Nummer.",
	ask.StrokesAdvice: "Dunkle Striche auf einfarbigem Grund, gezeichnet oder fotografiert; beweist nicht, wer sie " +
		"gezeichnet hat",
	ask.TerminalsAdvice:  "An den Versorgungsklemmen der Zentrale",
	ask.LevelAdvice:      "Mit dem Pegel im ausgeschalteten Zustand und der Klasse des Messgeräts, soweit bekannt",
	ask.DataSheetAdvice:  "Aus Datenblatt oder Kalibrierung",
	ask.IdentifierAdvice: "Zum Beispiel: Multimeter, Seriennummer 0417",
	ask.AnnounceAdvice:   "vorher ankündigen: Das Signal erschreckt Menschen und ruft womöglich Hilfe",
	ask.LifeSafetyAdvice: "dient dem Schutz von Leben: Wie geprüft wird, bestimmen die Brandschutzvorschriften; " +
		"hier wird nur die Zeit des Signals genommen",
	ask.OperateNearAdvice: "dann den nächsten Melder immer wieder betätigen, bis er gemeldet wird",
	ask.UndertakeAdvice:   "was zugesagt wird, steht auf der Bescheinigung",
	ask.NotAtOnceAdvice: "Mit einer Stromzange oder einem Messgerät, das schon vorher in Reihe lag; jetzt keine " +
		"Versorgung dafür auftrennen",
	ask.FarAdvice:     "An den Versorgungsklemmen des Melders selbst, während alle Ausgänge ein sind",
	ask.SpoiledAdvice: "Er bleibt mit dem Grund sichtbar und zählt nicht mehr",
	ask.UntilItStops:  "Sagen Sie es in dem Moment, in dem es aufhört. Verlassen schaltet aus",
}

func (Language) advice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Advice:
		return germanAdvice[p]
	case ask.SoundsWhile:
		return strings.Join(p.Outputs, ", ") + ": alle ein, während Sie die Messgeräte ablesen."
	case ask.StepsLeft:
		return fmt.Sprintf("noch %d von %d offen", p.Open, p.All)
	case ask.Where:
		return "Ort: " + p.Location
	}
	return ""
}

var germanChoices = map[ask.Choice]string{
	ask.LeaveChoice:         "nicht jetzt: diesen Abschnitt verlassen",
	ask.PauseChoice:         "Termin unterbrechen",
	ask.NoneChoice:          "keiner",
	ask.OtherChoice:         "ein anderer, mit Nummer oder Name",
	ask.DoneChoice:          "ja, so ist es",
	ask.NotApplicableChoice: "entfällt hier, mit Grund",
	ask.DefectChoice:        "Mangel, mit Bemerkung",
	ask.BackToListChoice:    "zurück zur Liste",
	ask.UsualActionChoice:   "behoben und erneut geprüft",
	ask.PutRightChoice:      "seither behoben, ich habe nachgesehen",
	ask.StillSoChoice:       "unverändert",
	ask.NotLookedAtChoice:   "nicht nachgesehen, mit Grund",
	ask.AllLaterChoice:      "alle später",
	ask.NotCheckedChoice:    "nicht kontrolliert, mit Grund",
	ask.AgainChoice:         "noch einmal versuchen",
	ask.AsItIsChoice:        "so lassen",
	ask.NoteChoice:          "Bemerkung schreiben",
	ask.NotTestedChoice:     "nicht geprüft, mit Grund",
	ask.JustDoneChoice:      "eben getan",
	ask.CannotChoice:        "geht hier nicht, mit Grund",
	ask.PathYesChoice:       "ja, auch dort ist das Netz weg, und es läuft weiter",
	ask.PathNoChoice:        "nein, dort blieb das Netz: eine Einschränkung",
	ask.PathNothingChoice:   "nichts dergleichen liegt auf dem Weg",
	ask.PathUnknownChoice:   "nicht bekannt, mit Grund",
	ask.PowerOffChoice:      "alle Versorgung ist jetzt weg: weiter",
	ask.SignChoice:          "es stimmt und ist fachgerecht und sorgfältig ausgeführt: unterschreiben",
	ask.AcceptChoice:        "wird anerkannt",
	ask.RefuseChoice:        "wird nicht anerkannt, mit dem, was dazu gesagt wird",
	ask.AbsentChoice:        "niemand ist zum Unterschreiben da, mit Grund",
	ask.StrikeChoice:        "verfälschten Versuch streichen, mit Grund",
	ask.ChargedYesChoice:    "ja",
	ask.ChargedNoChoice:     "nein",
	ask.NotKnownChoice:      "nicht bekannt",
	ask.NotMeasuredChoice:   "nicht gemessen: auslassen",
	ask.ValueChoice:         "so, und eingeben, was daneben steht",
}

var germanKeys = map[ask.Key]string{
	ask.Ready:       "bereit",
	ask.Indicated:   "die Zentrale zeigt es an",
	ask.AtRest:      "die Zentrale zeigt Ruhe an",
	ask.Heard:       "gehört",
	ask.Again:       "noch einmal",
	ask.Silent:      "nichts kam",
	ask.Skip:        "auslassen, mit Grund",
	ask.Note:        "Bemerkung",
	ask.Ohms:        "Ohm der Schleife",
	ask.Jump:        "zu einem anderen",
	ask.Look:        "ansehen: hier beantworten",
	ask.Leave:       "Abschnitt verlassen",
	ask.Redo:        "letzte Angabe noch einmal",
	ask.Stopped:     "hörte von selbst auf",
	ask.Quiet:       "jetzt ausschalten",
	ask.Count:       "bis zur Aufforderung zählen",
	ask.Roam:        "frei gehen, in beliebiger Folge",
	ask.InOrder:     "wieder der Reihe nach",
	ask.Touch:       "ich betätige jetzt",
	ask.NotThat:     "falsch: Es war nicht dieser",
	ask.RoomDone:    "Raum fertig: alles darin betätigt",
	ask.TakeBack:    "die Fragen zurückholen",
	ask.ShowPairing: "Kopplung oder Übersicht",
	ask.ShowAll:     "alles oder nur Offenes",
	ask.NextPage:    "nächste Seite",
	ask.Finish:      "das war alles",
	ask.Forget:      "letzten zurücknehmen",
	ask.Interrupted: "unterbrochen",
	ask.Gone:        "weg",
}

func (l Language) choice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Choice:
		return germanChoices[p]
	case ask.Key:
		return germanKeys[p]
	case ask.EnergiseChoice:
		return "einschalten: " + strings.Join(p.Outputs, ", ")
	case ask.StageChoice:
		if p.Open == 0 {
			return fmt.Sprintf("%s: alle %d abgeschlossen; einen wiederholen", l.Say(p.Stage), p.All)
		}
		return fmt.Sprintf("%s: %d von %d offen", l.Say(p.Stage), p.Open, p.All)
	}
	return ""
}

func (l Language) status(p words.Phrase) string {
	switch p := p.(type) {
	case ask.TrialStatus:
		text := l.running(p.Since) + "  von " + l.whole(p.ListenFor) + ", Grenze " + l.whole(p.Limit)
		switch p.State {
		case signal.Unknown:
			return text
		case signal.NotUnderstood:
			return text + fmt.Sprintf("  sie meldet %s, was controller.yaml nicht "+
				"kennt", germanQuotes.Readable(p.Raw, "nichts"))
		}
		return text + fmt.Sprintf("  %s nach %s s, bleibt es "+
			"so?", germanStates[p.State], l.Number(p.After.Seconds(), 2))
	case ask.ListenStatus:
		return l.running(p.Since) + "  von " + l.whole(p.ListenFor)
	case ask.RestartStatus:
		return l.whole(p.Since) + ", Grenze " + l.whole(p.Limit)
	case ask.LeftStatus:
		return "noch " + l.Duration(p.Left)
	}
	return ""
}

// running is a time that runs, as wide with any number of digits before its comma up to three.
func (l Language) running(d time.Duration) string {
	return fmt.Sprintf("%5s s", l.Number(d.Seconds(), 1))
}

// whole is a time in whole seconds.
func (l Language) whole(d time.Duration) string { return l.Number(d.Seconds(), 0) + " s" }

var germanStates = map[signal.State]string{
	signal.Unknown:       "nichts Bekanntes",
	signal.Active:        "aktiv",
	signal.Restored:      "in Ruhe",
	signal.Tamper:        "Sabotage",
	signal.Trouble:       "Störung",
	signal.NotUnderstood: "nicht verstanden",
}

// germanOutputs are the kinds of outputs.
var germanOutputs = map[site.OutputKind]string{
	site.Sounder: "Sirene", site.Strobe: "Blitzleuchte", site.Chime: "Gong",
}
