package german

import "loopwitness/commission/words"

// germanPageLearning is what a phone's page says in the place of what it says of a visit,
// while a site is learnt.
var germanPageLearning = map[words.PageLearning]string{
	"online":  "Dieses Telefon erreicht den Computer.",
	"offline": "Dieses Telefon erreicht den Computer nicht.",

	"onlooker":      "Sie sehen nur zu. Nichts hier ändert, was eingelernt wird.",
	"joining-title": "Verbindung wird hergestellt …",
	"nothing-help":  "Der Computer arbeitet. Was als Nächstes kommt, erscheint hier.",
	"gone-title":    "Das Einlernen ist beendet oder unterbrochen",
	"gone-help":     "Hier wird nichts mehr gefragt. Zum Fortsetzen am Computer neu beginnen; der Code ist dann neu.",
	"unpaired-help": "Der Code ist bei jedem Beginnen oder Fortsetzen neu: Nehmen Sie den am Computer mit der Kamera " +
		"auf.",
	"not-taken":      "Das hat den Computer nicht erreicht. Versuchen Sie es noch einmal.",
	"more-visit":     "Der Rundgang",
	"pause":          "Rundgang unterbrechen",
	"pause-sure":     "Was gesagt wurde, bleibt erhalten. Es geht ein andermal am Computer weiter.",
	"give-back-sure": "Von da an fragt der Computer. Dieses Telefon zeigt weiter, was eingelernt wird.",

	"tap-not-taken":         "Eine gespeicherte Berührung kam zu spät und zählt nicht.",
	"taps-of-another-visit": "Berührungen, die für einen Termin gespeichert waren, wurden verworfen.",
}
