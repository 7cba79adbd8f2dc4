package german

import "loopwitness/commission/record"

// germanTimeLaws say what entries contradict about times, outputs, signals and trials.
var germanTimeLaws = map[record.Law]string{
	record.LawRunBegins: "die Uhr eines Laufs beginnt nicht mit seinem ersten Eintrag",
	record.LawRuns:      "Läufe sind nicht ab 1 fortlaufend nummeriert",
	record.LawHandsRise: "was ein Techniker tat, steht in anderer Reihenfolge als seine Zeiten",
	record.LawNotLong: "seine Zeit liegt vor der des vorhergehenden Eintrags, um mehr, als irgendetwas auf das " +
		"Schreiben wartet",
	record.LawTimePasses: "viele Antworten kamen im selben Augenblick, obwohl die Zeiten nicht simuliert waren",
	record.LawRunsFollow: "nach der Uhrzeit beginnt es, bevor das Vorhergehende zu Ende war; die Uhr wurde " +
		"dazwischen zurückgestellt, oder eines von beiden ist nicht aus dieser Zeit",
	record.LawEndsAfter: "der Termin endet, bevor er begann, und kein Eintrag sagt, dass die Uhr zurückgestellt " +
		"wurde",
	record.LawDue: "es wurde gemessen, bevor die Zeit dafür um war",
	record.LawMainsInTurn: "es kommt erst, nachdem das Netz weg oder wieder da ist, und das war noch nicht " +
		"beantwortet",
	record.LawNothingBehind: "es wurde weitergearbeitet, obwohl alle Schritte abgeschlossen waren und keiner " +
		"wieder geöffnet wurde",

	record.LawEnergisedFirst: "es wurde beantwortet oder gemessen, was ein Ausgang tut, der nie eingeschaltet war",
	record.LawOffAtEnd: "der Ausgang wurde eingeschaltet, und nichts sagt, dass er vor dem Ende " +
		"ausgeschaltet wurde",
	record.LawOnBeforeOff: "ein Ausgang wurde ausgeschaltet, der nicht eingeschaltet war",
	record.LawNotLongOn: "der Ausgang war länger ein, als dieses Programm es zulässt, und nichts sagt, dass er " +
		"sich nicht ausschalten ließ",
	record.LawLoaded: "es wurde unter Alarmlast gemessen, und nicht alles, was ein Alarm einschaltet, war ein",

	record.LawListensFirst:   "es steht vor jeder Angabe, wie Signale empfangen werden",
	record.LawWay:            "so werden Signale in keiner Weise empfangen oder gemessen, die dieses Programm hat",
	record.LawUncertainty:    "die Unsicherheit der Zeiten ist nicht die, die so empfangene Signale haben",
	record.LawListensOnce:    "in einem Lauf ist eine zweite Signalquelle angegeben",
	record.LawSameMeter:      "das Messgerät ist simuliert, wo die Zentrale es nicht ist, oder umgekehrt",
	record.LawToldByWay:      "was es sagt, kann nicht von gedrückten Tasten kommen",
	record.LawSampler:        "eine Spannung der Versorgung stammt von einer Zentrale, die keine meldet",
	record.LawEars:           "etwas kam auf einem Weg, auf dem niemand hört oder der es nicht melden kann",
	record.LawHeardConnected: "Signale kamen, während die Verbindung als verloren galt",
	record.LawCueConnected:   "ein Melder sollte betätigt werden, während die Verbindung als verloren galt",
	record.LawLostAtCues: "die Verbindung galt gerade bei diesen Aufforderungen als verloren, zu vielen " +
		"von allen",
	record.LawToldInTurn: "ein Signal steht hinter einer Aufforderung, vor der es längst gekommen war, sodass " +
		"kein Versuch es zählt",

	record.LawNotAtOnce:    "die Antwort kam genau im Augenblick der Aufforderung",
	record.LawNotAllFast:   "diese Antworten, zu viele von allen, kamen schneller, als eine Zentrale meldet",
	record.LawPerson:       "eine Taste wurde schneller nach der Aufforderung gedrückt, als ein Mensch es kann",
	record.LawRestarts:     "die Zentrale meldete sich nach dem Neustart früher, als jemand es sehen konnte",
	record.LawChimeFollows: "ein Gong wurde gehört, während die zugehörige Linie, die sonst meldet, nichts meldete",
	record.LawReady: "die Aufforderung kam im selben Augenblick wie das zuvor Getane: Niemand kann gesagt " +
		"haben, dass er bereit sei",
	record.LawWaits: "ein Warten endete von selbst, bevor seine Zeit um war",
	record.LawTouch: "die Aufforderung steht zu einem anderen Zeitpunkt als die Berührung, die sie gab, oder " +
		"gilt als genauer bekannt als diese",
	record.LawTouchBounds: "eine Berührung hat Schranken, die kein Vergleich zweier Uhren ergibt",
	record.LawOwnOrder: "gemessen ist, wozu niemand aufgefordert war, obwohl keine Berührung sagt, wann es " +
		"geschah",
	record.LawOnce:     "eine Meldung zählt für einen zweiten Versuch oder für einen aus der Zeit vor ihrem Lauf",
	record.LawLateness: "ein Warten wurde mit mehr Verspätung überwacht, als es dauerte",

	record.LawEarlier: "was es von früheren Terminen übernimmt, übernimmt kein Termin",
}
