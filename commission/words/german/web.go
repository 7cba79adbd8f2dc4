package german

import (
	"fmt"

	"loopwitness/commission/words"
)

var germanWebLabels = map[words.WebLabel]string{
	words.WebDangers: "Gefahren", words.WebAbout: "Was diese Seite ist", words.WebResult: "Ergebnis",
	words.WebContents: "Inhalt", words.WebSkip: "Zum Text springen",
	words.WebSkipList: "Inhalt überspringen", words.WebNumber: "Prüfbescheinigung",
	words.WebVisit: "Nummer", words.WebJournal: "SHA-256 des Journals",
	words.WebCheck:     "Jene Datei, als diese Seite entstand",
	words.WebInstaller: "Errichter", words.WebLimit: "Grenze", words.WebLine: "Dargestellt als",
	words.WebWithin: "Unsicherheit ±", words.WebMark: "Punkt", words.WebName: "Bezeichnung", words.WebChange: "Änderung",
	words.WebCode: "Text des quadratischen Codes auf der Seite:",
	words.WebForThose: "Diese Seite ist keine Prüfbescheinigung, und niemand hat sie signiert: Jeder kann sie ändern, " +
		"ohne dass man es ihr ansieht. Sie sagt, was die Seiten der Prüfbescheinigung sagen, für alle, die Seiten nicht " +
		"sehen können.",
	words.WebOnPages: "Auf jeder Seite der Prüfbescheinigung: ",
	words.WebWho:     "Wer es sagt, und wann", words.WebLegend: "Was die Zeichen bedeuten", words.WebNo: "Nr.",
	words.WebGrade: "Wie schwer", words.WebWhat: "Was", words.WebWhen: "Wann", words.WebValue: "Wert",
	words.WebVerdict: "Bewertung",
	words.WebIntact: "wurde geprüft: Sie ist signiert, ihre Ergebnisse folgen aus ihrer Aufzeichnung, und ihre Seiten " +
		"zeigen sie.",
	words.WebFails: "wurde geprüft und ist FEHLERHAFT: Verlassen Sie sich nicht auf diese Seite. Was daran falsch ist, " +
		"sagt: loopwitness verify DATEI.",
	words.WebUnchecked: "wurde geprüft, aber nicht ganz. Was nicht geprüft werden konnte, sagt: loopwitness verify DATEI.",
	words.WebOfFile:    "Es gilt die Datei der Prüfbescheinigung mit dieser Nummer und diesem Journal:",
	words.WebOfVisit: "Diese Seite wurde aus einem Termin gemacht, wie er im Ordner eines Auftrags steht; keine Datei " +
		"einer Prüfbescheinigung wurde angesehen. Eine Prüfbescheinigung gehört nur dazu, wenn sie von diesem Termin ist " +
		"und dieses Journal hat:",
	words.WebFailsFirst: "Die Datei, aus der diese Seite gemacht wurde, hat ihre Prüfung NICHT bestanden. Verlassen Sie " +
		"sich nicht auf das, was hier steht.",
}

// ofWeb says what a page of text says of itself.
func (l Language) ofWeb(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.WebLabel:
		return germanWebLabels[p], germanWebLabels[p] != ""
	case words.WebHeading:
		if p.Certified {
			return "Text der Prüfbescheinigung " + p.Number, true
		}
		return "Text des Termins " + p.Number, true
	case words.WebCaption:
		return fmt.Sprintf("%s, Tabelle %d von %d", p.Title, p.N, p.Many), true
	case words.WebValues:
		return fmt.Sprintf("Werte der Grafik: %s, über %s", p.Of, p.Over), true
	case words.WebSpan:
		return fmt.Sprintf("%s bis %s", l.Number(p.From, words.AsNeeded), l.Number(p.To, words.AsNeeded)), true
	case words.WebDrawn:
		if p.Picture {
			return "Eine Unterschrift wurde als Bild beigefügt für " + p.Name, true
		}
		return "Eine Unterschrift wurde gezeichnet von " + p.Name, true
	case words.WebPhotograph:
		return "Foto " + p.Title, true
	}
	return "", false
}
