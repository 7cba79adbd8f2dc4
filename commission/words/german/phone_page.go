package german

import "loopwitness/commission/words"

// germanPage is what a phone's page says by itself; $1 is filled in there. On a narrow button a long word
// parts at its soft hyphen.
var germanPage = map[words.PageText]string{
	"tabs":      "Teile der Seite",
	"tab-task":  "Aufgabe",
	"tab-board": "Übersicht",
	"tab-told":  "Verlauf",
	"tab-more":  "Mehr",

	"net-on":          "verbunden",
	"net-off":         "kein Netzwerk",
	"online":          "Dieses Telefon erreicht den Termin.",
	"offline":         "Dieses Telefon erreicht den Termin nicht.",
	"offline-strip":   "Kein Netzwerk. Was Sie berühren, wird gespeichert und gesendet, sobald es wieder da ist.",
	"kept-one":        "Eine Berührung ist auf diesem Telefon gespeichert.",
	"kept-many":       "$1 Berührungen sind auf diesem Telefon gespeichert.",
	"kept-none":       "Keine Berührung wartet auf das Senden.",
	"delivering-one":  "Eine gespeicherte Berührung wird gesendet.",
	"delivering-many": "$1 gespeicherte Berührungen werden gesendet.",

	"offline-kept-one": "Kein Netzwerk: Eine Berührung ist hier mit ihrer Zeit gespeichert und wird gesendet, sobald es " +
		"wieder da ist.",
	"offline-kept-many": "Kein Netzwerk: $1 Berührungen sind hier mit ihren Zeiten gespeichert und werden gesendet, " +
		"sobald es wieder da ist.",

	"controller-gone": "Die Zentrale ist nicht verbunden: Nichts, was sie meldet, kommt an.",
	"simulated":       "Übung: Das Gebäude ist simuliert.",
	"onlooker":        "Sie sehen nur zu. Nichts hier ändert den Termin.",
	"customer":        "Für den Kunden.",
	"taken":           "Die Fragen beantwortet jetzt jemand anderes.",

	"joining-title": "Verbindung zum Termin …",
	"joining-help":  "Dauert das an, erreicht das Telefon den Computer nicht: Sind beide im selben Netzwerk?",
	"nothing-title": "Einen Moment",
	"nothing-help":  "Der Termin läuft. Was als Nächstes kommt, erscheint hier.",
	"gone-title":    "Der Termin ist unterbrochen oder beendet",
	"gone-help": "Hier wird nichts mehr gefragt. Wird er fortgesetzt, nehmen Sie den neuen Code am Computer mit der " +
		"Kamera auf.",
	"unpaired-title": "Dieses Telefon ist nicht gekoppelt",
	"unpaired-help": "Der Code ist bei jedem Beginnen oder Fortsetzen neu: Nehmen Sie den am Computer mit der Kamera " +
		"auf.",
	"try-again": "noch einmal versuchen",

	"sounding":  "Eingeschaltet: $1",
	"silence":   "ausschalten",
	"silencing": "berührt: wird ausgeschaltet …",
	"silence-away": "Kein Netzwerk: Es wird gesendet, sobald es wieder da ist. Außer Reichweite dieses Telefons endet " +
		"es von selbst.",
	"understood":      "verstanden",
	"touch-for-sound": "für Ton hier einmal tippen",

	"now":    "JETZT",
	"now-do": "im Moment des Betätigens tippen",

	"ways":      "Wie aufgefordert wird",
	"way-tap":   "Tippen",
	"way-count": "Zählen",
	"way-roam":  "Frei",

	"count-3":      "drei",
	"count-2":      "zwei",
	"count-1":      "eins",
	"count-now":    "jetzt",
	"count-walk":   "s Gehzeit; Tippen zählt sofort",
	"count-on":     "bei JETZT betätigen",
	"count-go":     "zum Fortsetzen tippen",
	"count-waits":  "WARTET",
	"count-wait":   "Halt",
	"count-resume": "los",
	"walk-seconds": "$1 s",
	"walk-less":    "weniger Gehzeit",
	"walk-more":    "mehr Gehzeit",

	"clock-agrees": "Die Uhren stimmen auf ± $1 ms überein.",
	"clock-wide": "Die Uhren stimmen nur auf ± $1 ms überein: langsames Netzwerk. Kurze Zeiten besser am Computer " +
		"nehmen.",
	"clock-comparing": "Uhren werden verglichen …",
	"clock-unknown": "Die Uhr dieses Telefons ist gerade nicht bekannt: Es hat geschlafen, oder sie wurde noch nicht " +
		"verglichen.",
	"untimed": "ohne Zeitmessung weiter",

	"sending-one":  "Berührung angenommen, wird gesendet …",
	"sending-many": "$1 Berührungen werden gesendet …",

	"waits-active":   "warten, dass die Zentrale es meldet",
	"waits-rest":     "warten, dass die Zentrale Ruhe meldet",
	"roam-now":       "im Moment des Betätigens tippen: Dann wird die Zeit genommen",
	"roam-left":      "Noch offen: $1",
	"roam-left-more": "Noch offen: $1 und $2 weitere",
	"key-not-that":   "nicht dieser",
	"key-room":       "Raum fertig",
	"aim-none":       "beliebiger Melder",
	"away-then":      "Gespeichert: $1. Jetzt: $2.",
	"away-other":     "anderer Melder",
	"away-none":      "Alles, was ohne Netzwerk geht, ist getan. Gehen Sie zurück, bis das Netzwerk reicht.",
	"tap-not-taken": "Eine gespeicherte Berührung kam für den Termin zu spät und zählt nicht. Nehmen Sie diesen Melder " +
		"noch einmal.",

	"taps-of-another-visit": "Berührungen, die für einen anderen Termin gespeichert waren, wurden verworfen.",

	"your-answer":       "Antwort",
	"reading":           "Messwert",
	"reading-with-unit": "Messwert mit Einheit",
	"other-unit":        "andere Einheit",
	"send":              "senden",
	"yes":               "ja",
	"no":                "nein",
	"type-the-word":     "Um fortzufahren, geben Sie das Wort $1 ein",
	"leave-out":         "auslassen",
	"redo":              "letzte Antwort wiederholen",
	"way-back":          "zurück",
	"instrument-shows":  "Im Übungsgebäude zeigt das Messgerät",
	"take-it":           "übernehmen",
	"answer-needed":     "Hier ist eine Antwort nötig.",
	"not-taken":         "Das hat den Termin nicht erreicht. Versuchen Sie es noch einmal.",

	"instead-none": "nicht messbar",
	"instead-open": "zeigt offen",

	"level":           "Schallpegel",
	"weighting":       "Bewertung",
	"distance":        "Abstand",
	"distance-unit":   "Einheit des Abstands",
	"ambient":         "Umgebungspegel, falls gemessen",
	"meter-class":     "Klasse des Messgeräts",
	"class-not-known": "nicht bekannt",
	"conductor":       "Leiter",
	"conductor-unit":  "Einheit des Leiters",
	"day":             "Tag",
	"none-chosen":     "bitte auswählen",
	"take-these-one":  "diesen einen nehmen",
	"take-these-many": "diese $1 nehmen",

	"items-help": "Tippen Sie auf jede Zeile, die nicht so ist, wie sie sein soll. Für den Rest genügt eine " +
		"Taste.",
	"items-all-one":   "so, wie es sein soll",
	"items-all-many":  "alle $1 so, wie es sein soll",
	"items-rest-one":  "das andere so, wie es sein soll",
	"items-rest-many": "die anderen $1 so, wie es sein soll",
	"items-look":      "Lesen Sie die Liste erst bis zum Ende.",
	"items-each":      "einzeln",
	"items-leave":     "Liste vorerst verlassen",
	"items-done":      "Liste fertig",
	"item-open":       "offen",

	"photo":           "Foto",
	"photo-title":     "Foto",
	"photo-camera":    "Aufnehmen oder auswählen",
	"photo-caption":   "Was es zeigt (kann entfallen)",
	"photo-send":      "hinzufügen",
	"photo-sending":   "wird gesendet …",
	"photo-size":      "$1, $2 MB",
	"photo-of":        "Es wird aufbewahrt als Bild zu: $1",
	"photo-of-supply": "Versorgung",
	"photo-of-site":   "Objekt",
	"photo-kept":      "Das Foto wurde hinzugefügt.",
	"photo-too-large": "Diese Datei ist zu groß oder kein Bild, das dieses Telefon verkleinern kann.",
	"close":           "schließen",

	"sign-here":  "hier mit dem Finger unterschreiben",
	"sign":       "das ist meine Unterschrift",
	"sign-again": "löschen und neu",
	"sign-more":  "Das ist zu wenig für eine Unterschrift.",

	"hand": "dem Kunden geben",
	"hand-help": "Der Kunde kann lesen und unterschreiben, sonst nichts. Wählen Sie vier Ziffern, mit denen Sie das " +
		"Telefon wieder übernehmen.",
	"hand-code": "Vier Ziffern",
	"hand-now":  "übergeben",
	"hand-back": "zurück zum Techniker",

	"hold":           "Fragen übernehmen",
	"hold-sure":      "ja, übernehmen",
	"hold-not":       "nein",
	"give-back":      "Fragen zurückgeben",
	"give-back-sure": "Von da an fragt der Computer. Dieses Telefon zeigt weiter die Übersicht.",

	"board-title":   "Übersicht",
	"board-which":   "Welche Melder gezeigt werden",
	"board-all":     "alle",
	"board-open":    "offen",
	"board-failed":  "nicht nachge\u00adwiesen",
	"board-go-jump": "Tippen Sie auf einen Melder, um dorthin zu springen.",
	"board-go-roam": "Tippen Sie auf den Melder, den Sie als Nächstes betätigen.",
	"board-go-away": "Tippen Sie auf den Melder, den Sie als Nächstes betätigen.",
	"board-none":    "Die Übersicht kommt, sobald das Netzwerk da ist.",
	"board-nothing": "Keine.",
	"board-here":    "ist dran",
	"board-kept":    "berührt; auf diesem Telefon gespeichert",

	"told-title": "Was gesagt wurde",
	"told-none":  "Noch nichts.",

	"more-title":     "Mehr",
	"more-sound":     "Ton",
	"more-tones":     "Ton und Sprache",
	"more-voice":     "Sprache",
	"more-questions": "Die Fragen",
	"more-visit":     "Der Termin",
	"pause":          "Termin unterbrechen",
	"pause-sure":     "Was getan wurde, bleibt erhalten. Es geht ein andermal am Computer weiter.",
	"more-state":     "Stand",
	"on":             "ein",
	"off":            "aus",
	"try":            "Hören, wie ein Ergebnis klingt",
	"try-good":       "nachge\u00adwiesen",
	"try-bad":        "nicht nachge\u00adwiesen",
	"awake-yes":      "Der Bildschirm bleibt an.",
	"awake-no":       "Der Bildschirm kann von selbst ausgehen: Stellen Sie das Telefon so ein, dass er anbleibt.",
	"not-secure":     "Diese Seite ist nicht verschlüsselt: Andere im Netzwerk können sie lesen.",
}

// ofPage says what the page says by itself.
func (Language) ofPage(p words.Phrase) (string, bool) {
	if code, is := p.(words.PageLearning); is {
		text, has := germanPageLearning[code]
		return text, has
	}
	code, is := p.(words.PageText)
	text, has := germanPage[code]
	return text, is && has
}
