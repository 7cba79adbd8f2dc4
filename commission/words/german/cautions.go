package german

import "loopwitness/commission/judge"

var germanCautions = map[judge.Caution]string{
	judge.Deferral: "Diese Bescheinigung sagt, was bei einem Termin angegeben, betätigt und gemessen wurde. Sie " +
		"erklärt nicht, dass die Anlage irgendeiner Norm entspricht. Örtliche Vorschriften, die zuständige " +
		"Behörde, die Bedingungen des Versicherers und die Regeln für zugelassene Fachleute entscheiden, was " +
		"verlangt wird und wer die Arbeit ausführen darf.",
	judge.CautionMains: "Nur das Netzteil ausstecken oder seine Steckdose ausschalten. Netzleitungen öffnen oder " +
		"ändern dürfen nur dafür zugelassene Personen.",
	judge.CautionBattery: germanBatteryCaution,
	judge.CautionSounder: "Eine Sirene kann aus der Nähe das Gehör innerhalb von Sekunden schädigen. Setzen Sie " +
		"Gehörschutz auf, und stellen Sie sicher, dass niemand in ihrer Nähe steht.",
	judge.CautionLadders: "Leitern nur auf festem Grund und mit einer zweiten Person in der Nähe benutzen; nicht " +
		"allein in der Höhe arbeiten.",
	judge.CautionLeadAcid: "Ein Bleiakku liefert in einen Kurzschluss Hunderte von Ampere und gibt beim Laden " +
		"explosives Gas ab: Werkzeug und Klemmen isolieren, lüften, Flammen fernhalten und ihn nur dort entsorgen, " +
		"wo solche Akkus angenommen werden.",
	judge.CautionLithiumIon: "Ein Lithium-Ionen-Akku kann in Brand geraten, wenn er kurzgeschlossen, durchstochen, " +
		"überladen oder unter 0 °C geladen wird: nur das dafür bestimmte Ladegerät verwenden, seine " +
		"Schutzschaltung nicht entfernen und ihn nur dort entsorgen, wo solche Akkus angenommen werden.",
	judge.CautionMonitored: "Signale erreichen eine Alarmempfangsstelle: Lassen Sie die Anlage vor dem ersten " +
		"Versuch auf Test schalten und nach dem letzten wieder vom Test nehmen, sonst werden womöglich " +
		"Einsatzkräfte geschickt.",
	judge.CautionAnnounce: "Überfall-, Brand- und Gassignale erschrecken Menschen und rufen womöglich Hilfe: " +
		"Kündigen Sie sie an, bevor sie ausgelöst werden.",
	judge.CautionLifeSafety: "Brand-, Rauch- und Gasmelder schützen Leben und unterliegen den " +
		"Brandschutzvorschriften: Hier wird nur ihr Signal erprobt. Lassen Sie sie so prüfen, wie diese es " +
		"verlangen, und von denen, die sie dafür zulassen.",
}
