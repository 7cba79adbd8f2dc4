package german

import "loopwitness/commission/record"

// germanReadingLaws say what entries contradict in readings, texts, names and programmes.
var germanReadingLaws = map[record.Law]string{
	record.LawTypedLines: "ein Text ist keiner, den man in einer Zeile tippen kann: Er ist umbrochen, enthält " +
		"unsichtbare Zeichen oder ist zu lang",
	record.LawTextsSeen:  "ein Text einer Maschine enthält unsichtbare Zeichen",
	record.LawSiteFile:   "kein Termin beginnt mit dieser Objektdatei",
	record.LawKnownCodes: "ein Text steht, wo dieses Programm nur Codes kennt",

	record.LawValueAsTyped: "ein Wert ist nicht der, der dafür getippt wurde",
	record.LawOneInstrument: "ein Messwert nennt ein anderes Messgerät oder eine andere Unsicherheit als das " +
		"zuvor genannte Voltmeter",
	record.LawInstrumentFirst: "eine Spannung wurde gemessen, bevor jemand sagte, womit",
	record.LawInstrument: "ein Messgerät hat keinen Namen, eine Kalibrierung ohne Tag oder eine Unsicherheit " +
		"unter null",
	record.LawDoubts:   "ein kaum möglicher Wert wurde nicht bestätigt, oder ein möglicher wurde es",
	record.LawFitsStep: "von einem Schritt wird etwas gesagt, das er nicht haben kann",

	record.LawRemarks: "einer Antwort fehlt der Grund, den sie haben muss, oder sie hat eine Bemerkung, die " +
		"niemand verlangte",
	record.LawPartAnswers: "ein Schritt wurde anders abgeschlossen, als seine Fragen beantwortet wurden",
	record.LawStruck:      "ein Versuch wurde gestrichen, den es nicht gab, oder ohne Grund",
	record.LawUndertaking: "eine Zusage ist keine, betrifft nichts oder nennt keinen Tag",
	record.LawExtent:      "Melder sind ohne Grund ausgelassen oder gehören nicht zum Termin",
	record.LawFound:       "ein Wert wurde festgestellt, nach dem sein Schritt nicht fragt, oder der keiner ist",
	record.LawCorrected:   "ein Text wird berichtigt, den es nicht gibt, oder ohne Grund",
	record.LawDays: "etwas soll bis zu einem Tag vor dem Termin getan sein oder ist länger als zehn Jahre " +
		"kalibriert",
	record.LawNotes: "eine Bemerkung sagt nichts",

	record.LawSignature:    "ein Name fehlt oder sagt nichts, oder steht bei etwas, das keinen haben kann",
	record.LawSignedLast:   "jemand unterschrieb, während Schritte offen waren",
	record.LawSignedInTurn: "der Kunde unterschrieb vor dem Techniker",
	record.LawAccepted:     "jemand hat anerkannt, was weder Mangel noch Einschränkung des Termins ist",
	record.LawDrawing:      "eine gezeichnete Unterschrift ist keine",
	record.LawPhotograph:   "ein Foto ist keines, das dieses Programm aufbewahrt",
	record.LawLogo:         "das Logo ist nicht das, das die Objektdatei nennt",

	record.LawProgramme: "der Ablauf hat Schritte, die das Objekt nicht ergibt, oder in anderer Reihenfolge",
	record.LawChecklist: "der Termin hat keine Checkliste: Nichts wurde angesehen, nichts übergeben",
	record.LawOpening:   "die Nummer oder der Termin, auf den er folgt, passt zu keinem solchen Termin",
}
