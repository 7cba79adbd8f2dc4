package german

import "loopwitness/commission/words"

// ofAround is what is said around a visit.
func (l Language) ofAround(p words.Phrase) (string, bool) {
	a, is := p.(words.Around)
	if !is || germanAround[a.What] == "" {
		return "", false
	}
	return a.In(l, germanAround), true
}

var germanAround = map[words.AroundCode]string{
	words.VisitBegun:      "Termin %s begonnen: %d Schritte, %d Melder.",
	words.VisitGoesOn:     "Termin %s geht weiter.",
	words.VisitComplete:   "Termin %s ist abgeschlossen: %s.",
	words.CertifyWith:     "Die Prüfbescheinigung schreibt:",
	words.VisitPaused:     "Unterbrochen; nichts geht verloren. Am selben Schritt weiter mit:",
	words.PausedWithOn:    "Unterbrochen. Am selben Schritt weiter, zuerst mit dem, was noch eingeschaltet ist, mit:",
	words.GoOnWith:        "Weiter mit:",
	words.GoOnInPlace:     "Sobald das Journal an seinem Platz ist, weiter mit:",
	words.PracticeVisit:   "ÜBUNG: Empfangen wird von keiner wirklichen Anlage; das steht auf jeder Seite.",
	words.LearntTaken:     "Übernommene Fotos vom Einlernen des Objekts: %d",
	words.LearntLeft:      "Ein Foto vom Einlernen des Objekts wird ausgelassen: %v",
	words.PhoneWarnsAgain: "Das Telefon wird beim nächsten Mal wieder vor der Seite warnen: %v",

	words.EarlierLeftOut:   "Früherer Termin %s wird ausgelassen: %v",
	words.EarlierTaken:     "Von früheren Terminen übernommen:",
	words.EarlierSo:        "– %s, %s, %s: %s; Journal %.16s…",
	words.EarlierSealed:    "; aus einer signierten Datei %.16s…, von %s (%s; Schlüssel %.16s…)",
	words.EarlierTrusted:   "vertrauenswürdig",
	words.EarlierUntrusted: "von wem, ist nicht nachgewiesen",
	words.EarlierRules:     "; beurteilt nach Regelstand %d, die Aufzeichnung erneut nach Regelstand %d",
	words.LeftAsked: "Dort offen geblieben: %d; davon werden %d zuerst abgefragt, und %d zeigen sich an dem, was dieser " +
		"Termin ohnehin prüft.",
	words.LeftThere: "Dort offen geblieben:",
	words.SampleTaken: "Geprüft werden %d von %d Meldern; mindestens %s %% sind vereinbart (%s): alle, die beim " +
		"letzten Mal nicht in Ordnung waren oder nicht nachgewiesen wurden, alle ohne bekannten Nachweis und alle für " +
		"Brand und Gas; dann einer je Linie, danach weitere, zuerst die mit dem ältesten Nachweis.",
	words.EarlierSiteUnread: "Was sich seither in der Objektdatei geändert hat, lässt sich nicht sagen: Die frühere " +
		"ist nicht lesbar.",
	words.SiteChangedSince: "In der Objektdatei geändert seit Termin %s:",
	words.MoreOfThem:       "– und %d weitere",

	words.AgainUntold:     "Warum Schritte erneut geprüft werden, lässt sich nicht sagen: %v",
	words.AgainAfter:      "Erneut geprüft nach Termin %s, mit Grund:",
	words.AgainChecklists: "– %d Zeilen der Checklisten, die jede Nachprüfung braucht",
	words.NeededFor:       "nötig für %s",
	words.AndMore:         "%s und %d weitere",

	words.SiteNotReadable: "Die Objektdatei ist nicht lesbar (%v); der Termin geht mit dem weiter, was er selbst enthält.",
	words.SiteNotAsVisit:  "%s ist anders, als der Termin sie hat:",
	words.TakeSiteIn:      "Übernehmen?",
	words.KeepsSite:       "nein: weiter mit dem, was der Termin hat",
	words.TakesSite:       "ja: übernehmen",
	words.SiteAffects: "Beim Übernehmen gilt: %salles andere bleibt, wie es ist, und Namen unter dem Termin " +
		"verfallen.",
	words.AffectsAgain:   "erneut geprüft: %s; ",
	words.AffectsNew:     "neu: %s; ",
	words.AffectsRemoved: "entfällt: %s; ",

	words.UnfinishedIs:      "Es gibt einen nicht abgeschlossenen Termin: %s.",
	words.UnfinishedSo:      "%s, begonnen %s, letzter Eintrag %s, %d von %d Schritten offen",
	words.UnfinishedMore:    "; und %d weitere, siehe: %s",
	words.UnfinishedWhat:    "Was soll mit ihm geschehen?",
	words.UnfinishedResume:  "fortsetzen",
	words.UnfinishedBeside:  "einen weiteren daneben beginnen",
	words.UnfinishedDiscard: "mit Grund beiseitelegen und einen neuen beginnen",
	words.UnfinishedLeave:   "nichts beginnen",
	words.DiscardReason:     "Aus welchem Grund wird er beiseitegelegt?",

	words.ListHead:      "Termin|Begonnen|Offene Schritte|Ergebnis bisher",
	words.ListUnread:    "nicht lesbar; siehe %s",
	words.SetAsideSo:    "beiseitegelegt: %s",
	words.SetAsideCount: "%d beiseitegelegt; siehe: %s",
	words.ShownVisit:    "Termin %s, %s, begonnen %s, %d Einträge",
	words.ShownOpen:     "Nicht abgeschlossen: %s",
	words.ShownResult:   "Ergebnis: %s",
	words.ShownNext:     "Als Nächstes: %s, %s",
	words.DetectorsHead: "Punkt|Melder|Linie|Ansprechzeit|Zurückgestellt|Versuche|Urteil",
	words.SetAsideOn:    "BEISEITEGELEGT am %s%s: %s",
	words.ByWhom:        " von %s",
	words.SiteChangedOn: "Die Objektdatei wurde am %s während des Termins geändert",
	words.OpenedAgain:   "; nach der früheren Datei geprüft und wieder offen (%d): %s",
	words.TakenNoMore:   "; geprüft und nicht mehr Teil des Termins (%d): %s",
	words.CorrectedSo:   "Berichtigt, %s von Eintrag %d%s: %s, vorher %s: %s (%s, %s%s)",
	words.DemoHandover: "Ein Termin zur Übergabe von %s, simuliert: %d Linien, %d Melder. Simulierte Zeit vergeht " +
		"sofort.",
	words.DemoMaintenance: "Ein Wartungstermin von %s ein Jahr später: %d Linien, %d Melder. Einer ist langsam " +
		"geworden und der Akku schwach.",
	words.AfterSigning: ", nach der Unterschrift",
}
